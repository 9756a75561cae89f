/** Quantities as they were typed: in the reader's units, and a step further. */

import type { Dimension, UnitSystem } from '../../units/index.js';
import { formatQuantity, parseNumber, parseQuantity } from '../../units/index.js';

/** SI, or the bare number where there is no dimension; null: it cannot be read. */
export function amountOf(text: string, dimension: Dimension | null): number | null {
  const read = dimension === null ? parseNumber(text) : parseQuantity(text, dimension);
  return read.kind === 'ok' ? read.value : null;
}

/** The same in the units chosen, where these are not the ones typed; '' where there is nothing to add. */
export function inOtherUnits(text: string, dimension: Dimension | null, units: UnitSystem): string {
  if (dimension === null || text === '') return '';
  const read = parseQuantity(text, dimension);
  if (read.kind === 'error') return '';
  const systems = units === 'both' ? (['SI', 'US'] as const) : [units];
  const all = systems.map((system) => formatQuantity(read.value, dimension, system));
  const others = all.filter((each) => unitOf(each) !== read.factor.symbol);
  return [...new Set(others)].join(', ');
}

function unitOf(formatted: string): string {
  return formatted.slice(formatted.indexOf(' ') + 1);
}

/** A value of our own reckoning, as it is put into the file: 12 digits tell any measure apart. */
export function typedQuantity(
  value: number,
  dimension: Dimension,
  unit: string | null = null,
): string {
  const plain = formatQuantity(value, dimension, 'SI', { digits: 12 });
  if (unit === null) return plain;
  const one = parseQuantity(`1 ${unit}`, dimension);
  if (one.kind === 'error') return plain;
  return `${Number((value / one.value).toPrecision(12))} ${unit}`;
}

/** One step of a drag, in the unit typed. */
const STEPS: Readonly<Record<string, number>> = {
  mm: 1,
  cm: 0.1,
  m: 0.001,
  in: 0.05,
  ft: 0.005,
  kg: 0.1,
  g: 10,
  lb: 0.1,
  oz: 1,
  deg: 1,
  rad: 0.01,
  mrad: 10,
  N: 1,
  'N m': 0.1,
  'N cm': 1,
  'N mm': 10,
  'lbf in': 0.5,
  'lbf ft': 0.1,
  'N/mm': 10,
  'lbf/in': 50,
};

/** Of coefficients. */
const BARE_STEP = 0.01;

/**
 * The text after so many steps: in the unit typed, with its decimal sign, and no digits that were not
 * there before beyond those of the step.
 *
 * @returns null when the text is no number that can be stepped
 */
export function stepped(text: string, dimension: Dimension | null, steps: number): string | null {
  const bare = dimension === null ? parseNumber(text) : null;
  if (bare !== null) {
    return bare.kind === 'ok' ? numberText(text, bare.value, BARE_STEP, steps) : null;
  }
  const read = dimension === null ? null : parseQuantity(text, dimension);
  if (read === null || read.kind === 'error') return null;
  const number = (read.value * read.factor.over) / read.factor.times;
  const step = STEPS[read.factor.symbol] ?? roughStep(number);
  return `${numberText(text, number, step, steps)} ${read.unit}`;
}

/** A hundredth or so of the value. */
function roughStep(number: number): number {
  return number === 0 ? 1 : 10 ** (Math.floor(Math.log10(Math.abs(number))) - 1);
}

/** More digits than anybody types. */
const MOST_DECIMALS = 9;

function numberText(text: string, number: number, step: number, steps: number): string {
  const typed = /[.,](\d+)/.exec(text)?.[1]?.length ?? 0;
  // fractions of an inch have digits that were not typed
  const held = text.includes('/') ? 4 : Math.min(typed, MOST_DECIMALS);
  const digits = Math.max(held, decimalsOf(step));
  const sum = Number((number + steps * step).toFixed(digits)) + 0;
  const written = String(sum);
  return /\d,\d/.test(text) ? written.replace('.', ',') : written;
}

function decimalsOf(step: number): number {
  return step >= 1 ? 0 : Math.min(MOST_DECIMALS, Math.ceil(-Math.log10(step) - 1e-9));
}
