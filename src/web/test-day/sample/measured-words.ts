/** Measured values with their uncertainty, as they are stated. */

import type { Measured } from '../../../metrology/index.js';
import { expanded } from '../../../metrology/index.js';
import type { Dimension, UnitSystem } from '../../../units/index.js';
import { formatQuantity } from '../../../units/index.js';

/** '42.63 ± 0.15 kg': the expanded uncertainty to two figures, the value to its last place (JCGM 100:2008,
 * 7.2.6). */
export function measuredWords(measured: Measured, dimension: Dimension, units: UnitSystem): string {
  const { U } = expanded(measured);
  return inEach(dimension, units, (scale, unit) => {
    const decimals = decimalsFor(U * scale);
    if (decimals === null) return `${Number((measured.value * scale).toPrecision(4))}${unit}`;
    return `${fixed(measured.value * scale, decimals)} ± ${fixed(U * scale, decimals)}${unit}`;
  });
}

/** A difference to the last place of its uncertainty, with its sign. @param U in the unit of the value */
export function differenceWords(
  value: number,
  U: number,
  dimension: Dimension,
  units: UnitSystem,
): string {
  return inEach(dimension, units, (scale, unit) => {
    const decimals = decimalsFor(U * scale);
    const number = value * scale;
    const text = decimals === null ? `${Number(number.toPrecision(4))}` : fixed(number, decimals);
    return `${Number(text) > 0 ? '+' : ''}${text}${unit}`;
  });
}

/** An uncertainty alone, to two figures. */
export function uncertaintyWords(u: number, dimension: Dimension, units: UnitSystem): string {
  return inEach(dimension, units, (scale, unit) => {
    const decimals = decimalsFor(u * scale);
    return `${decimals === null ? '0' : fixed(u * scale, decimals)}${unit}`;
  });
}

function inEach(
  dimension: Dimension,
  units: UnitSystem,
  write: (scale: number, unit: string) => string,
): string {
  if (dimension === 'ratio') return write(1, '');
  const systems = units === 'both' ? (['SI', 'US'] as const) : [units];
  const texts = systems.map((system) => {
    const [scale = '', ...unit] = formatQuantity(1, dimension, system, { digits: 15 }).split(' ');
    return write(Number(scale), ` ${unit.join(' ')}`);
  });
  const [first = '', second] = [...new Set(texts)];
  return second === undefined ? first : `${first} (${second})`;
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
