import { parse } from 'csv-parse/browser/esm/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Issue } from '../../src/document/issue.js';
import type { PartsList } from '../../src/document/parts-list.js';
import { MAX_CELLS, MAX_INPUT_BYTES, MAX_ROWS } from '../../src/document/parts-list.js';
import { readPartsListCsv } from '../../src/document/parts-list-csv.js';
import { PARTS_LIST_PROBLEMS } from '../../src/document/parts-list-problems.js';

const FILE = 'parts.csv';
const POUND = 0.45359237;
const INCH = 0.0254;

function read(text: string): PartsList & { readonly warnings: readonly Issue[] } {
  const result = readPartsListCsv(text, FILE);
  if (result.kind === 'invalid') throw new Error(JSON.stringify(result.issues, null, 1));
  return { ...result.value, warnings: result.warnings };
}

function refuse(text: string): readonly Issue[] {
  const result = readPartsListCsv(text, FILE);
  if (result.kind === 'ok') throw new Error(`was read: ${JSON.stringify(result.value)}`);
  return result.issues;
}

function codes(issues: readonly Issue[]): string[] {
  return issues.map((issue) => issue.code);
}

describe('a list as CAD programs export it', () => {
  it('reads names, quantities, masses and centres of mass into SI', () => {
    const list = read(
      [
        'Part number,Part name,Qty,Mass [kg],CoM X (mm),CoM Y (mm),CoM Z (mm),Material',
        'TH-100,Base,1,18.5,0,0,120,steel',
        'TH-210,Display 24",2,3.25,180,-15.5,1320,',
      ].join('\n'),
    );
    expect(list.rows).toEqual([
      { name: 'Base', quantity: 1, mass: 18.5, massTolerance: null, at: [0, 0, 0.12], line: 2 },
      {
        name: 'Display 24"',
        quantity: 2,
        mass: 3.25,
        massTolerance: null,
        at: [0.18, -0.0155, 1.32],
        line: 3,
      },
    ]);
    expect(list.warnings).toEqual([]);
    expect(list.unusedColumns).toEqual(['Part number', 'Material']);
    expect(list.sheet).toBe(null);
  });

  it.each([
    ['Mass [kg]', 2],
    ['mass (KG)', 2],
    ['MASS kg', 2],
    ['Mass_kg', 2],
    ['Mass, kg', 2],
    ['Mass in kg', 2],
    ['Unit mass {kg}', 2],
    ['Mass each [kg]', 2],
    ['Mass (each) [kg]', 2],
    ['Mass [kg each]', 2],
    ['Mass [kg/pc]', 2],
    ['Weight (g)', 0.002],
    ['Mass (lb)', 2 * POUND],
    ['Weight [lbs]', 2 * POUND],
    ['Mass (oz)', (2 / 16) * POUND],
  ])('takes the heading %j', (heading, mass) => {
    expect(read(`Name;Qty;${heading}\nBase;1;2`).rows[0]?.mass).toBeCloseTo(mass, 15);
  });

  it.each([
    'X (in)',
    'CoM X [in]',
    'Centre of mass X (in)',
    'center of gravity x, in',
    'c.o.m. x (IN)',
  ])('takes the heading %j', (x) => {
    const [y, z] = [x.replace(/x/i, 'y'), x.replace(/x(?= |,|$)/i, 'z')];
    const list = read(`Name;Qty;Mass [kg];${z};${x};${y}\nBase;1;2;3;1;2`);
    const expected = [INCH, 2 * INCH, 3 * INCH];
    const at = list.rows[0]?.at ?? [];
    expect(at).toHaveLength(3);
    for (const [i, value] of at.entries()) expect(value).toBeCloseTo(expected[i] ?? 0, 15);
  });

  it('prefers headings of the centre of mass to bare letters, which may be the size of a part', () => {
    const list = read('Name;Qty;Mass [kg];X [mm];CG X [mm];CG Y [mm];CG Z [mm]\nBase;1;2;9;1;2;3');
    expect(list.rows[0]?.at).toEqual([0.001, 0.002, 0.003]);
  });

  it('finds headings below titles, and says which line a row stands in', () => {
    const list = read('Telehealth cart\n\nRevision;C\nQty;Name;Mass [kg]\n1;Base;18.5\n');
    expect(list.rows).toMatchObject([{ name: 'Base', line: 5 }]);
  });

  it.each([',', ';', '\t'])('separators %j, line breaks of every kind', (separator) => {
    const row = (...cells: string[]) => cells.join(separator);
    const list = read(
      `${row('Name', 'Qty', 'Mass [kg]')}\r\n${row('a', '1', '2')}\r${row('b', '3', '4')}\n`,
    );
    expect(list.rows).toMatchObject([
      { name: 'a', quantity: 1, mass: 2, line: 2 },
      { name: 'b', quantity: 3, mass: 4, line: 3 },
    ]);
  });

  it('decimal commas with semicolons and tabs', () => {
    expect(read('Name;Qty;Mass [kg]\nBase;1;18,5').rows[0]?.mass).toBe(18.5);
    expect(read('Name\tQty\tMass [kg]\nBase\t1\t0,350').rows[0]?.mass).toBe(0.35);
    expect(read('Name,Qty,Mass [kg]\nBase,1,"18,5"').rows[0]?.mass).toBe(18.5);
  });

  it('quoted fields: separators, quotation marks and line breaks within', () => {
    const list = read('Name,Qty,Mass [kg]\n"Arm,\nupper ""B""", 1 , "2.5" \nBase,1,3');
    expect(list.rows).toMatchObject([
      { name: 'Arm, upper "B"', mass: 2.5, line: 2 },
      { name: 'Base', mass: 3, line: 4 },
    ]);
  });

  it('a byte order mark before the headings', () => {
    expect(read('\ufeffName;Qty;Mass [kg]\nBase;1;2').rows).toHaveLength(1);
    expect(read('\ufeff"Name";Qty;Mass [kg]\nBase;1;2').rows).toHaveLength(1);
  });

  it('mass tolerances, and centres left out', () => {
    const list = read(
      'Name;Qty;Mass [kg];Mass tolerance [g];X [mm];Y [mm];Z [mm]\nBase;1;2;50;;;\nArm;1;3;;1;2;3',
    );
    expect(list.rows).toMatchObject([
      { massTolerance: 0.05, at: null },
      { massTolerance: null, at: [0.001, 0.002, 0.003] },
    ]);
  });

  it('units in the cells where the heading has none', () => {
    const list = read(
      'Name;Qty;Mass;X;Y;Z\nBase;1;18.5 kg;0 mm;10 mm;4 in\nArm;1;4 lb;1 m;0 m;0 m',
    );
    expect(list.rows[0]).toMatchObject({ mass: 18.5, at: [0, 0.01, 4 * INCH] });
    expect(list.rows[1]?.mass).toBeCloseTo(4 * POUND, 15);
  });
});

