import { mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { run } from '../../src/cli/run.js';
import { writeStarterCart } from '../../src/document/index.js';
import { standIn } from './stand-in.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bad-input-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

function place(name: string): string {
  return join(folder, name);
}

function written(name: string, content: string | Uint8Array): string {
  writeFileSync(place(name), content);
  return place(name);
}

/** The starter cart with one text put in place of another. */
function changed(...changes: readonly (readonly [string, string])[]): string {
  return changes.reduce((text, [from, to]) => {
    if (!text.includes(from)) throw new Error(`the starter cart does not hold ${from}`);
    return text.replace(from, to);
  }, writeStarterCart());
}

async function runHere(...args: readonly string[]) {
  const around = standIn();
  const code = await run(args, around);
  return { code, ...around.written };
}

async function refused(...args: readonly string[]): Promise<string> {
  const { code, out, err } = await runHere(...args);
  expect({ code, out }).toEqual({ code: 4, out: '' });
  expect(err).not.toMatch(/^ +at /m);
  return err;
}

describe('a cart file that cannot be read ends with 4 and one line that says why', () => {
  test('no such file', async () => {
    const file = place('none.yaml');
    const expected = `${file}: cannot be read: there is no such file or directory\n`;
    expect(await refused('check', file)).toBe(expected);
    expect(await refused('describe', file)).toBe(expected);
    expect(await refused('finding', file, 'overbalance-transport')).toBe(expected);
  });

  test('a directory', async () => {
    mkdirSync(place('cart'));
    expect(await refused('check', place('cart'))).toContain('it is a directory; allowed: a file');
  });

  test('a file of 50 MB is not even read', async () => {
    const file = written('large.yaml', '');
    truncateSync(file, 50_000_000);
    expect(await refused('check', file)).toBe(`${file}: holds 50.0 MB; allowed: at most 2.0 MB\n`);
  });

  test('bytes that are no UTF-8', async () => {
    const file = written('latin.yaml', new Uint8Array([0x6e, 0x61, 0xef, 0x76, 0x65]));
    expect(await refused('check', file)).toContain('is not text in UTF-8');
  });
});

describe('a wrong cart file', () => {
  test('all problems at once, one a line, each with line and column', async () => {
    const file = written(
      'wrong.yaml',
      changed(
        ['mass: 18.5 kg', 'mass: 18.5'],
        ['trail: 32 mm', 'trail: 32 kg'],
        ['lock: none', 'lock: off'],
      ),
    );
    const lines = (await refused('check', file)).trimEnd().split('\n');
    expect(lines.length).toBe(3);
    for (const line of lines)
      expect(line).toMatch(new RegExp(`^${file}:\\d+:\\d+ .+: .+; allowed: .+$`));
    expect(lines.map((line) => line.split(' allowed')[0])).toEqual([
      expect.stringContaining('parts[1] "base" > mass: 18.5 '),
      expect.stringContaining('castor types[1] "swivel 100" > trail: 32 kg '),
      expect.stringContaining('> lock: off '),
    ]);
  });

  test('a hostile name is shown, not sent', async () => {
    const file = written(
      'hostile.yaml',
      changed([
        '  - name: base\n    mass: 18.5 kg',
        '  - name: "\\e[2J\\u202Ebase"\n    mass: 18.5',
      ]),
    );
    const err = await refused('check', file);
    expect(err.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\p{Cf}]/u);
    expect(err).toContain('allowed:');
  });

  test('a missing requirement set says which there are', async () => {
    const file = written('none.yaml', changed(['requirements: iec-60601-1-3.2\n', '']));
    const err = await refused('check', file);
    expect(err).toContain(`${file} requirements: is missing, and --requirements is not given`);
    expect(err).toContain('iec-60601-1-3.0, iec-60601-1-3.1');
  });

  test('an unknown requirement set, in the file or on the command line, names its place', async () => {
    const file = written('set.yaml', changed(['iec-60601-1-3.2', 'iec-1']));
    expect(await refused('check', file)).toContain(`${file} requirements: iec-1 is not the id`);
    expect(await refused('check', file, '--requirements', 'iec-2')).toContain(
      '--requirements: iec-2 is not the id',
    );
  });

  test('problems of the cart and of the requirement file come together', async () => {
    const file = written('wrong.yaml', changed(['mass: 18.5 kg', 'mass: 18.5']));
    const own = written('own.yaml', 'standstill requirements: 1\nsetz: []\n');
    const lines = (await refused('check', file, '--requirement-file', own)).trimEnd().split('\n');
    expect(lines.map((line) => line.startsWith(file))).toEqual([true, false]);
    expect(lines[1]).toContain(`${own}:2:1 setz`);
  });
});

describe('the parts list of a cart file', () => {
  const FROM_LIST = [
    ['# A parts list from CAD', 'parts list: sub/parts.csv\n# A parts list from CAD'],
    ['mass: 18.5 kg\n    mass tolerance: 0.2 kg ', 'from list: Base weldment\n   '],
  ] as const;

  test('that is not there is named with its path, and with the line that asks for it', async () => {
    const file = written('cart.yaml', changed(...FROM_LIST));
    const err = await refused('check', file);
    expect(err).toContain(`${place('sub/parts.csv')}: cannot be read: there is no such file`);
    expect(err).toMatch(/cart\.yaml:\d+:\d+ parts list: /);
  });

  test('that is wrong has its own problems told with its line', async () => {
    mkdirSync(place('sub'));
    written('sub/parts.csv', 'Name;Mass [kg]\nBase weldment;heavy\n');
    const err = await refused('check', written('cart.yaml', changed(...FROM_LIST)));
    expect(err).toMatch(new RegExp(`^${place('sub/parts.csv')}:2:\\d+ `, 'm'));
    expect(err).toContain('heavy');
  });
});

describe('standstill new', () => {
  test('writes a cart file that is never overwritten', async () => {
    const file = place('new.yaml');
    const first = await runHere('new', file);
    expect(first).toMatchObject({ code: 0, err: '' });
    expect(first.out).toContain(`standstill check ${file}`);
    expect(await refused('new', file)).toContain('already exists and is not overwritten');
  });

  test('says why it cannot write', async () => {
    expect(await refused('new', place('none/new.yaml'))).toContain('there is no such');
  });
});
