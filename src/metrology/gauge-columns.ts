/** The values of a gauge's columns, in SI. */

import type { Unit } from '../units/index.js';
import { fromSi, toSi } from '../units/index.js';
import type { HeadedColumn, Headings } from './gauge-headings.js';
import type { DecimalSign } from './gauge-numbers.js';
import { clockSeconds, decimalOf, numberOf } from './gauge-numbers.js';
import type { Problem, Problems, Row } from './gauge-table.js';
import { shown } from './gauge-table.js';
import type { ColumnUnits } from './gauge-units.js';
import { median } from './trace-samples.js';

export interface Columns {
  readonly kind: 'ok';
  /** s from the first sample on */
  readonly time: readonly number[];
  /** N */
  readonly force: readonly number[];
  /** m */
  readonly displacement: readonly number[] | null;
  readonly decimal: DecimalSign;
  readonly warnings: readonly string[];
}

/** samples: fewer show no pull, more are no pull */
const LEAST_SAMPLES = 10;
const MOST_SAMPLES = 500_000;

export function readColumns(
  headings: Headings,
  units: ColumnUnits,
  rows: readonly Row[],
): Columns | Problems {
  const amount = amountProblem(rows);
  if (amount !== null) return { kind: 'problems', problems: [amount] };
  const { time, force, displacement } = headings.roles;
  const decimal = decimalOf(valuesOf(rows, [time, force, displacement], units));
  if (decimal === 'ambiguous') return { kind: 'problems', problems: [ambiguous(rows, force)] };
  const problems: Problem[] = [];
  const read = (column: HeadedColumn, unit: Unit) =>
    rows.map((row) => numberIn(row, column, unit, decimal, problems));
  const forces = read(force, units.force);
  const travels =
    displacement === null || units.displacement === null
      ? null
      : read(displacement, units.displacement);
  const clock = units.time === 'clock' ? clockTimes(rows, time, problems) : null;
  const times = clock ?? read(time, units.time as Unit);
  if (problems.length === 0) problems.push(...orderProblems(rows, time, times));
  if (problems.length > 0) return { kind: 'problems', problems: byLine(problems) };
  const start = times[0] as number;
  return {
    kind: 'ok',
    time: times.map((t) => t - start),
    force: forces,
    displacement: travels,
    decimal,
    warnings: [
      ...(clock === null ? [] : midnightWarnings(rows, clock)),
      ...gapWarnings(rows, times),
    ],
  };
}

function amountProblem(rows: readonly Row[]): Problem | null {
  const actual = `${rows.length} samples`;
  if (rows.length < LEAST_SAMPLES) {
    return { line: null, column: null, actual, allowed: `at least ${LEAST_SAMPLES} samples` };
  }
  if (rows.length <= MOST_SAMPLES) return null;
  return { line: null, column: null, actual, allowed: `at most ${MOST_SAMPLES} samples` };
}

function byLine(problems: readonly Problem[]): readonly Problem[] {
  return [...problems].sort((p, q) => (p.line ?? 0) - (q.line ?? 0));
}

/** The texts of the columns that are numbers. */
function* valuesOf(
  rows: readonly Row[],
  columns: readonly (HeadedColumn | null)[],
  units: ColumnUnits,
): Iterable<string> {
  for (const column of columns) {
    if (column === null || (column.role === 'time' && units.time === 'clock')) continue;
    for (const { cells } of rows) yield cells[column.index] ?? '';
  }
}

function ambiguous(rows: readonly Row[], { index, heading }: HeadedColumn): Problem {
  const row = rows.find(({ cells }) => cells[index]?.includes(',')) ?? rows[0];
  return {
    line: row?.line ?? null,
    column: heading,
    actual: `${shown(row?.cells[index] ?? '')} can be read with a decimal comma or as thousands, and so can every other value with a comma`,
    allowed: 'a decimal point, and nothing between thousands',
  };
}

const ALLOWED: Readonly<Record<DecimalSign, string>> = {
  '.': 'a number with a decimal point, such as 12.5, with nothing between thousands',
  ',': 'a number with a decimal comma as in the rest of the file, such as 12,5, with nothing between thousands',
};

function numberIn(
  { cells, line }: Row,
  { index, heading }: HeadedColumn,
  unit: Unit,
  decimal: DecimalSign,
  problems: Problem[],
): number {
  const text = cells[index] ?? '';
  const number = numberOf(text, decimal);
  const value = number === null ? Number.NaN : toSi(number, unit);
  if (Number.isFinite(value) && Math.abs(value) < GREATEST) return value;
  const actual = text === '' ? 'no value' : shown(text);
  const allowed =
    number === null
      ? ALLOWED[decimal]
      : `at most ${fromSi(GREATEST, unit).toPrecision(3)} ${unit.symbol}`;
  problems.push({ line, column: heading, actual, allowed });
  return Number.NaN;
}

/** SI: no force, time or travel of a test is so great; sums of squares stay finite. */
const GREATEST = 1e9;

const DAY = 86_400;
/** s by which a clock that passes midnight falls back at least */
const MIDNIGHT = 43_200;

/** s, rising over midnight. */
function clockTimes(rows: readonly Row[], column: HeadedColumn, problems: Problem[]): number[] {
  let days = 0;
  let before: number | null = null;
  return rows.map(({ cells, line }) => {
    const text = cells[column.index] ?? '';
    const seconds = clockSeconds(text);
    if (seconds === null) {
      const actual = text === '' ? 'no value' : shown(text);
      problems.push({ line, column: column.heading, actual, allowed: 'a clock time hh:mm:ss.sss' });
      return Number.NaN;
    }
    if (before !== null && seconds < before - MIDNIGHT) days += 1;
    before = seconds;
    return days * DAY + seconds;
  });
}

function orderProblems(
  rows: readonly Row[],
  { index, heading }: HeadedColumn,
  times: readonly number[],
): Problem[] {
  return rows.flatMap((row, i) => {
    const previous = rows[i - 1];
    if (previous === undefined || (times[i] as number) > (times[i - 1] as number)) return [];
    const text = shown(row.cells[index] ?? '');
    const actual = times[i] === times[i - 1] ? `${text} again` : text;
    const allowed = `a later time than ${shown(previous.cells[index] ?? '')} of line ${previous.line}`;
    return [{ line: row.line, column: heading, actual, allowed }];
  });
}

function midnightWarnings(rows: readonly Row[], times: readonly number[]): string[] {
  const at = times.findIndex((t) => t >= DAY);
  return at > 0 ? [`line ${rows[at]?.line}: the clock is taken to have passed midnight`] : [];
}

/** A gap is longer than so many usual intervals, and than so many s. */
const GAP = 10;
const LEAST_GAP = 0.1;
const MOST_GAPS = 5;

function gapWarnings(rows: readonly Row[], times: readonly number[]): string[] {
  const intervals = times.slice(1).map((t, i) => t - (times[i] as number));
  const usual = median(intervals);
  const long = intervals.flatMap((each, i) =>
    each > Math.max(GAP * usual, LEAST_GAP) ? [i + 1] : [],
  );
  const start = times[0] as number;
  const at = (i: number) => Number(((times[i] as number) - start).toPrecision(5));
  const told = long
    .slice(0, MOST_GAPS)
    .map(
      (i) =>
        `line ${rows[i]?.line}: nothing was recorded from ${at(i - 1)} s to ${at(i)} s; usual is a sample every ${Number(usual.toPrecision(2))} s`,
    );
  const more = long.length - told.length;
  return more > 0 ? [...told, `${more} more such gaps`] : told;
}