describe('mass of a piece and of all', () => {
  it('divides a total by the quantity', () => {
    expect(read('Name;Qty;Total mass [kg]\nCastor;4;5.2').rows[0]).toMatchObject({
      quantity: 4,
      mass: 1.3,
    });
  });

  it('takes both when they agree within their last digits', () => {
    // 3 pieces of 1/3 kg: 0.33 was rounded by up to 0.005, three times, and 1.00 by up to 0.005
    expect(read('Name;Qty;Mass [kg];Total mass [kg]\nFoot;3;0.33;1.00').rows[0]?.mass).toBe(0.33);
    expect(codes(refuse('Name;Qty;Mass [kg];Total mass [kg]\nFoot;3;0.33;1.02'))).toEqual([
      'total-disagrees',
    ]);
    // with one digit more, the difference of 0.01 is no rounding any more
    expect(codes(refuse('Name;Qty;Mass [kg];Total mass [kg]\nFoot;3;0.330;1.000'))).toEqual([
      'total-disagrees',
    ]);
  });

  it('does not take coarse numbers for rounded ones', () => {
    expect(codes(refuse('Name;Qty;Mass [kg];Total mass [kg]\nFoot;3;2;7'))).toEqual([
      'total-disagrees',
    ]);
  });

  it('takes either where the other is blank', () => {
    const list = read('Name;Qty;Mass [kg];Total mass [kg]\na;2;1.5;\nb;2;;5');
    expect(list.rows.map((row) => row.mass)).toEqual([1.5, 2.5]);
  });

  it('in different units', () => {
    const list = read('Name;Qty;Mass [g];Total mass [kg]\na;4;250;1.0');
    expect(list.rows[0]?.mass).toBe(0.25);
  });
});

