/** Values in columns of a terminal. */

import type { Amount, Dimension } from '../analysis/index.js';
import { amountText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import { formatQuantity } from '../units/index.js';

/** The same for a narrow column: with both systems asked, one under the other. */
export function amountLines(amount: Amount, units: UnitSystem): string[] {
  if (units !== 'both') return [amountText(amount, units)];
  const [si, us] = [amountText(amount, 'SI'), amountText(amount, 'US')];
  return si === us ? [si] : [si, us];
}

/** With its sign written out in front: a margin. */
export function signedLines(amount: Amount, units: UnitSystem): string[] {
  const sign = amount.value < 0 ? '-' : '+';
  return amountLines({ ...amount, value: Math.abs(amount.value) }, units).map(
    (text) => sign + text,
  );
}

/** Figures of the largest value in a column; the others share its decimals. */
const COLUMN_DIGITS = 4;
/** Every digit that formatQuantity gives: rounding to the column's decimals comes after. */
const ALL_DIGITS = 15;

interface Written {
  readonly number: number;
  readonly unit: string;
}

function written(value: number, dimension: Dimension, system: 'SI' | 'US'): Written {
  const text = formatQuantity(value, dimension, system, { digits: ALL_DIGITS });
  const space = text.indexOf(' ');
  return { number: Number(text.slice(0, space)), unit: text.slice(space + 1) };
}

/** Decimals at which the largest number shows COLUMN_DIGITS figures, less those nobody needs. */
function decimalsOf(numbers: readonly number[]): number {
  const largest = Math.max(...numbers.map(Math.abs));
  const before = largest < 1 ? 1 : Math.floor(Math.log10(largest)) + 1;
  let decimals = Math.max(0, COLUMN_DIGITS - before);
  while (decimals > 0 && numbers.every((number) => number.toFixed(decimals).endsWith('0'))) {
    decimals -= 1;
  }
  return decimals;
}

function fixed(number: number, decimals: number): string {
  const text = number.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

function alignedIn(values: readonly number[], dimension: Dimension, system: 'SI' | 'US'): string[] {
  const all = values.map((value) => written(value, dimension, system));
  return all.map(({ number, unit }) => {
    const alike = all.filter((each) => each.unit === unit).map((each) => each.number);
    return `${fixed(number, decimalsOf(alike))} ${unit}`;
  });
}

/** A column of finite values of one dimension, decimal points under each other where the texts are
 * set flush right; for each value its lines (two with both systems). */
export function columnLines(
  values: readonly number[],
  dimension: Dimension,
  units: UnitSystem,
): string[][] {
  if (units !== 'both') return alignedIn(values, dimension, units).map((text) => [text]);
  const us = alignedIn(values, dimension, 'US');
  return alignedIn(values, dimension, 'SI').map((text, i) =>
    us[i] === undefined || us[i] === text ? [text] : [text, us[i]],
  );
}
