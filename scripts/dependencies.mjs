// Installs the locked packages when node_modules is missing or is not what the lock file says.
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root, run } from './run.mjs';

/**
 * @typedef {{ version?: string, integrity?: string, optional?: boolean }} LockedPackage
 * @typedef {Record<string, LockedPackage>} LockedPackages keyed by folder, '' the package itself
 */

/**
 * @param {string} path
 * @returns {LockedPackages}
 */
function lockedPackages(path) {
  return JSON.parse(readFileSync(path, 'utf8')).packages;
}

/**
 * Optional packages may be absent (they are for other systems); all else must be there, and alike.
 *
 * @param {LockedPackages} wanted
 * @param {LockedPackages} installed
 */
function matches(wanted, installed) {
  const wantedPresent = Object.entries(wanted).every(([folder, entry]) => {
    if (folder === '') return true;
    const found = installed[folder];
    if (found === undefined) return entry.optional === true;
    return found.version === entry.version && found.integrity === entry.integrity;
  });
  return wantedPresent && Object.keys(installed).every((folder) => folder in wanted);
}

function installedIsCurrent() {
  const record = join(root, 'node_modules', '.package-lock.json');
  if (!existsSync(record)) return false;
  return matches(lockedPackages(join(root, 'package-lock.json')), lockedPackages(record));
}

/** No package here needs its install script, so none is run. */
export function ensureDependencies() {
  if (installedIsCurrent()) return;
  console.error('Installing the locked packages (npm ci)...');
  const args = ['ci', '--include=dev', '--ignore-scripts', '--no-audit', '--no-fund'];
  const status = run('npm', args, { quiet: true });
  if (status !== 0) throw new Error(`npm ci ended with exit code ${status}`);
}
