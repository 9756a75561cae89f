/** Round lengths for a scale bar: 1, 2 or 5 times a power of ten of the unit. */

import { quantityText } from '../analysis/index.js';
import type { Dimension } from '../units/index.js';
import { parseUnit, toSi } from '../units/index.js';

export interface RoundLength {
  /** m */
  readonly metres: number;
  readonly text: string;
}

/** The greatest round length that is at most so long (m). */
export function roundLength(most: number, system: 'SI' | 'US'): RoundLength {
  const unit = system === 'SI' ? 0.001 : unitInSi('in', 'length');
  const metres = roundNumber(most / unit) * unit;
  return { metres, text: quantityText(metres, 'length', system) };
}

/** The greatest of 1, 2 and 5 times a power of ten that is at most so much. */
export function roundNumber(most: number): number {
  const power = 10 ** Math.floor(Math.log10(most) + 1e-9);
  const factor = [5, 2, 1].find((each) => each * power <= most * (1 + 1e-9)) ?? 1;
  return factor * power;
}

/** SI value of one of the unit. */
export function unitInSi(symbol: string, dimension: Dimension): number {
  const result = parseUnit(symbol, dimension);
  if (result.kind !== 'ok') throw new Error(`unitInSi(${symbol}): no such unit`);
  return toSi(1, result.unit);
}
