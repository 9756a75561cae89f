import { describe, expect, test } from 'vitest';
import type { Estimate, Spread } from '../../src/chance/index.js';
import {
  adaptiveMonteCarlo,
  createMeter,
  drawerOf,
  numericalTolerance,
  shortestInterval,
  streamOf,
  symmetricInterval,
  USUAL_BLOCK,
} from '../../src/chance/index.js';
import { rectangularSumCdf, solved } from '../reference/distributions.js';

const MOST = 4_000_000;

function drawersOf(spreads: readonly Spread[], seed: number): readonly (() => number)[] {
  return spreads.map((spread, i) => drawerOf(spread, streamOf(seed, `X${i + 1}`)).next);
}

/** The sum of so many inputs. */
function additive(spreads: readonly Spread[], seed: number, digits: 1 | 2 = 2): Estimate {
  const drawers = drawersOf(spreads, seed);
  return adaptiveMonteCarlo(() => drawers.reduce((sum, next) => sum + next(), 0), digits, MOST);
}

/** Within the numerical tolerance, of which the estimate says that it is known to it with 95 %; twice
 * that leaves a false alarm in 15 000 (four standard deviations). */
function agrees(found: number, known: number, { tolerance }: Estimate): void {
  expect(Math.abs(found - known)).toBeLessThanOrEqual(2 * tolerance);
}

describe('JCGM 101:2008, 9.2, additive model', () => {
  const unit: Spread = { kind: 'rectangular', halfWidth: Math.sqrt(3) };

  test('four normals (9.2.2): u 2, interval +/- 3.92 in closed form (seed 1)', () => {
    const estimate = additive(new Array<Spread>(4).fill({ kind: 'normal', standard: 1 }), 1);
    expect(estimate.converged).toBe(true);
    agrees(estimate.mean, 0, estimate);
    agrees(estimate.standard, 2, estimate);
    agrees(estimate.symmetric.to, 2 * 1.959964, estimate);
    agrees(estimate.symmetric.from, -2 * 1.959964, estimate);
  });

  test('four rectangulars (9.2.3): u 2.00, interval +/- 3.88 as printed, and by convolution (seed 1)', () => {
    const widths = new Array<number>(4).fill(Math.sqrt(3));
    const exact = solved((x) => rectangularSumCdf(x, widths), 0.975, 0, 7);
    expect(exact).toBeCloseTo(3.88, 2);
    const estimate = additive(new Array<Spread>(4).fill(unit), 1);
    expect(estimate.converged).toBe(true);
    agrees(estimate.standard, 2, estimate);
    agrees(estimate.symmetric.to, exact, estimate);
    agrees(estimate.symmetric.from, -exact, estimate);
  });

  test('rectangulars, one ten times as wide (9.2.4): u 10.1 and +/- 17.0 (from memory), by convolution (seed 2)', () => {
    const widths = [1, 1, 1, 10].map((standard) => standard * Math.sqrt(3));
    const exact = solved((x) => rectangularSumCdf(x, widths), 0.975, 0, 22);
    expect(exact).toBeCloseTo(17, 1);
    expect(Math.sqrt(103)).toBeCloseTo(10.1, 1);
    const estimate = additive(
      widths.map((halfWidth): Spread => ({ kind: 'rectangular', halfWidth })),
      2,
    );
    expect(estimate.converged).toBe(true);
    agrees(estimate.standard, Math.sqrt(103), estimate);
    agrees(estimate.symmetric.to, exact, estimate);
  });
});

describe('JCGM 101:2008, 9.3, mass calibration (inputs and results from memory)', () => {
  test('has u 0.0754 mg and mean 1.234 mg; u in closed form too (seed 3)', () => {
    // deviation of a weight from 100 g, in mg, densities in kg/m^3
    const [reference, correction, air, weight, standard] = drawersOf(
      [
        { kind: 'normal', standard: 0.05 },
        { kind: 'normal', standard: 0.02 },
        { kind: 'rectangular', halfWidth: 0.1 },
        { kind: 'rectangular', halfWidth: 1000 },
        { kind: 'rectangular', halfWidth: 50 },
      ],
      3,
    ) as [() => number, () => number, () => number, () => number, () => number];
    const estimate = adaptiveMonteCarlo(
      () => {
        const mass = 100_000 + reference() + 1.234 + correction();
        const buoyancy = air() * (1 / (8000 + weight()) - 1 / (8000 + standard()));
        return mass * (1 + buoyancy) - 100_000;
      },
      1,
      MOST,
    );
    // mass m and air density offset a are independent and E a = 0, so
    // var = var(m) + E(m^2) E(a^2) E(e^2) with e = 1 / weight - 1 / standard
    const mean = (a: number, b: number): number => Math.log(b / a) / (b - a);
    const square = (a: number, b: number): number => 1 / (a * b);
    const e2 = square(7000, 9000) + square(7950, 8050) - 2 * mean(7000, 9000) * mean(7950, 8050);
    const u = Math.sqrt(0.05 ** 2 + 0.02 ** 2 + 100_001.234 ** 2 * (0.1 ** 2 / 3) * e2);
    // the printed value is itself by Monte Carlo: one unit of its last place
    expect(Math.abs(u - 0.0754)).toBeLessThan(0.0001);
    expect(estimate.converged).toBe(true);
    agrees(estimate.standard, u, estimate);
    agrees(estimate.mean, 1.234, estimate);
  });
});

