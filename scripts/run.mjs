// Starts other programs from the root of the repository.
import { spawn, spawnSync } from 'node:child_process';
import { closeSync, openSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = dirname(dirname(fileURLToPath(import.meta.url)));

/**
 * Runs a program to its end with our own input and output.
 *
 * @param {string} command
 * @param {readonly string[]} args
 * @param {{ cwd?: string, env?: Record<string, string>, quiet?: boolean }} [options] `quiet` sends
 *   the program's output to standard error, so that ours stays clean
 * @returns {number} the exit code; 1 when a signal ended the program
 */
export function run(command, args, options = {}) {
  const result = spawnSync(command, args, {
    cwd: options.cwd ?? root,
    env: { ...process.env, ...options.env },
    stdio: ['inherit', options.quiet ? 2 : 'inherit', 'inherit'],
    // npm is a command script on Windows, which only a shell starts.
    shell: process.platform === 'win32' && command === 'npm',
  });
  if (result.error !== undefined) throw result.error;
  return result.status ?? 1;
}

/**
 * Runs the JavaScript file of an installed package's command, without a shell or npx.
 *
 * @param {string} file path inside node_modules
 * @param {readonly string[]} args
 * @param {{ quiet?: boolean, env?: Record<string, string> }} [options]
 */
export function runPackage(file, args, options) {
  return run(process.execPath, [join(root, 'node_modules', file), ...args], options);
}

/**
 * Starts the JavaScript file of an installed package's command and goes on. Its output, both streams, is kept
 * in a file, so that it does not mix with what is told meanwhile.
 *
 * @param {string} file path inside node_modules
 * @param {readonly string[]} args
 * @param {string} log the file for its output
 * @returns {Promise<{ status: number, output: string }>} when it is over
 */
export function startPackage(file, args, log) {
  const sink = openSync(log, 'w');
  const child = spawn(process.execPath, [join(root, 'node_modules', file), ...args], {
    cwd: root,
    stdio: ['ignore', sink, sink],
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => {
      closeSync(sink);
      resolve({ status: code ?? 1, output: readFileSync(log, 'utf8') });
    });
  });
}
