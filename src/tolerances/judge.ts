/** What one trial says of every finding: quickly, from the worst configurations known before. */

import type { Dimension, ScreenHints, Screening, ScreenOptions } from '../analysis/index.js';
import { reserveOf, SCREEN_EFFORT, screenCart } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { capacityOnSlope } from './floor-slope.js';
import type { Input } from './inputs.js';
import { isPush, trialOf } from './trial.js';

/** One finding in one trial. */
export interface Judged {
  readonly applies: boolean;
  /** why it applies or not, or why nothing can be computed */
  readonly reason: string;
  /** SI; null: not asked, or not known */
  readonly dimension: Dimension | null;
  readonly demand: number | null;
  readonly capacity: number | null;
  /** capacity / demand, or that of the clause that may be met instead where that is greater; 0: it
   * fails and no ratio can be had */
  readonly reserve: number | null;
}

/** null: it applies, and whether it passes cannot be told. What does not apply is met. */
export function passes({ applies, reserve }: Judged): boolean | null {
  if (!applies) return true;
  return reserve === null ? null : reserve >= JUST_ENOUGH;
}

/** A capacity that equals the demand on paper must pass: 1 less rounding. */
const JUST_ENOUGH = 1 - 1e-9;

export interface Judge {
  /** offsets, one for each input, to one entry for each clause of the set; null: not wanted */
  readonly judge: (offsets: ArrayLike<number>) => readonly (Judged | null)[];
  /** the same for the clauses of these ids alone (and what they may be met by) */
  readonly only: (ids: readonly string[]) => Judge;
  /** the same, the worst searched afresh: slow, to see how far the quick one is off */
  readonly afresh: (offsets: ArrayLike<number>) => readonly (Judged | null)[];
}

/** Of the two further clauses by which the slope of a floor is judged. */
const TIPS_AT = 'tolerances: tips on an incline';
const MOVES_AT = 'tolerances: moves on an incline';

/**
 * @param variants offsets of carts, beside the nominal one, whose worst configurations are tried in
 *   every trial too
 * @param seed of the searches for these worst configurations
 */
export function judgeOf(
  cart: Cart,
  set: RequirementSet,
  inputs: readonly Input[],
  variants: readonly ArrayLike<number>[],
  seed: number,
): Judge {
  const asked = withSlopeClauses(set, inputs);
  const all = [new Float64Array(inputs.length), ...variants];
  const searched = all.map((offsets) => {
    const trial = trialOf(cart, asked, inputs, offsets);
    return screenCart(trial.cart, trial.set, { effort: { ...SCREEN_EFFORT, seed } }).hints;
  });
  return judgeFrom({ cart, set, asked, inputs, seed }, merged(searched), undefined);
}

interface Judging {
  readonly cart: Cart;
  readonly set: RequirementSet;
  /** with the clauses by which the slope of the floor is judged */
  readonly asked: RequirementSet;
  readonly inputs: readonly Input[];
  readonly seed: number;
}

function judgeFrom(
  judging: Judging,
  hints: ScreenHints,
  ids: readonly string[] | undefined,
): Judge {
  const { cart, set, asked, inputs, seed } = judging;
  const wanted = ids === undefined ? undefined : wantedIds(asked, set, ids);
  const judged = (offsets: ArrayLike<number>, options: ScreenOptions) => {
    const trial = trialOf(cart, asked, inputs, offsets);
    const only = wanted === undefined ? {} : { only: wanted };
    const screening = screenCart(trial.cart, trial.set, { ...options, ...only });
    return conclusions(set, screening, trial);
  };
  return {
    judge: (offsets) => judged(offsets, { effort: FROM_HINTS, hints }),
    only: (some) => judgeFrom(judging, hints, some),
    afresh: (offsets) => judged(offsets, { effort: { ...SCREEN_EFFORT, seed } }),
  };
}

/**
 * Nothing is searched in a trial: the configurations known as the worst of the nominal cart and of
 * some variants are tried as they are. Where a capacity is least its slope is zero, so a worst
 * configuration that is off a little costs an error of second order. Measured in
 * docs/theory/tolerances.md.
 */
const FROM_HINTS = { seed: 1, starts: 0, followed: 0 } as const;

/** m, rad and kg: configurations this close are one. A direction off by half of it costs 0.03 % by the
 * same argument; finer steps cost time for nothing (docs/theory/tolerances.md). */
const ALIKE = 0.05;

