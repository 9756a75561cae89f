/** From a table to parts: every row is read, or reported. */

import type { Vec3 } from './cart.js';
import { isWithin, QUANTITY_LIMITS } from './limits.js';
import type { PartsList, PartsListRow } from './parts-list.js';
import { partsListName } from './parts-list.js';
import type { Column, Columns, Headings, NumberRole } from './parts-list-headings.js';
import { chooseColumns } from './parts-list-headings.js';
import type { NumberCell, NumberContext, ReadNumber } from './parts-list-numbers.js';
import { findDecimalSign, readNumberCell } from './parts-list-numbers.js';
import type { PartsListLog, Place } from './parts-list-problems.js';
import type { SumOfRows } from './parts-list-sums.js';
import { isWithinRounding, reportPassedOver, sumOfRows } from './parts-list-sums.js';
import type { Table, TableRow } from './parts-list-table.js';

const MOST_PIECES = 100_000;

/** One list while it is read. */
interface Reading extends NumberContext {
  readonly table: Table;
  readonly columns: Columns;
  readonly headings: Headings;
}

/**
 * Reads the rows below the headings.
 *
 * @returns null where there is nothing to read; otherwise what could be read (only to be used when the
 * log holds no error)
 */
export function readParts(
  table: Table,
  headings: Headings,
  file: string,
  log: PartsListLog,
): PartsList | null {
  const columns = chooseColumns(headings, table, log);
  const headingRow = headings.row;
  if (columns === null || headingRow === null) return null;
  const below = table.rows.filter((row) => row.line > headingRow.lastLine);
  const decimal = findDecimalSign(below, columns, log);
  const reading: Reading = { table, columns, headings, log, decimal, reported: new Set() };
  reportPassedOver(table, headingRow, log);
  if (!columns.has('quantity')) reportNoQuantity(reading, headingRow);
  const rows = joinRows(readRows(below, reading), reading);
  if (rows.length === 0 && log.errorCount() === 0) {
    log.error('no-rows', placeOf(headingRow, null, reading), null, 'at least one row with a part');
  }
  const units = {
    massUnit: (columns.get('mass') ?? columns.get('total'))?.unit?.symbol ?? null,
    placeUnit: columns.get('x')?.unit?.symbol ?? null,
  };
  const unused = unusedColumns(headingRow, columns);
  return { file, sheet: table.sheet, rows, unusedColumns: unused, ...units };
}

function reportNoQuantity(reading: Reading, headingRow: TableRow): void {
  const place = placeOf(headingRow, null, reading);
  reading.log.warning('no-quantity-heading', place, null, "a heading 'Quantity' or 'Qty'");
}

function unusedColumns(headingRow: TableRow, columns: Columns): string[] {
  const used = new Set([...columns.values()].map((column) => column.index));
  return [...headingRow.cells]
    .filter(([index]) => !used.has(index))
    .map(([, cell]) => partsListName(cell.text));
}

function readRows(below: readonly TableRow[], reading: Reading): PartsListRow[] {
  const parts: PartsListRow[] = [];
  const sum = sumOfRows();
  for (const row of below) {
    if (repeatsHeadings(row, reading)) continue;
    reportStrayFields(row, reading);
    const part = readRow(row, reading, sum);
    if (part !== null) parts.push(part);
  }
  return parts;
}

function repeatsHeadings(row: TableRow, reading: Reading): boolean {
  const headingRow = reading.headings.row;
  if (headingRow === null || row.cells.size !== headingRow.cells.size) return false;
  for (const [index, cell] of headingRow.cells) {
    if (row.cells.get(index)?.text !== cell.text) return false;
  }
  const allowed = 'the headings once, above the rows';
  reading.log.warning('repeated-heading', placeOf(row, null, reading), null, allowed);
  return true;
}

/** In CSV a cell beyond the headings is how an unquoted decimal comma shows; beside a sheet's table
 * anything may stand. */
