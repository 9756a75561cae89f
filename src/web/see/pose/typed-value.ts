/** A value typed into a field of the pose. */

import type { Dimension } from '../../../analysis/index.js';
import { quantityText } from '../../../analysis/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { parseQuantity } from '../../../units/index.js';

export type TypedValue =
  | { readonly kind: 'ok'; readonly value: number }
  | { readonly kind: 'refused'; readonly words: string };

export interface Allowed {
  /** SI */
  readonly from: number;
  readonly to: number;
  /** null: any within */
  readonly stops: readonly number[] | null;
  /** 0 too, though it is below the range */
  readonly orNothing?: boolean;
}

/** SI: typed with few digits, an end or a stop is meant. */
const CLOSE = 1e-4;

/** A bare number is in the unit that the field shows. */
export function readTyped(
  text: string,
  dimension: Dimension,
  units: UnitSystem,
  allowed: Allowed,
): TypedValue {
  const bare = /^[-+\d.,\s]+$/.test(text.trim());
  const unit = fieldText(0, dimension, units).replace(/^\S+\s*/, '');
  const read = parseQuantity(bare ? `${text} ${unit}` : text, dimension);
  if (read.kind === 'error') return { kind: 'refused', words: read.message };
  const value = settled(read.value, allowed);
  if (value !== null) return { kind: 'ok', value };
  return { kind: 'refused', words: `Allowed: ${allowedWords(allowed, dimension, units)}.` };
}

function settled(value: number, { from, to, stops, orNothing }: Allowed): number | null {
  if (orNothing === true && value === 0) return 0;
  if (stops !== null) return stops.find((stop) => Math.abs(stop - value) <= CLOSE) ?? null;
  if (value < from - CLOSE || value > to + CLOSE) return null;
  return Math.min(to, Math.max(from, value));
}

export function allowedWords(
  { from, to, stops, orNothing }: Allowed,
  dimension: Dimension,
  units: UnitSystem,
): string {
  const text = (value: number): string => quantityText(value, dimension, units);
  if (stops !== null) return stops.map(text).join(', ');
  return `${orNothing === true && from > 0 ? 'absent, or ' : ''}${text(from)} to ${text(to)}`;
}

/** In one system: a field holds one number. */
export function fieldText(value: number, dimension: Dimension, units: UnitSystem): string {
  const text = quantityText(value, dimension, units === 'US' ? 'US' : 'SI');
  // what rounding left of a zero has no sign
  return text.replace(/^-0 /, '0 ');
}