describe('rows that are no parts', () => {
  it('are passed over with a warning each', () => {
    const list = read(
      [
        'Name;Qty;Mass [kg];Note',
        'Base;1;18.5;',
        '',
        ';;;',
        'Castor;4;1.25;',
        ';;;checked',
        'Name;Qty;Mass [kg];Note',
        'Arm;1;3;',
        'Total;;26.5;',
        ';;26.5;',
        '',
      ].join('\n'),
    );
    expect(list.rows.map((row) => row.name)).toEqual(['Base', 'Castor', 'Arm']);
    expect(list.warnings.map(({ code, line }) => [code, line])).toEqual([
      ['blank-rows', 3],
      ['row-without-part', 6],
      ['repeated-heading', 7],
      ['total-row', 9],
      ['total-row', 10],
    ]);
    expect(list.warnings[0]?.actual).toBe('3 to 4');
  });

  it('subtotals of sections too', () => {
    const list = read(
      'Name;Qty;Mass [kg]\na;1;2\nb;2;1\nSubtotal;;4\nc;1;5\nSubtotal;;5\nTotal mass;;9',
    );
    expect(list.rows).toHaveLength(3);
    expect(codes(list.warnings)).toEqual(['total-row', 'total-row', 'total-row']);
  });

  it('a total that is no sum is a lost part, not a warning', () => {
    expect(refuse('Name;Qty;Mass [kg]\na;1;2\nb;2;1\nTotal;;4.5')).toMatchObject([
      { code: 'total-row-disagrees', line: 4, actual: '4.5', path: '"Total" > Mass [kg]' },
    ]);
    expect(refuse('Name;Qty;Mass [kg]\na;1;2\n;1;4.5')).toMatchObject([
      { code: 'missing-name', line: 3, path: 'row without a name > Mass [kg]' },
    ]);
  });
});

describe('rows with one name', () => {
  it('add when each piece weighs the same, and say so', () => {
    const list = read(
      'Name;Qty;Mass [kg];X [mm];Y [mm];Z [mm]\nFoot;1;0.5;0;0;0\nFoot;3;0.5;40;80;0',
    );
    expect(list.rows).toEqual([
      { name: 'Foot', quantity: 4, mass: 0.5, massTolerance: null, at: [0.03, 0.06, 0], line: 2 },
    ]);
    expect(list.warnings).toMatchObject([{ code: 'rows-joined', line: 3, path: '"Foot"' }]);
  });

  it.each([
    'Name;Qty;Mass [kg]\nFoot;1;0.5\nFoot;1;0.6',
    'Name;Qty;Mass [kg]\nFoot;1;0.5\n Foot ;1;0.6',
    'Name;Qty;Mass [kg];Mass tolerance [kg]\nFoot;1;0.5;0.1\nFoot;1;0.5;0.2',
    'Name;Qty;Mass [kg];X [mm];Y [mm];Z [mm]\nFoot;1;0.5;0;0;0\nFoot;1;0.5;;;',
  ])('are refused when they differ: %j', (text) => {
    expect(refuse(text)).toMatchObject([{ code: 'duplicate-name', line: 3, actual: 'Foot' }]);
  });
});

