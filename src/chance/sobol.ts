/**
 * Which input matters most: Sobol' indices of a result that varies because its inputs do.
 *
 * The main index of an input is the share of the variance that would go if this input alone were
 * known; the total index is the share that would stay if all others were. What lies between the two
 * is its part in interactions. Inputs are independent.
 *
 * Two matrices of independent draws A and B, N rows each, and for every input i the matrix AB_i: A
 * with column i from B. N (k + 2) evaluations for k inputs.
 *
 *   main   V S_i  = 1/N sum f(B) (f(AB_i) - f(A))       Saltelli et al., Computer Physics
 *                                                       Communications 181 (2010) 259-270, table 2 b
 *   total  V ST_i = 1/(2N) sum (f(A) - f(AB_i))^2       Jansen, Computer Physics Communications 117
 *                                                       (1999) 35-43; table 2 f of the former
 *
 * The result is centred first, which takes the error of the mean out of the main index. The interval
 * is the middle 95 % of bootstrap samples of the rows (percentile method).
 */

import type { Stream } from './streams.js';

export interface IndexEstimate {
  readonly value: number;
  /** 95 % by bootstrap */
  readonly from: number;
  readonly to: number;
}

export interface SobolIndex {
  readonly main: IndexEstimate;
  readonly total: IndexEstimate;
}

/** Results of all evaluations, one row a trial; NaN: the result is not defined there. */
export interface SobolRuns {
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** one for each input */
  readonly mixed: readonly Float64Array[];
}

/** Fewer rows that are whole say nothing. */
const LEAST_ROWS = 20;

export const BOOTSTRAPS = 200;

/**
 * @param stream of the bootstrap
 * @returns one for each input; null: the result does not vary, or is undefined too often
 */
export function sobolIndices(runs: SobolRuns, stream: Stream): readonly SobolIndex[] | null {
  const rows = wholeRows(runs);
  if (rows.length < LEAST_ROWS) return null;
  const whole = figuresOf(runs, rows);
  if (whole === null) return null;
  const samples: (readonly RawIndex[])[] = [];
  for (let k = 0; k < BOOTSTRAPS; k++) {
    const resampled = rows.map(() => rows[Math.floor(stream() * rows.length)] as number);
    const figures = figuresOf(runs, resampled);
    if (figures !== null) samples.push(figures);
  }
  return whole.map((index, i) => ({
    main: withInterval(
      index.main,
      samples.map((sample) => sample[i]?.main ?? 0),
    ),
    total: withInterval(
      index.total,
      samples.map((sample) => sample[i]?.total ?? 0),
    ),
  }));
}

function wholeRows({ a, b, mixed }: SobolRuns): readonly number[] {
  const rows: number[] = [];
  for (let j = 0; j < a.length; j++) {
    const values = [a[j], b[j], ...mixed.map((each) => each[j])];
    if (values.every((value) => Number.isFinite(value))) rows.push(j);
  }
  return rows;
}

interface RawIndex {
  readonly main: number;
  readonly total: number;
}

/** Of a variance below this share of the mean square nothing is left but rounding. */
const ROUNDING = 1e-24;

function figuresOf({ a, b, mixed }: SobolRuns, rows: readonly number[]): RawIndex[] | null {
  const count = 2 * rows.length;
  let sum = 0;
  for (const j of rows) sum += a[j]! + b[j]!;
  const mean = sum / count;
  let squares = 0;
  for (const j of rows) squares += (a[j]! - mean) ** 2 + (b[j]! - mean) ** 2;
  const variance = squares / (count - 1);
  if (variance <= ROUNDING * mean ** 2) return null;
  return mixed.map((each) => {
    let main = 0;
    let total = 0;
    for (const j of rows) {
      const change = each[j]! - a[j]!;
      main += (b[j]! - mean) * change;
      total += change ** 2;
    }
    const scale = rows.length * variance;
    return { main: main / scale, total: total / (2 * scale) };
  });
}

function withInterval(value: number, samples: readonly number[]): IndexEstimate {
  const sorted = [...samples].sort((p, q) => p - q);
  const at = (share: number): number =>
    sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? value;
  return { value, from: at(0.025), to: at(0.975) };
}
