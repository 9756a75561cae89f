/** A parts list before its meaning: rows of cells, from CSV or from a sheet. */

export interface Cell {
  /**
   * text: read as typed. number: the text is a plain decimal that a spreadsheet stored. error: a
   * spreadsheet's `#REF!`. no-result: a formula whose result was not stored. date, boolean: stored
   * as such.
   */
  readonly kind: 'text' | 'number' | 'boolean' | 'date' | 'error' | 'no-result';
  /** never blank */
  readonly text: string;
  /** character (CSV) or column of the sheet, from 1 */
  readonly column: number;
  /** line (CSV, where a quoted field can run over lines) or row of the sheet, from 1 */
  readonly line: number;
}

/** A row with at least one cell that is not blank. */
export interface TableRow {
  readonly line: number;
  readonly lastLine: number;
  /** by index from 0, blank cells left out */
  readonly cells: ReadonlyMap<number, Cell>;
  /** hidden or filtered away in the spreadsheet */
  readonly hidden: boolean;
}

export interface Table {
  readonly kind: 'csv' | 'sheet';
  /** null for CSV */
  readonly sheet: string | null;
  /** ascending; lines without a row are blank */
  readonly rows: readonly TableRow[];
}
