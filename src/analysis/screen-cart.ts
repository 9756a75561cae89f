/**
 * Every clause asked of a cart quickly, for searches over many carts: the worst of each holding
 * question is searched and not proven, and nothing is written up. All other questions are answered
 * as in a check.
 */

import type { Cart } from '../document/index.js';
import type { ConfigurationDomain, Domain, SearchEffort } from '../engine/index.js';
import { findHolding, holdingDomain, nearestIn } from '../engine/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { applicability } from '../requirements/index.js';
import type { Answer } from './answer.js';
import type { Asking } from './asking.js';
import { answerOf, askingOf } from './asking.js';
import type { PlacedPosition } from './cart-model.js';
import { modelOf } from './cart-model.js';
import type { Amount, FailureMode } from './finding.js';
import { castorsAt, inclineAsked, pushAsked } from './holding.js';
import type { Asked, FrictionEnd } from './holding-search.js';
import { caseOf, tipsAsFound } from './holding-search.js';
import { asAmount } from './holding-state.js';
import { reserveOf } from './reserve.js';

/** What is known of one finding without a proof. */
export interface ScreenedFinding {
  readonly id: string;
  readonly title: string;
  readonly applies: boolean;
  /** one sentence: why it applies or not, or why nothing can be computed */
  readonly reason: string;
  /** as in a finding: what is asked, what the cart can do; null: not asked, or not known */
  readonly demand: Amount | null;
  readonly capacity: Amount | null;
  /** capacity / demand, of the finding itself: 1 is just enough; 0: it fails and no ratio can be had;
   * null: not asked, or not known */
  readonly own: number | null;
  /** the same, or that of the clause that may be met instead where that is greater */
  readonly reserve: number | null;
  /** how it gives way first; 'none' where that is not searched */
  readonly mode: FailureMode['kind'] | 'none';
}

/** Worst configurations to start from, by finding and position: variables of the search. Of one
 * cart they are good starts for another with the same movers, loads and castors. */
export type ScreenHints = ReadonlyMap<string, readonly Float64Array[]>;

export interface Screening {
  /** every clause of the set, or the wanted ones, in its order */
  readonly findings: readonly ScreenedFinding[];
  readonly hints: ScreenHints;
}

export type ScreenEffort = Pick<SearchEffort, 'seed' | 'starts' | 'followed'>;

export interface ScreenOptions {
  /** default: 'low', the low end of every tread's tolerance */
  readonly friction?: FrictionEnd;
  /** default: `SCREEN_EFFORT`; with hints, no starts are needed */
  readonly effort?: ScreenEffort;
  readonly hints?: ScreenHints;
  /** ids of the findings wanted; default: all */
  readonly only?: readonly string[];
}

/** Enough to find the worst of every example to 0.1 % (test/analysis/screen-cart). */
export const SCREEN_EFFORT: ScreenEffort = { seed: 1, starts: 60, followed: 4 };

/**
 * Screens a cart against a set.
 *
 * @throws RangeError when `only` names no clause of the set
 */
export function screenCart(
  cart: Cart,
  set: RequirementSet,
  options: ScreenOptions = {},
): Screening {
  const wanted = wantedOf(set, options.only);
  const asking = askingOf(modelOf(cart), {
    effort: NOTHING_PROVEN,
    margin: 0,
    friction: options.friction ?? 'low',
  });
  const hints = new Map<string, readonly Float64Array[]>();
  const findings = wanted.map((clause) => screened(asking, clause, options, hints));
  const settled = findings.map((finding, i) => metInstead(finding, wanted[i], findings));
  const { only } = options;
  return {
    findings: only === undefined ? settled : settled.filter(({ id }) => only.includes(id)),
    hints,
  };
}

/** What other questions never look at. */
const NOTHING_PROVEN: SearchEffort = {
  ...SCREEN_EFFORT,
  wanted: 1,
  firstBoxes: 0,
  gaps: [],
};

function wantedOf(set: RequirementSet, only: readonly string[] | undefined): readonly Clause[] {
  if (only === undefined) return set.clauses;
  const known = new Map(set.clauses.map((clause) => [clause.id, clause]));
  const ids = new Set<string>();
  for (const id of only) {
    const clause = known.get(id);
    if (clause === undefined) {
      const allowed = [...known.keys()].join(', ');
      throw new RangeError(`screenCart: no finding ${id} in ${set.id}; allowed: ${allowed}`);
    }
    ids.add(id);
    if (clause.alternative !== null) ids.add(clause.alternative);
  }
  return set.clauses.filter(({ id }) => ids.has(id));
}

