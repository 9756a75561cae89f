/**
 * Question: which z in a box is least squares for few data and many unknowns with a prior each?
 *
 *   minimise  f(z) = w |z|^2 + |A z - b|^2   subject to  |z_i| <= reach_i
 *
 * Strictly convex (w > 0), so there is one minimum, and it is the point where the slope
 * g = w z + A'(A z - b) is zero for every free z, and points out of the box for every one at its end
 * (Karush, Kuhn and Tucker). Which are at an end is found by block principal pivoting (Portugal, Judice and
 * Vicente, Mathematics of Computation 63, 1994, 625-643; from memory): all that break a condition change
 * sides at once, and where that gains nothing three times, only the last of them does (Murty's rule), which
 * ends for every positive definite problem. With few rows the free ones come from a system of that many
 * rows,
 *
 *   z_F = A_F' (w I + A_F A_F')^-1 (b - A_B z_B)         F free, B at their ends
 *
 * so that thousands of unknowns cost little more than the data.
 */

import { Matrix, solve } from 'ml-matrix';

export interface BoundedProblem {
  /** rows of A, each as long as `reach` */
  readonly rows: readonly (readonly number[])[];
  readonly target: readonly number[];
  /** > 0, half-widths of the box */
  readonly reach: readonly number[];
  /** > 0 */
  readonly prior: number;
}

/** -1 at its lower end, 1 at its upper end, 0 between */
export type End = -1 | 0 | 1;

export interface BoundedSolution {
  readonly z: readonly number[];
  readonly ends: readonly End[];
}

/** Of the slope, against its own terms: what rounding leaves of zero. */
const FLAT = 1e-10;
/** Times that all change sides although it gains nothing. */
const PATIENCE = 3;

/** @throws Error when the ends do not settle: a bug, since the last rule does */
export function boundedLeastSquares(problem: BoundedProblem): BoundedSolution {
  const { reach } = problem;
  let ends: readonly End[] = reach.map(() => 0);
  let fewest = Number.POSITIVE_INFINITY;
  let patience = PATIENCE;
  const most = 1000 + 100 * reach.length;
  for (let step = 0; step < most; step += 1) {
    const z = withEnds(problem, ends);
    const wrong = wrongEnds(problem, z, ends);
    if (wrong.length === 0) return { z, ends };
    if (wrong.length < fewest) {
      fewest = wrong.length;
      patience = PATIENCE;
    } else patience -= 1;
    const changed = new Set(patience >= 0 ? wrong : wrong.slice(-1));
    ends = ends.map((end, i) => (changed.has(i) ? otherSide(end, z[i] as number) : end));
  }
  throw new Error(`boundedLeastSquares: ${reach.length} unknowns not settled in ${most} steps`);
}

function otherSide(end: End, z: number): End {
  if (end !== 0) return 0;
  return z > 0 ? 1 : -1;
}

/** The least squares of the free ones, the others at their ends. */
function withEnds(
  { rows, target, reach, prior }: BoundedProblem,
  ends: readonly End[],
): readonly number[] {
  const held = reach.map((limit, i) => (ends[i] as number) * limit);
  if (rows.length === 0) return held;
  const left = rows.map((row, k) =>
    row.reduce((sum, a, i) => sum - a * (held[i] as number), target[k] as number),
  );
  const gram = gramOf(rows, prior, (i) => ends[i] === 0);
  const weights = solve(gram, Matrix.columnVector(left)).to1DArray();
  return held.map((at, i) =>
    ends[i] === 0
      ? rows.reduce((sum, row, k) => sum + (row[i] as number) * (weights[k] as number), 0)
      : at,
  );
}

/** w I + A_F A_F', as many rows as data. */
export function gramOf(
  rows: readonly (readonly number[])[],
  prior: number,
  isFree: (i: number) => boolean,
): Matrix {
  return new Matrix(
    rows.map((p, k) =>
      rows.map((q, l) =>
        p.reduce(
          (sum, a, i) => (isFree(i) ? sum + a * (q[i] as number) : sum),
          k === l ? prior : 0,
        ),
      ),
    ),
  );
}

/** Free ones outside the box, and those at an end whose slope pulls them back into it. */
function wrongEnds(
  problem: BoundedProblem,
  z: readonly number[],
  ends: readonly End[],
): readonly number[] {
  const slopes = slopeOf(problem, z);
  const scale = slopes.reduce((most, slope) => Math.max(most, Math.abs(slope)), 1);
  return z.flatMap((at, i) => {
    const end = ends[i] as number;
    const isWrong =
      end === 0
        ? Math.abs(at) > (problem.reach[i] as number)
        : (slopes[i] as number) * end > FLAT * scale;
    return isWrong ? [i] : [];
  });
}

/** Half the gradient of f. */
export function slopeOf(
  { rows, target, prior }: BoundedProblem,
  z: readonly number[],
): readonly number[] {
  const off = rows.map((row, k) =>
    row.reduce((sum, a, i) => sum + a * (z[i] as number), -(target[k] as number)),
  );
  return z.map((at, i) =>
    rows.reduce((sum, row, k) => sum + (row[i] as number) * (off[k] as number), prior * at),
  );
}
