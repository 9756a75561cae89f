import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { run } from '../../src/cli/run.js';
import { tolerancesJson } from '../../src/cli/tolerances-json.js';
import { SMALL_CART } from '../document/small-cart.js';
import { SAMPLE_TOLERANCES } from './sample-tolerances.js';
import { standIn } from './stand-in.js';

const EXAMPLE = new URL('../../examples/lamp-stand-three-castor.cart.yaml', import.meta.url)
  .pathname;
const schema = JSON.parse(
  readFileSync(new URL('../../schema/tolerances-1.schema.json', import.meta.url), 'utf8'),
);
const validate = new Ajv2020({ allErrors: true, strictTypes: false }).compile(schema);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'standstill-tolerances-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function tolerances(...args: readonly string[]) {
  const around = standIn();
  const code = await run(['tolerances', ...args], around);
  return { code, ...around.written };
}

describe('standstill tolerances', () => {
  test('prints JSON of its schema, the same bytes for the same seed', async () => {
    const wishes = ['--json', '--most-trials', '200', '--precision', '20 %', '--seed', '3'];
    const first = await tolerances(EXAMPLE, ...wishes);
    validate(JSON.parse(first.out));
    expect(validate.errors).toBeNull();
    const { seed, convergence, trials } = JSON.parse(first.out);
    expect([seed, trials]).toEqual([3, 200]);
    expect(first.code).toBe(convergence.kind === 'converged' ? 0 : 3);
    expect((await tolerances(EXAMPLE, ...wishes)).out).toBe(first.out);
  });

  test('ends with 3 when the trials do not suffice, and says so', async () => {
    const { code, out } = await tolerances(EXAMPLE, '--most-trials', '200', '--precision', '0.1 %');
    expect(code).toBe(3);
    expect(out).toContain('NOT CONVERGED');
    expect(out).toContain('More trials: --most-trials');
  });

  test('makes nothing up for a cart without tolerances: 4, and what to add', async () => {
    const file = join(folder, 'exact.cart.yaml');
    const exact = SMALL_CART.replace('    mass tolerance: 0.1 kg\n', '').replace(
      'tolerance: 0.1, basis',
      'tolerance: 0, basis',
    );
    writeFileSync(file, exact);
    const { code, out, err } = await tolerances(file, '--requirements', 'iec-60601-1-3.2');
    expect([code, out]).toEqual([4, '']);
    expect(err).toContain(`${file}: no tolerance is stated, so nothing varies`);
    expect(err).toContain('parts > base > mass tolerance: 0.2 kg');
    expect(err).toContain('floor > friction > grey rubber > tolerance: 0.1');
    expect(err).toContain('uncertainty > trail: {tolerance: 1 mm}');
  });

  test.each([
    ['a precision without its unit', ['--precision', '0.5'], 'from 0.05 % to 20 %'],
    ['a precision of none', ['--precision', '0 %'], 'from 0.05 % to 20 %'],
    ['a seed with a sign', ['--seed', '-1'], 'whole number from 0'],
    ['too few trials', ['--most-trials', '100'], 'whole number from 200'],
  ])('refuses %s with 64', async (_what, args, message) => {
    const { code, err } = await tolerances(EXAMPLE, ...args);
    expect(code).toBe(64);
    expect(err).toContain(message);
  });

  test('writes a report of every kind of finding that its schema takes', () => {
    validate(JSON.parse(tolerancesJson(SAMPLE_TOLERANCES, '0.1.0')));
    expect(validate.errors).toBeNull();
  });

  test('writes a report that its schema would refuse, if a field were missing', () => {
    const { seed: _seed, ...without } = JSON.parse(tolerancesJson(SAMPLE_TOLERANCES, '0.1.0'));
    expect(validate(without)).toBe(false);
  });
});
