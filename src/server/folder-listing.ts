/** What the folder holds that the page can open. */

import { readdir } from 'node:fs/promises';
import { sep } from 'node:path';
import { CART_FILE_LIMITS } from '../document/index.js';
import type { CartEntry, DraftEntry, ExampleAnswer, ExampleEntry, FolderAnswer } from './api.js';
import { holdsRequirements, namedPartsList } from './cart-files.js';
import { draftNames, readDraft } from './drafts.js';
import { isCartName, isPartsListName, isRequirementFileName, looksLikeCart } from './file-names.js';
import { readInFolder, versionOf } from './folder-files.js';
import { Problem, problemOf } from './problem.js';
import { textIn, textOf } from './utf8-text.js';

type Unusable = FolderAnswer['unusable'][number];

export interface Folder {
  /** without links in it */
  readonly path: string;
  readonly examples: string | null;
  readonly opened: string | null;
  readonly version: string;
}

export async function folderAnswer(folder: Folder): Promise<FolderAnswer> {
  const names = await namesIn(folder.path);
  const unusable: Unusable[] = [];
  return {
    folder: shortPath(folder.path),
    id: versionOf(Buffer.from(folder.path)).slice(0, 16),
    carts: await cartEntries(folder.path, names, unusable),
    requirementFiles: await requirementFiles(folder.path, names),
    partsLists: names.filter(isPartsListName),
    examples: folder.examples === null ? [] : await exampleEntries(folder.examples),
    drafts: await draftEntries(folder.path, unusable),
    unusable,
    opened: folder.opened,
    version: folder.version,
  };
}

async function namesIn(path: string): Promise<readonly string[]> {
  try {
    return (await readdir(path)).sort();
  } catch (error) {
    throw problemOf(error, shortPath(path));
  }
}

/** Enough to tell two folders apart; the whole path would only give away who works here. */
function shortPath(path: string): string {
  return path.split(sep).filter(Boolean).slice(-2).join('/') || '/';
}

async function cartEntries(
  folder: string,
  names: readonly string[],
  unusable: Unusable[],
): Promise<readonly CartEntry[]> {
  const entries: CartEntry[] = [];
  for (const name of names.filter(looksLikeCart)) {
    try {
      const entry = await cartEntry(folder, name);
      if (entry !== null) entries.push(entry);
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      unusable.push({ name, problem: error.message });
    }
  }
  return entries;
}

/** null: it went away meanwhile */
async function cartEntry(folder: string, name: string): Promise<CartEntry | null> {
  if (!isCartName(name)) {
    throw new Problem('bad request', `${name}: has a name that not every system can hold`);
  }
  const found = await readInFolder(folder, name, CART_FILE_LIMITS.bytes);
  if (found === null) return null;
  textOf(found.bytes, name);
  return { name, modified: found.modified, bytes: found.bytes.length };
}

async function requirementFiles(folder: string, names: readonly string[]): Promise<string[]> {
  const files: string[] = [];
  for (const name of names.filter(isRequirementFileName)) {
    // what cannot be read is not known to be one
    const found = await readInFolder(folder, name, CART_FILE_LIMITS.bytes).catch(() => null);
    if (holdsRequirements((found && textIn(found.bytes)) ?? '')) files.push(name);
  }
  return files;
}

async function draftEntries(folder: string, unusable: Unusable[]): Promise<readonly DraftEntry[]> {
  const entries: DraftEntry[] = [];
  for (const name of await draftNames(folder)) {
    const { draft, problem } = await readDraft(folder, name);
    if (draft !== null) entries.push({ name, saved: draft.saved });
    if (problem !== null) unusable.push({ name, problem });
  }
  return entries;
}

async function exampleEntries(examples: string): Promise<readonly ExampleEntry[]> {
  const entries: ExampleEntry[] = [];
  for (const name of (await namesIn(examples)).filter(isCartName)) {
    // they are ours: one that cannot be read takes nothing from the user
    const found = await readInFolder(examples, name, CART_FILE_LIMITS.bytes).catch(() => null);
    const text = found && textIn(found.bytes);
    if (text !== null) entries.push({ name, title: titleOf(text) });
  }
  return entries;
}

function titleOf(text: string): string | null {
  return /^name:[ \t]*(\S.*?)[ \t]*\r?$/m.exec(text)?.[1] ?? null;
}

export async function exampleAnswer(examples: string | null, name: string): Promise<ExampleAnswer> {
  const found = examples && (await readInFolder(examples, name, CART_FILE_LIMITS.bytes));
  if (!examples || !found) throw new Problem('not there', `${name}: there is no such example`);
  const text = textOf(found.bytes, name);
  return { name, text, partsList: await namedPartsList(examples, text) };
}