describe('decimal commas that could be thousands', () => {
  it('are refused where nothing settles it', () => {
    expect(refuse('Name;Qty;Mass [g]\nBase;1;1,234')).toMatchObject([
      { code: 'ambiguous-number', line: 2, column: 8, actual: '1,234', path: '"Base" > Mass [g]' },
    ]);
    expect(codes(refuse('Name,Qty,Mass [g]\nBase,1,"1,234"\nArm,1,12.5'))).toEqual([
      'ambiguous-number',
    ]);
  });

  it('are read where another number settles it, with a warning', () => {
    const list = read('Name;Qty;Mass [kg]\nBase;1;1,234\nArm;1;0,500');
    expect(list.rows.map((row) => row.mass)).toEqual([1.234, 0.5]);
    expect(list.warnings).toMatchObject([{ code: 'decimal-comma', line: 3, actual: '0,500' }]);
  });

  it('are refused where both signs are used', () => {
    expect(codes(refuse('Name;Qty;Mass [kg]\nBase;1;1,234\nArm;1;0,5\nLid;1;0.5'))).toEqual([
      'ambiguous-number',
    ]);
  });
});

describe('refusals name line, column, heading, row and value', () => {
  const cases: readonly [string, string, string, Partial<Issue>][] = [
    ['mass', '', 'missing-mass', { actual: null, allowed: 'more than 0 kg, at most 5000 kg' }],
    ['mass', '-', 'missing-mass', { actual: '-' }],
    ['mass', 'N/A', 'missing-mass', { actual: 'N/A' }],
    ['mass', '0', 'zero-mass', { actual: '0', allowed: 'more than 0 kg, at most 5000 kg' }],
    ['mass', '-3', 'out-of-limits', { actual: '-3' }],
    ['mass', '5001', 'out-of-limits', { actual: '5001' }],
    ['mass', 'NaN', 'not-a-number', { actual: 'NaN', allowed: 'a number of kg' }],
    ['mass', '1e999', 'not-a-number', { actual: '1e999' }],
    ['mass', 'steel', 'not-a-number', { actual: 'steel' }],
    ['mass', '#REF!', 'spreadsheet-error', { actual: '#REF!', allowed: 'a number' }],
    ['mass', '4 lb', 'other-unit', { actual: '4 lb', allowed: 'a number of kg' }],
    ['mass', '4 N', 'wrong-dimension', { actual: '4 N' }],
    ['mass', '4 stone', 'unknown-unit', { actual: '4 stone' }],
    ['quantity', '', 'missing-quantity', { actual: null }],
    ['quantity', '0', 'bad-quantity', { allowed: 'a whole number from 1 to 100000' }],
    ['quantity', '-1', 'bad-quantity', { actual: '-1' }],
    ['quantity', '1.5', 'bad-quantity', { actual: '1.5' }],
    ['quantity', '1e9', 'bad-quantity', { actual: '1e9' }],
    ['quantity', 'two', 'not-a-number', { actual: 'two' }],
    ['x', '', 'incomplete-centre', { actual: null }],
    ['x', '20000', 'out-of-limits', { allowed: 'from -10 m to 10 m' }],
    ['tolerance', '-1', 'out-of-limits', {}],
    ['tolerance', '2', 'tolerance-too-large', {}],
  ];
  const headings: Readonly<Record<string, string>> = {
    quantity: 'Qty',
    mass: 'Mass [kg]',
    tolerance: 'Mass tolerance [kg]',
    x: 'X [mm]',
  };
  it.each(cases)('%s %j: %s', (role, value, code, issue) => {
    const cell = (each: string, good: string) => (each === role ? value : good);
    const issues = refuse(
      `Name;Qty;Mass [kg];Mass tolerance [kg];X [mm];Y [mm];Z [mm]\nBase;1;2;0.1;0;0;0\nArm;${cell('quantity', '1')};${cell('mass', '2')};${cell('tolerance', '0.1')};${cell('x', '1')};2;3`,
    );
    expect(issues).toMatchObject([
      { code, severity: 'error', file: FILE, line: 3, path: `"Arm" > ${headings[role]}`, ...issue },
    ]);
  });

  it('collects them all, in order', () => {
    const issues = refuse('Name;Qty;Mass\na;x;1\n;1;\nb;0;#N/A\nc;1;3 kg\nc;1;4 kg');
    expect(issues.map(({ code, line }) => [code, line])).toEqual([
      ['no-unit', 1],
      ['not-a-number', 2],
      ['missing-name', 3],
      ['missing-mass', 3],
      ['bad-quantity', 4],
      ['spreadsheet-error', 4],
      ['duplicate-name', 6],
    ]);
  });

  it('lists at most 200 and counts the rest', () => {
    const issues = refuse(`Name;Qty;Mass [kg]\n${'a;1;\n'.repeat(500)}`);
    expect(issues).toHaveLength(201);
    expect(issues.find((issue) => issue.code === 'too-many-issues')?.actual).toBe('300 more');
  });
});

