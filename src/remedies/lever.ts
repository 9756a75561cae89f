/** A lever: a family of edits with one amount, on a grid of practical steps. */

import type { Amount, Dimension } from '../analysis/index.js';
import type { CartEdit } from '../document/index.js';
import type { Change, LeverKind, Phrase, Reliance } from './remedy.js';

export interface Lever {
  /** unique in a search */
  readonly id: string;
  readonly kind: LeverKind;
  readonly relies: Reliance;
  /** steps on the grid: 1 to count */
  readonly count: number;
  readonly amountAt: (k: number) => Amount;
  /** 0 < share <= 1, rising with k */
  readonly shareAt: (k: number) => number;
  readonly editsAt: (k: number) => readonly CartEdit[];
  readonly wordsAt: (k: number) => Phrase;
  readonly notes: readonly string[];
}

export function changeAt(lever: Lever, k: number): Change {
  return {
    kind: lever.kind,
    lever: lever.id,
    words: lever.wordsAt(k),
    amount: lever.amountAt(k),
    share: lever.shareAt(k),
    relies: lever.relies,
    edits: lever.editsAt(k),
    notes: lever.notes,
  };
}

/** What a lever is made of when its amounts are listed. */
export interface Amounts {
  readonly id: string;
  readonly kind: LeverKind;
  readonly relies?: Reliance;
  readonly dimension: Dimension;
  /** SI, ascending, above 0; the last is the reach */
  readonly amounts: readonly number[];
  readonly edits: (x: number) => readonly CartEdit[];
  readonly words: (x: number) => Phrase;
  readonly notes?: readonly string[];
}

/** No lever at all where no amount is possible. */
export function leverOf(made: Amounts): readonly Lever[] {
  const { amounts, dimension } = made;
  const reach = amounts[amounts.length - 1];
  if (reach === undefined) return [];
  const at = (k: number): number => {
    const x = amounts[k - 1];
    if (x === undefined)
      throw new RangeError(`lever ${made.id}: no step ${k} of ${amounts.length}`);
    return x;
  };
  return [
    {
      id: made.id,
      kind: made.kind,
      relies: made.relies ?? 'design',
      count: amounts.length,
      amountAt: (k) => ({ value: at(k), dimension }),
      shareAt: (k) => at(k) / reach,
      editsAt: (k) => made.edits(at(k)),
      wordsAt: (k) => made.words(at(k)),
      notes: made.notes ?? [],
    },
  ];
}

/** step, 2 step, ... up to the reach, without the rounding that binary fractions leave. */
export function grid(reach: number, step: number): readonly number[] {
  const count = Math.floor(reach / step + GRID_ROUNDING);
  return Array.from({ length: Math.max(0, count) }, (_, i) => tidy((i + 1) * step));
}

/** Of a step: 0.3 / 0.1 is a hair below 3. */
const GRID_ROUNDING = 1e-6;

/** To a billionth: what an SI number of a cart is written with, and far below any step. */
export function tidy(x: number): number {
  return Math.round(x * 1e9) / 1e9;
}

export function length(value: number): Amount {
  return { value, dimension: 'length' };
}

export function mass(value: number): Amount {
  return { value, dimension: 'mass' };
}

export function ratio(value: number): Amount {
  return { value, dimension: 'ratio' };
}
