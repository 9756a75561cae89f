// Builds the page of the workbench when it is missing or older than what it is made of.
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { root, runPackage } from './run.mjs';

const built = join(root, 'dist', 'web', 'index.html');
const sources = ['src', 'vite.config.ts', 'package-lock.json'];

/**
 * @param {string} path
 * @returns {number} ms of the newest file at or below the path
 */
function newest(path) {
  const state = statSync(path);
  if (!state.isDirectory()) return state.mtimeMs;
  return readdirSync(path).reduce(
    (latest, name) => Math.max(latest, newest(join(path, name))),
    state.mtimeMs,
  );
}

export function ensurePage() {
  const changed = Math.max(...sources.map((each) => newest(join(root, each))));
  if (existsSync(built) && statSync(built).mtimeMs >= changed) return;
  console.error('Building the page of the workbench...');
  const status = runPackage('vite/bin/vite.js', ['build', '--logLevel', 'warn'], {
    quiet: true,
    // the test runner sets another, and the page would be the slow one that is made for finding faults
    env: { NODE_ENV: 'production' },
  });
  if (status !== 0) throw new Error(`the build of the page ended with exit code ${status}`);
}
