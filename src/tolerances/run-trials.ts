/** The trials: blocks of drawn carts until what is wanted is known, or the trials are spent. */

import type { Digits, Meter, Probability } from '../chance/index.js';
import { createMeter, drawerOf, halfWidthOf, probabilityOf, streamOf } from '../chance/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Input } from './inputs.js';
import type { Judge, Judged } from './judge.js';
import { passes } from './judge.js';
import type { Convergence } from './tolerance-report.js';

export function drawersOf(inputs: readonly Input[], seed: number, purpose: string) {
  return inputs.map(({ name, spread, limits }) =>
    drawerOf(spread, streamOf(seed, `${name} ${purpose}`), limits),
  );
}

export type Drawers = ReturnType<typeof drawersOf>;

export function rowOf(drawers: Drawers): Float64Array {
  return Float64Array.from(drawers, (drawer) => drawer.next());
}

export function rowsOf(drawers: Drawers, count: number): readonly Float64Array[] {
  return Array.from({ length: count }, () => rowOf(drawers));
}

/** What the trials say of one finding. */
export interface Tally {
  passed: number;
  applied: number;
  unknown: number;
  varies: boolean;
  readonly reserve: Meter;
  readonly capacity: Sums;
  readonly demand: Sums;
  /** blocks in which the reserve was known often enough */
  blocks: number;
}

/** For mean and standard deviation, by Welford's recurrence. */
export interface Sums {
  count: number;
  mean: number;
  squares: number;
  unlimited: number;
}

export interface Run {
  readonly tallies: readonly Tally[];
  readonly trials: number;
  /** trials in which every finding that is judged passed */
  readonly together: number;
  readonly judged: boolean;
  readonly redrawn: readonly number[];
  readonly convergence: Convergence;
}

export interface TrialWishes {
  readonly precision: number;
  readonly seed: number;
  readonly mostTrials: number;
  readonly block: number;
  readonly digits: Digits;
  readonly onProgress: (done: number, total: number, what: string) => void;
}

export function runTrials(
  judge: Judge,
  set: RequirementSet,
  inputs: readonly Input[],
  wishes: TrialWishes,
): Run {
  const { block, mostTrials, seed, onProgress } = wishes;
  const drawers = drawersOf(inputs, seed, 'trials');
  const tallies = set.clauses.map(() => emptyTally(wishes.digits));
  let trials = 0;
  let together = 0;
  let convergence: Convergence = { kind: 'not converged', reasons: [] };
  for (let blocks = 0; blocks < 2 || trials + block <= mostTrials; blocks++) {
    const rows: (readonly (Judged | null)[])[] = [];
    for (let k = 0; k < block; k++) {
      onProgress(trials + k, Math.max(mostTrials, 2 * block), 'trials at most');
      rows.push(judge.judge(rowOf(drawers)));
    }
    trials += block;
    together += rows.filter((row) => allPass(row)).length;
    tallies.forEach((tally, k) => {
      const column = rows.map((row) => row[k] ?? null);
      addBlock(tally, column);
    });
    if (blocks === 0) continue;
    convergence = convergenceOf(set, tallies, together, trials, wishes.precision);
    if (convergence.kind === 'converged') break;
  }
  const judged = tallies.some(({ unknown, applied }) => unknown === 0 && applied > 0);
  const redrawn = drawers.map((drawer) => drawer.redrawn());
  return { tallies, trials, together, judged, redrawn, convergence };
}

/** What is not known does not count against the others; the report says that it is not known. */
function allPass(row: readonly (Judged | null)[]): boolean {
  return row.every((judged) => judged === null || passes(judged) !== false);
}

function emptyTally(digits: Digits): Tally {
  const sums = (): Sums => ({ count: 0, mean: 0, squares: 0, unlimited: 0 });
  const counts = { passed: 0, applied: 0, unknown: 0, blocks: 0, varies: false };
  return { ...counts, reserve: createMeter(digits), capacity: sums(), demand: sums() };
}

/** Values of a block below which its 95 % interval has nothing outside. */
export const LEAST_VALUES = 40;

function addBlock(tally: Tally, column: readonly (Judged | null)[]): void {
  const reserves: number[] = [];
  for (const judged of column) {
    if (judged === null) continue;
    const passed = passes(judged);
    if (passed === null) tally.unknown += 1;
    else if (passed) tally.passed += 1;
    if (!judged.applies) continue;
    tally.applied += 1;
    addTo(tally.capacity, judged.capacity);
    addTo(tally.demand, judged.demand);
    // of a demand of nothing there is no ratio
    const isRatio = judged.demand !== null && judged.demand > 0;
    if (isRatio && judged.reserve !== null && Number.isFinite(judged.reserve)) {
      reserves.push(judged.reserve);
    }
  }
  if (reserves.length < LEAST_VALUES) return;
  const first = reserves[0] ?? 0;
  if (reserves.some((each) => Math.abs(each - first) > ROUNDING * first)) tally.varies = true;
  tally.reserve.add(Float64Array.from(reserves));
  tally.blocks += 1;
}

/** Relative: reserves nearer to each other are one. */
const ROUNDING = 1e-12;

function addTo(sums: Sums, value: number | null): void {
  if (value === null) return;
  if (!Number.isFinite(value)) {
    sums.unlimited += 1;
    return;
  }
  sums.count += 1;
  const step = value - sums.mean;
  sums.mean += step / sums.count;
  sums.squares += step * (value - sums.mean);
}

function convergenceOf(
  set: RequirementSet,
  tallies: readonly Tally[],
  together: number,
  trials: number,
  precision: number,
): Convergence {
  const reasons: string[] = [];
  const judge = (what: string, probability: Probability): void => {
    const halfWidth = halfWidthOf(probability);
    if (halfWidth <= precision) return;
    const [has, wants] = [halfWidth, precision].map((each) => `${(100 * each).toPrecision(2)} %`);
    reasons.push(`${what}: the probability is known to ${has}, ${wants} is wanted`);
  };
  judge('all together', probabilityOf(together, trials));
  tallies.forEach((tally, k) => {
    const id = set.clauses[k]?.id ?? '';
    if (tally.applied === 0 || tally.unknown > 0) return;
    judge(id, probabilityOf(tally.passed, trials));
    if (tally.blocks < 2) return;
    const { converged, unsteady, tolerance } = tally.reserve.steadiness();
    if (!converged) {
      const [has, wants] = [unsteady, tolerance].map((each) => each.toPrecision(2));
      reasons.push(`${id}: the reserve stands to ${has}, ${wants} is wanted`);
    }
  });
  return reasons.length === 0 ? { kind: 'converged' } : { kind: 'not converged', reasons };
}
