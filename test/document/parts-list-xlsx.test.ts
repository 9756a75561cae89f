import fc from 'fast-check';
import type { CellValue, WriteSheet } from 'hucre/xlsx';
import { readXlsx, writeXlsx } from 'hucre/xlsx';
import { describe, expect, it } from 'vitest';
import type { Issue } from '../../src/document/issue.js';
import type { PartsList } from '../../src/document/parts-list.js';
import { MAX_INPUT_BYTES, MAX_UNPACKED_BYTES } from '../../src/document/parts-list.js';
import { readPartsListXlsx } from '../../src/document/parts-list-xlsx.js';
import { archive, deflated, patched } from './parts-list-archive.js';

const FILE = 'parts.xlsx';

type Rows = CellValue[][];

const GOOD: Rows = [
  ['Name', 'Qty', 'Mass [kg]', 'X [mm]', 'Y [mm]', 'Z [mm]'],
  ['Base', 1, 18.5, 0, 0, 120],
  ['Castor', 4, 1.25, null, null, null],
];

function workbook(...sheets: WriteSheet[]): Promise<Uint8Array> {
  return writeXlsx({ sheets });
}

async function read(bytes: Uint8Array): Promise<PartsList & { warnings: readonly Issue[] }> {
  const result = await readPartsListXlsx(bytes, FILE);
  if (result.kind === 'invalid') throw new Error(JSON.stringify(result.issues, null, 1));
  return { ...result.value, warnings: result.warnings };
}

async function refuse(bytes: Uint8Array): Promise<readonly Issue[]> {
  const result = await readPartsListXlsx(bytes, FILE);
  if (result.kind === 'ok') throw new Error(`was read: ${JSON.stringify(result.value)}`);
  return result.issues;
}

describe('a workbook', () => {
  it('is read from the sheet with the headings', async () => {
    const list = await read(
      await workbook(
        { name: 'Cover', rows: [['Telehealth cart'], ['Revision', 'C']] },
        { name: 'Parts & masses', rows: [['Parts list'], [], ...GOOD] },
      ),
    );
    expect(list.sheet).toBe('Parts & masses');
    expect(list.rows).toEqual([
      { name: 'Base', quantity: 1, mass: 18.5, massTolerance: null, at: [0, 0, 0.12], line: 4 },
      { name: 'Castor', quantity: 4, mass: 1.25, massTolerance: null, at: null, line: 5 },
    ]);
    expect(list.warnings).toEqual([]);
  });

  it('with two such sheets is refused, naming both', async () => {
    const bytes = await workbook({ name: 'Old', rows: GOOD }, { name: 'New', rows: GOOD });
    expect(await refuse(bytes)).toMatchObject([
      { code: 'several-tables', path: 'sheets', actual: '"Old" and "New"', file: FILE },
    ]);
  });

  it('texts inline or shared, with characters that XML escapes', async () => {
    const rows: Rows = [...GOOD, ['Arm <"B"> & Ω_x000D_', 1, 2, 1, 2, 3]];
    for (const stringMode of ['inline', 'shared'] as const) {
      const bytes = await writeXlsx({ sheets: [{ name: 'Parts', rows }], stringMode });
      const theirs = (await readXlsx(bytes)).sheets[0]?.rows[3]?.[0];
      expect((await read(bytes)).rows[2]?.name).toBe(String(theirs).trim());
    }
  });

  it('decimal commas in cells stored as text', async () => {
    const rows: Rows = [...GOOD, ['Arm', '2', '1,5', null, null, null]];
    expect((await read(await workbook({ name: 'Parts', rows }))).rows[2]).toMatchObject({
      quantity: 2,
      mass: 1.5,
    });
  });

  it('formulas by their stored result', async () => {
    const cells = new Map([['2,2', { formula: '2.5/2', formulaResult: 1.25 }]]);
    const list = await read(await workbook({ name: 'Parts', rows: GOOD, cells }));
    expect(list.rows[1]?.mass).toBe(1.25);
  });

  it('hidden rows are read, with a warning', async () => {
    const rowDefs = new Map([[2, { hidden: true }]]);
    const list = await read(await workbook({ name: 'Parts', rows: GOOD, rowDefs }));
    expect(list.rows).toHaveLength(2);
    expect(list.warnings).toMatchObject([
      { code: 'hidden-rows', line: 3, actual: '3', path: 'sheet "Parts" rows' },
    ]);
  });

  it('blank rows and the sum below them, which binary fractions leave a little off', async () => {
    const rows: Rows = [
      ['Name', 'Qty', 'Mass [kg]'],
      ['a', 3, 0.1],
      [],
      ['b', 1, 0.7],
      [null, null, 0.1 * 3 + 0.7],
    ];
    const list = await read(await workbook({ name: 'Parts', rows }));
    expect(list.rows.map((row) => row.name)).toEqual(['a', 'b']);
    expect(list.warnings.map((issue) => issue.code)).toEqual(['blank-rows', 'total-row']);
  });

  it('the same rows as a spreadsheet library sees (fast-check, seed 60)', async () => {
    const name = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 8 });
    const row = fc.tuple(
      name,
      fc.integer({ min: 1, max: 99 }),
      fc.double({ min: 1e-3, max: 5e3, noNaN: true }),
    );
    await fc.assert(
      fc.asyncProperty(fc.array(row, { minLength: 1, maxLength: 8 }), async (rows) => {
        const named = rows.map(([text, quantity, mass], i) => [`p${i} ${text}.`, quantity, mass]);
        const bytes = await workbook({
          name: 'Parts',
          rows: [['Name', 'Qty', 'Mass [kg]'], ...named],
        });
        const theirs = (await readXlsx(bytes)).sheets[0]?.rows.slice(1) ?? [];
        const list = await read(bytes);
        expect(list.rows.map((each) => [each.name, each.quantity, each.mass])).toEqual(
          theirs.map(([text, ...numbers]) => [
            String(text).replace(/\s+/g, ' ').trim(),
            ...numbers,
          ]),
        );
      }),
      { seed: 60, numRuns: 200 },
    );
  });
});

