/** The cart files of a folder, with the parts lists that they name. */

import { CART_FILE_LIMITS, MAX_INPUT_BYTES, partsListFileOf } from '../document/index.js';
import type {
  CartAnswer,
  CartChangedAnswer,
  NamedPartsList,
  PartsListAnswer,
  PartsListChangedAnswer,
  SaveCart,
  SavedAnswer,
  SavePartsList,
  TextAnswer,
  VersionsAnswer,
} from './api.js';
import { readDraft } from './drafts.js';
import { isPartsListName } from './file-names.js';
import type { FoundFile } from './folder-files.js';
import { readInFolder, saveInFolder, tooLarge } from './folder-files.js';
import { Problem } from './problem.js';
import { bytesOfBase64 } from './request-body.js';
import { bytesOf, textIn, textOf } from './utf8-text.js';

const MOST_TEXT = CART_FILE_LIMITS.bytes;

function base64Of({ bytes }: FoundFile): string {
  return Buffer.from(bytes).toString('base64');
}

function notThere(name: string): Problem {
  return new Problem('not there', `${name}: there is no such file in the folder`);
}

export async function cartAnswer(folder: string, name: string): Promise<CartAnswer> {
  const found = await readInFolder(folder, name, MOST_TEXT);
  const { draft, problem } = await readDraft(folder, name);
  if (found === null && draft === null) {
    throw problem === null ? notThere(name) : new Problem('not text', problem);
  }
  const text = found && textOf(found.bytes, name);
  return {
    name,
    text,
    version: found?.version ?? null,
    modified: found?.modified ?? null,
    partsList: await namedPartsList(folder, text ?? draft?.text ?? ''),
    draft,
    draftProblem: problem,
  };
}

/** The parts list that a cart's text names; what is wrong with it stops nobody from opening the cart. */
export async function namedPartsList(folder: string, text: string): Promise<NamedPartsList | null> {
  const name = partsListFileOf(text);
  if (name === null) return null;
  const without = (problem: string): NamedPartsList => {
    return { name, base64: null, version: null, problem };
  };
  if (!isPartsListName(name)) return without(`${name}: cannot be the name of a file here`);
  try {
    const found = await readInFolder(folder, name, MAX_INPUT_BYTES);
    if (found === null) return without(`${name}: there is no such file in the folder`);
    return { name, base64: base64Of(found), version: found.version, problem: null };
  } catch (error) {
    if (error instanceof Problem) return without(error.message);
    throw error;
  }
}

function changedProblem(name: string, found: FoundFile | null) {
  const how = found === null ? 'is not there any more' : 'was changed on disk';
  const problem = `${name}: ${how} since it was opened; nothing was written`;
  return { code: 'changed on disk', problem } as const;
}

export async function saveCart(
  folder: string,
  { name, text, base }: SaveCart,
): Promise<SavedAnswer | CartChangedAnswer> {
  const bytes = bytesOf(text, name);
  if (bytes.length > MOST_TEXT) throw tooLarge(name, bytes.length, MOST_TEXT);
  const result = await saveInFolder(folder, { name, bytes, base, most: MOST_TEXT });
  if (result.kind === 'saved') return { version: result.version };
  const { found } = result;
  return {
    ...changedProblem(name, found),
    text: found && textIn(found.bytes),
    version: found?.version ?? null,
  };
}

export async function partsListAnswer(folder: string, name: string): Promise<PartsListAnswer> {
  const found = await readInFolder(folder, name, MAX_INPUT_BYTES);
  if (found === null) throw notThere(name);
  return { name, base64: base64Of(found), version: found.version };
}

export async function savePartsList(
  folder: string,
  { name, base64, base }: SavePartsList,
): Promise<SavedAnswer | PartsListChangedAnswer> {
  const bytes = bytesOfBase64(base64, name);
  if (bytes.length > MAX_INPUT_BYTES) throw tooLarge(name, bytes.length, MAX_INPUT_BYTES);
  const result = await saveInFolder(folder, { name, bytes, base, most: MAX_INPUT_BYTES });
  if (result.kind === 'saved') return { version: result.version };
  const { found } = result;
  return {
    ...changedProblem(name, found),
    base64: found && base64Of(found),
    version: found?.version ?? null,
  };
}

/** The key at the head of a requirement file: other YAML files are nobody's business here. */
const REQUIREMENTS_KEY = /^["']?standstill requirements["']?[ \t]*:/m;

export function holdsRequirements(text: string): boolean {
  return REQUIREMENTS_KEY.test(text);
}

export async function requirementFileAnswer(folder: string, name: string): Promise<TextAnswer> {
  const found = await readInFolder(folder, name, MOST_TEXT);
  if (found === null) throw notThere(name);
  const text = textOf(found.bytes, name);
  if (holdsRequirements(text)) return { name, text, version: found.version };
  throw new Problem(
    'not text',
    `${name}: is not a requirement file; allowed: a file with the key "standstill requirements"`,
  );
}

/** @param list the parts list asked about too; null: none */
export async function versionsAnswer(
  folder: string,
  name: string,
  list: string | null,
): Promise<VersionsAnswer> {
  const cart = await readInFolder(folder, name, MOST_TEXT);
  const partsList = list === null ? null : await readInFolder(folder, list, MAX_INPUT_BYTES);
  return { version: cart?.version ?? null, partsList: partsList?.version ?? null };
}
