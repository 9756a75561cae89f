import { describe, expect, it } from 'vitest';
import type { FieldChange, FieldNode } from '../../src/document/index.js';
import {
  changeFields,
  nodeAt,
  readCart,
  readFields,
  readPartsListCsv,
  writeStarterCart,
} from '../../src/document/index.js';
import { textAt } from '../../src/web/describe/field-address.js';
import {
  listParts,
  takenRows,
  takeOverChanges,
  valuesInPlaceOfList,
} from '../../src/web/describe/list-parts.js';
import {
  COLUMNS,
  cellChanges,
  cellOfPath,
  cellPath,
  clearChanges,
  copyText,
  isInSpan,
  kept,
  keptBeside,
  pasteChanges,
  spanOf,
} from '../../src/web/describe/parts-grid.js';

const STARTER = writeStarterCart();
const [NAME, MASS, X, Y, Z, TOLERANCE, ON, FROM_LIST] = COLUMNS.map((_, index) => index) as [
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
];

function fieldsOf(text: string): FieldNode {
  const fields = readFields(text);
  if (fields === null) throw new Error('no fields');
  return fields;
}

function changed(text: string, changes: readonly FieldChange[]): string {
  const result = changeFields(text, changes);
  if (result.kind === 'refused') throw new Error(result.reason);
  return result.text;
}

/** The cells of a part of the file, by column. */
function cells(text: string, row: number): string[] {
  const root = fieldsOf(text);
  return COLUMNS.map((_, column) => textAt(root, cellPath({ row, column })));
}

describe('a cell of the parts table', () => {
  it('is the field of its column, and found again from its path', () => {
    expect(cells(STARTER, 0)).toEqual([
      'base',
      '18.5 kg',
      '0 mm',
      '0 mm',
      '120 mm',
      '0.2 kg',
      '',
      '',
    ]);
    for (const column of [NAME, MASS, X, Y, Z, TOLERANCE, ON, FROM_LIST]) {
      const cell = { row: 1, column };
      expect(cellOfPath(cellPath(cell))).toEqual(cell);
    }
    expect(cellOfPath(['parts', 2, 'at'])).toEqual({ row: 2, column: X });
    expect(cellOfPath(['parts', 2, 'at tolerance'])).toBeNull();
    expect(cellOfPath(['loads', 0, 'at', 1])).toBeNull();
  });

  it('keeps what is typed digit by digit, with the comment of the line', () => {
    const root = fieldsOf(STARTER);
    const text = changed(STARTER, cellChanges(root, { row: 0, column: TOLERANCE }, ' 0,250 kg '));
    expect(text).toContain('    mass tolerance: 0,250 kg        # may be left out: none stated\n');
  });

  it('never makes up a coordinate beside the one that is typed', () => {
    const bare = changed(STARTER, [{ kind: 'remove', path: ['parts', 1, 'at'] }]);
    const text = changed(bare, cellChanges(fieldsOf(bare), { row: 1, column: Y }, '5 mm'));
    expect(cells(text, 1).slice(X, Z + 1)).toEqual(['', '5 mm', '']);
    const read = readCart(text, 'c', new Map());
    expect(read.kind === 'invalid' && read.issues.map(({ path }) => path)).toEqual([
      'parts[2] "column head" > at > x',
      'parts[2] "column head" > at > z',
    ]);
  });

  it('takes the point out when its last coordinate is cleared', () => {
    const span = spanOf({ row: 0, column: X }, { row: 0, column: Y });
    const two = changed(STARTER, clearChanges(fieldsOf(STARTER), span));
    expect(cells(two, 0).slice(X, Z + 1)).toEqual(['', '', '120 mm']);
    const none = changed(two, cellChanges(fieldsOf(two), { row: 0, column: Z }, ''));
    expect(nodeAt(fieldsOf(none), ['parts', 0, 'at'])).toBeNull();
  });

  it('states the rest of a row of the list too when a mass is typed over it', () => {
    const listed = changed(STARTER, [
      { kind: 'remove', path: ['parts', 0, 'mass'] },
      { kind: 'remove', path: ['parts', 0, 'at'] },
      { kind: 'set', path: ['parts', 0, 'from list'], value: 'Base weldment' },
    ]);
    const held = { tolerance: '0.9 kg', x: '1 mm', y: '2 mm', z: '3 mm' };
    const cell = { row: 0, column: MASS };
    const text = changed(listed, cellChanges(fieldsOf(listed), cell, '20 kg', held));
    // the tolerance was stated in the file, which goes before the list
    expect(cells(text, 0)).toEqual(['base', '20 kg', '1 mm', '2 mm', '3 mm', '0.2 kg', '', '']);
  });
});