describe('refusals of cells', () => {
  const date = new Date(Date.UTC(2026, 1, 1));
  it.each([
    ['an error value', { type: 'error', value: '#REF!' }, 'spreadsheet-error', '#REF!'],
    ['a date', { type: 'date', value: date }, 'not-a-number', 'date number 46054'],
    ['true', { type: 'boolean', value: true }, 'not-a-number', 'TRUE'],
    ['a formula without its result', { formula: 'B2*2' }, 'no-stored-result', 'a formula'],
    ['a text', { type: 'string', value: 'steel' }, 'not-a-number', 'steel'],
    ['an ambiguous text', { type: 'string', value: '1,234' }, 'ambiguous-number', '1,234'],
    ['a negative number', { type: 'number', value: -1 }, 'out-of-limits', '-1'],
    ['zero', { type: 'number', value: 0 }, 'zero-mass', '0'],
  ] as const)('%s', async (_, cell, code, actual) => {
    const cells = new Map([['2,2', cell]]);
    const issues = await refuse(await workbook({ name: 'Parts', rows: GOOD, cells }));
    expect(issues).toMatchObject([
      { code, actual, line: 3, column: 3, path: 'sheet "Parts" "Castor" > Mass [kg]' },
    ]);
  });

  it('a cell left blank', async () => {
    const rows: Rows = [...GOOD, ['Arm', 1, null, 1, 2, 3]];
    expect(await refuse(await workbook({ name: 'Parts', rows }))).toMatchObject([
      { code: 'missing-mass', line: 4, column: null, path: 'sheet "Parts" "Arm" > Mass [kg]' },
    ]);
  });

  it('no sheet with a parts list: what the nearest one lacks', async () => {
    const rows: Rows = [
      ['Name', 'Qty'],
      ['Base', 1],
    ];
    expect(await refuse(await workbook({ name: 'Parts', rows }))).toMatchObject([
      { code: 'no-mass-heading', line: 1, path: 'sheet "Parts" headings', actual: 'Name | Qty' },
    ]);
    expect(await refuse(await workbook({ name: 'Parts', rows: [] }))).toMatchObject([
      { code: 'empty-file' },
    ]);
  });
});

