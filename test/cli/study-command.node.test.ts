/** `standstill study`, built, as users run it: on the small example, and on what is wrong. */

import { spawn, spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { textWidth } from '../../src/cli/text-width.js';
import { BUILD_PATIENCE, buildCommand, MAIN, ROOT } from './build-command.js';

const CART = 'lamp-stand-three-castor.cart.yaml';

/** Twelve variants of the lamp stand, of which some pass. */
const STUDY = `standstill study: 1
name: Lamp stand, a few variants
cart: ${CART}
findings: [overbalance-transport, castor-rating, unwanted-movement-push]
margin: 5 %
currency: EUR
proofs: 2
wanted: [least mass, greatest margin, least cost]
vary:
  - name: "=1+1 locks"
    every lock: {locks: [none, wheel], castors: [front], cost of a lock: 4}
  - name: ballast
    ballast: {mass: [0 kg, 2 kg, 4 kg], at: [0 mm, 0 mm, 70 mm], cost per kg: 3}
  - name: wider by
    cost: 0
    widen: {by: [0 mm, 20 mm]}
`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'study-command-'));
  copyFileSync(join(ROOT, 'examples', CART), join(folder, CART));
  writeFileSync(join(folder, 'small.study.yaml'), STUDY);
  buildCommand();
}, BUILD_PATIENCE);
afterAll(() => rmSync(folder, { recursive: true }));

const { PATH = '' } = process.env;
const OPTIONS = { encoding: 'utf8', env: { PATH, LANG: 'C.UTF-8' } } as const;

