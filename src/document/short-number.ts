/** Numbers as they are written into a file: no longer than they are. */

import type { Dimension, Unit } from '../units/index.js';
import { formatQuantity, fromSi, parseQuantity, toSi } from '../units/index.js';

/** Relative: what is written differs from the value by less, far below what any drawing states and
 * far above the rounding of a change of units (1e-16). */
const WRITTEN_WITHIN = 1e-11;

/** Relative: a few units in the last place, which the change of units may cost. */
const EXACT_WITHIN = 1e-15;

/** The number with the fewest digits that stands for the value.
 *
 * @param value SI, or a bare number where there is no unit
 * @param within relative */
export function shortNumber(value: number, unit: Unit | null, within = WRITTEN_WITHIN): string {
  const inUnit = unit === null ? value : fromSi(value, unit);
  for (let digits = 1; digits < 17; digits += 1) {
    const candidate = Number(inUnit.toPrecision(digits));
    const read = unit === null ? candidate : toSi(candidate, unit);
    if (Math.abs(read - value) <= within * Math.abs(value)) return String(candidate);
  }
  return String(inUnit);
}

/** Equal as far as anything written tells. */
export function isSame(a: number, b: number): boolean {
  return Math.abs(a - b) <= WRITTEN_WITHIN * Math.max(Math.abs(a), Math.abs(b));
}

export function isSameOrNull(a: number | null, b: number | null): boolean {
  return a === null || b === null ? a === b : isSame(a, b);
}

/** The unit of a dimension on our sheets: mm, kg, deg, N m. */
export function sheetUnit(dimension: Dimension): Unit {
  const parsed = parseQuantity(formatQuantity(1, dimension, 'SI'), dimension);
  if (parsed.kind === 'error') throw new Error(`sheetUnit(${dimension})`);
  return parsed.factor;
}

/** In the units of our sheets, every digit kept. */
export function sheetQuantity(value: number, dimension: Dimension): string {
  const unit = sheetUnit(dimension);
  return `${shortNumber(value, unit, EXACT_WITHIN)} ${unit.symbol}`;
}
