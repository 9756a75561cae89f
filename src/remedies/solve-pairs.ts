/**
 * Two levers together, for the least sum of their shares.
 *
 * Which pairs are worth solving is judged from what each lever does by itself: the gains on each
 * finding are taken to multiply. The pairs that then promise the least sum are solved: along one lever
 * step by step, the other solved for.
 */

import type { Cart, CartEdit } from '../document/index.js';
import { combineEdits } from '../document/index.js';
import { leastStep } from './least-step.js';
import type { Lever } from './lever.js';
import type { Outlook, Screener } from './screener.js';
import { passes, shortOf, wantedOf } from './screener.js';
import { reached } from './solve-lever.js';

export interface PairAnswer {
  readonly kind: 'passes' | 'falls short';
  readonly levers: readonly [Lever, Lever];
  readonly steps: readonly [number, number];
  readonly outlook: Outlook;
}

/** Edits of both, none of which undoes another. */
export function pairEdits(
  cart: Cart,
  [p, q]: readonly [Lever, Lever],
  [i, j]: readonly [number, number],
): readonly CartEdit[] {
  return combineEdits(cart, [...p.editsAt(i), ...q.editsAt(j)]);
}

export function sizeOfPair([p, q]: PairAnswer['levers'], [i, j]: PairAnswer['steps']): number {
  return p.shareAt(i) + q.shareAt(j);
}

/** Pairs solved: each takes some fifty screenings. */
const PAIRS_SOLVED = 12;
/** Of one pair of kinds, so that six parts and three layouts do not crowd out the rest. */
const PAIRS_OF_A_KIND = 2;

export function solvePairs(
  screener: Screener,
  levers: readonly Lever[],
  watch: readonly string[],
  onPair: (done: number, total: number) => void,
): readonly PairAnswer[] {
  const before = reservesOf(screener.quick([], watch));
  const profiles = levers.map((lever) => profileOf(screener, lever, watch, before));
  const promising = profiles.filter(({ helps }) => helps);
  const pairs = promising
    .flatMap((p, i) => promising.slice(i + 1).map((q) => promiseOf(screener, p, q, before)))
    .filter((each) => each !== null)
    .toSorted((p, q) => p.cost - q.cost);
  const chosen = spreadOverKinds(pairs);
  return chosen.map(({ levers: both }, done) => {
    onPair(done, chosen.length);
    return solvePair(screener, both, watch);
  });
}

interface Profile {
  readonly lever: Lever;
  /** steps looked at */
  readonly steps: readonly number[];
  /** by step: factor on the reserve of each watched finding */
  readonly gains: readonly ReadonlyMap<string, number>[];
  readonly helps: boolean;
}

const PROFILE_SHARES = [1 / 8, 1 / 4, 1 / 2, 1];
/** A gain below this share is the noise of the search. */
const LEAST_GAIN = 1.003;

function profileOf(
  screener: Screener,
  lever: Lever,
  watch: readonly string[],
  before: Reserves,
): Profile {
  const steps = [
    ...new Set(PROFILE_SHARES.map((share) => Math.max(1, Math.round(share * lever.count)))),
  ];
  const gains = steps.map((k) => {
    const after = reservesOf(screener.quick(lever.editsAt(k), watch));
    return new Map([...before].map(([id, reserve]) => [id, (after.get(id) ?? Infinity) / reserve]));
  });
  const helps = gains.some((each) => [...each.values()].some((gain) => gain > LEAST_GAIN));
  return { lever, steps, gains, helps };
}

/** A finding that is no longer asked has no reserve here. */
type Reserves = ReadonlyMap<string, number>;

function reservesOf({ findings }: Outlook): Reserves {
  return new Map(
    findings.flatMap(({ id, applies, reserve }): [string, number][] =>
      applies ? [[id, reserve ?? 0]] : [],
    ),
  );
}

interface Promising {
  readonly levers: readonly [Lever, Lever];
  /** the least sum of shares that should pass; where none should, more than any sum: the lack */
  readonly cost: number;
}

function promiseOf(screener: Screener, p: Profile, q: Profile, before: Reserves): Promising | null {
  if (sharesTarget(p.lever, q.lever)) return null;
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  p.steps.forEach((i, pi) => {
    q.steps.forEach((j, qj) => {
      const scores = [...before].map(([id, reserve]) => {
        const gain = (p.gains[pi]?.get(id) ?? 1) * (q.gains[qj]?.get(id) ?? 1);
        return (reserve * gain) / wantedOf(screener.goal, id);
      });
      const score = Math.min(...scores);
      most = Math.max(most, score);
      if (score >= 1) least = Math.min(least, p.lever.shareAt(i) + q.lever.shareAt(j));
    });
  });
  const cost = Number.isFinite(least) ? least : BEYOND_ANY_SUM + 1 / Math.max(most, 1e-9);
  return { levers: [p.lever, q.lever], cost };
}