function standstill(...args: readonly string[]) {
  const done = spawnSync(process.execPath, [MAIN, ...args], { ...OPTIONS, cwd: folder });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

function written(name: string, text: string): string {
  writeFileSync(join(folder, name), text);
  return name;
}

describe('a study that is run', () => {
  const schema = JSON.parse(readFileSync(join(ROOT, 'schema/study-1.schema.json'), 'utf8'));
  const validate = new Ajv2020({ allErrors: true, strictTypes: false }).compile(schema);
  const run = () => standstill('study', 'run', 'small.study.yaml', '--into', 'small.sqlite');

  test('is shown with its best variants, and a second time without another run', () => {
    const first = run();
    expect(first.err).toBe('');
    expect(first.code).toBe(0);
    expect(first.out).toContain('2 proven to pass');
    expect(first.out).toContain('all: 6 pass');
    expect(first.out).toContain('A qualified person decides and signs.');
    expect(run()).toEqual(first);
    expect(standstill('study', 'show', 'small.sqlite')).toEqual(first);
  });

  test('fits 80 columns in both unit systems, and 120 where asked', () => {
    for (const width of ['80', '120']) {
      const { out } = standstill(
        ...['study', 'show', 'small.sqlite', '--units', 'both', '--width', width],
      );
      expect(Math.max(...out.split('\n').map(textWidth))).toBeLessThanOrEqual(Number(width));
    }
  });

  test('gives JSON that agrees with its schema', () => {
    const { code, out } = standstill('study', 'show', 'small.sqlite', '--json');
    const state = JSON.parse(out);
    validate(state);
    expect(validate.errors).toBeNull();
    expect(code).toBe(0);
    expect(state.study.variants).toBe(12);
    expect(state.state).toMatchObject({ screened: 12, chosen: 2, proven: 2, finished: true });
    const proven = state.front.filter((each: { proof: unknown }) => each.proof !== null);
    expect(proven).toHaveLength(2);
    for (const { reserve, proof } of proven) {
      expect(proof.reserve).toBeGreaterThanOrEqual(1.05);
      expect(proof.reserve).toBeLessThanOrEqual(reserve);
    }
  });

  test('is exported as CSV that a spreadsheet reads and does not compute', () => {
    const all = standstill('study', 'export', 'small.sqlite', '--csv', 'all.csv');
    expect(all).toEqual({ code: 0, out: 'all.csv written: 12 variants\n', err: '' });
    const text = readFileSync(join(folder, 'all.csv'), 'utf8');
    expect(text).toMatch(/\r\n$/);
    const [headings = [], ...rows] = parse(text) as string[][];
    expect(headings.slice(0, 8)).toEqual([
      ...['variant', "'=1+1 locks", 'ballast', 'wider by'],
      ...['mass [kg]', 'width [m]', 'length [m]', 'cost [EUR]'],
    ]);
    expect(rows.map(([index]) => index)).toEqual([...Array(12).keys()].map(String));
    const best = standstill('study', 'export', 'small.sqlite', '--csv', 'best.csv', '--front');
    expect(best.code).toBe(0);
    const proven = headings.indexOf('proven to pass');
    const front = (parse(readFileSync(join(folder, 'best.csv'), 'utf8')) as string[][]).slice(1);
    expect(front.filter((row) => row[proven] === 'yes')).toHaveLength(2);
    for (const row of front) expect(rows).toContainEqual(row);
  });

  test('gives a variant as a cart file that checks as the study says', () => {
    const { front } = JSON.parse(standstill('study', 'show', 'small.sqlite', '--json').out);
    const [best] = front;
    const chosen = ['study', 'variant', 'small.sqlite', String(best.variant), '--cart', CART];
    const { code, out } = standstill(...chosen, '--into', 'best.cart.yaml');
    expect(code).toBe(0);
    expect(out).toContain('best.cart.yaml written');
    const report = JSON.parse(standstill('check', 'best.cart.yaml', '--json').out);
    expect(report.cart).toBe(`Lamp stand, three castors, variant ${best.variant}`);
    // Tipping knows no friction, so that screening and check compute the same.
    const tips = report.findings.find(({ id }: { id: string }) => id === 'overbalance-transport');
    expect(tips.capacity.value / tips.demand.value).toBeCloseTo(best.reserves[0], 6);
    expect(standstill(...chosen, '--into', 'best.cart.yaml').code).toBe(4);
  });

  test('ends with 1 where nothing passes, and says what comes nearest', () => {
    const file = written('hard.study.yaml', STUDY.replace('margin: 5 %', 'margin: 900 %'));
    const { code, out } = standstill('study', 'run', file, '--into', 'hard.sqlite');
    expect(code).toBe(1);
    expect(out).toContain('none passes');
    expect(out).toMatch(/Nearest is variant \d+: margin \+\d+\.\d %/);
  });
});

/** Runs a study until more than so many variants are screened, then stops it as Ctrl-C does. */
async function stoppedRun(args: readonly string[], results: string, screened: number) {
  const child = spawn(process.execPath, [MAIN, ...args], { cwd: folder, env: OPTIONS.env });
  let [out, err] = ['', ''];
  child.stdout.on('data', (data) => {
    out += String(data);
  });
  child.stderr.on('data', (data) => {
    err += String(data);
  });
  const looking = setInterval(() => {
    const { out: state } = standstill('study', 'show', results, '--json');
    if (state === '' || JSON.parse(state).state.screened <= screened) return;
    clearInterval(looking);
    child.kill('SIGINT');
  }, 50);
  const code = await new Promise((resolve) => child.on('close', resolve));
  clearInterval(looking);
  return { code, out, err };
}

test('a study that is stopped says so, ends with 3, and goes on where it was', async () => {
  // far more than are screened before the stop
  const many = STUDY.replace('[0 kg, 2 kg, 4 kg]', '{from: 0 kg, to: 12 kg, values: 400}');
  const args = ['study', 'run', written('long.study.yaml', many), '--into', 'long.sqlite'];
  const stateOf = () =>
    JSON.parse(standstill('study', 'show', 'long.sqlite', '--json').out).state as {
      readonly screened: number;
      readonly finished: boolean;
    };
  const first = await stoppedRun([...args, '--workers', '2'], 'long.sqlite', 0);
  expect(first.err).toBe('stopping: what is in hand is written first; once more stops at once\n');
  expect(first.code).toBe(3);
  expect(first.out).toContain('not finished');
  const { screened, finished } = stateOf();
  expect(finished).toBe(false);
  expect(screened).toBeGreaterThan(0);
  const second = await stoppedRun([...args, '--workers', '1'], 'long.sqlite', screened);
  expect(second.code).toBe(3);
  expect(stateOf().screened).toBeGreaterThan(screened);
}, 60_000);

describe('what is wrong is told with its place', () => {
  test.each<readonly [string, readonly string[], string]>([
    ['no study file', ['run', 'none.study.yaml', '--into', 'x'], 'none.study.yaml: cannot be read'],
    ['a cart file', ['run', CART, '--into', 'x'], 'is not a study file'],
    ['results that are not there', ['show', 'none.sqlite'], 'there is no such file'],
    ['results that are none', ['show', CART], `${CART}: is not an SQLite file`],
    [
      'a variant beyond the last',
      ['variant', 'small.sqlite', '12', '--cart', CART, '--into', 'y.cart.yaml'],
      'small.sqlite INDEX: 12 is not a variant; allowed: 0 to 11',
    ],
    [
      'another cart',
      ['variant', 'small.sqlite', '1', '--cart', 'best.cart.yaml', '--into', 'y.cart.yaml'],
      'best.cart.yaml: is not the cart of this study',
    ],
    [
      'a CSV file that is there',
      ['export', 'small.sqlite', '--csv', 'small.study.yaml'],
      'small.study.yaml: cannot be written: it already exists and is not overwritten',
    ],
  ])('%s', (_what, args, message) => {
    const { code, out, err } = standstill('study', ...args);
    expect({ code, out }).toEqual({ code: 4, out: '' });
    expect(err).toContain(message);
  });

  test('results of another study', () => {
    const file = written('other.study.yaml', STUDY.replace('margin: 5 %', 'margin: 6 %'));
    const { code, err } = standstill('study', 'run', file, '--into', 'small.sqlite');
    expect(code).toBe(4);
    expect(err).toContain('small.sqlite: holds the results of another study');
  });

  test('an index that is no number is misuse', () => {
    const { code, err } = standstill(
      ...['study', 'variant', 'small.sqlite', 'best', '--cart', CART, '--into', 'z'],
    );
    expect(code).toBe(64);
    expect(err).toContain('Allowed: a whole number from 0');
  });
});
