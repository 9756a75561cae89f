/** Names of files while they are written, and folders that keep a new name. */

import { randomBytes } from 'node:crypto';
import { constants } from 'node:fs';
import { open } from 'node:fs/promises';
import { dirname, join } from 'node:path';

/** In the same folder, so that renaming makes it the file at once. */
export function halfWritten(path: string): string {
  return join(dirname(path), `.${randomBytes(8).toString('hex')}.half-written`);
}

/** A new name is kept by the folder, which has to reach the disk too. */
export async function folderToDisk(path: string): Promise<void> {
  // Windows cannot open a folder, and keeps the order of names by itself
  if (process.platform === 'win32') return;
  const folder = await open(dirname(path), constants.O_RDONLY);
  try {
    await folder.sync();
  } catch (error) {
    // some network file systems sync files only
    const code = error instanceof Error && 'code' in error ? error.code : '';
    if (code !== 'EINVAL' && code !== 'ENOTSUP') throw error;
  } finally {
    await folder.close();
  }
}
