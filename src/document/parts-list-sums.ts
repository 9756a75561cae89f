/** Sums within a parts list, and rows that are no parts. */

import type { ReadNumber } from './parts-list-numbers.js';
import type { PartsListLog } from './parts-list-problems.js';
import type { Table, TableRow } from './parts-list-table.js';

interface Sum {
  /** kg */
  value: number;
  /** kg: what the rounding of its terms can add up to */
  rounding: number;
}

/** Rounding beyond this share of a total (masses written as 1 kg, 2 kg) settles nothing. */
const MOST_ROUNDING = 0.05;

/** A spreadsheet stores its sums in binary: far above 1e-16, far below a gram in any cart. */
const BINARY_ROUNDING = 1e-9;

/** Whether a stated total is the computed one, when rounding of what was added and of the total can
 * make up to `rounding` (kg). */
export function isWithinRounding(computed: number, stated: number, rounding: number): boolean {
  const most = Math.min(rounding, MOST_ROUNDING * stated) + BINARY_ROUNDING * stated;
  return Math.abs(computed - stated) <= most;
}

export interface SumOfRows {
  /** null: the row was refused, and no sum below it can be judged */
  add(quantity: number | null, mass: ReadNumber | null): void;
  /** Whether a stated total is the sum, within what rounding allows; true where that cannot be
   * judged, so that one refused row is reported once. */
  isSum(stated: ReadNumber): boolean;
  /** begins a section, after a subtotal */
  startAgain(): void;
  /** '44.2 kg' */
  describe(): string;
}

/** Follows the sum of a list from row to row, in all and since the last subtotal. */
export function sumOfRows(): SumOfRows {
  const all: Sum = { value: 0, rounding: 0 };
  let section: Sum = { value: 0, rounding: 0 };
  let isComplete = true;
  return {
    add(quantity, mass) {
      if (quantity === null || mass === null) {
        isComplete = false;
        return;
      }
      for (const sum of [all, section]) {
        sum.value += quantity * mass.value;
        sum.rounding += (quantity * mass.lastDigit) / 2;
      }
    },
    isSum(stated) {
      if (!isComplete) return true;
      return [all, section].some((sum) => {
        const rounding = sum.rounding + stated.lastDigit / 2;
        return isWithinRounding(sum.value, stated.value, rounding);
      });
    },
    startAgain() {
      section = { value: 0, rounding: 0 };
    },
    describe: () => `${Number(all.value.toPrecision(6))} kg`,
  };
}

/** Blank lines between the headings and the last row, and hidden rows: one warning each. */
export function reportPassedOver(table: Table, headingRow: TableRow, log: PartsListLog): void {
  const blank: string[] = [];
  const hidden: string[] = [];
  let last = headingRow.lastLine;
  for (const row of table.rows) {
    if (row.line <= headingRow.lastLine) continue;
    if (row.line > last + 1) blank.push(span(last + 1, row.line - 1));
    if (row.hidden) hidden.push(span(row.line, row.line));
    last = row.lastLine;
  }
  const sheet = table.sheet === null ? 'rows' : `sheet "${table.sheet}" rows`;
  report('blank-rows', blank);
  report('hidden-rows', hidden);

  function report(code: 'blank-rows' | 'hidden-rows', spans: readonly string[]): void {
    if (spans.length === 0) return;
    const line = Number.parseInt(spans[0] ?? '', 10);
    const allowed = code === 'blank-rows' ? 'one row for each part' : 'rows that can be seen';
    log.warning(code, { line, column: null, path: sheet }, spans.slice(0, 20).join(', '), allowed);
  }
}

function span(from: number, to: number): string {
  return from === to ? String(from) : `${from} to ${to}`;
}
