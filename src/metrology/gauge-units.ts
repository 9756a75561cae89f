/** The units of a gauge's columns: from the headings, or from a row of units under them. */

import type { Dimension, Unit } from '../units/index.js';
import { listUnits, parseUnitInAnyCase } from '../units/index.js';
import type { HeadedColumn, Headings, Role } from './gauge-headings.js';
import { isClock, isNumeric } from './gauge-numbers.js';
import type { Problem, Problems, Row } from './gauge-table.js';
import { shown } from './gauge-table.js';

export interface ColumnUnits {
  /** 'clock': hh:mm:ss.sss */
  readonly time: Unit | 'clock';
  readonly force: Unit;
  readonly displacement: Unit | null;
}

export type UnitsOutcome =
  | {
      readonly kind: 'ok';
      readonly units: ColumnUnits;
      /** rows of units under the headings: 0 or 1 */
      readonly rows: 0 | 1;
    }
  | Problems;

const DIMENSIONS: Readonly<Record<Role, Dimension>> = {
  time: 'time',
  force: 'force',
  displacement: 'length',
};

/** What gauges write for units that the table of units spells otherwise, in lower case. */
const SPELLINGS: ReadonlyMap<string, string> = new Map([
  ...[
    'sec',
    'secs',
    'sek',
    'sekunde',
    'sekunden',
    'seconde',
    'secondes',
    'segundo',
    'segundos',
  ].map((text) => [text, 's'] as const),
  ...['msec', 'msecs', 'millisekunden', 'millisecondes', 'milisegundos'].map(
    (text) => [text, 'ms'] as const,
  ),
]);

const CLOCK = /^h{1,2}:mm:ss(?:[.,](?:s+|f+|0+|ms|zzz))?$/i;

export function unitsOf(headings: Headings, rows: readonly Row[]): UnitsOutcome {
  const { roles } = headings;
  const columns = [
    roles.time,
    roles.force,
    ...(roles.displacement === null ? [] : [roles.displacement]),
  ];
  const first = rows[0];
  const below = first !== undefined && isUnitRow(first, columns) ? first : null;
  const said = (column: HeadedColumn) => {
    const under = below?.cells[column.index]?.replace(/^[([{<]\s*|\s*[)\]}>]$/g, '') ?? '';
    return {
      text: column.unit || under,
      under,
      line: column.unit === '' && below !== null ? below.line : headings.line,
    };
  };
  const data = rows[below === null ? 0 : 1];
  const problems: Problem[] = [];
  const unit = (column: HeadedColumn): Unit | null => {
    const { text, under, line } = said(column);
    const found = parseUnitInAnyCase(
      SPELLINGS.get(text.toLowerCase()) ?? text,
      DIMENSIONS[column.role],
      text,
    );
    if (found.kind === 'error') problems.push(unitProblem(column, text, line, found.message));
    else if (under !== '' && column.unit !== '' && under !== column.unit) {
      const allowed = `the same unit in the heading and under it`;
      problems.push({
        line: below?.line ?? null,
        column: column.heading,
        actual: shown(under),
        allowed,
      });
    }
    return found.kind === 'error' ? null : found.unit;
  };
  const time = isClockColumn(said(roles.time).text, data?.cells[roles.time.index])
    ? 'clock'
    : unit(roles.time);
  const force = unit(roles.force);
  const displacement = roles.displacement === null ? null : unit(roles.displacement);
  if (problems.length > 0 || time === null || force === null) return { kind: 'problems', problems };
  return { kind: 'ok', units: { time, force, displacement }, rows: below === null ? 0 : 1 };
}

/** A row under the headings without a number in any column that is read. */
function isUnitRow({ cells }: Row, columns: readonly HeadedColumn[]): boolean {
  const read = columns.map(({ index }) => cells[index] ?? '');
  return (
    read.every((cell) => !isNumeric(cell) && !isClock(cell)) && read.some((cell) => cell !== '')
  );
}

/** By its unit, or where it names none by its first value. */
function isClockColumn(unit: string, first: string | undefined): boolean {
  return CLOCK.test(unit) || (unit === '' && first !== undefined && isClock(first));
}

function unitProblem(column: HeadedColumn, text: string, line: number, why: string): Problem {
  const units = listUnits(DIMENSIONS[column.role]).join(', ');
  const clock = column.role === 'time' ? '; or clock times hh:mm:ss.sss' : '';
  const allowed = `${units}, as in ${shown(EXAMPLES[column.role])}${clock}`;
  const actual = text === '' ? 'no unit' : why;
  return { line, column: column.heading, actual, allowed };
}

const EXAMPLES: Readonly<Record<Role, string>> = {
  time: 'Time (s)',
  force: 'Force (N)',
  displacement: 'Travel (mm)',
};
