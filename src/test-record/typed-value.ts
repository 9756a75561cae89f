/**
 * Quantities of the record, as typed, in SI; and temperatures in degrees Celsius.
 *
 * Temperatures have a reader of their own: their scales differ by more than a factor (0 degC is 273.15 K),
 * which the table of `src/units`, numbers times a factor, does not know and nothing else here needs.
 */

import type { Dimension } from '../units/index.js';
import { parseNumber, parseQuantity } from '../units/index.js';
import type { Typed } from './entry-body.js';

/** No quantity that people write is longer; longer text is not even looked at. */
export const LONGEST_TYPED = 60;

/** @throws RangeError for a text that `readEntry` would have refused */
export function siOf(typed: Typed, dimension: Dimension): number {
  const read = typed.length > LONGEST_TYPED ? null : parseQuantity(typed, dimension);
  if (read?.kind === 'ok') return read.value;
  throw new RangeError(`siOf(${JSON.stringify(typed.slice(0, LONGEST_TYPED))}, ${dimension})`);
}

/** Which of some dimensions a text is of; null: of none of them. */
export function dimensionOf<D extends Dimension>(typed: Typed, dimensions: readonly D[]): D | null {
  if (typed.length > LONGEST_TYPED) return null;
  return dimensions.find((each) => parseQuantity(typed, each).kind === 'ok') ?? null;
}

interface Scale {
  readonly spelling: RegExp;
  /** degC of a temperature */
  readonly celsius: (number: number) => number;
  /** K of a difference of temperatures */
  readonly difference: (number: number) => number;
}

/** Exact by definition: t/degC = T/K - 273.15 (SI Brochure, 9th edition, 2.3.1), and t/degC =
 * (t/degF - 32) / 1.8 (NIST SP 811, 2008, B.8). */
const SCALES: readonly Scale[] = [
  { spelling: /^(?:°|deg ?)?C$/, celsius: (t) => t, difference: (t) => t },
  {
    spelling: /^(?:°|deg ?)?F$/,
    celsius: (t) => ((t - 32) * 5) / 9,
    difference: (t) => (t * 5) / 9,
  },
  { spelling: /^K$/, celsius: (t) => t - 273.15, difference: (t) => t },
];

export const TEMPERATURE_UNITS = ['degC', 'degF', 'K'] as const;

/** degC of '21 degC', '21,5 °C', '70 degF' or '294 K'; null: it is no temperature */
export function celsiusIn(typed: Typed): number | null {
  const read = temperature(typed);
  return read === null ? null : read.scale.celsius(read.number);
}

/** K of the difference '0.5 degC', '0.5 K' or '1 degF': of an uncertainty or a resolution; null: it is
 * none */
export function kelvinsIn(typed: Typed): number | null {
  const read = temperature(typed);
  return read === null ? null : read.scale.difference(read.number);
}

/** degC. @throws RangeError for a text that `readEntry` would have refused */
export function celsiusOf(typed: Typed): number {
  const celsius = celsiusIn(typed);
  if (celsius !== null) return celsius;
  throw new RangeError(`celsiusOf(${JSON.stringify(typed.slice(0, LONGEST_TYPED))})`);
}

function temperature(typed: Typed): { readonly number: number; readonly scale: Scale } | null {
  if (typed.length > LONGEST_TYPED) return null;
  const plain = typed
    .replace(/[\u00ba\u02da]/g, '°')
    .replace('\u2103', '°C')
    .replace('\u2109', '°F');
  const parts = /^(.*?)\s*((?:°|deg ?)?[CF]|K)\s*$/s.exec(plain);
  if (parts === null) return null;
  const [, number = '', unit = ''] = parts;
  const scale = SCALES.find(({ spelling }) => spelling.test(unit));
  const read = parseNumber(number);
  return scale === undefined || read.kind === 'error' ? null : { number: read.value, scale };
}