describe('refusals of headings', () => {
  it.each([
    ['Name;Qty\nBase;1', 'no-mass-heading'],
    ['Qty;Mass [kg]\n1;2', 'no-name-heading'],
    ['Name;Qty;Mass\nBase;1;2', 'no-unit'],
    ['Name;Qty;Mass []\nBase;1;2', 'no-unit'],
    ['Name;Qty;Mass [kg];X;Y [mm];Z [mm]\nBase;1;2;3;4;5', 'no-unit'],
    ['Name;Qty;Weight (N)\nBase;1;2', 'wrong-dimension'],
    ['Name;Qty;Weight (lbf)\nBase;1;2', 'wrong-dimension'],
    ['Name;Qty;Mass (stone)\nBase;1;2', 'unknown-unit'],
    ['Name;Qty;Mass [kg];X [kg];Y [mm];Z [mm]\nBase;1;2;3;4;5', 'wrong-dimension'],
    ['Name;Qty;Mass [kg];Weight [lb]\nBase;1;2;4', 'duplicate-heading'],
    ['Name;Name;Mass [kg];Qty\nBase;x;2;1', 'duplicate-heading'],
    ['Name;Qty;Mass [kg];X [mm];Y [mm]\nBase;1;2;3;4', 'incomplete-centre'],
    ['Name;Qty;Mass [kg]\n', 'no-rows'],
    ['Name;Qty;Mass [kg]\nBase;1;2;oak', 'too-many-fields'],
    ['Name,Qty,Mass [kg]\nBase,1,18,5', 'too-many-fields'],
  ])('%j: %s', (text, code) => {
    const issues = refuse(text);
    expect(codes(issues)).toEqual([code]);
    expect(issues[0]?.line).toBe(code === 'too-many-fields' ? 2 : 1);
  });

  it('asks for a name and a mass where a text is no table at all', () => {
    expect(codes(refuse('dear all,\nplease find the cart attached'))).toEqual([
      'no-mass-heading',
      'no-name-heading',
    ]);
  });

  it('counts one piece a row, with a warning, where no heading says how many', () => {
    const list = read('Name;Mass [kg]\nBase;2');
    expect(list.rows[0]?.quantity).toBe(1);
    expect(codes(list.warnings)).toEqual(['no-quantity-heading']);
  });
});

describe('refusals of files', () => {
  it.each([
    ['', 'empty-file'],
    [' \n\n', 'empty-file'],
    ['PK\u0003\u0004...', 'not-csv'],
    ['Name\0;Mass', 'not-csv'],
    ['Name;Qty;Mass [kg]\n"Base;1;2', 'unclosed-quote'],
    ['Name;Qty;Mass [kg]\n"Base"x;1;2', 'text-after-quote'],
    [`Name;Qty;Mass [kg]\n${'x'.repeat(40_000)};1;2`, 'too-long-field'],
    [`Name;Qty;Mass [kg]\n"${'x""'.repeat(20_000)}";1;2`, 'too-long-field'],
  ])('%j: %s', (text, code) => {
    expect(codes(refuse(text))).toEqual([code]);
  });

  it('names the place of a quotation that nothing closes', () => {
    expect(refuse('Name;Qty;Mass [kg]\nBase;1;2\nArm;"1;2\n')).toMatchObject([
      { line: 3, column: 5, actual: '"1;2\\n' },
    ]);
  });

  it('sends no control sequence of the file to a terminal', () => {
    const [issue] = refuse('Name;Qty;Mass [kg]\n\u001b[31mred;1;\u001b[2J');
    expect(JSON.stringify(issue)).not.toContain('\\u001b');
    expect(issue).toMatchObject({ path: '"\ufffd[31mred" > Mass [kg]', actual: '\\u{1b}[2J' });
  });

  it('too large, before anything is parsed', () => {
    expect(codes(refuse('a'.repeat(MAX_INPUT_BYTES + 1)))).toEqual(['file-too-large']);
  });

  it('too many rows or cells', () => {
    const head = 'Name;Qty;Mass [kg]\n';
    expect(codes(refuse(head + 'a;1;2\n'.repeat(MAX_ROWS)))).toEqual(['too-many-rows']);
    expect(codes(refuse(head + ';'.repeat(MAX_CELLS)))).toEqual(['too-many-cells']);
  });
});

