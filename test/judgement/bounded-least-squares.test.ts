import { describe, expect, test } from 'vitest';
import { boundedLeastSquares, slopeOf } from '../../src/judgement/bounded-least-squares.js';
import { boxLeastSquares } from '../reference/box-least-squares.js';
import { seededRandom } from '../reference/random.js';

describe('least squares in a box', () => {
  test('one unknown, one datum: z = a b / (1 + a^2), or its end', () => {
    const solve = (reach: number) =>
      boundedLeastSquares({ rows: [[3]], target: [2], reach: [reach], prior: 1 });
    expect(solve(1).z[0]).toBeCloseTo(0.6, 14);
    expect(solve(1).ends).toEqual([0]);
    expect(solve(0.5)).toEqual({ z: [0.5], ends: [1] });
  });

  test('no data: nothing moves; no unknowns: nothing to do', () => {
    expect(boundedLeastSquares({ rows: [], target: [], reach: [1, 2], prior: 1 }).z).toEqual([
      0, 0,
    ]);
    expect(boundedLeastSquares({ rows: [[]], target: [4], reach: [], prior: 1 }).z).toEqual([]);
  });

  test('200 random problems: conditions of Karush, Kuhn and Tucker, and coordinate descent (seed 5)', () => {
    const random = seededRandom(5);
    let atEnds = 0;
    for (let k = 0; k < 200; k += 1) {
      const count = 1 + Math.floor(12 * random());
      const data = 1 + Math.floor(4 * random());
      const scale = 10 ** (1.7 * random() - 1);
      const problem = {
        rows: Array.from({ length: data }, () =>
          Array.from({ length: count }, () => scale * (2 * random() - 1)),
        ),
        target: Array.from({ length: data }, () => 6 * scale * (2 * random() - 1)),
        reach: Array.from({ length: count }, () => 0.5 + 2 * random()),
        prior: k % 4 === 0 ? 0.1 : 1,
      };
      const { z, ends } = boundedLeastSquares(problem);
      atEnds += ends.filter((end) => end !== 0).length;
      const size = Math.max(
        ...slopeOf(
          problem,
          problem.reach.map(() => 0),
        ).map(Math.abs),
        1,
      );
      slopeOf(problem, z).forEach((slope, i) => {
        const [end, at, reach] = [ends[i] ?? 0, z[i] ?? 0, problem.reach[i] ?? 0];
        // rounding of sums of a dozen products of this size
        if (end === 0) expect(Math.abs(slope)).toBeLessThan(1e-9 * size);
        else expect(slope * end).toBeLessThan(1e-9 * size);
        expect(Math.abs(at)).toBeLessThanOrEqual(reach);
        if (end !== 0) expect(at).toBe(end * reach);
      });
      // coordinate descent stops at steps of 1e-13; its rate leaves up to 1e5 times that
      boxLeastSquares(problem).forEach((each, i) => {
        expect(Math.abs(each - (z[i] ?? 0))).toBeLessThan(1e-7);
      });
    }
    expect(atEnds).toBeGreaterThan(200);
  });

  test('a thousand unknowns, most of them at their ends, settle', () => {
    const rows = [Array.from({ length: 1000 }, (_, i) => 1 + (i % 7))];
    const { z, ends } = boundedLeastSquares({
      rows,
      target: [5000],
      reach: rows[0]?.map(() => 1) ?? [],
      prior: 1,
    });
    expect(ends.filter((end) => end === 1).length).toBe(1000);
    expect(z.every((each) => each === 1)).toBe(true);
  });
});
