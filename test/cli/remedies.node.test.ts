/** The command `standstill remedies`: sheet, JSON, exit codes, and the cart file it writes. */

import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { reserveText } from '../../src/analysis/index.js';
import { run } from '../../src/cli/run.js';
import { textWidth } from '../../src/cli/text-width.js';
import { readCart } from '../../src/document/index.js';
import { standIn } from './stand-in.js';

const EXAMPLES = new URL('../../examples/', import.meta.url).pathname;
const LAMP = join(EXAMPLES, 'lamp-stand-three-castor.cart.yaml');
const ONE_SIDE = join(EXAMPLES, 'telehealth-two-locks-one-side.cart.yaml');
const FOUR_LOCKS = join(EXAMPLES, 'telehealth-four-locks.cart.yaml');

const schema = JSON.parse(
  readFileSync(new URL('../../schema/remedies-1.schema.json', import.meta.url), 'utf8'),
);
const validate = new Ajv2020({ allErrors: true, allowUnionTypes: true }).compile(schema);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'remedies-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

async function standstill(...args: readonly string[]) {
  const around = standIn();
  const code = await run(['remedies', ...args], around);
  return { code, ...around.written };
}

describe('the sheet', () => {
  test.each([
    ['80', 'si'],
    ['120', 'both'],
  ])('fits %s columns, ranked list first, cautions last, units %s', async (width, units) => {
    const { code, out } = await standstill(
      ...[LAMP, '--levers', 'trail, castor spacing', '--width', width, '--units', units],
    );
    expect(code).toBe(0);
    const lines = out.split('\n');
    expect(Math.max(...lines.map(textWidth))).toBeLessThanOrEqual(Number(width));
    expect(out).toContain('■ 3 remedies proven');
    expect(out.indexOf('thinnest')).toBeLessThan(out.indexOf('What each does to every finding'));
    expect(out).toContain('A qualified person decides and signs.');
    expect(out).toContain('a reserve (capacity');
    expect(out.replace(/\s+/g, ' ')).toContain('stays so until the friction is measured');
    if (units === 'both') expect(out).toContain('328.5 mm (12.93 in)');
  });

  test('says when nothing is needed', async () => {
    const { code, out } = await standstill(FOUR_LOCKS, '--levers', 'marking');
    expect(code).toBe(0);
    expect(out).toContain('■ nothing needed');
    expect(out).toContain(
      'As it is the cart reaches it. Thinnest: Horizontal force, reserve 1.761.',
    );
  });

  test('says when nothing does, with the nearest misses', async () => {
    const { code, out } = await standstill(ONE_SIDE, '--levers', 'marking, trail');
    expect(code).toBe(1);
    expect(out).toContain('▲ no remedy found');
    expect(out).toContain('Nearest misses');
    expect(out).toContain('leaves Unwanted movement under a push, excluding transport at');
  });

  test('never rounds a reserve up', () => {
    expect([1.0999, 1.1, 2.999, 12.39, 0.8649].map(reserveText)).toEqual([
      ...['1.099', '1.100', '2.99', '12.3', '0.864'],
    ]);
    expect([null, Number.POSITIVE_INFINITY].map(reserveText)).toEqual(['-', 'unlimited']);
  });
});

describe('the JSON', () => {
  test('agrees with its schema, with a remedy and without', async () => {
    for (const [args, outcome] of [
      [[LAMP, '--levers', 'trail'], 'remedies'],
      [[ONE_SIDE, '--levers', 'marking'], 'none'],
      [[ONE_SIDE, '--levers', 'lock layout', '--most', '1'], 'remedies'],
      [[FOUR_LOCKS], 'nothing needed'],
    ] as const) {
      const { out } = await standstill(...args, '--json');
      const value = JSON.parse(out);
      validate(value);
      expect(validate.errors).toBeNull();
      expect(value.outcome).toBe(outcome);
      expect(value.cautions.length).toBeGreaterThan(0);
    }
  });

  test('holds every finding before and after, and the same bytes twice', async () => {
    const [first, second] = [
      await standstill(LAMP, '--levers', 'trail', '--json'),
      await standstill(LAMP, '--levers', 'trail', '--json'),
    ];
    expect(second.out).toBe(first.out);
    const [remedy] = JSON.parse(first.out).remedies;
    expect(remedy.effects).toHaveLength(12);
    expect(remedy.foundFrom).toEqual([{ value: 0.006, unit: 'm', dimension: 'length' }]);
  });
});

describe('--apply', () => {
  test('writes the remedy into a cart file, comments kept, never over another', async () => {
    const into = join(folder, 'changed.cart.yaml');
    const args = [LAMP, '--levers', 'castor spacing', '--apply', '1', '--into', into];
    const { code, err } = await standstill(...args);
    expect(code).toBe(0);
    expect(err).toContain('remedy 1 (proven)');
    const text = readFileSync(into, 'utf8');
    expect(text).toContain('# on a circle of 25 in, 120 deg apart');
    const cart = readCart(text, into);
    if (cart.kind === 'invalid') throw new Error('refused');
    expect(cart.value.name).toBe('Lamp stand, three castors, remedy 1');
    expect(cart.value.castors[0]?.at[0]).toBeCloseTo(0.3285, 9);
    const again = await standstill(...args);
    expect(again.code).toBe(4);
    expect(again.err).toContain('it already exists and is not overwritten');
    expect(readFileSync(into, 'utf8')).toBe(text);
  });

  test('refuses a number that is not shown', async () => {
    const into = join(folder, 'none.cart.yaml');
    const few = await standstill(LAMP, '--levers', 'trail', '--apply', '3', '--into', into);
    expect(few.code).toBe(4);
    expect(few.err).toContain('there is no remedy 3; allowed: 1 to 1');
    const beyond = await standstill(LAMP, '--most', '2', '--apply', '3', '--into', into);
    expect(beyond.err).toContain('3 is not shown; allowed: 1 to 2');
    expect(existsSync(into)).toBe(false);
  });

  test('refuses another folder where the masses come from a list beside the file', async () => {
    const into = join(folder, 'telehealth.cart.yaml');
    const { code, err } = await standstill(ONE_SIDE, '--apply', '1', '--into', into);
    expect(code).toBe(4);
    expect(err).toContain('takes masses from telehealth-parts.csv beside it');
  });

  test('goes with --into', async () => {
    const { code, err } = await standstill(LAMP, '--apply', '1');
    expect(code).toBe(64);
    expect(err).toContain('--apply and --into go together');
  });
});

test.each([
  [['--margin', '10'], 64, 'Allowed: a share from 0 % to 100 %'],
  [['--margin', '-5 %'], 64, 'Allowed: a share from 0 % to 100 %'],
  [['--most', '0'], 64, 'Allowed: a whole number from 1 to 50'],
  [['--levers', 'magic'], 4, '"magic" is not a lever; allowed: lock layout, castor spacing'],
] as const)('%s is refused with what is allowed', async (args, code, words) => {
  const done = await standstill(LAMP, ...args);
  expect(done.code).toBe(code);
  expect(done.err).toContain(words);
});