describe('properties', () => {
  const cell = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 6 }),
    fc.constantFrom(
      '1',
      '2,5',
      '1,234',
      '0',
      '',
      '"',
      '""',
      '#REF!',
      'Base',
      '4 lb',
      '-',
      'Total',
      '1e9',
    ),
  );
  const heading = fc.oneof(
    cell,
    fc.constantFrom(
      'Name',
      'Qty',
      'Mass [kg]',
      'Mass',
      'Total mass (lb)',
      'X [mm]',
      'Y [mm]',
      'Z [mm]',
      'CoM X',
    ),
  );
  const table = fc
    .tuple(
      fc.array(heading, { maxLength: 8 }),
      fc.array(fc.array(cell, { maxLength: 9 }), { maxLength: 8 }),
      fc.constantFrom(',', ';', '\t'),
      fc.constantFrom('\n', '\r\n', '\r'),
    )
    .map(([head, rows, separator, line]) =>
      [head, ...rows].map((row) => row.join(separator)).join(line),
    );

  it('never throws; every issue says what it is; no number is unreal (fast-check, seed 40)', () => {
    fc.assert(
      fc.property(table, (text) => {
        const result = readPartsListCsv(text, FILE);
        if (result.kind === 'invalid') {
          expect(result.issues.some((issue) => issue.severity === 'error')).toBe(true);
          for (const issue of result.issues) {
            expect(PARTS_LIST_PROBLEMS).toHaveProperty(issue.code);
            expect(issue.allowed).not.toBe('');
            expect((issue.actual ?? '').length).toBeLessThanOrEqual(80);
          }
          return;
        }
        for (const { mass, quantity, at } of result.value.rows) {
          expect(mass > 0 && mass <= 5000).toBe(true);
          expect(Number.isInteger(quantity) && quantity > 0).toBe(true);
          expect((at ?? []).every(Number.isFinite)).toBe(true);
        }
      }),
      { seed: 40, numRuns: 5000 },
    );
  });

  it('splits fields as a CSV library does (fast-check, seed 41)', () => {
    const field = fc
      .array(fc.constantFrom('a', 'é', ',', ';', '"', '\n', '\r\n', ' ', '7'), { maxLength: 6 })
      .map((pieces) => pieces.join(''));
    const quoted = (text: string) => `"${text.replaceAll('"', '""')}"`;
    fc.assert(
      fc.property(fc.array(fc.tuple(field, field), { minLength: 1, maxLength: 6 }), (rows) => {
        // names made unique, so that rows are neither joined nor taken for blank ones
        const lines = rows.map(([a, b], i) => `${quoted(`n${i}${a}`)},1,2,${quoted(b)}`);
        const text = ['Name,Qty,Mass [kg],Note', ...lines].join('\n');
        const theirs = parse(text).slice(1) as string[][];
        const names = theirs.map((record) => (record[0] ?? '').replace(/\s+/g, ' ').trim());
        expect(read(text).rows.map((row) => row.name)).toEqual(names);
      }),
      { seed: 41, numRuns: 2000 },
    );
  });
});
