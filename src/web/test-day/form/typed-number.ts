/** Numbers whose unit is said once for all of them: in the heading of a table, or above the readings. */

import type { Dimension } from '../../../units/index.js';
import { parseNumber, parseQuantity } from '../../../units/index.js';

export const FORCE_UNITS = ['N', 'lbf', 'kgf'] as const;
export type ForceUnit = (typeof FORCE_UNITS)[number];
export const MASS_UNITS = ['kg', 'lb', 'g'] as const;
export type MassUnit = (typeof MASS_UNITS)[number];
export const LENGTH_UNITS = ['mm', 'in', 'cm'] as const;
export type LengthUnit = (typeof LENGTH_UNITS)[number];

/** '12.4' typed in a column of kg is '12.4 kg'; whatever else was typed stays as it is. */
export function withUnit(text: string, unit: string): string {
  const typed = text.trim();
  return isNumber(typed) ? `${typed} ${unit}` : typed;
}

/** The number alone, where it is in the unit of the column. */
export function withoutUnit(typed: string, unit: string): string {
  const end = ` ${unit}`;
  const number = typed.endsWith(end) ? typed.slice(0, -end.length) : typed;
  return isNumber(number) ? number : typed;
}

function isNumber(text: string): boolean {
  return text !== '' && parseNumber(text).kind === 'ok';
}

/** The unit that the first of some quantities was typed in; the first of the units for any other. */
export function unitOf<U extends string>(
  typed: readonly string[],
  units: readonly [U, ...U[]],
  dimension: Dimension,
): U {
  const read = typed.map((each) => parseQuantity(each, dimension)).find((r) => r.kind === 'ok');
  return units.find((unit) => read?.unit === unit) ?? units[0];
}

/** SI; null: one of them cannot be read */
export function sumOf(typed: readonly string[], dimension: Dimension): number | null {
  let sum = 0;
  for (const each of typed) {
    const read = parseQuantity(each, dimension);
    if (read.kind === 'error') return null;
    sum += read.value;
  }
  return sum;
}
