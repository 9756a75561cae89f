import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { run } from '../../src/cli/run.js';
import { standIn } from './stand-in.js';

const EXAMPLE = new URL('../../examples/telehealth-pull.csv', import.meta.url).pathname;
const schema = JSON.parse(
  readFileSync(new URL('../../schema/gauge-1.schema.json', import.meta.url), 'utf8'),
);
const validate = new Ajv2020({ allErrors: true, strictTypes: false }).compile(schema);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'standstill-gauge-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

function written(name: string, text: string | Uint8Array): string {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
}

/** Up at 40 N/s to 100 N, then level. */
function heldText(travel: ((t: number) => number) | null): string {
  const rows = Array.from({ length: 300 }, (_, i) => {
    const t = i / 50;
    const cells = [t.toFixed(2), Math.min(100, 40 * t).toFixed(1)];
    return [...cells, ...(travel === null ? [] : [travel(t).toFixed(3)])].join(';');
  });
  return [`Time (s);Force (N)${travel === null ? '' : ';Travel (mm)'}`, ...rows].join('\n');
}

async function gauge(...args: readonly string[]) {
  const around = standIn();
  const code = await run(['gauge', ...args], around);
  return { code, ...around.written };
}

describe('standstill gauge', () => {
  test('finds the onset in the example: simulated, it slips at 131 N, 4.644 s', async () => {
    const { code, out, err } = await gauge(EXAMPLE, '--json');
    const { onset } = JSON.parse(out);
    expect([code, err, onset.kind]).toEqual([0, '', 'found']);
    // three standard uncertainties: one in 370 normal values is further off
    expect(Math.abs(onset.force.value - 131)).toBeLessThan(3 * onset.force.u);
    expect(Math.abs(onset.time.value - 4.644)).toBeLessThan(3 * onset.time.u);
    expect(onset.force.u).toBeLessThan(1);
  });

  test.each([
    ['found', EXAMPLE, 0],
    ['not judged', null, 3],
    ['none', (t: number) => Math.min(2.5, t), 0],
    ['found', (t: number) => Math.min(2.5, t) + Math.max(0, 9 * (t - 2.5)), 0],
  ] as const)('prints JSON of its schema and the exit code of %s', async (kind, what, expected) => {
    const file = typeof what === 'string' ? what : written('held.csv', heldText(what));
    const { code, out } = await gauge(file, '--json');
    validate(JSON.parse(out));
    expect(validate.errors).toBeNull();
    expect([JSON.parse(out).onset.kind, code]).toEqual([kind, expected]);
    expect((await gauge(file, '--json')).out).toBe(out);
  });

  test('tells every bad line with file, line, column, value and what is allowed: 4', async () => {
    const file = written('bad.csv', `${heldText(null)}\n9;OVER\n10;nan\n`);
    const { code, out, err } = await gauge(file);
    expect([code, out]).toEqual([4, '']);
    expect(err.split('\n')).toHaveLength(3);
    expect(err).toContain(`${file} line 302 column Force (N): "OVER"; allowed: a number`);
    expect(err).toContain(`${file} line 303 column Force (N): "nan"; allowed: a number`);
  });

  test('tells a missing file, and one that is no text: 4', async () => {
    expect((await gauge(join(folder, 'none.csv'))).code).toBe(4);
    const { code, err } = await gauge(written('latin.csv', Uint8Array.from([0x50, 0xfc, 0x0a])));
    expect([code, err.includes('is not text in UTF-8')]).toEqual([4, true]);
  });

  test('warns of columns it does not read, on the error stream', async () => {
    const rows = Array.from({ length: 30 }, (_, i) => `${i},${i},20`);
    const file = written('more.csv', ['Time (s),Force (N),Temp (C)', ...rows].join('\n'));
    expect((await gauge(file)).err).toBe(`${file}: line 1: not read: column "Temp (C)"\n`);
  });
});
