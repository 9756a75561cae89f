/**
 * Least squares in a box by cyclic coordinate descent: each unknown in turn to the least of its own parabola,
 * cut at its ends. For a strictly convex function it comes to the one minimum (Bertsekas, Nonlinear
 * Programming, 2nd edition, 2.7). Slow, and shares nothing with an active set.
 */

export interface BoxProblem {
  readonly rows: readonly (readonly number[])[];
  readonly target: readonly number[];
  readonly reach: readonly number[];
  /** weight of |z|^2 */
  readonly prior: number;
}

export function boxLeastSquares({ rows, target, reach, prior }: BoxProblem): readonly number[] {
  const z = reach.map(() => 0);
  const off = target.map((t) => -t);
  for (let sweep = 0; sweep < 20_000; sweep += 1) {
    let moved = 0;
    reach.forEach((limit, i) => {
      const own = z[i] as number;
      let slope = prior * own;
      let bend = prior;
      rows.forEach((row, k) => {
        slope += (row[i] as number) * (off[k] as number);
        bend += (row[i] as number) ** 2;
      });
      const next = Math.max(-limit, Math.min(limit, own - slope / bend));
      rows.forEach((row, k) => {
        off[k] = (off[k] as number) + (row[i] as number) * (next - own);
      });
      z[i] = next;
      moved = Math.max(moved, Math.abs(next - own));
    });
    if (moved < 1e-13) return z;
  }
  throw new Error('boxLeastSquares: not settled');
}
