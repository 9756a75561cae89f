/** One number of a parts list, with the unit of its heading or its own. */

import type { DecimalSign, Unit } from '../units/index.js';
import { parseNumber, parseQuantity, toSi } from '../units/index.js';
import type { Column, Columns } from './parts-list-headings.js';
import type { PartsListLog, Place } from './parts-list-problems.js';
import type { Cell, TableRow } from './parts-list-table.js';

export interface ReadNumber {
  /** SI; a count for quantities */
  readonly value: number;
  /** SI: one unit of the last digit written, 0 where that has no meaning (fractions) */
  readonly lastDigit: number;
}

/** 'missing': nothing there. 'refused': something there, and reported. */
export type NumberCell = ReadNumber | 'missing' | 'refused';

/** What all the cells of one list share. */
export interface NumberContext {
  readonly decimal: DecimalSign;
  readonly log: PartsListLog;
  /** columns without a unit that were reported already */
  readonly reported: Set<Column>;
}

const NOTHING = /^(?:[-\u2010-\u2015\u2212]+|n\/?a)$/i;
const SPREADSHEET_ERROR = /^#(?:REF!|N\/A|VALUE!|DIV\/0!|NAME\?|NULL!|NUM!|SPILL!|CALC!|BUSY!)$/i;

const DIMENSION_OF = {
  mass: 'mass',
  total: 'mass',
  tolerance: 'mass',
  x: 'length',
  y: 'length',
  z: 'length',
} as const;

/** Reads a cell of a column for a mass, a coordinate or the quantity. */
export function readNumberCell(
  cell: Cell | undefined,
  column: Column,
  place: Place,
  context: NumberContext,
): NumberCell {
  if (!column.readable) return 'refused';
  if (cell === undefined || (cell.kind === 'text' && NOTHING.test(cell.text))) return 'missing';
  if (column.role === 'name') throw new Error('readNumberCell: a name is no number');
  if (refuseKind(cell, place, context.log)) return 'refused';
  const number = parseNumber(cell.text, cell.kind === 'number' ? 'either' : context.decimal);
  if (number.kind === 'ok') return withHeadingUnit(number.value, cell, column, context);
  if (column.role !== 'quantity' && number.code === 'not-a-number') {
    return withOwnUnit(cell, column, place, context);
  }
  context.log.error(number.code, place, cell.text, number.allowed);
  return 'refused';
}

function refuseKind(cell: Cell, place: Place, log: PartsListLog): boolean {
  if (cell.kind === 'error' || (cell.kind === 'text' && SPREADSHEET_ERROR.test(cell.text))) {
    log.error('spreadsheet-error', place, cell.text, 'a number');
  } else if (cell.kind === 'no-result') {
    const allowed = 'a number, or a formula saved with its result';
    log.error('no-stored-result', place, cell.text, allowed);
  } else if (cell.kind === 'date' || cell.kind === 'boolean') {
    const what = cell.kind === 'date' ? `date ${cell.text}` : cell.text;
    log.error('not-a-number', place, what, 'a number in a cell formatted as a number');
  } else return false;
  return true;
}

function withHeadingUnit(
  value: number,
  cell: Cell,
  column: Column,
  context: NumberContext,
): NumberCell {
  if (column.role === 'quantity') return { value, lastDigit: 1 };
  if (column.unit === null) {
    reportNoUnit(column, context);
    return 'refused';
  }
  return inSi(value, cell.text, column.unit);
}

function reportNoUnit(column: Column, context: NumberContext): void {
  if (context.reported.has(column)) return;
  context.reported.add(column);
  const example = column.role === 'x' || column.role === 'y' || column.role === 'z' ? 'mm' : 'kg';
  const allowed = `a heading with its unit, such as '${column.heading} [${example}]'`;
  context.log.error('no-unit', column.place, column.heading, allowed);
}

function withOwnUnit(cell: Cell, column: Column, place: Place, context: NumberContext): NumberCell {
  const dimension = DIMENSION_OF[column.role as keyof typeof DIMENSION_OF];
  const read = parseQuantity(cell.text, dimension, context.decimal);
  if (read.kind === 'error') {
    const code = read.code === 'no-unit' ? 'not-a-number' : read.code;
    const allowed = column.unit === null ? read.allowed : `a number of ${column.unit.symbol}`;
    context.log.error(code, place, cell.text, allowed);
    return 'refused';
  }
  const { unit } = column;
  if (unit !== null && unit.times / unit.over !== read.factor.times / read.factor.over) {
    context.log.error('other-unit', place, cell.text, `a number of ${unit.symbol}`);
    return 'refused';
  }
  const number = cell.text.slice(0, cell.text.length - read.unit.length);
  return { value: read.value, lastDigit: inSi(0, number, read.factor).lastDigit };
}

function inSi(value: number, text: string, unit: Unit): ReadNumber {
  return { value: toSi(value, unit), lastDigit: toSi(lastDigitOf(text), unit) };
}

function lastDigitOf(text: string): number {
  const match = /^[-+\u2212]?\d*(?:[.,](\d+))?(?:e([-+]?\d+))?$/i.exec(text.trim());
  if (match === null) return 0;
  return 10 ** (Number(match[2] ?? '0') - (match[1] ?? '').length);
}

/**
 * Whether the numbers of a list have a decimal comma: 1,234 alone could be a thousand or one, but a
 * list with 12,5 or 0,350 in it, and no decimal point anywhere, settles it. Says so in a warning
 * when that decided a number.
 */
export function findDecimalSign(
  rows: readonly TableRow[],
  columns: Columns,
  log: PartsListLog,
): DecimalSign {
  let evidence: Cell | null = null;
  let undecided = false;
  for (const row of rows) {
    for (const column of columns.values()) {
      const cell = row.cells.get(column.index);
      if (column.role === 'name' || cell === undefined || cell.kind !== 'text') continue;
      const sign = decimalSignOf(cell.text);
      if (sign === 'point') return 'either';
      if (sign === 'comma' && evidence === null) evidence = cell;
      if (sign === 'undecided') undecided = true;
    }
  }
  if (evidence === null || !undecided) return evidence === null ? 'either' : 'comma';
  const { line, column, text } = evidence;
  const allowed = 'the same decimal sign in all numbers; this number decided the others';
  log.warning('decimal-comma', { line, column, path: 'numbers such as 1,234' }, text, allowed);
  return 'comma';
}

function decimalSignOf(text: string): 'point' | 'comma' | 'undecided' | 'none' {
  const match = /^[-+\u2212\u2013]? ?(\d*)([.,])(\d+)(?![\d.,])/.exec(text);
  if (match === null) return 'none';
  const [, whole = '', sign, decimals = ''] = match;
  const couldGroup = /^[1-9]\d{0,2}$/.test(whole) && decimals.length === 3;
  if (sign === ',') return couldGroup ? 'undecided' : 'comma';
  return couldGroup ? 'none' : 'point';
}
