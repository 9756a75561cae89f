/** Writing a file so that whoever reads it, even after a crash, finds the old bytes or the new, whole. */

import { randomBytes } from 'node:crypto';
import { constants } from 'node:fs';
import { link, open, readdir, rename, rm, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { systemCodeOf } from './problem.js';

export interface AtomicWrite {
  /** permissions; null: those of a new file */
  readonly mode: number | null;
  /** true: nothing may be there yet; EEXIST is thrown otherwise */
  readonly isNew: boolean;
  /** called when all is ready; what it throws leaves the file as it was */
  readonly lastLook?: () => Promise<void>;
}

const HALF_WRITTEN = /^\.[0-9a-f]{16}\.half-written$/;

/** The bytes are on the disk, under this name, when it returns. */
export async function writeAtomically(
  target: string,
  bytes: Uint8Array,
  { mode, isNew, lastLook }: AtomicWrite,
): Promise<void> {
  const half = join(dirname(target), `.${randomBytes(8).toString('hex')}.half-written`);
  try {
    await writeToDisk(half, bytes, mode);
    await lastLook?.();
    if (isNew) await linkNew(half, target);
    else await rename(half, target);
  } finally {
    await rm(half, { force: true });
  }
  await folderToDisk(dirname(target));
}

async function writeToDisk(path: string, bytes: Uint8Array, mode: number | null): Promise<void> {
  const file = await open(path, 'wx', mode ?? 0o666);
  try {
    await file.writeFile(bytes);
    // opening took the umask off it
    if (mode !== null) await file.chmod(mode);
    await file.sync();
  } finally {
    await file.close();
  }
}

/** A second name for the file fails where the name is taken; renaming would take it over. */
async function linkNew(half: string, target: string): Promise<void> {
  try {
    await link(half, target);
  } catch (error) {
    // file systems without second names, such as that of many memory sticks
    if (!['EPERM', 'ENOTSUP', 'ENOSYS', 'EOPNOTSUPP'].includes(systemCodeOf(error))) throw error;
    await (await open(target, 'wx')).close();
    await rename(half, target);
  }
}

/** A new name is kept by the folder, which has to reach the disk too. */
async function folderToDisk(folder: string): Promise<void> {
  // Windows cannot open a folder, and keeps the order of names by itself
  if (process.platform === 'win32') return;
  const handle = await open(folder, constants.O_RDONLY);
  try {
    await handle.sync();
  } catch (error) {
    // some network file systems sync files only
    if (!['EINVAL', 'ENOTSUP'].includes(systemCodeOf(error))) throw error;
  } finally {
    await handle.close();
  }
}

/** ms: no write takes this long, so what is older was left by a process that was killed. */
const LEFT_AFTER = 10 * 60 * 1000;

/** Removes what killed writes left in a folder. */
export async function sweepHalfWritten(folder: string): Promise<void> {
  for (const name of await readdir(folder)) {
    if (!HALF_WRITTEN.test(name)) continue;
    const path = join(folder, name);
    const written = await stat(path).catch(() => null);
    if (written !== null && Date.now() - written.mtimeMs > LEFT_AFTER)
      await rm(path, { force: true });
  }
}
