/** Measured values with their uncertainty, as a report states them. */

import type { Dimension } from '../analysis/index.js';
import type { Measured } from '../metrology/index.js';
import { expanded } from '../metrology/index.js';
import type { UnitSystem } from '../units/index.js';
import { formatQuantity } from '../units/index.js';

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

/**
 * '10.42 ± 0.31 deg': the expanded uncertainty (95.45 %) to two figures, the value to its last place (JCGM
 * 100:2008, 7.2.6). With both systems one under the other.
 */
export function measuredLines(
  measured: Measured,
  dimension: Dimension,
  units: UnitSystem,
): string[] {
  return inSystems(units, (system) => measuredIn(measured, dimension, system));
}

/** '+0.42 kg': a difference to the places that its uncertainty leaves it. */
export function differenceLines(
  difference: Measured,
  dimension: Dimension,
  units: UnitSystem,
): string[] {
  return inSystems(units, (system) => {
    const text = measuredIn(difference, dimension, system).replace(/ ± [\d.]+/, '');
    return difference.value > 0 ? `+${text}` : text;
  });
}

function inSystems(units: UnitSystem, text: (system: 'SI' | 'US') => string): string[] {
  const systems = units === 'both' ? (['SI', 'US'] as const) : [units];
  return [...new Set(systems.map(text))];
}

export function measuredText(measured: Measured, dimension: Dimension, units: UnitSystem): string {
  const [first = '', second] = measuredLines(measured, dimension, units);
  return second === undefined ? first : `${first} (${second})`;
}

function measuredIn(measured: Measured, dimension: Dimension, system: 'SI' | 'US'): string {
  const { U } = expanded(measured);
  if (dimension === 'ratio') return withUncertainty(measured.value, U, '');
  const { number, unit } = written(measured.value, dimension, system);
  // in the unit of the value, whatever unit the uncertainty alone would be written in
  const one = Math.abs(measured.value) > 0 ? number / measured.value : 1;
  const scale = measured.value === 0 ? unitScale(dimension, system) : one;
  return withUncertainty(number, U * scale, ` ${unit}`);
}

function unitScale(dimension: Dimension, system: 'SI' | 'US'): number {
  return written(1e-3, dimension, system).number / 1e-3;
}

function withUncertainty(value: number, U: number, unit: string): string {
  if (U === 0) return `${Number(value.toPrecision(4))}${unit}`;
  const decimals = Math.max(0, 1 - Math.floor(Math.log10(U)));
  return `${fixed(value, decimals)} ± ${fixed(U, decimals)}${unit}`;
}

function fixed(value: number, decimals: number): string {
  const text = value.toFixed(Math.min(decimals, 6));
  return Number(text) === 0 ? text.replace('-', '') : text;
}