function reportStrayFields(row: TableRow, reading: Reading): void {
  if (reading.table.kind === 'sheet') return;
  const lastHeading = Math.max(...(reading.headings.row?.cells.keys() ?? []));
  const stray = [...row.cells].find(([index]) => index > lastHeading);
  if (stray === undefined) return;
  const allowed = `${lastHeading + 1} fields, as the headings; a field that holds the separator (a decimal comma too) in quotation marks`;
  const place = { ...placeOf(row, null, reading), column: stray[1].column };
  reading.log.error('too-many-fields', place, stray[1].text, allowed);
}

const TOTAL_NAME = /^(?:(?:grand|sub)[ -]?)?(?:total|sum)(?: mass| weight)?:?$/i;

function readRow(row: TableRow, reading: Reading, sum: SumOfRows): PartsListRow | null {
  const name = nameOf(row, reading);
  const hasMass = hasCell(row, 'mass', reading) || hasCell(row, 'total', reading);
  if (name === '' && !hasMass && !hasCell(row, 'quantity', reading)) {
    const actual = [...row.cells.values()].map((cell) => cell.text).join(' | ');
    const allowed = 'a row with a name, a quantity and a mass';
    reading.log.warning('row-without-part', placeOf(row, null, reading), actual, allowed);
    return null;
  }
  if (hasMass && (name === '' || TOTAL_NAME.test(name))) {
    return readTotalRow(row, name, reading, sum);
  }
  return readPart(row, name, reading, sum);
}

function nameOf(row: TableRow, reading: Reading): string {
  const column = reading.columns.get('name');
  return column === undefined ? '' : partsListName(row.cells.get(column.index)?.text ?? '');
}

function hasCell(row: TableRow, role: NumberRole, reading: Reading): boolean {
  const column = reading.columns.get(role);
  return column !== undefined && row.cells.has(column.index);
}

/** A row that is the sum of those above it is passed over with a warning; any other is a part without
 * a name, or a list that lost a part. */
function readTotalRow(
  row: TableRow,
  name: string,
  reading: Reading,
  sum: SumOfRows,
): PartsListRow | null {
  const role = hasCell(row, 'total', reading) ? 'total' : 'mass';
  const stated = numberIn(row, role, reading);
  if (typeof stated === 'string') return null;
  const place = placeOf(row, reading.columns.get(role) ?? null, reading);
  const actual = cellText(row, role, reading);
  if (sum.isSum(stated)) {
    reading.log.warning('total-row', place, actual, 'one row for each part');
    sum.startAgain();
  } else if (name === '') {
    reading.log.error('missing-name', place, actual, 'a name for every row with a mass');
  } else {
    const allowed = `the sum of the rows above, ${sum.describe()}; a part has another name`;
    reading.log.error('total-row-disagrees', place, actual, allowed);
  }
  return null;
}

function cellText(row: TableRow, role: NumberRole, reading: Reading): string | null {
  const column = reading.columns.get(role);
  return column === undefined ? null : (row.cells.get(column.index)?.text ?? null);
}

function readPart(
  row: TableRow,
  name: string,
  reading: Reading,
  sum: SumOfRows,
): PartsListRow | null {
  if (name === '') {
    const place = placeOf(row, reading.columns.get('name') ?? null, reading);
    reading.log.error('missing-name', place, null, 'a name for every row with a quantity');
  }
  const quantity = readQuantity(row, reading);
  const mass = readMass(row, quantity, reading);
  const massTolerance = readTolerance(row, mass, reading);
  const at = readCentre(row, reading);
  sum.add(quantity, mass);
  if (name === '' || quantity === null || mass === null || at === 'refused') return null;
  if (massTolerance === 'refused') return null;
  return { name, quantity, mass: mass.value, massTolerance, at, line: row.line };
}

