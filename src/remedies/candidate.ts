/** What passes as found and waits for its proof: one lever, or two, at their steps. */

import type { Cart, CartEdit } from '../document/index.js';
import type { Lever } from './lever.js';
import { changeAt } from './lever.js';
import type { Change, NearMiss } from './remedy.js';
import type { Outlook, Screener } from './screener.js';
import { passes } from './screener.js';
import type { LeverAnswer } from './solve-lever.js';
import { solveLever } from './solve-lever.js';
import type { PairAnswer } from './solve-pairs.js';
import { pairEdits, solvePair } from './solve-pairs.js';

export interface Candidate {
  readonly levers: readonly [Lever] | readonly [Lever, Lever];
  readonly steps: readonly number[];
  readonly outlook: Outlook;
}

export function ofLever({ lever, k, outlook }: LeverAnswer): Candidate {
  return { levers: [lever], steps: [k], outlook };
}

export function ofPair({ levers, steps, outlook }: PairAnswer): Candidate {
  return { levers, steps, outlook };
}

export function changesOf({ levers, steps }: Candidate): readonly [Change, ...Change[]] {
  const [first, second] = levers;
  const changes: readonly [Change, ...Change[]] = [changeAt(first, steps[0] ?? 1)];
  return second === undefined ? changes : [...changes, changeAt(second, steps[1] ?? 1)];
}

export function editsOf(cart: Cart, { levers, steps }: Candidate): readonly CartEdit[] {
  const [first, second] = levers;
  const [i = 1, j = 1] = steps;
  return second === undefined ? first.editsAt(i) : pairEdits(cart, [first, second], [i, j]);
}

export function sizeOf(candidate: Candidate): number {
  return changesOf(candidate).reduce((sum, { share }) => sum + share, 0);
}

/** Fewest changes first, then the least sum of shares, then the most reserve. */
export function byRank(p: Candidate, q: Candidate): number {
  return (
    p.levers.length - q.levers.length || sizeOf(p) - sizeOf(q) || q.outlook.score - p.outlook.score
  );
}

/** The same levers further along, for a goal that was raised; null: they reach no further. */
export function further(
  screener: Screener,
  candidate: Candidate,
  watch: readonly string[],
): Candidate | null {
  const [first, second] = candidate.levers;
  if (second === undefined) {
    const answer = solveLever(screener, first, watch);
    return answer.kind === 'passes' && passes(answer.outlook) ? ofLever(answer) : null;
  }
  const answer = solvePair(screener, [first, second], watch);
  return answer.kind === 'passes' ? ofPair(answer) : null;
}

export function nearMissOf(candidate: Candidate): NearMiss | null {
  const { score, governs } = candidate.outlook;
  if (governs === null) return null;
  return {
    changes: changesOf(candidate),
    reached: score,
    short: governs.id,
    title: governs.title,
    reserve: governs.reserve ?? 0,
  };
}
