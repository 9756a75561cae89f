/** Parts lists in CSV: separator found from the headings, quoted fields, exact places. */

import type { ReadResult } from './issue.js';
import type { PartsList } from './parts-list.js';
import { MAX_CELLS, MAX_INPUT_BYTES, MAX_ROWS } from './parts-list.js';
import { findHeadings, HEADING_ROWS } from './parts-list-headings.js';
import type { PartsListLog, PartsListProblemCode } from './parts-list-problems.js';
import { partsListLog, WHOLE_FILE } from './parts-list-problems.js';
import { readParts } from './parts-list-rows.js';
import type { Cell, Table, TableRow } from './parts-list-table.js';

export type Separator = ',' | ';' | '\t';

/** The reason why reading stopped, and where. */
interface Stop {
  readonly code: PartsListProblemCode;
  readonly line: number;
  readonly column: number;
  readonly actual: string | null;
  readonly allowed: string;
}

export interface Scan {
  readonly rows: readonly TableRow[];
  readonly stop: Stop | null;
}

/**
 * Reads a parts list from CSV text (see `decodeText` for bytes). Fields are separated by commas,
 * semicolons or tabs, whichever makes headings we know; never throws.
 */
export function readPartsListCsv(text: string, file: string): ReadResult<PartsList> {
  const log = partsListLog(file);
  if (refuseText(text, log)) return log.result<PartsList>(null);
  const scan = scanRows(text, findSeparator(text), MAX_ROWS);
  if (scan.stop !== null) {
    const { code, line, column, actual, allowed } = scan.stop;
    log.error(code, { line, column, path: `line ${line}` }, actual, allowed);
    return log.result<PartsList>(null);
  }
  const table: Table = { kind: 'csv', sheet: null, rows: scan.rows };
  return log.result(readParts(table, findHeadings(table), file, log));
}

function refuseText(text: string, log: PartsListLog): boolean {
  if (text.length > MAX_INPUT_BYTES) {
    const allowed = `at most ${MAX_INPUT_BYTES} characters`;
    log.error('file-too-large', WHOLE_FILE, `${text.length} characters`, allowed);
  } else if (text.startsWith('PK\u0003\u0004') || text.includes('\0')) {
    log.error('not-csv', WHOLE_FILE, null, 'text; a spreadsheet file is read by its name in .xlsx');
  } else if (text.replace('\ufeff', '').trim() === '') {
    log.error('empty-file', WHOLE_FILE, null, 'a table with headings');
  }
  return log.errorCount() > 0;
}

/** The separator that makes the most headings; the comma where none makes any. */
function findSeparator(text: string): Separator {
  let best: { separator: Separator; score: number } = { separator: ',', score: 0 };
  for (const separator of [';', '\t', ','] as const) {
    const { rows } = scanRows(text, separator, HEADING_ROWS);
    const { score } = findHeadings({ kind: 'csv', sheet: null, rows });
    if (score > best.score) best = { separator, score };
  }
  return best.separator;
}

/** A spreadsheet cell holds no more; a longer field is a quotation closed far too late. */
const LONGEST_FIELD = 32_767;

interface Field {
  readonly text: string;
  /** offset of the first character after the field: a separator, a line break, or the end */
  readonly end: number;
}

/**
 * Splits text into rows (RFC 4180, with these liberties: any line break, any of three separators,
 * spaces around fields, quotation marks within an unquoted field, since parts are called 24" display).
 * Own scanner: it knows the line and character of every field and stops at a limit.
 */