function readQuantity(row: TableRow, reading: Reading): number | null {
  const column = reading.columns.get('quantity');
  if (column === undefined) return 1;
  const read = numberIn(row, 'quantity', reading);
  const place = placeOf(row, column, reading);
  const allowed = `a whole number from 1 to ${MOST_PIECES}`;
  if (read === 'missing') reading.log.error('missing-quantity', place, null, allowed);
  if (typeof read === 'string') return null;
  if (Number.isInteger(read.value) && read.value >= 1 && read.value <= MOST_PIECES) {
    return read.value;
  }
  reading.log.error('bad-quantity', place, cellText(row, 'quantity', reading), allowed);
  return null;
}

/** Mass of one piece, from its column, from the column of totals, or from both when they agree. */
function readMass(row: TableRow, quantity: number | null, reading: Reading): ReadNumber | null {
  const each = checkedMass(row, 'mass', reading);
  const total = checkedMass(row, 'total', reading);
  if (each === 'refused' || total === 'refused') return null;
  if (each === 'missing' && total === 'missing') {
    const column = reading.columns.get('mass') ?? reading.columns.get('total') ?? null;
    const limits = QUANTITY_LIMITS.partMass.words;
    const actual = column === null ? null : (row.cells.get(column.index)?.text ?? null);
    reading.log.error('missing-mass', placeOf(row, column, reading), actual, limits);
    return null;
  }
  if (quantity === null) return null;
  if (each === 'missing') return total === 'missing' ? null : shareOf(total, quantity);
  if (total !== 'missing' && !agree(each, total, quantity)) {
    const place = placeOf(row, reading.columns.get('total') ?? null, reading);
    const allowed = `${quantity} times ${cellText(row, 'mass', reading)}, within the last digit`;
    reading.log.error('total-disagrees', place, cellText(row, 'total', reading), allowed);
    return null;
  }
  return each;
}

function shareOf(total: ReadNumber, quantity: number): ReadNumber {
  return { value: total.value / quantity, lastDigit: total.lastDigit / quantity };
}

/** Both numbers were rounded: the total by half its last digit, each piece by half of its own. */
function agree(each: ReadNumber, total: ReadNumber, quantity: number): boolean {
  const rounding = (total.lastDigit + quantity * each.lastDigit) / 2;
  return isWithinRounding(quantity * each.value, total.value, rounding);
}

function checkedMass(row: TableRow, role: 'mass' | 'total', reading: Reading): NumberCell {
  const column = reading.columns.get(role);
  if (column === undefined) return 'missing';
  const read = numberIn(row, role, reading);
  if (typeof read === 'string') return read;
  const limits = QUANTITY_LIMITS.partMass;
  // a total may weigh what many pieces weigh
  const most = role === 'mass' ? limits.most : limits.most * MOST_PIECES;
  if (read.value > 0 && read.value <= most) return read;
  const code = read.value === 0 ? 'zero-mass' : 'out-of-limits';
  const actual = cellText(row, role, reading);
  reading.log.error(code, placeOf(row, column, reading), actual, limits.words);
  return 'refused';
}

function readTolerance(
  row: TableRow,
  mass: ReadNumber | null,
  reading: Reading,
): number | null | 'refused' {
  const column = reading.columns.get('tolerance');
  if (column === undefined) return null;
  const read = numberIn(row, 'tolerance', reading);
  if (read === 'missing') return null;
  if (read === 'refused' || mass === null) return 'refused';
  if (read.value >= 0 && read.value < mass.value) return read.value;
  const code = read.value < 0 ? 'out-of-limits' : 'tolerance-too-large';
  const allowed = '0 kg or more, less than the mass of one piece';
  const actual = cellText(row, 'tolerance', reading);
  reading.log.error(code, placeOf(row, column, reading), actual, allowed);
  return 'refused';
}

