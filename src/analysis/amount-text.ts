/** Values in the units the reader asked for. */

import type { Vec2, Vec3 } from '../document/index.js';
import type { UnitSystem } from '../units/index.js';
import { formatQuantity } from '../units/index.js';
import type { Amount, Dimension } from './finding.js';

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
