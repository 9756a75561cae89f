/** What each input does by itself: all others at their stated values (the idea of JCGM 101:2008, annex
 * B), and which inputs do anything at all. */

import type { Drawer } from '../chance/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import type { Input } from './inputs.js';
import type { Judge, Judged } from './judge.js';
import { isPush } from './trial.js';

/** Change of each finding with one input at an end of its tolerance: [low, high] by finding. */
export interface EndEffects {
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
}

type Row = readonly (Judged | null)[];

/** One for each input; null where the end lies beyond what is possible. */
export function endEffects(
  judge: Judge,
  set: RequirementSet,
  inputs: readonly Input[],
  nominal: Row,
): readonly EndEffects[] {
  return inputs.map((input, i) => {
    const at = (offset: number): readonly (number | null)[] => {
      if (!isPossible(input, offset)) return set.clauses.map(() => null);
      const offsets = new Float64Array(inputs.length);
      offsets[i] = offset;
      const row = judge.judge(offsets);
      return set.clauses.map((clause, k) =>
        changeOf(clause, input, nominal[k] ?? null, row[k] ?? null),
      );
    };
    return { low: at(-input.tolerance), high: at(input.tolerance) };
  });
}

/** A gauge that is off by more than the force asked pushes the other way: draws never come there. */
function isPossible({ limits }: Input, offset: number): boolean {
  return offset >= limits.least && offset <= limits.most;
}

/**
 * How much safer a finding became, in its unit.
 *
 * Where what is asked is a share of the weight, the worst configuration may change to one of another
 * weight, and both forces with it: there the change of the reserve counts, times the force asked of the
 * nominal cart. Elsewhere it is the change of capacity less demand; so it is where the force of the
 * push itself is off, which moves what is asked alone.
 */
function changeOf(
  clause: Clause,
  { change: moved }: Input,
  from: Judged | null,
  to: Judged | null,
): number | null {
  if (from?.reserve == null || to?.reserve == null) return null;
  if (from.demand === null || from.capacity === null) return null;
  if (to.demand === null || to.capacity === null) return null;
  const isForce = moved.kind === 'test' && moved.condition === 'push force';
  const change =
    isPush(clause) && !isForce
      ? (to.capacity / to.demand - from.capacity / from.demand) * from.demand
      : to.capacity - to.demand - (from.capacity - from.demand);
  return Number.isFinite(change) ? change : null;
}

/** Draws of all inputs that each input is tried from, beside the nominal cart. */
export const TRIED_FROM = 4;

/** An input that moves the reserve of no finding by more than this share of what the strongest does has
 * less than a thousandth of the variance. */
const NEXT_TO_NOTHING = 0.03;

/**
 * Which inputs move any finding: each is changed by itself, from the nominal cart to both ends of its
 * tolerance and from a few drawn carts to another draw of it.
 */
export function movingInputs(
  judge: Judge,
  inputs: readonly Input[],
  nominal: Row,
  drawers: readonly Drawer[],
): readonly boolean[] {
  const steps = inputs.map(() => nominal.map(() => 0));
  const note = (input: number, from: Row, to: Row): void => {
    const own = steps[input];
    if (own === undefined) return;
    to.forEach((judged, k) => {
      own[k] = Math.max(own[k] ?? 0, difference(from[k] ?? null, judged));
    });
  };
  const tryFrom = (
    base: Float64Array,
    row: Row,
    values: (i: number) => readonly number[],
  ): void => {
    inputs.forEach((_, i) => {
      for (const value of values(i)) {
        const offsets = base.slice();
        offsets[i] = value;
        note(i, row, judge.judge(offsets));
      }
    });
  };
  tryFrom(new Float64Array(inputs.length), nominal, (i) => {
    const input = inputs[i];
    if (input === undefined) return [];
    return [-input.tolerance, input.tolerance].filter((offset) => isPossible(input, offset));
  });
  for (let k = 0; k < TRIED_FROM; k++) {
    const base = Float64Array.from(drawers, (drawer) => drawer.next());
    tryFrom(base, judge.judge(base), (i) => [drawers[i]?.next() ?? 0]);
  }
  // an input that decides whether a finding is asked counts, and is no measure for the others
  const strongest = nominal.map((_, k) =>
    Math.max(0, ...steps.map((own) => own[k] ?? 0).filter(Number.isFinite)),
  );
  return steps.map((own) =>
    own.some((step, k) => step > NEXT_TO_NOTHING * (strongest[k] ?? 0) && step > ROUNDING),
  );
}

/** Of a reserve: what is less is rounding. */
const ROUNDING = 1e-12;

/** Of the reserve; a finding that is asked of one cart and not of the other differs by all. */
function difference(from: Judged | null, to: Judged | null): number {
  const [p, q] = [from?.reserve ?? null, to?.reserve ?? null];
  if (p === q) return 0;
  if (p === null || q === null) return Number.POSITIVE_INFINITY;
  return Math.abs(p - q);
}