describe('refusals of files', () => {
  const code = async (bytes: Uint8Array) => (await refuse(bytes)).map((issue) => issue.code);

  it('that are no XLSX at all', async () => {
    expect(await code(new Uint8Array(0))).toEqual(['empty-file']);
    expect(await code(new TextEncoder().encode('Name;Mass [kg]'))).toEqual(['not-xlsx']);
    expect(await code(new TextEncoder().encode('PK, but no archive'))).toEqual(['not-xlsx']);
    expect(await code(new Uint8Array([0xd0, 0xcf, 0x11, 0xe0]))).toEqual(['not-xlsx']);
    expect(await code(new Uint8Array(MAX_INPUT_BYTES + 1))).toEqual(['file-too-large']);
  });

  it('archives of something else', async () => {
    expect(await code(archive([{ name: 'a.txt', bytes: new Uint8Array([1]) }]))).toEqual([
      'damaged-xlsx',
    ]);
  });

  it('encrypted ones', async () => {
    const bytes = await workbook({ name: 'Parts', rows: GOOD });
    // bit 0 of the general purpose flags, in every entry of the directory
    expect(await code(patched(bytes, { flags: 1 }))).toEqual(['encrypted-xlsx']);
  });

  it('a changed byte anywhere: read as before, or refused (every 7th)', async () => {
    const bytes = await workbook({ name: 'Parts', rows: GOOD });
    const before = await read(bytes);
    let refused = 0;
    for (let i = 0; i < bytes.length; i += 7) {
      const changed = bytes.slice();
      changed[i] = (changed[i] ?? 0) ^ 0x55;
      const result = await readPartsListXlsx(changed, FILE);
      if (result.kind === 'ok') expect(result.value.rows).toEqual(before.rows);
      else refused += 1;
    }
    expect(refused).toBeGreaterThan(0);
  });

  it('a file cut short anywhere', async () => {
    const bytes = await workbook({ name: 'Parts', rows: GOOD });
    for (let length = 0; length < bytes.length; length += 13) {
      expect((await readPartsListXlsx(bytes.slice(0, length), FILE)).kind).toBe('invalid');
    }
  });
});

describe('bombs', () => {
  const parts = (sheet: Uint8Array, size?: number) => [
    { name: '_rels/.rels', text: relations('officeDocument', 'xl/workbook.xml') },
    {
      name: 'xl/workbook.xml',
      text: '<workbook><sheets><sheet name="Parts" r:id="r1"/></sheets></workbook>',
    },
    { name: 'xl/_rels/workbook.xml.rels', text: relations('worksheet', 'sheet1.xml') },
    { name: 'xl/sheet1.xml', deflated: sheet, ...(size === undefined ? {} : { size }) },
  ];
  const relations = (type: string, target: string) =>
    `<Relationships><Relationship Id="r1" Type="x/${type}" Target="${target}"/></Relationships>`;

  it('that say how far they unpack are refused unread', async () => {
    const spaces = await deflated(MAX_UNPACKED_BYTES + 1);
    expect(spaces.packed.length).toBeLessThan(MAX_UNPACKED_BYTES / 500);
    const issues = await refuse(archive(parts(spaces.packed, spaces.size)));
    expect(issues).toMatchObject([
      { code: 'unpacks-too-large', actual: expect.stringMatching(/ bytes$/) },
    ]);
  });

  it('that state less than they hold are refused as soon as they pass it', async () => {
    const spaces = await deflated(50_000_000);
    expect(await refuse(archive(parts(spaces.packed, 1000)))).toMatchObject([
      { code: 'unpacks-too-large', actual: 'xl/sheet1.xml, more than the 1000 bytes it states' },
    ]);
    expect(await refuse(archive(parts(spaces.packed, 0)))).toMatchObject([
      { code: 'unpacks-too-large' },
    ]);
  });

  it('of entries that share their bytes are added up', async () => {
    const spaces = await deflated(1_000_000);
    const many = Array.from({ length: 200 }, (_, i) => ({
      name: `xl/media/${i}.png`,
      deflated: spaces.packed,
      size: spaces.size,
    }));
    expect(await refuse(archive([...parts(new Uint8Array(0)), ...many]))).toMatchObject([
      { code: 'unpacks-too-large' },
    ]);
  });

  it('of entities are refused as malformed XML', async () => {
    const text = '<!DOCTYPE x [<!ENTITY a "aaaa">]><worksheet>&a;</worksheet>';
    const [rels, book, bookRels] = parts(new Uint8Array(0));
    const entries = [rels, book, bookRels, { name: 'xl/sheet1.xml', text }].flatMap((e) => e ?? []);
    expect(await refuse(archive(entries))).toMatchObject([
      { code: 'damaged-xlsx', actual: 'malformed XML' },
    ]);
  });

  it('of sheets that all point to one part', async () => {
    const [rels, , bookRels] = parts(new Uint8Array(0));
    const text = `<workbook>${'<sheet name="a" r:id="r1"/>'.repeat(50)}</workbook>`;
    const sheet = { name: 'xl/sheet1.xml', text: '<worksheet/>' };
    const entries = [rels, { name: 'xl/workbook.xml', text }, bookRels, sheet].flatMap(
      (e) => e ?? [],
    );
    expect(await refuse(archive(entries))).toMatchObject([{ code: 'damaged-xlsx' }]);
  });
});
