/** The searches behind the holding findings: the worst configuration of every position, its bound,
 * and the friction needed. */

import type {
  CastorInput,
  HoldingCase,
  HoldingLoad,
  HoldingWorst,
  SearchEffort,
  Tipping,
} from '../engine/index.js';
import { frictionNeed, STANDARD_GRAVITY, worstHolding } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import type { CartModel, PlacedPosition } from './cart-model.js';
import { frictionOf } from './cart-model.js';

/** What a clause asks the locks to hold. */
export interface Asked {
  readonly clause: Clause;
  readonly positions: readonly PlacedPosition[];
  readonly load: HoldingLoad;
  /** names of the bodies that the push points are on */
  readonly pushedOn: readonly string[];
  /** worst tip of a position, its capacity and bound as multiples of what is asked */
  readonly tip: (placed: PlacedPosition) => Tipping;
}

/** 'low': friction at the low end of its tolerance; 'as stated': only where it is measured. */
export type FrictionEnd = 'as stated' | 'low';

/** How the holding questions are answered. */
export interface HoldingWishes {
  readonly effort: SearchEffort;
  /** share of what is asked that the proofs try to show on top of it first */
  readonly margin: number;
  readonly friction: FrictionEnd;
}

/** The position that governs. */
export interface Governing {
  readonly placed: PlacedPosition;
  readonly holding: HoldingCase;
  readonly worst: HoldingWorst;
  readonly tip: Tipping;
  /** multiple of what is asked at which it moves */
  readonly ratio: number;
  /** it tips there, rather than slides */
  readonly tips: boolean;
  /** the configuration of `tip` is the one that governs */
  readonly byTip: boolean;
}

export interface Searched {
  readonly governing: Governing;
  /** multiple of what is asked at which nothing moves, over all positions; 0: not proven */
  readonly proven: number;
  /** the same for tipping alone */
  readonly tipProven: number;
  readonly boxes: number;
}

/** Two multiples nearer to each other than a millionth are one. */
const CLOSE = 1 + 1e-6;

export function searchHolding(
  model: CartModel,
  asked: Asked,
  castors: readonly CastorInput[],
  effort: SearchEffort,
): Searched {
  const all = asked.positions.map((placed) => {
    const tip = asked.tip(placed);
    const holding = caseOf(model, asked, castors, placed);
    const worst = worstHolding(holding, tip.bound, effort);
    const reached = tipsAsFound(model, tip) ? tip.capacity : Number.POSITIVE_INFINITY;
    // Where slips come clearly first, the search for them has the configuration; at a tie the tip.
    const slips = !worst.found.tips && worst.found.ratio <= reached * CLOSE;
    const byTip = !slips && Number.isFinite(reached);
    const ratio = Math.min(worst.found.ratio, reached);
    const governing: Governing = { placed, holding, worst, tip, ratio, tips: !slips, byTip };
    return { governing, proven: Math.min(worst.proven, tip.bound), boxes: worst.boxes + tip.boxes };
  });
  const { governing } = all.reduce((p, q) => (q.governing.ratio < p.governing.ratio ? q : p));
  return {
    governing,
    proven: Math.min(...all.map(({ proven }) => proven)),
    tipProven: Math.min(...all.map(({ governing: { tip } }) => tip.bound)),
    boxes: all.reduce((sum, { boxes }) => sum + boxes, 0),
  };
}

/** The search for tipping turns every castor as it likes. Where a lock engages in some directions
 * only, its worst need not exist: then it is a bound and nothing found. */
export function tipsAsFound({ cart }: CartModel, { x, edge }: Tipping): boolean {
  return x !== null && edge >= 0 && cart.castors.every((each) => each.lockDirections === null);
}

export function caseOf(
  { mass }: CartModel,
  { load }: Asked,
  castors: readonly CastorInput[],
  placed: PlacedPosition,
): HoldingCase {
  const problem = { model: mass, castors, load, gravity: STANDARD_GRAVITY };
  return { problem, configurations: placed.domain };
}

/** The friction needed over all positions, as a factor on the nominal friction of every tread. */
export interface Need {
  /** Infinity: no friction suffices */
  readonly found: number;
  /** Infinity: not proven */
  readonly proven: number;
  readonly variables: Float64Array | null;
  readonly placed: PlacedPosition;
}

/**
 * @param castors with the friction that `searched` was done with: where everything was proven to hold
 *   at it, no more is needed
 */
export function searchNeed(
  model: CartModel,
  asked: Asked,
  searched: Searched,
  castors: readonly CastorInput[],
  effort: SearchEffort,
): Need {
  const all = asked.positions.map((placed): Need => {
    const { governing } = searched;
    const hint = governing.placed === placed ? governing.worst.found.variables : null;
    const holding = caseOf(model, asked, model.castors, placed);
    return { ...frictionNeed(holding, hint, effort), placed };
  });
  const worst = all.reduce((p, q) => (q.found > p.found ? q : p));
  const tips = searched.governing.tips && searched.governing.ratio < 1;
  // The need is proven against sliding alone; against tipping something else has to be.
  const stands = searched.tipProven >= 1;
  const proven = stands ? Math.max(...all.map((each) => each.proven)) : Number.POSITIVE_INFINITY;
  const known = searched.proven >= 1 ? greatestShare(model, castors) : Number.POSITIVE_INFINITY;
  return {
    ...worst,
    found: tips ? Number.POSITIVE_INFINITY : worst.found,
    proven: Math.min(proven, known),
  };
}

/** Greatest ratio of a castor's friction to the nominal one of its tread. */
function greatestShare({ cart }: CartModel, castors: readonly CastorInput[]): number {
  return Math.max(
    ...cart.castors.map(
      ({ tread }, i) => (castors[i]?.friction ?? 0) / frictionOf(cart, tread).value,
    ),
  );
}
