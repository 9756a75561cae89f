// Writes examples/telehealth-parts.xlsx, the same parts list as examples/telehealth-parts.csv, as a
// spreadsheet program would keep it:
//   node --import tsx scripts/write-telehealth-parts.ts
import { readFileSync, writeFileSync } from 'node:fs';
import { writeXlsx } from 'hucre';
import type { PartsListRow } from '../src/document/index.js';
import { readPartsListCsv, sentence } from '../src/document/index.js';

const csv = new URL('../examples/telehealth-parts.csv', import.meta.url);
const xlsx = new URL('../examples/telehealth-parts.xlsx', import.meta.url);

/** Fixed, so that the file is the same whenever it is written. */
const WRITTEN = new Date('2026-01-01T00:00:00Z');

function cells(row: PartsListRow): (string | number)[] {
  if (row.at === null) throw new Error(`${row.name} has no centre of mass`);
  // whole millimetres in the list; the product carries the rounding of the metres
  const millimetres = row.at.map((coordinate) => Math.round(coordinate * 1000));
  return [row.name, row.quantity, row.mass, ...millimetres];
}

const list = readPartsListCsv(readFileSync(csv, 'utf8'), 'examples/telehealth-parts.csv');
if (list.kind === 'invalid') throw new Error(list.issues.map(sentence).join('\n'));
const headings = ['Name', 'Quantity', 'Mass [kg]', 'X [mm]', 'Y [mm]', 'Z [mm]'];
const rows = [headings, ...list.value.rows.map(cells)];
const bytes = await writeXlsx({
  sheets: [{ name: 'Parts', rows }],
  properties: { title: 'Telehealth cart, parts list', created: WRITTEN, modified: WRITTEN },
});
writeFileSync(xlsx, bytes);
