/** The built command line, for tests that run it as users do. */

import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../../', import.meta.url));
export const MAIN = join(ROOT, 'dist/cli/main.js');

/** ms: the compiler on everything, from nothing, on a slow machine. */
export const BUILD_PATIENCE = 180_000;

/** @throws Error with what the compiler says */
export function buildCommand(): void {
  const tsc = join(ROOT, 'node_modules/typescript/bin/tsc');
  const build = spawnSync(process.execPath, [tsc, '--build'], { cwd: ROOT, encoding: 'utf8' });
  if (build.status !== 0) throw new Error(`tsc --build: ${build.stdout}${build.stderr}`);
}
