/** The least amount of one lever with which every finding reaches the goal. */

import type { CartEdit } from '../document/index.js';
import type { LeastStep } from './least-step.js';
import { leastStep } from './least-step.js';
import type { Lever } from './lever.js';
import type { Outlook, Screener } from './screener.js';
import { passes, SCORE_ROUNDING, shortOf } from './screener.js';

export interface LeverAnswer {
  readonly kind: LeastStep['kind'];
  readonly lever: Lever;
  /** the least step that passes, or the one that comes nearest */
  readonly k: number;
  /** every finding there; of an idle lever, those that were short */
  readonly outlook: Outlook;
  /** it does nothing for any finding that is short: no use in a pair either */
  readonly idle: boolean;
}

/** Times that findings which turn out short are taken in: each is a further way to fail. */
const ROUNDS = 6;

/**
 * Only the findings that were short are searched while the amount is solved for; then all of them are
 * judged at the answer, and the ones that came up short are taken in too.
 *
 * @param watch ids of the findings that are short before the change
 */
export function solveLever(
  screener: Screener,
  lever: Lever,
  watch: readonly string[],
  looks?: readonly number[],
): LeverAnswer {
  const idle = idleAt(screener, lever, watch);
  return idle ?? solveSteps(screener, lever.count, lever.editsAt, watch, looks, lever);
}

/** Where a lever is tried for any gain at all. */
const TASTES = [1 / 4, 1 / 2, 1];
/** A gain below this share is the noise of the search. */
const LEAST_GAIN = 0.002;

/** The answer of a lever that helps no finding that is short; null: it helps one. */
function idleAt(screener: Screener, lever: Lever, watch: readonly string[]): LeverAnswer | null {
  const now = new Map(screener.base.findings.map(({ id, reserve }) => [id, reserve ?? 0]));
  let best: { readonly k: number; readonly outlook: Outlook } | null = null;
  for (const share of TASTES) {
    const k = Math.max(1, Math.round(share * lever.count));
    const outlook = screener.quick(lever.editsAt(k), watch);
    const helps = outlook.findings.some(
      ({ id, applies, reserve }) =>
        !applies || (reserve ?? 0) > (now.get(id) ?? 0) * (1 + LEAST_GAIN),
    );
    if (helps) return null;
    if (best === null || outlook.score > best.outlook.score) best = { k, outlook };
  }
  return best === null ? null : { kind: 'falls short', lever, ...best, idle: true };
}

function solveSteps(
  screener: Screener,
  count: number,
  editsAt: (k: number) => readonly CartEdit[],
  watch: readonly string[],
  looks: readonly number[] | undefined,
  lever: Lever,
): LeverAnswer {
  const ids = new Set(watch);
  const full = (k: number): Outlook => screener.full(editsAt(k));
  for (let round = 0; round < ROUNDS; round++) {
    const quick = (k: number): number => reached(screener.quick(editsAt(k), [...ids]));
    const { kind, k } = leastStep(count, quick, looks);
    const outlook = full(k);
    if (kind === 'falls short' || passes(outlook)) return { kind, lever, k, outlook, idle: false };
    const short = shortOf(screener, outlook).filter((id) => !ids.has(id));
    if (short.length === 0) break;
    for (const id of short) ids.add(id);
  }
  // A quick search overlooked something worse: every step is judged in full.
  const { kind, k } = leastStep(count, (step) => reached(full(step)), looks);
  return { kind, lever, k, outlook: full(k), idle: false };
}

/** The score, with 1 to rounding as 1. */
export function reached(outlook: Outlook): number {
  return outlook.score + SCORE_ROUNDING;
}
