/**
 * The parts list a CAD program exports: what each part weighs and where its centre of mass is. A cart
 * file takes masses from it by name. Read from CSV text or an XLSX file; SI inside.
 */

import type { Vec3 } from './cart.js';

/** Larger files are refused before they are parsed: the largest lists seen in practice are below
 * 5 MB (common practice, no source). Bytes of a file, UTF-16 units of a text. */
export const MAX_INPUT_BYTES = 50 * 1024 * 1024;

/** An XLSX file that unpacks, or says it unpacks, to more than this is refused. Its text is held
 * twice while it is read, which this keeps within a small machine's memory. */
export const MAX_UNPACKED_BYTES = 100 * 1024 * 1024;

export const MAX_ROWS = 100_000;
export const MAX_CELLS = 1_000_000;

export interface PartsListRow {
  /** as `partsListName` writes it; unique in the list */
  readonly name: string;
  /** whole, >= 1 */
  readonly quantity: number;
  /** kg of one piece, > 0 */
  readonly mass: number;
  /** kg, >= 0: half-width of the interval the mass of one piece lies in; null: none stated */
  readonly massTolerance: number | null;
  /** m, centre of mass of all its pieces together, in the axes of the list; null: none stated */
  readonly at: Vec3 | null;
  /** line of the CSV file, or row of the sheet, from 1 (of the first row, where rows were joined) */
  readonly line: number;
}

export interface PartsList {
  readonly file: string;
  /** name of the sheet; null for CSV */
  readonly sheet: string | null;
  readonly rows: readonly PartsListRow[];
  /** headings of columns that say nothing we use, as written */
  readonly unusedColumns: readonly string[];
  /** units that the headings name, as we write them; null: none, the cells name their own */
  readonly massUnit: string | null;
  readonly placeUnit: string | null;
}

/** Names are compared by this: no space around them, one space (for line breaks too) within. */
export function partsListName(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}
