/**
 * Monte Carlo until the numbers stand still. Source: JCGM 101:2008, 7.9.
 *
 * Trials come in blocks. Each block gives its own mean, standard uncertainty and ends of the coverage
 * interval; how far these scatter from block to block says how well their averages are known. It is
 * enough once twice the standard deviation of every average is within the numerical tolerance.
 *
 * Symbols of 7.9.4: h blocks of M trials; y mean, u(y) standard uncertainty, y_low and y_high ends of
 * the coverage interval; delta numerical tolerance.
 */

import type { Interval } from './coverage.js';
import { shortestInterval, symmetricInterval } from './coverage.js';

/** Significant digits of the standard uncertainty that count. */
export type Digits = 1 | 2;

/** How well the figures are known. */
export interface Steadiness {
  /** numerical tolerance, in the unit of the quantity */
  readonly tolerance: number;
  /** the greatest of twice the standard deviations of the averages; Infinity before two blocks */
  readonly unsteady: number;
  readonly converged: boolean;
}

/** What the trials so far say. */
export interface Estimate extends Steadiness {
  readonly trials: number;
  readonly mean: number;
  /** standard uncertainty */
  readonly standard: number;
  /** 95 % */
  readonly symmetric: Interval;
  readonly shortest: Interval;
}

/** A quantity that is drawn in blocks. */
export interface Meter {
  /** @param values of one block, in any order; at least 40 */
  readonly add: (values: Float64Array) => void;
  /** cheap, for after each block */
  readonly steadiness: () => Steadiness;
  /** @throws Error before the first block */
  readonly estimate: () => Estimate;
}

interface BlockFigures {
  readonly count: number;
  readonly mean: number;
  readonly standard: number;
  readonly symmetric: Interval;
  readonly shortest: Interval;
}

/** Which of the two coverage intervals has to stand still. The ends of the shortest one move far more
 * from block to block: the density is flat where it is shortest. */
export type WatchedInterval = 'symmetric' | 'shortest';

export function createMeter(digits: Digits, watched: WatchedInterval = 'symmetric'): Meter {
  const blocks: Float64Array[] = [];
  const ofBlocks: BlockFigures[] = [];
  const steadiness = (): Steadiness => {
    const tolerance = numericalTolerance(pooled(ofBlocks), digits);
    const unsteady = unsteadiness(ofBlocks, watched);
    return { tolerance, unsteady, converged: unsteady <= tolerance };
  };
  return {
    add: (values) => {
      blocks.push(values);
      ofBlocks.push(figuresOf(values));
    },
    steadiness,
    estimate: () => {
      const { count: trials, ...figures } = figuresOf(joined(blocks));
      return { trials, ...figures, ...steadiness() };
    },
  };
}

/** Mean and standard uncertainty of all values from those of the blocks (7.9.4 i): squares within the
 * blocks and between them. */
function pooled(figures: readonly BlockFigures[]): { mean: number; standard: number } {
  const count = figures.reduce((sum, block) => sum + block.count, 0);
  const mean = figures.reduce((sum, block) => sum + block.count * block.mean, 0) / count;
  const squares = figures.reduce(
    (sum, block) =>
      sum + (block.count - 1) * block.standard ** 2 + block.count * (block.mean - mean) ** 2,
    0,
  );
  return { mean, standard: Math.sqrt(squares / (count - 1)) };
}

function joined(blocks: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(blocks.reduce((sum, { length }) => sum + length, 0));
  let start = 0;
  for (const block of blocks) {
    all.set(block, start);
    start += block.length;
  }
  return all;
}

/** Mean and standard uncertainty by 7.6, intervals by 7.7. */
function figuresOf(values: Float64Array): BlockFigures {
  const sorted = values.slice().sort();
  // shifted by one of the values: what is constant then has a deviation of exactly zero
  const origin = sorted[0] ?? 0;
  const shift = sorted.reduce((sum, value) => sum + (value - origin), 0) / sorted.length;
  const squares = sorted.reduce((sum, value) => sum + (value - origin - shift) ** 2, 0);
  return {
    count: sorted.length,
    mean: origin + shift,
    standard: Math.sqrt(squares / (sorted.length - 1)),
    symmetric: symmetricInterval(sorted),
    shortest: shortestInterval(sorted),
  };
}

/** Rounding of a value and of what was computed from it, as a share: deviations below it are none. */
const ROUNDING = 1e-12;

/**
 * Half a unit in the last of so many significant digits of the standard uncertainty: with
 * u = c * 10^l and c of `digits` digits, 10^l / 2 (7.9.2).
 */
export function numericalTolerance(
  { mean, standard }: { readonly mean: number; readonly standard: number },
  digits: Digits,
): number {
  if (standard <= ROUNDING * Math.abs(mean)) return ROUNDING * Math.abs(mean);
  const text = standard.toExponential(digits - 1);
  const exponent = Number(text.slice(text.indexOf('e') + 1));
  return 0.5 * 10 ** (exponent - (digits - 1));
}

function unsteadiness(figures: readonly BlockFigures[], watched: WatchedInterval): number {
  const watch: readonly ((block: BlockFigures) => number)[] = [
    ({ mean }) => mean,
    ({ standard }) => standard,
    (block) => block[watched].from,
    (block) => block[watched].to,
  ];
  return Math.max(...watch.map((figure) => 2 * deviationOfAverage(figures.map(figure))));
}

/** s_y of 7.9.4 f: of the average of h values. */
function deviationOfAverage(values: readonly number[]): number {
  const h = values.length;
  if (h < 2) return Number.POSITIVE_INFINITY;
  const average = values.reduce((sum, value) => sum + value, 0) / h;
  const squares = values.reduce((sum, value) => sum + (value - average) ** 2, 0);
  return Math.sqrt(squares / (h * (h - 1)));
}

/** Trials of a block as 7.9.4 b has it, for 95 %: max(100 / (1 - p), 10^4). */
export const USUAL_BLOCK = 10_000;

/**
 * Draws one quantity until it converges or the trials are spent.
 *
 * @param mostTrials the run ends with the last block that does not go beyond it, two at least
 */
export function adaptiveMonteCarlo(
  draw: () => number,
  digits: Digits,
  mostTrials: number,
  block = USUAL_BLOCK,
  watched: WatchedInterval = 'symmetric',
): Estimate {
  const meter = createMeter(digits, watched);
  meter.add(Float64Array.from({ length: block }, draw));
  let trials = block;
  for (;;) {
    meter.add(Float64Array.from({ length: block }, draw));
    trials += block;
    if (meter.steadiness().converged || trials + block > mostTrials) return meter.estimate();
  }
}
