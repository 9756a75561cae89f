/** Quantities as people write them, into SI. */

import type { DecimalSign } from './number-text.js';
import { isTooLong, normaliseNumberText, readNumber, shorten, splitNumber } from './number-text.js';
import type { Dimension, Unit } from './unit-table.js';
import {
  dimensionAllowed,
  dimensionNoun,
  listUnits,
  normaliseUnit,
  unitsSpelled,
  unitsSpelledInAnyCase,
} from './unit-table.js';

export type QuantityErrorCode =
  | 'no-unit'
  | 'unknown-unit'
  | 'wrong-dimension'
  | 'not-a-number'
  | 'ambiguous-number';

export interface QuantityError {
  readonly kind: 'error';
  readonly code: QuantityErrorCode;
  /** one sentence that quotes the text and says what is wrong with it */
  readonly message: string;
  /** 'a length with its unit, such as 320 mm or 12.5 in' */
  readonly allowed: string;
}

export type QuantityResult =
  | {
      readonly kind: 'ok';
      /** SI (m, kg, rad, N, N m, N/m, m/s, J, 1, s), finite */
      readonly value: number;
      /** as typed */
      readonly unit: string;
      /** the unit it was taken for */
      readonly factor: Unit;
    }
  | QuantityError;

export type UnitResult = { readonly kind: 'ok'; readonly unit: Unit } | QuantityError;

/**
 * Reads a number with its unit. Units are matched in exact case (12 nm is no moment); any sign of
 * the value is taken, ranges are the caller's. Never throws.
 */
export function parseQuantity(
  text: string,
  dimension: Dimension,
  decimal: DecimalSign = 'either',
): QuantityResult {
  const parts = isTooLong(text) ? null : splitNumber(normaliseNumberText(text));
  // a rest that goes on like a number: 1.2.3 kg, 5e3.2 kg
  if (parts === null || /^[\d.,/]/.test(parts.rest)) {
    return failure('not-a-number', `"${shorten(text)}" does not begin with a number`, dimension);
  }
  const number = readNumber(parts.number, text, decimal);
  if (number.kind === 'error') return failure(number.code, number.message, dimension);
  const found = parseUnit(parts.rest, dimension, text);
  if (found.kind === 'error') return found;
  const value = toSi(number.value, found.unit);
  if (!Number.isFinite(value) || (value === 0 && number.value !== 0)) {
    return failure('not-a-number', `"${shorten(text)}" is beyond every range`, dimension);
  }
  return { kind: 'ok', value, unit: parts.rest, factor: found.unit };
}

/** A number in a unit, in SI. */
export function toSi(value: number, unit: Unit): number {
  return (value * unit.times) / unit.over;
}

/** An SI value as a number of a unit. */
export function fromSi(value: number, unit: Unit): number {
  return (value * unit.over) / unit.times;
}

/**
 * Finds a unit by itself, in exact case; `source` is the text that messages quote.
 */
export function parseUnit(text: string, dimension: Dimension, source = text): UnitResult {
  return chooseUnit(text, dimension, source, unitsSpelled(normaliseUnit(text)));
}

/** As `parseUnit` in any case, for headings of tables, where people write [KG]. */
export function parseUnitInAnyCase(text: string, dimension: Dimension, source = text): UnitResult {
  return chooseUnit(text, dimension, source, unitsSpelledInAnyCase(normaliseUnit(text)));
}

function chooseUnit(
  text: string,
  dimension: Dimension,
  source: string,
  candidates: readonly Unit[],
): UnitResult {
  const unit = candidates.find((u) => u.dimension === dimension);
  if (unit !== undefined) return { kind: 'ok', unit };
  const quoted = shorten(source);
  const typed = shorten(text);
  if (typed === '') return failure('no-unit', `"${quoted}" has no unit`, dimension);
  const other = candidates[0];
  const advice = advise(normaliseUnit(text), dimension);
  if (other !== undefined) {
    const is = `${typed} is the unit of ${dimensionNoun(other.dimension)}`;
    const say = advice ?? `${dimensionNoun(dimension)} is due`;
    return failure('wrong-dimension', `"${quoted}": ${is}; ${say}`, dimension);
  }
  const say = advice ?? `${dimensionNoun(dimension)} is in ${listUnits(dimension).join(', ')}`;
  return failure(
    'unknown-unit',
    `"${quoted}": the unit ${typed} is not known here; ${say}`,
    dimension,
  );
}

// Pounds, ounces and kilograms where the force they exert is meant: the one confusion that changes
// a result by a factor of ten, so that the message says what to write.
const FORCE_OF_MASS: readonly (readonly [RegExp, string])[] = [
  [/\b(?:lbs?|lbm|pounds?)\b/g, 'lbf'],
  [/\b(?:oz|ounces?)\b/g, 'ozf'],
  [/\b(?:kgs?|kilograms?|kilogrammes?)\b/g, 'kgf'],
];

const MASS_OF_FORCE: Readonly<Record<string, string>> = { lbf: 'lb', ozf: 'oz', kgf: 'kg' };

function advise(typed: string, dimension: Dimension): string | null {
  const sameInOtherCase = unitsSpelledInAnyCase(typed).find((u) => u.dimension === dimension);
  if (sameInOtherCase !== undefined) return `write ${sameInOtherCase.symbol}`;
  if (dimension === 'mass') {
    const mass = MASS_OF_FORCE[typed];
    return mass === undefined ? null : `write ${mass} for a mass`;
  }
  const meant = withForceUnits(typed);
  if (meant === typed || !unitsSpelled(meant).some((u) => u.dimension === dimension)) return null;
  const instead = meant === 'kgf' ? 'N or kgf' : meant;
  return `write ${instead} for ${dimensionNoun(dimension)}`;
}

function withForceUnits(typed: string): string {
  return FORCE_OF_MASS.reduce((text, [mass, force]) => text.replace(mass, force), typed);
}

function failure(code: QuantityErrorCode, message: string, dimension: Dimension): QuantityError {
  return { kind: 'error', code, message, allowed: dimensionAllowed(dimension) };
}