describe('copy and paste of cells', () => {
  it('copies a span as tabs and lines, quoted where a name holds them', () => {
    const odd = changed(STARTER, [{ kind: 'set', path: ['parts', 0, 'name'], value: 'a "b"' }]);
    const span = spanOf({ row: 1, column: MASS }, { row: 0, column: NAME });
    expect(copyText(fieldsOf(odd), span)).toBe('"a ""b"""\t18.5 kg\ncolumn head\t6 kg');
  });

  it('puts a copy back as it was', () => {
    const root = fieldsOf(STARTER);
    const span = spanOf({ row: 0, column: NAME }, { row: 2, column: FROM_LIST });
    const rows = copyText(root, span)
      .split('\n')
      .map((line) => line.split('\t'));
    const { changes } = pasteChanges(root, { row: 0, column: NAME }, rows);
    expect(changed(STARTER, changes)).toBe(STARTER);
  });

  it('adds parts below the last and tells what is beyond the table', () => {
    const root = fieldsOf(STARTER);
    const rows = [
      ['1 kg', '1 mm', '2 mm', '3 mm', '', 'lift', '', 'extra'],
      ['2', '', '', '', '', '', '', ''],
    ];
    const paste = pasteChanges(root, { row: 2, column: MASS }, rows);
    expect(paste).toMatchObject({ addedRows: 1, beyond: ['row 1, column 8: extra'] });
    const text = changed(STARTER, paste.changes);
    expect(cells(text, 2)).toEqual(['display', '1 kg', '1 mm', '2 mm', '3 mm', '', 'lift', '']);
    // a number without its unit stays what was pasted, for the reader to refuse
    expect(cells(text, 3)).toEqual(['part', '2', '', '', '', '', '', '']);
    const read = readCart(text, 'c', new Map());
    expect(read.kind === 'invalid' && read.issues.map(({ code }) => code)).toContain('no-unit');
  });

  it('pastes five hundred parts as one change of values and one of insertions', () => {
    const root = fieldsOf(STARTER);
    const rows = Array.from({ length: 500 }, (_, i) => [`p ${i}`, '1 kg', '0 mm', '0 mm', '1 mm']);
    const text = changed(STARTER, pasteChanges(root, { row: 3, column: NAME }, rows).changes);
    const read = readCart(text, 'c', new Map());
    expect(read.kind === 'ok' && read.value.parts.length).toBe(503);
  });

  it('tells what a part pasted over another one has of it, and nothing of masses pasted alone', () => {
    const root = fieldsOf(STARTER);
    const rows = [
      ['steel base', '32 kg', '0 mm', '0 mm', '90 mm'],
      ['head', '3 kg', '0 mm', '0 mm', '0.9 m'],
      ['monitor', '9 lb', '2 in', '0 mm', '44 in'],
    ];
    const { changes, pasted } = pasteChanges(root, { row: 0, column: NAME }, rows);
    expect(keptBeside(fieldsOf(changed(STARTER, changes)), pasted)).toEqual([
      'steel base: mass tolerance 0.2 kg',
      'head: carried by lift',
      'monitor: carried by arm',
    ]);
    expect(keptBeside(root, { top: 0, bottom: 2, left: MASS, right: MASS })).toEqual([]);
  });

  it('keeps the active cell in the table', () => {
    expect(kept({ row: 9, column: -1 }, 3)).toEqual({ row: 2, column: 0 });
    expect(isInSpan({ top: 0, bottom: 1, left: 1, right: 2 }, { row: 1, column: 2 })).toBe(true);
    expect(isInSpan({ top: 0, bottom: 1, left: 1, right: 2 }, { row: 2, column: 2 })).toBe(false);
  });
});

describe('a table with headings', () => {
  const CSV =
    'Part,Mass (lb),Qty,Tolerance (lb),x (in),y (in),z (in)\nTray,1.2,2,0.1,10,0,3\nBase,40,1,,,,\n';

  function list(csv: string) {
    const read = readPartsListCsv(csv, 'l.csv');
    if (read.kind === 'invalid') throw new Error('list');
    return read.value;
  }

  it('gives the mass of all pieces in the unit of its heading, and finds parts by name', () => {
    const parts = listParts(list(CSV), fieldsOf(STARTER));
    expect(parts).toEqual([
      {
        name: 'Tray',
        quantity: 2,
        mass: '2.4 lb',
        tolerance: '0.2 lb',
        at: ['10 in', '0 in', '3 in'],
        line: 2,
        there: null,
      },
      { name: 'Base', quantity: 1, mass: '40 lb', tolerance: null, at: null, line: 3, there: 0 },
    ]);
    const text = changed(STARTER, takeOverChanges(fieldsOf(STARTER), parts));
    // a part that is there keeps its place where the table states none
    expect(cells(text, 0).slice(0, 5)).toEqual(['base', '40 lb', '0 mm', '0 mm', '120 mm']);
    expect(cells(text, 3)).toEqual(['Tray', '2.4 lb', '10 in', '0 in', '3 in', '0.2 lb', '', '']);
  });

  it('is taken over as values without a change of the cart', () => {
    const named = changed(STARTER, [
      { kind: 'set', path: ['parts list'], value: 'l.csv' },
      { kind: 'remove', path: ['parts', 0, 'mass'] },
      { kind: 'remove', path: ['parts', 0, 'mass tolerance'] },
      { kind: 'remove', path: ['parts', 0, 'at'] },
      { kind: 'set', path: ['parts', 0, 'from list'], value: 'Tray' },
    ]);
    const lists = new Map([['l.csv', list(CSV)]]);
    const before = readCart(named, 'c', lists);
    expect(takenRows(fieldsOf(named))).toEqual(new Map([['Tray', 'base']]));
    const text = changed(named, valuesInPlaceOfList(fieldsOf(named), list(CSV)));
    const after = readCart(text, 'c', new Map());
    if (before.kind === 'invalid' || after.kind === 'invalid') throw new Error('cart');
    const [was, is] = [before.value.parts[0], after.value.parts[0]];
    expect(is).toMatchObject({ massFrom: 'cart file', name: 'base' });
    // 12 digits are written: half of the last is 5e-12 of the value
    expect(is?.mass).toBeCloseTo(was?.mass ?? 0, 10);
    expect(is?.massTolerance).toBeCloseTo(was?.massTolerance ?? 0, 10);
    expect(is?.at).toEqual(was?.at);
    expect(text).not.toContain('l.csv');
  });
});
