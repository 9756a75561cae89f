/**
 * A force gauge's file: a table of time and force, and of displacement where the gauge knows it.
 *
 * Separators comma, semicolon, tab or blanks; decimal point or comma; lines before the headings are
 * remarks; units stand in the headings ('Force (N)', 'Zeit [s]', 'F / kN') or in a row under them; times
 * may be clock times. Nothing is guessed and nothing is passed over: what cannot be read is an issue with
 * its line, column, value and what is allowed.
 */

import { readColumns } from './gauge-columns.js';
import { findHeadings } from './gauge-headings.js';
import type { Problem } from './gauge-table.js';
import { linesOf, tableBelow } from './gauge-table.js';
import { unitsOf } from './gauge-units.js';

export interface GaugeTrace {
  /** s, from the first sample on, ascending */
  readonly time: readonly number[];
  /** N; pull and push as the file signs them */
  readonly force: readonly number[];
  /** m, or null: the file has none */
  readonly displacement: readonly number[] | null;
  /** as they stand in the file */
  readonly headings: {
    readonly time: string;
    readonly force: string;
    readonly displacement: string | null;
  };
  /** lines before the headings */
  readonly preamble: readonly string[];
  readonly separator: ',' | ';' | '\t' | ' ';
  readonly decimal: '.' | ',';
}

export interface GaugeFileIssue {
  readonly file: string;
  /** 1 is the first; null: the file as a whole */
  readonly line: number | null;
  readonly column: string | null;
  readonly actual: string | null;
  readonly allowed: string;
  /** the sentence: file, line, column, value, what is allowed */
  readonly message: string;
}

export type GaugeFileOutcome =
  | { readonly kind: 'ok'; readonly trace: GaugeTrace; readonly warnings: readonly string[] }
  | { readonly kind: 'refused'; readonly issues: readonly GaugeFileIssue[] };

/** characters: more than an hour at 100 samples a second */
export const GREATEST_GAUGE_FILE = 20_000_000;
/** issues told one by one; the others are counted */
const MOST_ISSUES = 20;

/** Never throws. @param file its name, for messages */
export function readGaugeFile(text: string, file: string): GaugeFileOutcome {
  const unfit = unfitText(text);
  if (unfit !== null) return refused(file, [unfit]);
  const lines = linesOf(text);
  const found = findHeadings(lines);
  if (found.kind === 'problems') return refused(file, found.problems);
  const { headings } = found;
  const table = tableBelow(lines, headings);
  if (table.kind === 'problems') return refused(file, table.problems);
  const units = unitsOf(headings, table.rows);
  if (units.kind === 'problems') return refused(file, units.problems);
  const columns = readColumns(headings, units.units, table.rows.slice(units.rows));
  if (columns.kind === 'problems') return refused(file, columns.problems);
  const { roles, separator, preamble } = headings;
  const { time, force, displacement, decimal } = columns;
  const trace: GaugeTrace = {
    time,
    force,
    displacement,
    headings: {
      time: roles.time.heading,
      force: roles.force.heading,
      displacement: roles.displacement?.heading ?? null,
    },
    preamble,
    separator,
    decimal,
  };
  const warnings = [...headings.warnings, ...columns.warnings].map((each) => `${file}: ${each}`);
  return { kind: 'ok', trace, warnings };
}

function unfitText(text: string): Problem | null {
  if (text.length > GREATEST_GAUGE_FILE) {
    const actual = `${text.length} characters`;
    return {
      line: null,
      column: null,
      actual,
      allowed: `at most ${GREATEST_GAUGE_FILE} characters`,
    };
  }
  const nul = text.indexOf('\0');
  if (nul >= 0) {
    const line = linesOf(text.slice(0, nul)).length;
    const allowed = 'text in UTF-8 (a file in UTF-16 shows such characters: save it as UTF-8)';
    return { line, column: null, actual: 'a null character', allowed };
  }
  if (text.trim() === '') {
    const allowed = 'headings, such as "Time (s)" and "Force (N)", and a line for each sample';
    return { line: null, column: null, actual: 'an empty file', allowed };
  }
  return null;
}

function refused(file: string, problems: readonly Problem[]): GaugeFileOutcome {
  const told = problems.slice(0, MOST_ISSUES).map((problem) => issueOf(file, problem));
  const more = problems.length - told.length;
  if (more === 0) return { kind: 'refused', issues: told };
  const rest = { line: null, column: null, actual: `${more} more such lines`, allowed: 'none' };
  return { kind: 'refused', issues: [...told, issueOf(file, rest)] };
}

function issueOf(file: string, { line, column, actual, allowed }: Problem): GaugeFileIssue {
  const where = [
    file,
    ...(line === null ? [] : [`line ${line}`]),
    ...(column === null ? [] : [`column ${column}`]),
  ].join(' ');
  const message = `${where}: ${actual ?? 'nothing'}; allowed: ${allowed}`;
  return { file, line, column, actual, allowed, message };
}
