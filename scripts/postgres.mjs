// Finds the PostgreSQL server for the tests of studies on several machines, and installs it where
// that is simple. The tests start a private server of their own; none that is running is touched.
import { existsSync, readdirSync, realpathSync } from 'node:fs';
import { delimiter, dirname, join } from 'node:path';
import { installWithApt, isExecutable } from './system-programs.mjs';

const programs = ['initdb', 'postgres'];
/** Where systems keep one folder a version, whose programs are not on the path. */
const versionFolders = ['/usr/lib/postgresql', '/usr/local/lib/postgresql', '/Library/PostgreSQL'];
const folders = ['/usr/local/bin', '/usr/bin', '/usr/pgsql/bin', '/opt/homebrew/bin'];

/** @param {string} folder */
function holdsServer(folder) {
  return programs.every((program) => isExecutable(join(folder, program)));
}

/** @param {string} folder
 * @returns {string[]} newest version first */
function versionsIn(folder) {
  if (!existsSync(folder)) return [];
  const byNumber = new Intl.Collator('en', { numeric: true });
  return readdirSync(folder)
    .sort((a, b) => byNumber.compare(b, a))
    .map((version) => join(folder, version, 'bin'));
}

/**
 * POSTGRES_PATH, when set, is the answer, whether or not a server is there.
 *
 * @returns {string | undefined} the folder with `initdb` and `postgres`
 */
export function findPostgres() {
  const chosen = process.env.POSTGRES_PATH;
  if (chosen !== undefined && chosen !== '') return chosen;
  const path = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '');
  const found = [...path, ...versionFolders.flatMap(versionsIn), ...folders].find(holdsServer);
  // The server finds its own files beside the real program, not beside a link to it.
  return found === undefined ? undefined : dirname(realpathSync(join(found, 'postgres')));
}

/** @returns {string} the folder; throws with what to do when there is none */
export function ensurePostgres() {
  const found = findPostgres();
  if (found !== undefined) {
    if (holdsServer(found)) return found;
    throw new Error(`POSTGRES_PATH is ${found}: there is no initdb and postgres in that folder`);
  }
  if (installWithApt('postgresql')) {
    const installed = findPostgres();
    if (installed !== undefined) return installed;
  }
  throw new Error(
    'No PostgreSQL server was found for the tests of studies on several machines. ' +
      'Install one (version 13 or newer), or set POSTGRES_PATH to the folder of its programs.',
  );
}