/** Worst configurations of several carts, each once. */
function merged(searched: readonly ScreenHints[]): ScreenHints {
  const all = new Map<string, Map<string, Float64Array>>();
  for (const hints of searched) {
    for (const [key, list] of hints) {
      const known = all.get(key) ?? new Map<string, Float64Array>();
      for (const each of list) known.set([...each].map((v) => Math.round(v / ALIKE)).join(), each);
      all.set(key, known);
    }
  }
  return new Map([...all].map(([key, known]) => [key, [...known.values()]]));
}

function wantedIds(
  asked: RequirementSet,
  set: RequirementSet,
  ids: readonly string[],
): readonly string[] {
  const push = set.clauses.some((clause) => isPush(clause) && ids.includes(clause.id));
  const further = push ? asked.clauses.slice(set.clauses.length).map(({ id }) => id) : [];
  // what a clause may be met by is judged with the floor's slope too, so it is asked for by name
  const instead = set.clauses.flatMap(({ id, alternative }) =>
    ids.includes(id) && alternative !== null ? [alternative] : [],
  );
  return [...new Set([...ids, ...instead, ...further])];
}

/** At which incline the cart tips or moves by itself: what the slope of a floor is measured by. */
function withSlopeClauses(set: RequirementSet, inputs: readonly Input[]): RequirementSet {
  const slopes = inputs.some(
    ({ change }) => change.kind === 'test' && change.condition === 'floor slope',
  );
  if (!slopes || !set.clauses.some(isPush)) return set;
  const question = (id: string, asks: Clause['question']): Clause => ({
    ...{ id, clause: '', title: id, asks: '', note: '', alternative: null, conditions: [] },
    question: asks,
    values: [value('incline', SOME_INCLINE, 'angle'), value('movement', 0.05, 'length')],
  });
  return {
    ...set,
    clauses: [
      ...set.clauses,
      question(TIPS_AT, { kind: 'overbalance', positions: 'all' }),
      question(MOVES_AT, { kind: 'holding on incline', positions: 'use' }),
    ],
  };
}

/** rad: the capacity is what counts, not what is asked. */
const SOME_INCLINE = 0.1;

function value(id: string, si: number, dimension: 'angle' | 'length'): Clause['values'][number] {
  const words = { title: id, text: '', note: '', basis: 'common practice' } as const;
  return { id, value: si, dimension, ...words, confirmation: null };
}

type Trial = ReturnType<typeof trialOf>;

function conclusions(
  set: RequirementSet,
  { findings }: Screening,
  trial: Trial,
): readonly (Judged | null)[] {
  const byId = new Map(findings.map((finding) => [finding.id, finding]));
  const inclines = {
    tips: byId.get(TIPS_AT)?.capacity?.value ?? Number.POSITIVE_INFINITY,
    moves: byId.get(MOVES_AT)?.capacity?.value ?? Number.POSITIVE_INFINITY,
  };
  const own = set.clauses.map((clause): Judged | null => {
    const found = byId.get(clause.id);
    if (found === undefined) return null;
    const { applies, reason } = found;
    if (found.demand === null || found.capacity === null) {
      const unknown = { dimension: null, demand: null, capacity: null };
      return { applies, reason, ...unknown, reserve: found.own };
    }
    const amounts = inTheTest(clause, found.demand.value, found.capacity.value, trial, inclines);
    return { applies, reason, dimension: found.capacity.dimension, ...amounts };
  });
  return own.map((judged, i) => metInstead(set, own, judged, i));
}

/** Demand and capacity in the test as it is made, not as it is asked for. */
function inTheTest(
  clause: Clause,
  asked: number,
  level: number,
  { ramp, slope, force }: Trial,
  inclines: { readonly tips: number; readonly moves: number },
): Pick<Judged, 'demand' | 'capacity' | 'reserve'> {
  const { kind } = clause.question;
  let demand = asked;
  let capacity = level;
  if (kind === 'overbalance' || kind === 'holding on incline') demand += ramp;
  else if (isPush(clause)) {
    demand += force;
    const incline =
      kind === 'holding against push' ? Math.min(inclines.tips, inclines.moves) : inclines.tips;
    capacity = capacityOnSlope(level, slope, incline);
  }
  return { demand, capacity, reserve: reserveOf(demand, capacity) };
}

/** A clause that may be met by another has the greater reserve of the two. */
function metInstead(
  set: RequirementSet,
  own: readonly (Judged | null)[],
  judged: Judged | null,
  index: number,
): Judged | null {
  if (judged === null || judged.reserve === null) return judged;
  const alternative = set.clauses[index]?.alternative ?? null;
  if (alternative === null) return judged;
  const other = own[set.clauses.findIndex(({ id }) => id === alternative)]?.reserve ?? null;
  return other !== null && other > judged.reserve ? { ...judged, reserve: other } : judged;
}