const BEYOND_ANY_SUM = 10;

/** Both change the same thing: the second would undo the first. (Places of castors add up.) */
function sharesTarget(p: Lever, q: Lever): boolean {
  if (p.kind === 'lock layout' && q.kind === 'lock layout') return true;
  const mine = p.editsAt(1);
  return q.editsAt(1).some((edit) => mine.some((other) => clashes(other, edit)));
}

function clashes(p: CartEdit, q: CartEdit): boolean {
  if (p.kind === 'castor place' && q.kind === 'castor place') return false;
  // what a mover can do at all cuts what it does in every position
  const stop = [p, q].find((each) => each.kind === 'mover range');
  const limit = [p, q].find((each) => each.kind === 'position mover');
  if (stop !== undefined && limit !== undefined) return stop.mover === limit.mover;
  return targetOf(p) === targetOf(q);
}

function targetOf(edit: CartEdit): string {
  switch (edit.kind) {
    case 'castor lock':
    case 'castor place':
    case 'castor kind':
      return `${edit.kind} ${edit.castor}`;
    case 'friction':
      return `friction ${edit.tread}`;
    case 'add part':
      return `part ${edit.name}`;
    case 'part mass':
    case 'part place':
      return `part ${edit.part}`;
    case 'mover range':
      return `mover ${edit.mover}`;
    case 'position mover':
      return `mover ${edit.mover} in ${edit.position}`;
    case 'position load':
      return `load ${edit.load} in ${edit.position}`;
    case 'add marking':
      return `marking ${edit.marking}`;
    case 'rename':
    case 'raise':
      return edit.kind;
  }
}

function spreadOverKinds(pairs: readonly Promising[]): readonly Promising[] {
  const counts = new Map<string, number>();
  return pairs
    .filter(({ levers: [p, q] }) => {
      const key = [p.kind, q.kind].sort().join(' and ');
      const count = (counts.get(key) ?? 0) + 1;
      counts.set(key, count);
      return count <= PAIRS_OF_A_KIND;
    })
    .slice(0, PAIRS_SOLVED);
}

/** Shares of the first lever that are tried before the best of them is looked around. */
const COARSE = [1 / 16, 1 / 8, 1 / 4, 3 / 8, 1 / 2, 3 / 4, 1];
const REFINEMENTS = 3;
/** Looks of the second lever. */
const INNER_LOOKS = [1 / 16, 1 / 4, 1 / 2, 1];
const ROUNDS = 4;

export function solvePair(
  screener: Screener,
  levers: readonly [Lever, Lever],
  watch: readonly string[],
): PairAnswer {
  const ids = new Set(watch);
  for (let round = 0; ; round++) {
    const { kind, steps } = leastSum(screener, levers, [...ids]);
    const outlook = screener.full(pairEdits(screener.cart, levers, steps));
    const good = passes(outlook);
    if (kind === 'falls short' || good || round >= ROUNDS) {
      return { kind: good ? 'passes' : 'falls short', levers, steps, outlook };
    }
    const before = ids.size;
    for (const id of shortOf(screener, outlook)) ids.add(id);
    if (ids.size === before) return { kind: 'falls short', levers, steps, outlook };
  }
}

function leastSum(
  screener: Screener,
  levers: readonly [Lever, Lever],
  ids: readonly string[],
): Pick<PairAnswer, 'kind' | 'steps'> {
  const [p, q] = levers;
  let best: { readonly steps: readonly [number, number]; readonly size: number } | null = null;
  let nearest: { readonly steps: readonly [number, number]; readonly score: number } = {
    steps: [p.count, q.count],
    score: 0,
  };
  const tried = new Set<number>();
  const attempt = (i: number): void => {
    if (tried.has(i) || i < 1 || i > p.count) return;
    if (best !== null && p.shareAt(i) >= best.size) return;
    tried.add(i);
    const score = (j: number) =>
      reached(screener.quick(pairEdits(screener.cart, levers, [i, j]), ids));
    const answer = leastStep(q.count, score, INNER_LOOKS);
    const steps = [i, answer.k] as const;
    const size = sizeOfPair(levers, steps);
    if (answer.kind === 'passes' && (best === null || size < best.size)) best = { steps, size };
    if (answer.score > nearest.score) nearest = { steps, score: answer.score };
  };
  for (const share of COARSE) attempt(Math.max(1, Math.round(share * p.count)));
  for (let round = 0, step = p.count / 16; round < REFINEMENTS; round++, step /= 2) {
    const at: number | undefined = (best as { readonly steps: readonly [number, number] } | null)
      ?.steps[0];
    if (at === undefined) break;
    attempt(Math.round(at - step));
    attempt(Math.round(at + step));
  }
  const found = best as { readonly steps: readonly [number, number] } | null;
  return found === null
    ? { kind: 'falls short', steps: nearest.steps }
    : { kind: 'passes', steps: found.steps };
}