function readCentre(row: TableRow, reading: Reading): Vec3 | null | 'refused' {
  const roles = ['x', 'y', 'z'] as const;
  if (roles.some((role) => !reading.columns.has(role))) return null;
  const read = roles.map((role) => checkedCoordinate(row, role, reading));
  if (read.includes('refused')) return 'refused';
  const missing = roles.filter((_, i) => read[i] === 'missing');
  if (missing.length === 3) return null;
  if (missing.length > 0) {
    const column = reading.columns.get(missing[0] ?? 'x') ?? null;
    const allowed = 'all three coordinates, or none';
    reading.log.error('incomplete-centre', placeOf(row, column, reading), null, allowed);
    return 'refused';
  }
  const [x = 0, y = 0, z = 0] = read.map((each) => (typeof each === 'string' ? 0 : each.value));
  return [x, y, z];
}

function checkedCoordinate(row: TableRow, role: 'x' | 'y' | 'z', reading: Reading): NumberCell {
  const read = numberIn(row, role, reading);
  const limits = QUANTITY_LIMITS.coordinate;
  if (typeof read === 'string' || isWithin(read.value, limits)) return read;
  const place = placeOf(row, reading.columns.get(role) ?? null, reading);
  reading.log.error('out-of-limits', place, cellText(row, role, reading), limits.words);
  return 'refused';
}

function numberIn(row: TableRow, role: NumberRole, reading: Reading): NumberCell {
  const column = reading.columns.get(role);
  if (column === undefined) return 'missing';
  const place = placeOf(row, column, reading);
  return readNumberCell(row.cells.get(column.index), column, place, reading);
}

/** `"Display 24" > Mass [kg]`, in a sheet `sheet "Parts" "Display 24" > Mass [kg]`. */
function placeOf(row: TableRow, column: Column | null, reading: Reading): Place {
  const sheet = reading.table.sheet === null ? '' : `sheet "${reading.table.sheet}" `;
  const cell = column === null ? undefined : row.cells.get(column.index);
  const isHeading = row === reading.headings.row;
  const name = isHeading ? '' : nameOf(row, reading).slice(0, 60);
  const rowName = isHeading ? 'headings' : name === '' ? 'row without a name' : `"${name}"`;
  const path = column === null ? `${sheet}${rowName}` : `${sheet}${rowName} > ${column.heading}`;
  return { line: cell?.line ?? row.line, column: cell?.column ?? null, path };
}

/** Rows with one name become one: their quantities add, if each piece weighs the same. */
function joinRows(parts: readonly PartsListRow[], reading: Reading): PartsListRow[] {
  const joined = new Map<string, PartsListRow>();
  for (const part of parts) {
    const first = joined.get(part.name);
    joined.set(part.name, first === undefined ? part : joinTwo(first, part, reading));
  }
  return [...joined.values()];
}

/** Masses that print alike in any unit: a table in lb and kg rounds at 1e-16. */
const SAME_MASS = 1e-12;

function joinTwo(first: PartsListRow, second: PartsListRow, reading: Reading): PartsListRow {
  const place: Place = { line: second.line, column: null, path: `"${second.name.slice(0, 60)}"` };
  const isSame =
    Math.abs(first.mass - second.mass) <= SAME_MASS * first.mass &&
    first.massTolerance === second.massTolerance &&
    (first.at === null) === (second.at === null);
  if (!isSame) {
    const allowed = `another name than the row at ${first.line}, or the same mass, tolerance and kind of place`;
    reading.log.error('duplicate-name', place, second.name, allowed);
    return first;
  }
  reading.log.warning(
    'rows-joined',
    place,
    second.name,
    `one row for each name (see ${first.line})`,
  );
  const quantity = first.quantity + second.quantity;
  return { ...first, quantity, at: centreOfBoth(first, second) };
}

/** Both rows are pieces of one mass, so that their common centre is the mean by number. */
function centreOfBoth(first: PartsListRow, second: PartsListRow): Vec3 | null {
  if (first.at === null || second.at === null) return null;
  const share = second.quantity / (first.quantity + second.quantity);
  const [ax, ay, az] = first.at;
  const [bx, by, bz] = second.at;
  return [ax + share * (bx - ax), ay + share * (by - ay), az + share * (bz - az)];
}
