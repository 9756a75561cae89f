/** Values in the units the reader asked for. */

import type { Amount, Dimension } from '../analysis/index.js';
import type { Vec2, Vec3 } from '../document/index.js';
import type { UnitSystem } from '../units/index.js';
import { formatQuantity } from '../units/index.js';

/** What an amount is called where a number cannot be given. */
const UNLIMITED = 'unlimited';

export function amountText(amount: Amount, units: UnitSystem): string {
  if (amount.value === Number.POSITIVE_INFINITY) return UNLIMITED;
  // Friction coefficients and the like: nobody writes a coefficient in per cent.
  if (amount.dimension === 'ratio') return String(Number(amount.value.toPrecision(4)));
  return formatQuantity(amount.value, amount.dimension, units);
}

export function quantityText(value: number, dimension: Dimension, units: UnitSystem): string {
  return amountText({ value, dimension }, units);
}

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

/** A point on the floor or in space: 'x 250 mm, y -20 mm'. */
export function pointText(point: Vec2 | Vec3, units: UnitSystem): string {
  return ['x', 'y', 'z']
    .slice(0, point.length)
    .map((axis, i) => `${axis} ${quantityText(point[i] ?? 0, 'length', units)}`)
    .join(', ');
}

const HEADINGS = [
  'forward',
  'forward and left',
  'left',
  'back and left',
  'back',
  'back and right',
  'right',
  'forward and right',
] as const;

/** Which way an angle of the cart frame (from x, forward, towards y, left; rad) points:
 * 'left (90 deg)'. */
export function headingText(direction: number, units: UnitSystem): string {
  const turn = ((direction % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);
  const word = HEADINGS[Math.round(turn / (Math.PI / 4)) % HEADINGS.length] ?? '';
  return `${word} (${quantityText(turn > Math.PI ? turn - 2 * Math.PI : turn, 'angle', units)})`;
}

/** A count with its digits in groups of three. */
export function countText(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/g, '\u202f');
}
