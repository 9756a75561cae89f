// `npm start`: checks the example cart. `npm start -- ARGUMENTS`: runs the command line with them.
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { ensureDependencies } from './dependencies.mjs';
import { ensurePage } from './page.mjs';
import { root, run, runPackage } from './run.mjs';

const main = join(root, 'dist', 'cli', 'main.js');
const example = 'examples/telehealth-four-locks.cart.yaml';

/** The compiler's own records tell what is stale; it is quick when nothing is. */
function ensureBuild() {
  const force = existsSync(main) ? [] : ['--force'];
  const status = runPackage('typescript/bin/tsc', ['--build', ...force], { quiet: true });
  if (status !== 0) throw new Error(`the build ended with exit code ${status}`);
}

/**
 * The command's exit codes 0 to 3 are verdicts, and any of them is a check that worked; here, where
 * no verdict was asked for, npm would report the others as its own failure.
 */
function checkExample() {
  const code = run(process.execPath, [main, 'check', example]);
  if (code > 3) return code;
  console.error(`\nThe check itself ends with exit code ${code}: see docs/command-line.md.`);
  return 0;
}

function start() {
  ensureDependencies();
  ensureBuild();
  const given = process.argv.slice(2);
  if (given.length === 0) return checkExample();
  if (given[0] === 'workbench') ensurePage();
  // Paths in the arguments are meant from where npm was called, not from the root.
  return run(process.execPath, [main, ...given], { cwd: process.env.INIT_CWD ?? process.cwd() });
}

try {
  process.exitCode = start();
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
