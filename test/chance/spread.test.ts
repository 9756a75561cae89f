import { describe, expect, test } from 'vitest';
import type { Spread } from '../../src/chance/index.js';
import {
  drawerOf,
  quantileOf,
  standardOf,
  streamOf,
  tCoverageFactor,
} from '../../src/chance/index.js';
import {
  integral,
  normalCdf,
  tCdf3,
  trapezoidalCdf,
  triangularCdf,
} from '../reference/distributions.js';

const CASES: readonly {
  readonly spread: Spread;
  readonly cdf: (x: number) => number;
  /** standard deviation by JCGM 101:2008, 6.4, or the textbook formula it gives */
  readonly standard: number;
}[] = [
  {
    spread: { kind: 'rectangular', halfWidth: 3 },
    cdf: (x) => Math.max(0, Math.min(1, (x / 3 + 1) / 2)),
    standard: 3 / Math.sqrt(3),
  },
  {
    spread: { kind: 'triangular', halfWidth: 3 },
    cdf: (x) => triangularCdf(x / 3),
    standard: 3 / Math.sqrt(6),
  },
  {
    spread: { kind: 'trapezoidal', halfWidth: 3, top: 0.4 },
    cdf: (x) => trapezoidalCdf(x / 3, 0.4),
    // sum of two rectangulars of half-widths 2.1 and 0.9: top 1.2 = 0.4 * 3
    standard: Math.hypot(2.1, 0.9) / Math.sqrt(3),
  },
  {
    spread: { kind: 'arcsine', halfWidth: 3 },
    cdf: (x) => 0.5 + Math.asin(Math.max(-1, Math.min(1, x / 3))) / Math.PI,
    standard: 3 / Math.sqrt(2),
  },
  { spread: { kind: 'normal', standard: 3 }, cdf: (x) => normalCdf(x / 3), standard: 3 },
  {
    spread: { kind: 't', scale: 3, freedom: 3 },
    cdf: (x) => tCdf3(x / 3),
    standard: 3 * Math.sqrt(3),
  },
];

describe.each(CASES)('a $spread.kind spread', ({ spread, cdf, standard }) => {
  test('has the quantiles of its distribution function', () => {
    for (const p of [0.001, 0.025, 0.1, 0.2, 0.5, 0.7, 0.975, 0.999]) {
      // Simpson's rule with 2000 intervals is exact to 1e-12 here; the quantiles to 1e-10
      expect(cdf(quantileOf(spread, p))).toBeCloseTo(p, 9);
    }
  });

  test('has the standard deviation of JCGM 101:2008, 6.4', () => {
    expect(standardOf(spread)).toBeCloseTo(standard, 12);
  });

  test('has that standard deviation as the integral of its squared quantiles too', () => {
    // p = (1 + sin s) / 2 thins out the steep ends, where t with 3 degrees of freedom still
    // leaves 1 % outside the range of integration
    const square = (s: number): number => {
      const p = 0.5 * (1 + Math.sin(s));
      return p <= 0 || p >= 1 ? 0 : quantileOf(spread, p) ** 2 * 0.5 * Math.cos(s);
    };
    const variance = integral(square, -Math.PI / 2, Math.PI / 2, 20_000);
    expect(Math.sqrt(variance) / standard).toBeCloseTo(1, spread.kind === 't' ? 1 : 4);
  });

  test('is drawn as its distribution function says: Kolmogorov and Smirnov, seed 7, false alarm once in 10 000', () => {
    const n = 5000;
    const { next } = drawerOf(spread, streamOf(7, spread.kind));
    const draws = Float64Array.from({ length: n }, next).sort();
    let distance = 0;
    draws.forEach((x, i) => {
      const f = cdf(x);
      distance = Math.max(distance, f - i / n, (i + 1) / n - f);
    });
    // asymptotic: P(D sqrt(n) > c) = 2 exp(-2 c^2) = 1e-4
    const critical = Math.sqrt(-Math.log(0.5e-4) / 2) / Math.sqrt(n);
    expect(distance).toBeLessThan(critical);
  });
});

describe('spreads', () => {
  test('of t need more than two degrees of freedom for a standard deviation', () => {
    expect(standardOf({ kind: 't', scale: 1, freedom: 2 })).toBe(Number.POSITIVE_INFINITY);
  });

  // t table of JCGM 100:2008, table G.2, 95 %: printed to two decimals
  test.each([
    [3, 3.18],
    [9, 2.26],
    [20, 2.09],
  ])('of %d degrees of freedom have the tabled factor %d', (freedom, tabled) => {
    expect(Math.abs(tCoverageFactor(freedom) - tabled)).toBeLessThanOrEqual(0.005);
  });
});

describe('draws within limits', () => {
  test('follow the distribution cut off there, and the redraws are counted (seed 3)', () => {
    const limits = { least: 0, most: Number.POSITIVE_INFINITY };
    const drawer = drawerOf({ kind: 'normal', standard: 1 }, streamOf(3, 'half'), limits);
    const n = 4000;
    const draws = Array.from({ length: n }, () => drawer.next());
    expect(Math.min(...draws)).toBeGreaterThanOrEqual(0);
    // mean of half a normal distribution: sqrt(2 / pi), standard deviation 0.603; 4 of its means
    const mean = draws.reduce((sum, x) => sum + x, 0) / n;
    expect(Math.abs(mean - Math.sqrt(2 / Math.PI))).toBeLessThan((4 * 0.603) / Math.sqrt(n));
    // as many fall outside as inside: 4 standard deviations of a count with mean n
    expect(Math.abs(drawer.redrawn() - n)).toBeLessThan(4 * Math.sqrt(2 * n));
  });

  test('that hold nothing of the spread are refused', () => {
    const limits = { least: 5, most: 6 };
    const drawer = drawerOf({ kind: 'rectangular', halfWidth: 1 }, streamOf(3, 'none'), limits);
    expect(() => drawer.next()).toThrow(RangeError);
  });
});
