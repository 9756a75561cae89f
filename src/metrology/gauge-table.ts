/** The lines of a gauge's file, and the table below its headings. */

import { parse } from 'csv-parse/browser/esm/sync';

export interface Problem {
  readonly line: number | null;
  readonly column: string | null;
  readonly actual: string | null;
  readonly allowed: string;
}

export interface Problems {
  readonly kind: 'problems';
  readonly problems: readonly Problem[];
}

export type Separator = ',' | ';' | '\t' | ' ';

export const SEPARATOR_NAMES: Readonly<Record<Separator, string>> = {
  ',': 'comma',
  ';': 'semicolon',
  '\t': 'tab',
  ' ': 'blanks',
};

export interface Row {
  /** in the file, from 1 */
  readonly line: number;
  /** trimmed */
  readonly cells: readonly string[];
}

/** The lines of a text, whichever way they end, its byte order mark dropped. */
export function linesOf(text: string): string[] {
  return text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
}

/** Blanks in a row, plain or not, separate once. */
function spaced(line: string, separator: Separator): string {
  return separator === ' ' ? line.trim().replace(/[ \t\u00a0]+/g, ' ') : line;
}

const OPTIONS = { relax_column_count: true, trim: true, record_delimiter: '\n' } as const;

/** The cells of one line; null where its quotes do not close. */
export function cellsOf(line: string, separator: Separator): readonly string[] | null {
  try {
    return parse(spaced(line, separator), { ...OPTIONS, delimiter: separator })[0] ?? [];
  } catch {
    return null;
  }
}

export interface TablePlace {
  /** line of the headings, from 1 */
  readonly line: number;
  readonly separator: Separator;
  /** columns that the headings name */
  readonly count: number;
}

export type TableOutcome = { readonly kind: 'ok'; readonly rows: readonly Row[] } | Problems;

/** Every line below the headings, but for blank ones at the end. */
export function tableBelow(lines: readonly string[], place: TablePlace): TableOutcome {
  const body = lines.slice(place.line).map((line) => spaced(line, place.separator));
  const table = body.some((line) => line.includes('"'))
    ? quotedRows(body, place)
    : bareRows(body, place);
  if (table.kind === 'problems') return table;
  const rows = table.rows.slice(0, table.rows.findLastIndex((row) => !isBlank(row)) + 1);
  const problems = rows.flatMap((row) => countProblem(row, place) ?? []);
  return problems.length > 0 ? { kind: 'problems', problems } : { kind: 'ok', rows };
}

/** Without quotation marks a separator is one wherever it stands: no need for a parser, which takes ten
 * times as long on the long files of quick gauges. */
function bareRows(body: readonly string[], place: TablePlace): TableOutcome {
  const rows = body.map((line, i) => ({
    line: place.line + i + 1,
    cells: line.split(place.separator).map((cell) => cell.trim()),
  }));
  return { kind: 'ok', rows };
}

function quotedRows(body: readonly string[], place: TablePlace): TableOutcome {
  const rows: Row[] = [];
  try {
    parse(body.join('\n'), {
      ...OPTIONS,
      delimiter: place.separator,
      on_record: (cells: string[], { lines: ends }) => {
        rows.push({ line: place.line + ends, cells });
        return null;
      },
    });
    return { kind: 'ok', rows };
  } catch (error) {
    return { kind: 'problems', problems: [quoteProblem(error, place.line)] };
  }
}

function isBlank({ cells }: Row): boolean {
  return cells.every((cell) => cell === '');
}

function quoteProblem(error: unknown, before: number): Problem {
  const ends =
    error instanceof Error && 'lines' in error && typeof error.lines === 'number'
      ? error.lines
      : null;
  return {
    line: ends === null ? null : before + ends,
    column: null,
    actual: 'quotation marks that do not close',
    allowed: 'quotation marks in pairs, around a whole value',
  };
}

function countProblem(row: Row, { count, separator }: TablePlace): Problem | null {
  const { cells, line } = row;
  if (isBlank(row)) {
    const allowed = 'a sample on every line down to the last';
    return { line, column: null, actual: 'a blank line', allowed };
  }
  const extra = cells.slice(count).some((cell) => cell !== '');
  if (cells.length >= count && !extra) return null;
  const commas = separator === ',' && extra && cells.length % count === 0;
  const hint = commas
    ? ' (decimal commas need another separator, or quotation marks around each number)'
    : '';
  const actual = cells.length === 1 ? shown(cells[0] as string) : `${cells.length} values`;
  const allowed = `${count} values, as the headings say, separated by ${SEPARATOR_NAMES[separator]}${hint}`;
  return { line, column: null, actual, allowed };
}

/** Values longer than this are told by their beginning. */
const LONGEST_SHOWN = 40;

/** In quotation marks, on one line. */
export function shown(text: string): string {
  const line = text.replace(/\s+/g, ' ');
  return `"${line.length > LONGEST_SHOWN ? `${line.slice(0, LONGEST_SHOWN - 1)}…` : line}"`;
}
