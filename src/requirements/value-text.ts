/** One value of a set: from the text people write to SI. */

import { dimensionNoun, formatQuantity, parseNumber, parseQuantity } from '../units/index.js';
import type { NumberKind, QuantityKind, ValueId, ValueKind } from './vocabulary.js';
import { VALUE_KINDS } from './vocabulary.js';

export type ValueResult =
  | { readonly kind: 'ok'; readonly value: number; readonly text: string }
  | { readonly kind: 'error'; readonly code: string; readonly allowed: string };

/**
 * Reads '10 deg', '25 %', 4 for a value of the given id. `text` in the result is the typed text,
 * trimmed. Never throws.
 */
export function readValue(written: string | number, id: ValueId): ValueResult {
  const kind: ValueKind = VALUE_KINDS[id];
  const text = String(written).trim();
  const allowed = allowedValue(id);
  const read = kind.written === 'quantity' ? readQuantity(written, kind) : readNumber(text, kind);
  if (typeof read !== 'number') return { kind: 'error', code: read.code, allowed };
  return isWithin(read, kind)
    ? { kind: 'ok', value: read, text }
    : { kind: 'error', code: 'out-of-limits', allowed };
}

interface Unread {
  readonly code: string;
}

function readQuantity(written: string | number, kind: QuantityKind): number | Unread {
  if (typeof written === 'number') return { code: 'no-unit' };
  const parsed = parseQuantity(written, kind.dimension);
  return parsed.kind === 'ok' ? parsed.value : { code: parsed.code };
}

function readNumber(text: string, kind: NumberKind): number | Unread {
  const parsed = parseNumber(text);
  if (parsed.kind === 'error') return { code: 'not-a-bare-number' };
  const isWhole = kind.dimension !== 'count' || Number.isInteger(parsed.value);
  return isWhole ? parsed.value : { code: 'out-of-limits' };
}

function isWithin(value: number, kind: ValueKind): boolean {
  const enough = kind.mayBeLeast ? value >= kind.least : value > kind.least;
  return enough && value <= kind.most;
}

/** 'an angle with its unit, more than 0 deg, at most 45 deg, such as 10 deg' */
export function allowedValue(id: ValueId): string {
  const kind: ValueKind = VALUE_KINDS[id];
  const what = noun(kind);
  if (kind.least === kind.most) return `${what}: ${kind.example}`;
  const least = `${kind.mayBeLeast ? 'at least' : 'more than'} ${limit(kind.least, kind)}`;
  return `${what}, ${least}, at most ${limit(kind.most, kind)}, such as ${kind.example}`;
}

function noun(kind: ValueKind): string {
  if (kind.written === 'quantity') return `${dimensionNoun(kind.dimension)} with its unit`;
  return kind.dimension === 'count' ? 'a whole number without a unit' : 'a number without a unit';
}

function limit(value: number, kind: ValueKind): string {
  return kind.written === 'quantity' ? formatQuantity(value, kind.dimension, 'SI') : String(value);
}

// Two ways to write one figure (20 cm, 200 mm, 7.874 in given to full length) differ by roundings of
// the conversion, a few 1e-16; two figures that people tell apart differ by more than 1e-6.
const SAME_FIGURE = 1e-9;

/** Whether two SI values are one figure. */
export function isSameFigure(a: number, b: number): boolean {
  return Math.abs(a - b) <= SAME_FIGURE * Math.max(Math.abs(a), Math.abs(b));
}