export function scanRows(text: string, separator: Separator, mostRows: number): Scan {
  const rows: TableRow[] = [];
  const breaks = lineBreaks(text.startsWith('\ufeff') ? 1 : 0);
  let cellCount = 0;
  let at = breaks.start();
  while (at < text.length && rows.length < mostRows) {
    const cells = new Map<number, Cell>();
    const firstLine = breaks.line();
    for (let index = 0; ; index += 1) {
      const place = { line: breaks.line(), column: at - breaks.start() + 1 };
      const field = scanField(text, at, separator);
      if ('code' in field) return { rows, stop: { ...field, ...place } };
      if (field.text !== '') cells.set(index, { kind: 'text', text: field.text, ...place });
      cellCount += 1;
      if (cellCount > MAX_CELLS) return { rows, stop: tooMany('too-many-cells', MAX_CELLS, place) };
      breaks.pass(text, at, field.end);
      at = field.end + 1;
      if (text[field.end] !== separator) break;
    }
    const lastLine = breaks.line();
    if (cells.size > 0) rows.push({ line: firstLine, lastLine, cells, hidden: false });
    at = breaks.next(text, at - 1);
  }
  if (at >= text.length || mostRows < MAX_ROWS) return { rows, stop: null };
  const place = { line: breaks.line(), column: 1 };
  return { rows, stop: tooMany('too-many-rows', MAX_ROWS, place) };
}

function tooMany(
  code: 'too-many-rows' | 'too-many-cells',
  most: number,
  place: { line: number; column: number },
): Stop {
  return { code, ...place, actual: `more than ${most}`, allowed: `at most ${most}` };
}

/** Keeps count of lines while the scanner goes forward. */
function lineBreaks(start: number) {
  let line = 1;
  let lineStart = start;
  const startLine = (offset: number) => {
    line += 1;
    lineStart = offset;
  };
  return {
    line: () => line,
    start: () => lineStart,
    /** counts the line breaks inside a quoted field */
    pass(text: string, from: number, to: number): void {
      if (text[from] !== '"' && !/["\n\r]/.test(text.slice(from, to))) return;
      for (let i = from; i < to; i += 1) {
        const next = afterBreak(text, i);
        if (next > i) startLine(next);
        if (next > i + 1) i += 1;
      }
    },
    /** goes past the line break at the end of a record */
    next(text: string, end: number): number {
      const next = afterBreak(text, end);
      if (next > end) startLine(next);
      return next > end ? next : end + 1;
    },
  };
}

/** The offset after the line break at `i`, or `i` where there is none. */
function afterBreak(text: string, i: number): number {
  if (text[i] === '\n') return i + 1;
  if (text[i] === '\r') return text[i + 1] === '\n' ? i + 2 : i + 1;
  return i;
}

type FieldProblem = Pick<Stop, 'code' | 'actual' | 'allowed'>;

function scanField(text: string, from: number, separator: Separator): Field | FieldProblem {
  let start = from;
  while (text[start] === ' ') start += 1;
  if (text[start] === '"') return scanQuoted(text, start, separator);
  let end = start;
  while (end < text.length && !isFieldEnd(text[end], separator)) end += 1;
  return end - start > LONGEST_FIELD
    ? tooLong(text, start)
    : { text: text.slice(start, end).trim(), end };
}

function scanQuoted(text: string, start: number, separator: Separator): Field | FieldProblem {
  let close = text.indexOf('"', start + 1);
  while (close !== -1 && text[close + 1] === '"' && close - start <= LONGEST_FIELD) {
    close = text.indexOf('"', close + 2);
  }
  if (close === -1) {
    const actual = text.slice(start, start + 40);
    return { code: 'unclosed-quote', actual, allowed: 'a closing "' };
  }
  if (close - start > LONGEST_FIELD) return tooLong(text, start);
  let end = close + 1;
  while (text[end] === ' ') end += 1;
  if (end < text.length && !isFieldEnd(text[end], separator)) {
    const allowed = 'a separator or a line break after the closing "; a " within is written ""';
    return { code: 'text-after-quote', actual: text.slice(start, start + 40), allowed };
  }
  return {
    text: text
      .slice(start + 1, close)
      .replaceAll('""', '"')
      .trim(),
    end,
  };
}

function tooLong(text: string, start: number): FieldProblem {
  const allowed = `at most ${LONGEST_FIELD} characters between separators`;
  return { code: 'too-long-field', actual: text.slice(start, start + 40), allowed };
}

function isFieldEnd(character: string | undefined, separator: Separator): boolean {
  return character === separator || character === '\n' || character === '\r';
}