describe('JCGM 101:2008, 9.4, comparison loss (results from memory)', () => {
  // Y = X1^2 + X2^2, both with u 0.005; in units of 1e-6
  test.each([
    [0, 50, 50],
    [0.01, 150, 112],
    [0.05, 2550, 502],
  ])('x1 = %d: mean %d, u %d; in closed form too (seed 4)', (x1, mean, u) => {
    const [p, q] = drawersOf(
      [
        { kind: 'normal', standard: 0.005 },
        { kind: 'normal', standard: 0.005 },
      ],
      4,
    ) as [() => number, () => number];
    const estimate = adaptiveMonteCarlo(() => 1e6 * ((x1 + p()) ** 2 + q() ** 2), 1, MOST);
    // noncentral chi-square with two degrees of freedom
    const s = 0.005;
    const exact = { mean: x1 ** 2 + 2 * s * s, u: Math.sqrt(4 * s ** 4 + 4 * (x1 * s) ** 2) };
    expect(1e6 * exact.mean).toBeCloseTo(mean, 6);
    expect(Math.abs(1e6 * exact.u - u)).toBeLessThan(0.5);
    expect(estimate.converged).toBe(true);
    agrees(estimate.mean, 1e6 * exact.mean, estimate);
    agrees(estimate.standard, 1e6 * exact.u, estimate);
  });

  test('x1 = 0: the shortest interval starts at 0 and ends at 150, -2 u^2 ln 0.05 (seed 4)', () => {
    const [p, q] = drawersOf(
      [
        { kind: 'normal', standard: 0.005 },
        { kind: 'normal', standard: 0.005 },
      ],
      4,
    ) as [() => number, () => number];
    const estimate = adaptiveMonteCarlo(
      () => 1e6 * (p() ** 2 + q() ** 2),
      1,
      MOST,
      USUAL_BLOCK,
      'shortest',
    );
    expect(-50 * Math.log(0.05)).toBeCloseTo(150, 0);
    agrees(estimate.shortest.from, 0, estimate);
    agrees(estimate.shortest.to, -50 * Math.log(0.05), estimate);
    // the symmetric interval leaves 2.5 % at either end of the exponential distribution
    agrees(estimate.symmetric.from, -50 * Math.log(0.975), estimate);
    agrees(estimate.symmetric.to, -50 * Math.log(0.025), estimate);
  });
});

test('JCGM 100:2008, H.1 (from memory): 25, 9.7, 2.9 and 16.7 nm combine to 31.7 nm (seed 5)', () => {
  const spreads = [25, 9.7, 2.9, 16.7].map((standard): Spread => ({ kind: 'normal', standard }));
  const estimate = additive(spreads, 5);
  expect(Math.hypot(25, 9.7, 2.9, 16.7)).toBeCloseTo(31.7, 1);
  expect(estimate.converged).toBe(true);
  agrees(estimate.standard, Math.hypot(25, 9.7, 2.9, 16.7), estimate);
});

describe('the numerical tolerance (JCGM 101:2008, 7.9.2)', () => {
  // u = c * 10^l with c of so many digits: 10^l / 2
  test.each([
    [0.00035, 2, 0.5e-5],
    [2, 1, 0.5],
    [0.0754, 2, 0.0005],
    [9.96, 1, 5],
    [9.96, 2, 0.5],
    [31.7, 1, 5],
  ] as const)('of u %d with %d digits is %d', (standard, digits, tolerance) => {
    expect(numericalTolerance({ mean: 1, standard }, digits)).toBeCloseTo(tolerance, 12);
  });
});

describe('the adaptive run', () => {
  test('says that it did not converge when its trials are spent', () => {
    const { next } = drawerOf({ kind: 'normal', standard: 1 }, streamOf(1, 'short'));
    const estimate = adaptiveMonteCarlo(next, 2, 400, 200);
    expect(estimate).toMatchObject({ converged: false, trials: 400 });
    expect(estimate.unsteady).toBeGreaterThan(estimate.tolerance);
  });

  test('ends at once on what does not vary, without a deviation', () => {
    const estimate = adaptiveMonteCarlo(() => 0.1, 1, MOST, 100);
    expect(estimate).toMatchObject({ converged: true, trials: 200, mean: 0.1, standard: 0 });
  });

  test('does not take one block for steady', () => {
    const meter = createMeter(1);
    meter.add(Float64Array.from({ length: 100 }, (_, i) => i));
    expect(meter.estimate()).toMatchObject({
      converged: false,
      unsteady: Number.POSITIVE_INFINITY,
    });
  });
});

describe('coverage intervals (JCGM 101:2008, 7.7)', () => {
  test('of 10 000 values in order span 9500 of them, from the 250th', () => {
    const sorted = Float64Array.from({ length: 10_000 }, (_, i) => i + 1);
    expect(symmetricInterval(sorted)).toEqual({ from: 250, to: 9750 });
  });

  test('are shortest where the values are dense', () => {
    const sorted = Float64Array.from({ length: 1000 }, (_, i) => ((i + 1) / 1000) ** 3);
    expect(shortestInterval(sorted)).toEqual({ from: 1e-9, to: 0.951 ** 3 });
  });

  test('need values outside of them', () => {
    expect(() => symmetricInterval(Float64Array.from([1, 2, 3]))).toThrow(RangeError);
  });
});
