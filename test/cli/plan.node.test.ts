/** The command `standstill plan`: sheet, JSON, set-up cards, exit codes. */

import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { run } from '../../src/cli/run.js';
import { textWidth } from '../../src/cli/text-width.js';
import { standIn } from './stand-in.js';

const EXAMPLES = new URL('../../examples/', import.meta.url).pathname;
const LAMP = join(EXAMPLES, 'lamp-stand-three-castor.cart.yaml');
const ONE_SIDE = join(EXAMPLES, 'telehealth-two-locks-one-side.cart.yaml');
/** quick to check, with runs of fewer kinds */
const QUICK = ['--requirements', 'iec-61010-1-3'] as const;

const schema = JSON.parse(
  readFileSync(new URL('../../schema/plan-1.schema.json', import.meta.url), 'utf8'),
);
const validate = new Ajv2020({ allErrors: true, allowUnionTypes: true }).compile(schema);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'standstill-plan-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function plan(...args: readonly string[]) {
  const around = standIn();
  const code = await run(['plan', ...args], around);
  return { code, ...around.written };
}

describe('the sheet', () => {
  test.each([
    ['80', 'si'],
    ['80', 'both'],
    ['120', 'us'],
  ])('fits %s columns, runs first, cautions last, units %s', async (width, units) => {
    const { code, out } = await plan(LAMP, ...QUICK, '--width', width, '--units', units);
    expect(code).toBe(0);
    expect(Math.max(...out.split('\n').map(textWidth))).toBeLessThanOrEqual(Number(width));
    const places = ['Test plan: Lamp stand', 'Equipment', 'Run by run', 'Not tested', 'Cautions'];
    const found = places.map((text) => out.indexOf(text));
    expect(found).toEqual(found.toSorted((a, b) => a - b));
    expect(found[0]).toBe(0);
    expect(out).toContain('A qualified person decides and signs.');
    expect(out.replace(/\s+/g, ' ')).toContain('It may tip: slack restraint on, a second person');
    expect(out).not.toMatch(/undefined|NaN/);
  });

  test('plans the worst of each clause only where only that is wanted', async () => {
    const { out } = await plan(LAMP, ...QUICK, '--directions', 'worst');
    expect(out).toContain('overbalance-1');
    expect(out).not.toContain('overbalance-2');
  });

  test('states the decision rule that was chosen', async () => {
    const { out } = await plan(
      LAMP,
      ...QUICK,
      '--rule',
      'shared-risk:0.2',
      '--directions',
      'worst',
    );
    expect(out).toContain('Shared risk');
    expect(out).toContain('20 %');
  });
});

describe('the JSON', () => {
  test('is what its schema takes, with every loading of the telehealth cart', async () => {
    const { code, out } = await plan(ONE_SIDE, '--json', '--repeats', '2');
    expect(code).toBe(0);
    const made = JSON.parse(out);
    validate(made);
    expect(validate.errors).toBeNull();
    expect(made.schema).toBe('standstill/plan-1');
    const kinds = new Set(
      made.runs.map((each: { loading: { kind: string } }) => each.loading.kind),
    );
    expect([...kinds].sort()).toEqual(['incline', 'propulsion', 'push', 'threshold', 'weighing']);
    expect(made.runs.every((each: { repeats: number }) => each.repeats === 2)).toBe(true);
    delete made.runs[0].prediction.verdict;
    expect(validate(made)).toBe(false);
  });
});

describe('set-up cards', () => {
  test('are one file with a page a run, no script, nothing fetched, hostile names escaped', async () => {
    const file = join(folder, 'hostile.cart.yaml');
    const hostile = '<script>alert(1)</script> & "lamp"';
    const text = readFileSync(LAMP, 'utf8').replace(/^(name|cart): .*$/m, `$1: '${hostile}'`);
    writeFileSync(file, text);
    const cards = join(folder, 'cards.html');
    const { code, err } = await plan(file, ...QUICK, '--cards', cards, '--paper', 'Letter');
    expect(code).toBe(0);
    expect(err).toMatch(/cards\.html written: \d+ cards for Letter/);
    const html = readFileSync(cards, 'utf8');
    expect(html.startsWith('<!doctype html>')).toBe(true);
    expect(html).toContain('@page { size: Letter portrait; margin: 12mm; }');
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(html).not.toMatch(/<script|<link|<iframe|\ssrc=|url\(|@import|\son[a-z]+=/i);
    const count = Number(/written: (\d+) cards/.exec(err)?.[1]);
    expect(html.match(/<section /g)).toHaveLength(count + 1);
  });

  test('never overwrite a file: 4, and it stays as it was', async () => {
    const taken = join(folder, 'taken.html');
    writeFileSync(taken, 'mine');
    const { code, out, err } = await plan(LAMP, ...QUICK, '--cards', taken);
    expect([code, out]).toEqual([4, '']);
    expect(err).toContain('already exists and is not overwritten');
    expect(readFileSync(taken, 'utf8')).toBe('mine');
    const nowhere = join(folder, 'no', 'such', 'cards.html');
    expect((await plan(LAMP, ...QUICK, '--directions', 'worst', '--cards', nowhere)).code).toBe(4);
    expect(existsSync(nowhere)).toBe(false);
  });
});

describe('bad input', () => {
  test.each([
    ['--rule', 'strict'],
    ['--rule', 'shared-risk:0.6'],
    ['--rule', 'shared-risk:'],
    ['--rule', 'guard-band:-1'],
    ['--directions', 'all'],
    ['--repeats', '0'],
    ['--paper', 'A3'],
  ])('%s %s is a misuse that names what is allowed', async (option, value) => {
    const { code, err } = await plan(LAMP, option, value);
    expect(code).toBe(64);
    expect(err).toMatch(/[Aa]llowed/);
  });

  test('a paper for no cards is told, not ignored', async () => {
    const { code, out, err } = await plan(LAMP, '--paper', 'Letter');
    expect([code, out]).toEqual([4, '']);
    expect(err).toContain('--paper: is of the set-up cards; allowed: with --cards FILE');
  });

  test('a file that is no YAML is told in ten lines, not one for each of its own', async () => {
    const style = Array.from({ length: 60 }, (_, i) => `.a${i} {\n  width: 1px;\n}`).join('\n');
    const page = join(folder, 'page.html');
    writeFileSync(page, `<!doctype html>\n${style}\n`);
    const { code, err } = await plan(page);
    expect(code).toBe(4);
    expect(err).toMatch(/page\.html:1:1 /);
    expect(err).toMatch(
      /page\.html: \d+ more places are not well-formed YAML; allowed: a cart file/,
    );
    expect(err.trimEnd().split('\n').length).toBeLessThanOrEqual(10);
  });

  test('a cart file that is not there is bad input', async () => {
    const { code, err } = await plan(join(folder, 'none.cart.yaml'));
    expect(code).toBe(4);
    expect(err).toContain('there is no such file');
  });
});
