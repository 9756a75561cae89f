/** Reading and writing files, with every failure told as bad input. */

import { readFile, realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

/** Bytes: as much of any file as the readers behind take at most. */
const GREATEST_FILE = 50 * 1024 * 1024;

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or directory',
  ENOTDIR: 'a part of its path is not a directory',
  EISDIR: 'it is a directory; allowed: a file',
  EACCES: 'permission denied',
  EPERM: 'not permitted',
  EEXIST: 'it already exists and is not overwritten',
  ENAMETOOLONG: 'its name is too long',
  ELOOP: 'too many symbolic links',
  EROFS: 'the file system is read-only',
  ENOSPC: 'no space is left on the device',
  ERR_INVALID_ARG_VALUE: 'its name holds a null character',
};

export function reasonOf(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return REASONS[code] ?? (code === '' ? String(error) : code);
}

function megabytes(bytes: number): string {
  return `${(bytes / 1_000_000).toFixed(1)} MB`;
}

/** The bytes of an ordinary file; kind and size are checked before anything is read. */
export async function readBytes(
  file: string,
  greatest: number = GREATEST_FILE,
): Promise<Outcome<Uint8Array>> {
  try {
    const status = await stat(file);
    if (status.isDirectory()) return bad(`${file}: cannot be read: ${REASONS.EISDIR}`);
    if (!status.isFile()) return bad(`${file}: cannot be read: it is not an ordinary file`);
    if (status.size > greatest) {
      const [is, allowed] = [status.size, greatest].map(megabytes);
      return bad(`${file}: holds ${is}; allowed: at most ${allowed}`);
    }
    return fine(await readFile(file));
  } catch (error) {
    return bad(`${file}: cannot be read: ${reasonOf(error)}`);
  }
}

/** The text of a UTF-8 file, its byte order mark dropped. */
export async function readText(file: string, greatest?: number): Promise<Outcome<string>> {
  const bytes = await readBytes(file, greatest);
  if (bytes.kind === 'bad input') return bytes;
  try {
    return fine(new TextDecoder('utf-8', { fatal: true }).decode(bytes.value));
  } catch {
    return bad(`${file}: is not text in UTF-8, the only encoding read here`);
  }
}

/** Whether anything is there under this name; what cannot be looked at counts as there. */
export async function fileExists(file: string): Promise<boolean> {
  try {
    await stat(file);
    return true;
  } catch (error) {
    return !(error instanceof Error && 'code' in error && error.code === 'ENOENT');
  }
}

/** Writes a file that is not there yet. */
export async function writeNew(file: string, text: string): Promise<Outcome<null>> {
  try {
    await writeFile(file, text, { flag: 'wx' });
    return fine(null);
  } catch (error) {
    return bad(`${file}: cannot be written: ${reasonOf(error)}`);
  }
}

/** Replaces the text of a file whole: a reader, or a crash, sees the old text or the new. */
export async function replaceText(file: string, text: string): Promise<Outcome<null>> {
  let half: string | null = null;
  try {
    const target = await realpath(file);
    half = `${target}.half-written`;
    await writeFile(half, text, { flag: 'wx' });
    await rename(half, target);
    return fine(null);
  } catch (error) {
    if (half !== null && !isTaken(error)) await rm(half, { force: true });
    return bad(`${file}: cannot be written: ${reasonOf(error)}`);
  }
}

/** The half-written file belongs to another run. */
function isTaken(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'EEXIST';
}
