import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { run } from '../../src/cli/run.js';
import { textWidth } from '../../src/cli/text-width.js';
import { builtInSets } from '../../src/requirements/index.js';
import { standIn } from './stand-in.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'requirement-commands-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

async function runHere(...args: readonly string[]) {
  const around = standIn();
  const code = await run(args, around);
  return { code, ...around.written };
}

function confirmation(changes: Partial<Record<string, string>> = {}): string[] {
  const { set, clause, value, ...options } = {
    set: 'iec-60601-1-3.2',
    clause: 'overbalance-transport',
    value: 'incline',
    '--value': '10 deg',
    '--who': 'R. Quill',
    '--copy': 'edition 3.2, shelf 14',
    '--into': join(folder, 'own.yaml'),
    ...changes,
  };
  const flat = Object.entries(options).flatMap(([name, text]) => [name, text ?? '']);
  return ['requirements', 'confirm', set ?? '', clause ?? '', value ?? '', ...flat];
}

describe('listing and showing sets', () => {
  test.each([[['requirements']], [['requirements', 'list']], [['requirements', '--width', '100']]])(
    '%j lists every built-in set',
    async (args) => {
      const { code, out, err } = await runHere(...args);
      expect({ code, err }).toEqual({ code: 0, err: '' });
      for (const { id } of builtInSets) expect(out).toMatch(new RegExp(`^${id} `, 'm'));
    },
  );

  test.each(builtInSets.map(({ id }) => id))('shows every clause and value of %s', async (id) => {
    const { code, out } = await runHere('requirements', 'show', id, '--units', 'both');
    expect(code).toBe(0);
    for (const clause of builtInSets.find((set) => set.id === id)?.clauses ?? []) {
      expect(out).toContain(clause.id);
      for (const value of clause.values) {
        expect(out).toMatch(new RegExp(`^  ${value.id} +${value.text} `, 'm'));
      }
    }
    expect(Math.max(...out.split('\n').map(textWidth))).toBeLessThanOrEqual(80);
  });

  test('an unknown set is bad input and names those that exist', async () => {
    const { code, out, err } = await runHere('requirements', 'show', 'iec-1');
    expect({ code, out }).toEqual({ code: 4, out: '' });
    expect(err).toMatch(
      /^SET: iec-1 is not the id of a requirement set; allowed: iec-60601-1-3.0,/,
    );
  });
});

describe('confirming a value', () => {
  test('writes a file that the listing then counts and the sheet names', async () => {
    const own = join(folder, 'own.yaml');
    expect(await runHere(...confirmation())).toMatchObject({ code: 0, err: '' });
    const list = await runHere('requirements', 'list', '--requirement-file', own);
    expect(list.out).toMatch(/^iec-60601-1-3\.2 .* 1 of \d+ values$/m);
    const show = await runHere(
      ...['requirements', 'show', 'iec-60601-1-3.2', '--requirement-file', own, '--width', '100'],
    );
    expect(show.out).toContain('confirmed by R. Quill, 2026-11-25, edition 3.2, shelf 14');
  });

  test('takes the day it is given, and keeps the comments of the file it writes into', async () => {
    const own = join(folder, 'own.yaml');
    writeFileSync(own, '# kept by the safety office\nstandstill requirements: 1\n');
    expect(await runHere(...confirmation({ '--when': '2026-03-01' }))).toMatchObject({ code: 0 });
    const text = readFileSync(own, 'utf8');
    expect(text).toContain('# kept by the safety office');
    expect(text).toContain('2026-03-01');
    expect(readdirSync(folder)).toEqual(['own.yaml']);
  });

  test.each([
    ['a figure that differs', { '--value': '12 deg' }, '12 deg'],
    ['a figure without a unit', { '--value': '10' }, '10'],
    ['an unknown clause', { clause: 'overbalance' }, 'overbalance'],
    ['an unknown value', { value: 'slope' }, 'slope'],
    ['an unknown set', { set: 'iec-1' }, 'iec-1'],
    ['a day that is none', { '--when': '2026-02-30' }, '2026-02-30'],
    ['nobody', { '--who': '' }, 'who'],
  ])('%s is bad input, and nothing is written', async (_what, changes, named) => {
    const { code, out, err } = await runHere(...confirmation(changes));
    expect({ code, out }).toEqual({ code: 4, out: '' });
    expect(err).toContain(named);
    expect(err).toContain('nothing was written');
    expect(existsSync(join(folder, 'own.yaml'))).toBe(false);
  });

  test('a file that is wrong already is left as it is', async () => {
    const own = join(folder, 'own.yaml');
    writeFileSync(own, 'standstill requirements: 1\nsetz: []\n');
    const { code, err } = await runHere(...confirmation());
    expect(code).toBe(4);
    expect(err).toContain(`${own}:2:1 setz: `);
    expect(readFileSync(own, 'utf8')).toBe('standstill requirements: 1\nsetz: []\n');
  });
});
