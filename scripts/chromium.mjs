// Finds a chromium for the tests that run in a browser, and installs one where that is simple.
import { delimiter, join } from 'node:path';
import { installWithApt, isExecutable } from './system-programs.mjs';

const names = ['chromium', 'chromium-browser'];
const folders = ['/usr/bin', '/usr/local/bin', '/snap/bin', '/opt/homebrew/bin'];
const applications = ['/Applications/Chromium.app/Contents/MacOS/Chromium'];

/**
 * CHROMIUM_PATH, when set, is the answer, whether or not it can be run.
 *
 * @returns {string | undefined} path of the program
 */
export function findChromium() {
  const chosen = process.env.CHROMIUM_PATH;
  if (chosen !== undefined && chosen !== '') return chosen;
  const searched = [...(process.env.PATH ?? '').split(delimiter), ...folders];
  const candidates = searched.flatMap((folder) => names.map((name) => join(folder, name)));
  return [...candidates, ...applications].find(isExecutable);
}

/** @returns {string} path of the program; throws with what to do when there is none */
export function ensureChromium() {
  const found = findChromium();
  if (found !== undefined) {
    if (isExecutable(found)) return found;
    throw new Error(`CHROMIUM_PATH is ${found}: there is no program that can be run at that path`);
  }
  if (installWithApt('chromium')) {
    const installed = findChromium();
    if (installed !== undefined) return installed;
  }
  throw new Error(
    'No chromium was found for the tests that run in a browser. ' +
      'Install one, or set CHROMIUM_PATH to the path of its program.',
  );
}
