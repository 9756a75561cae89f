// Starts other programs from the root of the repository.
import { spawnSync } from 'node:child_process';
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
