/** Measured values with their uncertainty, as they are stated: the expanded uncertainty (95.45 %) to two
 * figures, the value to its last place (JCGM 100:2008, 7.2.6). */

import type { Dimension, UnitSystem } from '../units/index.js';
import { formatQuantity } from '../units/index.js';
import type { Measured } from './measured.js';
import { expanded } from './uncertainty.js';

/** '42.63 ± 0.15 kg', in both systems '42.63 ± 0.15 kg (93.98 ± 0.33 lb)' */
export function measuredText(measured: Measured, dimension: Dimension, units: UnitSystem): string {
  return together(measuredTexts(measured, dimension, units));
}

/** One a unit system; one alone where both write it alike. */
export function measuredTexts(
  measured: Measured,
  dimension: Dimension,
  units: UnitSystem,
): readonly string[] {
  const { U } = expanded(measured);
  return inEach(dimension, units, (scale, unit) => {
    const decimals = decimalsFor(U * scale);
    if (decimals === null) return `${Number((measured.value * scale).toPrecision(4))}${unit}`;
    return `${fixed(measured.value * scale, decimals)} ± ${fixed(U * scale, decimals)}${unit}`;
  });
}

/** '+0.42 kg': a difference to the places that its uncertainty leaves it. @param U expanded, in the unit of
 * the value */
export function differenceText(
  value: number,
  U: number,
  dimension: Dimension,
  units: UnitSystem,
): string {
  return together(differenceTexts(value, U, dimension, units));
}

export function differenceTexts(
  value: number,
  U: number,
  dimension: Dimension,
  units: UnitSystem,
): readonly string[] {
  return inEach(dimension, units, (scale, unit) => {
    const decimals = decimalsFor(U * scale);
    const number = value * scale;
    const text = decimals === null ? `${Number(number.toPrecision(4))}` : fixed(number, decimals);
    return `${Number(text) > 0 ? '+' : ''}${text}${unit}`;
  });
}

/** An uncertainty alone, to two figures. */
export function uncertaintyText(u: number, dimension: Dimension, units: UnitSystem): string {
  return together(
    inEach(dimension, units, (scale, unit) => {
      const decimals = decimalsFor(u * scale);
      return `${decimals === null ? '0' : fixed(u * scale, decimals)}${unit}`;
    }),
  );
}

function together([first = '', second]: readonly string[]): string {
  return second === undefined ? first : `${first} (${second})`;
}

/** @param write with what one unit of SI is in the unit, and the unit with a blank before it */
function inEach(
  dimension: Dimension,
  units: UnitSystem,
  write: (scale: number, unit: string) => string,
): readonly string[] {
  // nobody writes a coefficient in per cent
  if (dimension === 'ratio') return [write(1, '')];
  const systems = units === 'both' ? (['SI', 'US'] as const) : [units];
  const texts = systems.map((system) => {
    const [scale = '', ...unit] = formatQuantity(1, dimension, system, { digits: 15 }).split(' ');
    return write(Number(scale), ` ${unit.join(' ')}`);
  });
  return [...new Set(texts)];
}

/** More places than anything here is known to. */
const MOST_DECIMALS = 9;

/** Places that show two figures of an uncertainty; null: there is none */
function decimalsFor(U: number): number | null {
  if (!(U > 0) || !Number.isFinite(U)) return null;
  return Math.min(MOST_DECIMALS, Math.max(0, 1 - Math.floor(Math.log10(U))));
}

function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}
