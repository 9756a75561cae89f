/** SI values into the units an engineer reads. */

import { fromSi } from './quantity.js';
import type { Dimension, Unit } from './unit-table.js';
import { UNITS } from './unit-table.js';

export type UnitSystem = 'SI' | 'US' | 'both';

export interface FormatOptions {
  /** significant digits, 1 to 15; trailing zeros are dropped. Default 4. */
  readonly digits?: number;
}

/** Enough to tell 14.04 from 14.05 deg, and no more than masses and lengths of a cart are known to. */
const DEFAULT_DIGITS = 4;

/**
 * A number below this, in the unit shown, is what rounding left of a zero (coordinates are of the
 * order of 1e3 mm and carry 2e-13 of that) and prints as 0.
 */
const NOISE = 1e-9;

/** Lengths from here on in metres (or feet): no cart's dimension is drawn that long. */
const LONG = 10;

/** N m, a little below 10 lbf ft: moments of castors and brakes are read in lbf in, of carts in
 * lbf ft. */
const LARGE_US_MOMENT = 13.5;

/**
 * `320 mm`, `12.6 in`, or both as `320 mm (12.6 in)`; a unit that both systems share is written
 * once. Units: mm (from 10 m on: m), kg, deg, N, N m, N/mm, m/s, J, %, s; US: in (from 10 m on: ft),
 * lb, deg, lbf, lbf in (from about 10 lbf ft on: lbf ft), lbf/in, ft/s, ft lbf, %, s. The minus sign is
 * the plain `-`, so that `parseQuantity` and a terminal both take the result.
 *
 * Throws a RangeError for a value that is not finite, or digits out of range.
 */
export function formatQuantity(
  value: number,
  dimension: Dimension,
  system: UnitSystem,
  options: FormatOptions = {},
): string {
  const digits = options.digits ?? DEFAULT_DIGITS;
  if (!Number.isFinite(value) || !Number.isInteger(digits) || digits < 1 || digits > 15) {
    throw new RangeError(`formatQuantity(${value}, ${dimension}, ${system}, digits ${digits})`);
  }
  const si = write(value, siUnit(value, dimension), digits);
  const us = write(value, usUnit(value, dimension), digits);
  if (system === 'SI') return si;
  if (system === 'US') return us;
  return si === us ? si : `${si} (${us})`;
}

function write(value: number, unit: Unit, digits: number): string {
  const inUnit = fromSi(value, unit);
  const rounded = Math.abs(inUnit) < NOISE ? 0 : Number(inUnit.toPrecision(digits));
  return `${rounded} ${unit.symbol}`;
}

const SI_SYMBOLS: Readonly<Record<Dimension, string>> = {
  length: 'mm',
  mass: 'kg',
  angle: 'deg',
  force: 'N',
  moment: 'N m',
  stiffness: 'N/mm',
  speed: 'm/s',
  energy: 'J',
  ratio: '%',
  time: 's',
};

const US_SYMBOLS: Readonly<Record<Dimension, string>> = {
  length: 'in',
  mass: 'lb',
  angle: 'deg',
  force: 'lbf',
  moment: 'lbf in',
  stiffness: 'lbf/in',
  speed: 'ft/s',
  energy: 'ft lbf',
  ratio: '%',
  time: 's',
};

function siUnit(value: number, dimension: Dimension): Unit {
  if (dimension === 'length' && Math.abs(value) >= LONG) return unitOf(dimension, 'm');
  return unitOf(dimension, SI_SYMBOLS[dimension]);
}

function usUnit(value: number, dimension: Dimension): Unit {
  if (dimension === 'length' && Math.abs(value) >= LONG) return unitOf(dimension, 'ft');
  if (dimension === 'moment' && Math.abs(value) >= LARGE_US_MOMENT) {
    return unitOf(dimension, 'lbf ft');
  }
  return unitOf(dimension, US_SYMBOLS[dimension]);
}

function unitOf(dimension: Dimension, symbol: string): Unit {
  const unit = UNITS.find((u) => u.dimension === dimension && u.symbol === symbol);
  if (unit === undefined) throw new Error(`unitOf(${dimension}, ${symbol}): no such unit`);
  return unit;
}
