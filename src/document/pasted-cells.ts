/** The cells of a table pasted from a spreadsheet, before anything is read out of them. */

import { MAX_ROWS } from './parts-list.js';
import type { Separator } from './parts-list-csv.js';
import { scanRows } from './parts-list-csv.js';
import type { TableRow } from './parts-list-table.js';

export type PastedCells =
  | { readonly kind: 'ok'; readonly rows: readonly (readonly string[])[] }
  | { readonly kind: 'refused'; readonly reason: string };

/**
 * Tabs part the cells where there are any, as spreadsheets copy them; else semicolons; else commas, unless
 * every one of them stands between digits: then it is a decimal comma. Blank lines within are rows
 * without text.
 */
export function readPastedCells(text: string): PastedCells {
  const { rows, stop } = scanRows(text, separatorOf(text), MAX_ROWS);
  if (stop !== null) {
    const place = `line ${stop.line}, character ${stop.column}`;
    return { kind: 'refused', reason: `${place}: allowed is ${stop.allowed}` };
  }
  return { kind: 'ok', rows: withBlankRows(rows) };
}

function separatorOf(text: string): Separator {
  if (text.includes('\t')) return '\t';
  if (text.includes(';')) return ';';
  return /(?<!\d),|,(?!\d)/.test(text) ? ',' : '\t';
}

function withBlankRows(rows: readonly TableRow[]): readonly (readonly string[])[] {
  const cells: string[][] = [];
  let next = rows[0]?.line ?? 1;
  for (const row of rows) {
    for (; next < row.line; next += 1) cells.push(['']);
    cells.push(cellsOf(row));
    next = row.lastLine + 1;
  }
  return cells;
}

function cellsOf(row: TableRow): string[] {
  const count = Math.max(...row.cells.keys()) + 1;
  return Array.from({ length: count }, (_, index) => row.cells.get(index)?.text ?? '');
}
