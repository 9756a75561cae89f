// `npm test`: sets everything up, runs every check and every test, and ends with one line of totals.
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensureChromium } from './chromium.mjs';
import { ensureDependencies } from './dependencies.mjs';
import { ensurePage } from './page.mjs';
import { ensurePostgres } from './postgres.mjs';
import { run, runPackage, startPackage } from './run.mjs';

/** @typedef {{ passed: number, failed: number }} Totals */

const results = mkdtempSync(join(tmpdir(), 'standstill-test-'));

/** Left to itself the runner keeps one of two cores free. */
const ALL_CORES = [`--maxWorkers=${cpus().length}`];

/**
 * A check of the code counts as one.
 *
 * @param {string} script name in package.json
 * @returns {Totals}
 */
function codeCheck(script) {
  console.log(`\n== ${script}`);
  const status = run('npm', ['run', '--silent', script]);
  console.log(status === 0 ? `${script}: passed` : `${script}: failed with exit code ${status}`);
  return status === 0 ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 };
}

/**
 * Reads what the test runner wrote. A file that could not be loaded has no tests and counts as one
 * failure; so does a run that went wrong or in which nothing ran.
 *
 * @param {string} file
 * @param {number} status exit code of the run
 * @returns {Totals}
 */
function testTotals(file, status) {
  /** @type {{ numPassedTests: number, numFailedTests: number, testResults: { status: string, assertionResults: unknown[] }[] }} */
  const report = JSON.parse(readFileSync(file, 'utf8'));
  const unloaded = report.testResults.filter(
    (result) => result.status === 'failed' && result.assertionResults.length === 0,
  ).length;
  const passed = report.numPassedTests;
  const failed = report.numFailedTests + unloaded;
  const wentWrong = failed === 0 && (status !== 0 || passed === 0);
  return { passed, failed: wentWrong ? 1 : failed };
}

/**
 * @param {string} project name in vitest.config.ts
 * @returns {{ file: string, args: readonly string[] }} where the totals are written, and what to run
 */
function projectRun(project) {
  const file = join(results, `${project}.json`);
  const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${file}`];
  return { file, args: ['run', '--project', project, ...reporters] };
}

/**
 * @param {string} project name in vitest.config.ts
 * @param {readonly string[]} [options] of the test runner
 * @returns {Totals}
 */
function testProject(project, options = []) {
  console.log(`\n== tests in ${project}`);
  const { file, args } = projectRun(project);
  return testTotals(file, runPackage('vitest/vitest.mjs', [...args, ...options]));
}

/**
 * Runs beside what follows: the tests in the browser need one core, and so do the checks of the code. What
 * they say is told when they are over.
 *
 * @param {string} project name in vitest.config.ts
 * @returns {() => Promise<Totals>} waits for the end
 */
function beginTestProject(project) {
  const { file, args } = projectRun(project);
  const over = startPackage('vitest/vitest.mjs', args, join(results, `${project}.txt`));
  return async () => {
    const { status, output } = await over;
    console.log(`\n== tests in ${project}\n${output}`);
    return testTotals(file, status);
  };
}

/**
 * @param {string} name
 * @param {() => Totals | Promise<Totals>} step
 * @returns {Promise<Totals>}
 */
async function guarded(name, step) {
  try {
    return await step();
  } catch (error) {
    console.error(`${name}: ${error instanceof Error ? error.message : String(error)}`);
    return { passed: 0, failed: 1 };
  }
}

/** @returns {Promise<Totals>} */
async function runAll() {
  const none = { passed: 0, failed: 0 };
  let inBrowser = () => Promise.resolve(none);
  /** @type {readonly [string, () => Totals | Promise<Totals>][]} */
  const steps = [
    [
      'the browser for the tests',
      () => {
        ensureChromium();
        inBrowser = beginTestProject('browser');
        return none;
      },
    ],
    ...['format:check', 'lint', 'types', 'boundaries'].map(
      /** @returns {[string, () => Totals]} */
      (script) => [script, () => codeCheck(script)],
    ),
    [
      'the page for the tests',
      () => {
        ensurePage();
        return none;
      },
    ],
    [
      'PostgreSQL for the tests',
      () => {
        ensurePostgres();
        return none;
      },
    ],
    ['tests in the browser', () => inBrowser()],
    ['tests in node', () => testProject('node', ALL_CORES)],
    ['tests of the page', () => testProject('page', ALL_CORES)],
  ];
  const sum = { ...none };
  for (const [name, step] of steps) {
    const { passed, failed } = await guarded(name, step);
    sum.passed += passed;
    sum.failed += failed;
  }
  return sum;
}

const totals = await guarded('set-up', () => {
  ensureDependencies();
  return runAll();
});
rmSync(results, { recursive: true, force: true });
console.log(`\n${totals.passed} passed, ${totals.failed} failed`);
process.exitCode = totals.failed === 0 && totals.passed > 0 ? 0 : 1;