function screened(
  asking: Asking,
  clause: Clause,
  options: ScreenOptions,
  hints: Map<string, readonly Float64Array[]>,
): ScreenedFinding {
  const { id, title, question } = clause;
  const { applies, reason } = applicability(clause, asking.facts);
  const blank = { id, title, applies, reason, demand: null, capacity: null };
  const unknown: ScreenedFinding = { ...blank, own: null, reserve: null, mode: 'none' };
  if (!applies) return unknown;
  const asked =
    question.kind === 'holding on incline'
      ? inclineAsked(asking.model, clause, question.positions)
      : question.kind === 'holding against push'
        ? pushAsked(asking.model, clause)
        : null;
  if (asked !== null) return { ...unknown, ...held(asking, asked, options, hints) };
  const answer = answerOf(asking, clause);
  const { verdict, demand, capacity, mode, because } = answer;
  if (isOpen(answer)) return { ...unknown, reason: because };
  if (demand === null || capacity === null) {
    // castors that support nothing have no distance to state, and fail all the same
    const reserve = verdict === 'fails' ? 0 : null;
    return { ...unknown, reason: because, own: reserve, reserve };
  }
  return { ...unknown, ...amounts(demand, capacity), mode: mode?.kind ?? 'none' };
}

/** Not decided though the bound is no reason for it: what is known of some castors or handles is enough,
 * and of another the rating is not stated. */
function isOpen({ verdict, sense, demand, capacity, proof }: Answer): boolean {
  if (verdict !== 'not decided' || demand === null || capacity === null) return false;
  if (proof.kind !== 'proven') return true;
  const { value } = proof.bound;
  const reserve =
    sense === 'at least' ? reserveOf(demand.value, value) : reserveOf(value, capacity.value);
  return reserve >= 1;
}

function amounts(demand: Amount, capacity: Amount) {
  const own = reserveOf(demand.value, capacity.value);
  return { demand, capacity, own, reserve: own };
}

/** The least over all positions, by sliding or by tipping. */
function held(
  asking: Asking,
  asked: Asked,
  { effort = SCREEN_EFFORT, hints: given }: ScreenOptions,
  hints: Map<string, readonly Float64Array[]>,
): Pick<ScreenedFinding, 'demand' | 'capacity' | 'own' | 'reserve' | 'mode'> {
  const { model, holding } = asking;
  const castors = castorsAt(model, holding.friction);
  const all = asked.positions.map((placed) => {
    const key = hintKey(asked, placed);
    const tip = asked.tip(placed);
    const holding = caseOf(model, asked, castors, placed);
    const domain = holdingDomain(holding);
    const starts = (given?.get(key) ?? []).map((hint) => fitted(hint, domain));
    const { found, ends } = findHolding(holding, effort, starts);
    hints.set(key, ends);
    const tips = tipsAsFound(model, tip) ? tip.capacity : Number.POSITIVE_INFINITY;
    return { found, tips, ratio: Math.min(tips, found.ratio) };
  });
  const { found, tips, ratio } = all.reduce((p, q) => (q.ratio < p.ratio ? q : p));
  const mode = found.tips || tips < found.ratio ? 'tips' : 'slides';
  const demand = asAmount(asked, found.demand, 1);
  return { ...amounts(demand, asAmount(asked, found.demand, ratio)), mode };
}

/** The hint with every variable that this cart does not allow (a mover or load limited since, a lock
 * that engages elsewhere) at the nearest value that it does: what is scored must be a configuration.
 * Angles over a full turn need no fitting. */
function fitted(hint: Float64Array, { domains }: ConfigurationDomain): Float64Array {
  return hint.map((value, i) => {
    const domain = domains[i];
    return domain === undefined || isFullTurn(domain) ? value : nearestIn(domain, value);
  });
}

function isFullTurn(domain: Domain): boolean {
  return domain.some(([from, to]) => to - from >= 2 * Math.PI);
}

function hintKey({ clause }: Asked, { position }: PlacedPosition): string {
  return `${clause.id}\n${position.name}`;
}

/** A clause that may be met by another has the greater reserve of the two. */
function metInstead(
  finding: ScreenedFinding,
  clause: Clause | undefined,
  all: readonly ScreenedFinding[],
): ScreenedFinding {
  if (finding.own === null || clause === undefined || clause.alternative === null) return finding;
  const other = all.find(({ id }) => id === clause.alternative)?.own ?? Number.NEGATIVE_INFINITY;
  return other > finding.own ? { ...finding, reserve: other } : finding;
}
