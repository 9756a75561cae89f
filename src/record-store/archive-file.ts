/** Archives as files: whole under their name, or not there. */

import { createReadStream, createWriteStream } from 'node:fs';
import { open, realpath, rename, rm } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { writeArchive } from './archive.js';
import type { ArchiveCount } from './archive-lines.js';
import type { ArchiveRead } from './archive-reading.js';
import { readArchive, verifyArchive } from './archive-reading.js';
import { folderToDisk, halfWritten } from './file-on-disk.js';
import type { RecordStore } from './record-store.js';
import { RecordStoreError } from './record-store.js';

/**
 * Writes beside, syncs and renames: whatever happens meanwhile, the path is what it was before, or the whole
 * archive. A file that is there is replaced, but never the database itself.
 *
 * @throws RecordStoreError
 */
export async function writeArchiveFile(
  store: RecordStore,
  path: string,
  project: string | null,
): Promise<ArchiveCount> {
  await checkTarget(store, path);
  const half = halfWritten(resolve(path));
  try {
    const count = await writeArchive(store, createWriteStream(half, { flags: 'wx' }), project);
    const written = await open(half, 'r+');
    await written.sync().finally(() => written.close());
    await rename(half, path);
    await folderToDisk(resolve(path));
    return count;
  } catch (error) {
    throw inWords(path, 'written', error);
  } finally {
    await rm(half, { force: true });
  }
}

/**
 * For a place that is not there yet: see `verifyArchive`.
 *
 * @throws RecordStoreError
 */
export async function verifyArchiveFile(path: string): Promise<ArchiveCount> {
  try {
    return await verifyArchive(createReadStream(path), { name: path });
  } catch (error) {
    throw inWords(path, 'read', error);
  }
}

/**
 * @param verified what `verifyArchiveFile` found a moment ago
 * @throws RecordStoreError
 */
export async function readArchiveFile(
  store: RecordStore,
  path: string,
  verified?: ArchiveCount,
): Promise<ArchiveRead> {
  const known = verified === undefined ? {} : { verified };
  try {
    return await readArchive(store, () => createReadStream(path), { name: path, ...known });
  } catch (error) {
    throw inWords(path, 'read', error);
  }
}

/** The name of the database would be the archive's from then on. */
async function checkTarget({ kind, place }: RecordStore, path: string): Promise<void> {
  if (kind !== 'SQLite') return;
  const database = await realName(place);
  const target = await realName(path);
  if (!['', '-wal', '-shm'].some((end) => target === `${database}${end}`)) return;
  throw new RecordStoreError(
    'cannot be opened',
    `${path}: is the file of the test records itself; allowed: another name for the archive`,
  );
}

/** Links of the folder followed, and of the file where it is there. */
async function realName(path: string): Promise<string> {
  const full = resolve(path);
  try {
    return await realpath(full);
  } catch {
    const folder = await realpath(dirname(full)).catch(() => dirname(full));
    return join(folder, basename(full));
  }
}

function inWords(path: string, what: 'read' | 'written', error: unknown): unknown {
  if (!(error instanceof Error && 'syscall' in error)) return error;
  // 'ENOENT: no such file or directory, open ...' without its code and the name of the half-written file
  const reason = error.message.replace(/^[A-Z0-9_]+: /, '').replace(/, \w+( '.*)?$/s, '');
  const message = `${path}: cannot be ${what}: ${reason}`;
  return new RecordStoreError('cannot be opened', message, { cause: error });
}
