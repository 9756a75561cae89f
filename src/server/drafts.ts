/** Drafts: what was typed and not saved yet, kept beside the cart files so that a crash loses nothing. */

import { readdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { CART_FILE_LIMITS } from '../document/index.js';
import type { Draft, DraftDeletedAnswer, DraftSavedAnswer, SaveDraft } from './api.js';
import { writeAtomically } from './atomic-write.js';
import { isCartName } from './file-names.js';
import { OWN_FOLDER, ownFolder, readInFolder, tooLarge } from './folder-files.js';
import { oneAtATime } from './one-at-a-time.js';
import { Problem, problemOf, systemCodeOf } from './problem.js';
import { MOST_TEXT_BODY } from './request-body.js';
import { bytesOf, textIn } from './utf8-text.js';

const ENDING = '.draft.json';

const draftFile = z.object({
  'standstill draft': z.literal(1),
  name: z.string(),
  text: z.string(),
  base: z.string().nullable(),
  saved: z.string(),
});

export interface DraftRead {
  readonly draft: Draft | null;
  /** why a draft that is there cannot be read; null: none is there, or it can */
  readonly problem: string | null;
}

/** @param name checked: the name of a cart file */
export async function readDraft(folder: string, name: string): Promise<DraftRead> {
  const file = `${OWN_FOLDER}/${name}${ENDING}`;
  try {
    const found = await readInFolder(folder, file, MOST_TEXT_BODY);
    if (found === null) return { draft: null, problem: null };
    const { text, base, saved } = draftFile.parse(JSON.parse(textIn(found.bytes) ?? ''));
    return { draft: { text, base, saved }, problem: null };
  } catch (error) {
    if (error instanceof Problem) return { draft: null, problem: error.message };
    return { draft: null, problem: `${file}: is not a draft that this version can read` };
  }
}

export async function saveDraft(
  folder: string,
  { name, text, base }: SaveDraft,
): Promise<DraftSavedAnswer> {
  const size = bytesOf(text, name).length;
  if (size > CART_FILE_LIMITS.bytes) throw tooLarge(name, size, CART_FILE_LIMITS.bytes);
  const saved = new Date().toISOString();
  const file = { 'standstill draft': 1, name, text, base, saved };
  const bytes = Buffer.from(`${JSON.stringify(file)}\n`, 'utf8');
  await changed(folder, name, (path) =>
    writeAtomically(path, bytes, { mode: 0o600, isNew: false }),
  );
  return { saved };
}

export async function deleteDraft(folder: string, name: string): Promise<DraftDeletedAnswer> {
  let deleted = true;
  await changed(folder, name, async (path) => {
    try {
      await rm(path);
    } catch (error) {
      if (systemCodeOf(error) !== 'ENOENT') throw error;
      deleted = false;
    }
  });
  return { deleted };
}

/** In the order in which the changes were asked for. */
async function changed(
  folder: string,
  name: string,
  change: (path: string) => Promise<void>,
): Promise<void> {
  try {
    const path = join(await ownFolder(folder), `${name}${ENDING}`);
    await oneAtATime(path, () => change(path));
  } catch (error) {
    throw problemOf(error, `${OWN_FOLDER}/${name}${ENDING}`);
  }
}

/** Names of the cart files that have a draft. */
export async function draftNames(folder: string): Promise<readonly string[]> {
  try {
    const names = await readdir(join(folder, OWN_FOLDER));
    return names
      .filter((each) => each.endsWith(ENDING))
      .map((each) => each.slice(0, -ENDING.length))
      .filter(isCartName);
  } catch {
    return [];
  }
}
