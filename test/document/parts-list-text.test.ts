import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MAX_INPUT_BYTES } from '../../src/document/parts-list.js';
import { readPartsList } from '../../src/document/parts-list-read.js';
import { decodeText } from '../../src/document/parts-list-text.js';

const TEXT = 'Name;Qty;Mass [kg]\nBügel ½ → Ω;1;2,5\n';

function utf16(text: string, littleEndian: boolean, mark: boolean): Uint8Array {
  const units = [...(mark ? '\ufeff' : ''), ...text].flatMap((c) =>
    Array.from(c, (_, i) => c.charCodeAt(i)),
  );
  const bytes = new Uint8Array(2 * units.length);
  const view = new DataView(bytes.buffer);
  for (const [i, unit] of units.entries()) view.setUint16(2 * i, unit, littleEndian);
  return bytes;
}

const utf8 = (text: string) => new TextEncoder().encode(text);

describe('decodeText', () => {
  it.each([
    ['UTF-8', utf8(TEXT)],
    ['UTF-8 with a byte order mark', utf8(`\ufeff${TEXT}`)],
    ['UTF-16 little-endian with a mark', utf16(TEXT, true, true)],
    ['UTF-16 big-endian with a mark', utf16(TEXT, false, true)],
    ['UTF-16 little-endian without', utf16(TEXT, true, false)],
    ['UTF-16 big-endian without', utf16(TEXT, false, false)],
  ])('%s', (_, bytes) => {
    expect(decodeText(bytes, 'a.csv')).toEqual({ kind: 'ok', value: TEXT, warnings: [] });
  });

  it('reads other bytes as Windows-1252, with a warning', () => {
    // 0xfc: ü, 0x96: en dash
    const bytes = new Uint8Array([...utf8('B'), 0xfc, ...utf8('gel '), 0x96, ...utf8(';1')]);
    expect(decodeText(bytes, 'a.csv')).toMatchObject({
      kind: 'ok',
      value: 'Bügel –;1',
      warnings: [{ code: 'not-utf8', severity: 'warning', file: 'a.csv' }],
    });
  });

  it.each([
    ['empty-file', new Uint8Array(0)],
    ['empty-file', utf8('\ufeff \n')],
    ['not-text', new Uint8Array([0x4e, 0, 0, 0x41, 0, 0, 0xff, 0xff])],
    ['file-too-large', new Uint8Array(MAX_INPUT_BYTES + 1)],
  ])('%s', (code, bytes) => {
    expect(decodeText(bytes, 'a.csv')).toMatchObject({ kind: 'invalid', issues: [{ code }] });
  });
});

describe('readPartsList', () => {
  it('tells text from a spreadsheet by its bytes and keeps the warnings of both steps', async () => {
    const bytes = new Uint8Array([...utf8('Name;Mass [kg]\nB'), 0xfc, ...utf8('gel;2')]);
    const list = await readPartsList(bytes, 'parts.xlsx');
    expect(list).toMatchObject({
      kind: 'ok',
      value: { rows: [{ name: 'Bügel', mass: 2 }] },
      warnings: [{ code: 'not-utf8' }, { code: 'no-quantity-heading' }],
    });
    expect(await readPartsList(utf8('PK\u0003\u0004'), 'parts.csv')).toMatchObject({
      kind: 'invalid',
      issues: [{ code: 'not-xlsx' }],
    });
  });

  it('never rejects, whatever the bytes (fast-check, seed 50)', async () => {
    const start = fc.constantFrom<number[]>([], [0x50, 0x4b, 3, 4], [0xff, 0xfe], [0xd0, 0xcf]);
    await fc.assert(
      fc.asyncProperty(start, fc.uint8Array({ maxLength: 200 }), async (head, rest) => {
        const list = await readPartsList(new Uint8Array([...head, ...rest]), 'x');
        expect(list.kind).toBe('invalid');
      }),
      { seed: 50, numRuns: 2000 },
    );
  });
});
