/** Files of the one folder that the workbench may read and write; nothing outside it. */

import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { access, lstat, mkdir, open, realpath, writeFile } from 'node:fs/promises';
import { basename, dirname, isAbsolute, join, relative, sep } from 'node:path';
import { writeAtomically } from './atomic-write.js';
import { oneAtATime, whileLocked } from './one-at-a-time.js';
import { Problem, problemOf, systemCodeOf } from './problem.js';

export interface FoundFile {
  /** without links in it */
  readonly path: string;
  readonly bytes: Uint8Array;
  readonly version: string;
  /** ISO 8601, UTC */
  readonly modified: string;
  readonly mode: number;
}

/** SHA-256 in hex: what tells one state of a file from another. */
export function versionOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

function isWithin(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way !== '' && way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way);
}

/**
 * Where a name of the folder leads, links followed.
 *
 * @param folder without links in it
 * @param name checked by `file-names.ts`; with '/' in it, below the folder
 * @throws Problem when it leads out of the folder
 */
export async function placeOf(folder: string, name: string): Promise<string> {
  const path = join(folder, name);
  const real = await realPathOf(path, name);
  if (!isWithin(folder, real)) {
    throw new Problem('outside the folder', `${name}: it is a link that leads out of the folder`);
  }
  return real;
}

/** Of a file that is not there: of the folder it would be in. */
async function realPathOf(path: string, name: string): Promise<string> {
  try {
    return await realpath(path);
  } catch (error) {
    if (systemCodeOf(error) !== 'ENOENT') throw problemOf(error, name);
  }
  if (await isThere(path)) {
    throw new Problem('outside the folder', `${name}: it is a link that leads nowhere`);
  }
  try {
    return join(await realpath(dirname(path)), basename(path));
  } catch (error) {
    if (systemCodeOf(error) !== 'ENOENT') throw problemOf(error, name);
    throw new Problem('not there', `${name}: the folder that it belongs in is not there`);
  }
}

async function isThere(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    () => false,
  );
}

/** Not there on every system; 0 where a link or a pipe cannot be met in this way. */
const CAREFULLY = (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

/**
 * A file of the folder, whole; null: there is none.
 *
 * @param most bytes
 * @throws Problem
 */
export async function readInFolder(
  folder: string,
  name: string,
  most: number,
): Promise<FoundFile | null> {
  try {
    return await readPlace(await placeOf(folder, name), name, most);
  } catch (error) {
    if (isMissing(error)) return null;
    throw problemOf(error, name);
  }
}

function isMissing(error: unknown): boolean {
  return (
    (error instanceof Problem && error.code === 'not there') || systemCodeOf(error) === 'ENOENT'
  );
}

async function readPlace(path: string, name: string, most: number): Promise<FoundFile> {
  const file = await open(path, constants.O_RDONLY | CAREFULLY);
  try {
    const status = await file.stat();
    if (!status.isFile()) {
      throw new Problem('not an ordinary file', `${name}: it is not an ordinary file`);
    }
    if (status.size > most) throw tooLarge(name, status.size, most);
    const bytes = await file.readFile();
    // it may have grown meanwhile
    if (bytes.length > most) throw tooLarge(name, bytes.length, most);
    const modified = status.mtime.toISOString();
    return { path, bytes, version: versionOf(bytes), modified, mode: status.mode & 0o7777 };
  } finally {
    await file.close();
  }
}

export function tooLarge(name: string, bytes: number, most: number): Problem {
  return new Problem('too large', `${name}: holds ${bytes} bytes; allowed: at most ${most}`);
}

export type SaveResult =
  | { readonly kind: 'saved'; readonly version: string }
  /** nothing was written; null: there is no such file (any more) */
  | { readonly kind: 'changed'; readonly found: FoundFile | null };

export interface Save {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** version that must be on disk; null: no such file may be there */
  readonly base: string | null;
  /** bytes that a file of this kind may have */
  readonly most: number;
}

/** The workbench's own folder inside the user's. */
export const OWN_FOLDER = '.standstill-drafts';

/** Made when it is not there, and kept out of the user's version control. */
export async function ownFolder(folder: string): Promise<string> {
  const path = join(folder, OWN_FOLDER);
  try {
    await mkdir(path, { mode: 0o700 });
    await writeFile(join(path, '.gitignore'), '*\n', { flag: 'wx' });
  } catch (error) {
    if (systemCodeOf(error) !== 'EEXIST')
      throw problemOf(error, `${OWN_FOLDER}: cannot be made in this folder`);
  }
  if (!(await lstat(path)).isDirectory()) {
    throw new Problem(
      'outside the folder',
      `${OWN_FOLDER}: is not a folder; allowed: a folder, no link`,
    );
  }
  return path;
}

/** Saves a file of the folder, unless it is not what the change was made from. @throws Problem */
export async function saveInFolder(folder: string, save: Save): Promise<SaveResult> {
  const { name } = save;
  try {
    const path = await placeOf(folder, name);
    const lock = join(await ownFolder(folder), `${versionOf(Buffer.from(path)).slice(0, 16)}.lock`);
    return await oneAtATime(path, () => whileLocked(lock, name, () => saveAt(path, save)));
  } catch (error) {
    throw problemOf(error, name);
  }
}

class ChangedMeanwhile extends Error {}

async function saveAt(path: string, save: Save): Promise<SaveResult> {
  const { name, bytes, base, most } = save;
  const found = await readIfThere(path, name, most);
  const version = versionOf(bytes);
  // also when the answer to an earlier, same question was lost
  if (found?.version === version) return { kind: 'saved', version };
  if ((found?.version ?? null) !== base) return { kind: 'changed', found };
  if (found !== null) await mayBeWritten(path, name);
  const lastLook = async (): Promise<void> => {
    const now = await readIfThere(path, name, most);
    if ((now?.version ?? null) !== base) throw new ChangedMeanwhile();
  };
  try {
    await writeAtomically(path, bytes, {
      mode: found?.mode ?? null,
      isNew: found === null,
      lastLook,
    });
    return { kind: 'saved', version };
  } catch (error) {
    const isChanged = error instanceof ChangedMeanwhile || systemCodeOf(error) === 'EEXIST';
    if (!isChanged) throw error;
    return { kind: 'changed', found: await readIfThere(path, name, most) };
  }
}

async function readIfThere(path: string, name: string, most: number): Promise<FoundFile | null> {
  try {
    return await readPlace(path, name, most);
  } catch (error) {
    if (isMissing(error)) return null;
    throw error;
  }
}

/** The folder's permission would be enough to replace it; but a user who took it away meant it. */
async function mayBeWritten(path: string, name: string): Promise<void> {
  try {
    await access(path, constants.W_OK);
  } catch {
    throw new Problem('read-only', `${name}: the file is read-only`);
  }
}
