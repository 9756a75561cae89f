import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { BudgetLine } from '../../src/metrology/index.js';
import {
  combined,
  expanded,
  meanOf,
  ofResolution,
  rectangular,
  triangular,
  USUAL_LEVEL,
} from '../../src/metrology/index.js';
import { rectangularSumCdf, solved } from '../reference/distributions.js';

function line(
  u: number,
  dof: number | null = null,
  sensitivity = 1,
): Omit<BudgetLine, 'contribution'> {
  return { source: 'input', type: dof === null ? 'B' : 'A', u, sensitivity, dof };
}

describe('JCGM 100:2008, H.1, end gauge (figures from memory)', () => {
  const lines = [line(25, 18), line(9.7, 25.6), line(2.9, 50), line(16.7, 2)];
  const length = combined(50_000_838, lines);

  test('25, 9.7, 2.9 and 16.7 nm combine to 31.7 nm', () => {
    // half of the last digit printed
    expect(Math.abs(length.u - 31.7)).toBeLessThan(0.05);
    expect(length.lines.map((l) => l.contribution)).toEqual([25, 9.7, 2.9, 16.7]);
  });

  test('with 18, 25.6, 50 and 2 degrees of freedom they have 16.7 together', () => {
    // the inputs are printed to the last digit here: 16.7 +/- 0.05 nm with its 2 degrees moves it by 0.12
    expect(Math.abs((length.dof ?? 0) - 16.7)).toBeLessThan(0.12);
  });

  test('the 99 % expanded uncertainty is 93 nm with 16 whole degrees of freedom', () => {
    const { k, U } = expanded({ value: 0, u: length.u, dof: 16 }, 0.99);
    expect(k).toBeCloseTo(2.92, 2);
    expect(Math.round(U)).toBe(93);
  });
});

describe('coverage factor', () => {
  // JCGM 100:2008, table G.2, column 95.45 %
  test.each([
    [1, 13.97],
    [2, 4.53],
    [3, 3.31],
    [4, 2.87],
    [5, 2.65],
    [6, 2.52],
    [8, 2.37],
    [10, 2.28],
    [20, 2.13],
    [50, 2.05],
  ])('with %d degrees of freedom is %d at 95.45 %% (JCGM 100, table G.2)', (dof, k) => {
    expect(Math.abs(expanded({ value: 1, u: 1, dof }).k - k)).toBeLessThan(0.005001);
  });

  // the same table, columns 68.27, 90, 95, 99 %
  test.each([
    [4, 0.6827, 1.14],
    [4, 0.9, 2.13],
    [10, 0.95, 2.23],
    [10, 0.99, 3.17],
    [50, 0.95, 2.01],
  ])('with %d degrees of freedom at level %d is %d', (dof, level, k) => {
    expect(Math.abs(expanded({ value: 1, u: 1, dof }, level).k - k)).toBeLessThan(0.005001);
  });

  test('is exactly 2 without degrees of freedom at the usual level, 1.96 at 95 %', () => {
    expect(expanded({ value: 3, u: 0.25, dof: null })).toEqual({
      U: 0.5,
      k: 2,
      level: USUAL_LEVEL,
    });
    expect(expanded({ value: 3, u: 1, dof: null }, 0.95).k).toBeCloseTo(1.959964, 6);
  });

  test('falls to that of the normal distribution and stays there for any number of degrees', () => {
    const ks = [1, 3, 10, 100, 1e4, 1e6, 1e9, 1e25, 1e300].map(
      (dof) => expanded({ value: 0, u: 1, dof }).k,
    );
    expect(ks.slice(1).every((k, i) => k <= (ks[i] ?? 0))).toBe(true);
    // k grows by (k^3 + k) / (4 dof) above the normal one: 2.5e-6 at a million
    expect(ks.at(-1)).toBeCloseTo(2, 12);
    expect(ks[5]).toBeCloseTo(2.0000025, 8);
  });

  test('need not have whole degrees of freedom: it lies between its neighbours', () => {
    const [a, b, c] = [4, 4.5, 5].map((dof) => expanded({ value: 0, u: 1, dof }).k);
    expect(a).toBeGreaterThan(b ?? 0);
    expect(b).toBeGreaterThan(c ?? 0);
  });
});

describe('combining', () => {
  test('four rectangulars of unit standard deviation have u 2.00 (JCGM 101, 9.2.3)', () => {
    const sum = combined(0, new Array(4).fill(line(rectangular(Math.sqrt(3)))));
    expect(sum.u).toBeCloseTo(2, 12);
    expect(sum.dof).toBeNull();
  });

  test('and their 95 % interval is wider by the GUM than it is: 3.92 against 3.88', () => {
    const gum = expanded({ value: 0, u: 2, dof: null }, 0.95).U;
    const exact = solved(
      (x) => rectangularSumCdf(x, new Array<number>(4).fill(Math.sqrt(3))),
      0.975,
      0,
      7,
    );
    expect(gum).toBeCloseTo(3.92, 2);
    expect(exact).toBeCloseTo(3.88, 2);
  });

  test('takes sensitivities: 2 x 3 and -4 x 1 give the root of 52', () => {
    const budget = combined(7, [line(3, null, 2), line(1, null, -4)]);
    expect(budget.u).toBeCloseTo(Math.sqrt(52), 12);
    expect(budget.lines.map((l) => l.contribution)).toEqual([6, 4]);
  });

  test('one line keeps its degrees of freedom, and an exact one adds none', () => {
    expect(combined(0, [line(0.3, 7)]).dof).toBeCloseTo(7, 12);
    expect(combined(0, [line(0.3, 7), line(0, 1)]).dof).toBeCloseTo(7, 12);
  });

  test('two alike of n degrees have 2 n, by the formula', () => {
    expect(combined(0, [line(1, 5), line(1, 5)]).dof).toBeCloseTo(10, 12);
  });

  test('without lines, or with exact ones only, u is 0 without degrees of freedom', () => {
    expect(combined(4, [])).toEqual({ value: 4, u: 0, dof: null, lines: [] });
    expect(combined(4, [line(0, 3)])).toMatchObject({ u: 0, dof: null });
  });

  test('degrees lie between the fewest and the sum of all, whatever the scale', () => {
    const inputs = fc.array(
      fc.record({
        u: fc.double({ min: 1e-3, max: 1e3, noNaN: true }),
        dof: fc.integer({ min: 1, max: 60 }),
      }),
      { minLength: 1, maxLength: 8 },
    );
    fc.assert(
      fc.property(inputs, fc.constantFrom(1e-120, 1, 1e120), (all, scale) => {
        const { dof, u } = combined(
          0,
          all.map((one) => line(one.u * scale, one.dof)),
        );
        const few = Math.min(...all.map((one) => one.dof));
        const sum = all.reduce((total, one) => total + one.dof, 0);
        expect(dof).toBeGreaterThan(few * (1 - 1e-9));
        expect(dof).toBeLessThan(sum * (1 + 1e-9));
        expect(u).toBeGreaterThan(0);
      }),
      { seed: 5, numRuns: 200 },
    );
  });

  test('more degrees than a million are none at all', () => {
    expect(combined(0, [line(1), line(1e-6, 4)]).dof).toBeNull();
  });

  test.each([
    ['u below 0', line(-1)],
    ['u no number', line(Number.NaN)],
    ['0 degrees of freedom', line(1, 0)],
    ['infinite sensitivity', line(1, null, Number.POSITIVE_INFINITY)],
  ])('refuses %s', (_, bad) => {
    expect(() => combined(0, [bad])).toThrow(RangeError);
  });
});

describe('mean of readings', () => {
  // JCGM 100:2008, 4.4.3 gives twenty temperatures in bins; these five are reckoned by hand:
  // mean 12.3, deviations -.2 -.1 0 .1 .2, s^2 = 0.10 / 4
  test('has s / sqrt(n) and n - 1 degrees of freedom', () => {
    const mean = meanOf([12.1, 12.2, 12.3, 12.4, 12.5]);
    expect(mean.value).toBeCloseTo(12.3, 12);
    expect(mean.s).toBeCloseTo(Math.sqrt(0.025), 12);
    expect(mean.u).toBeCloseTo(Math.sqrt(0.005), 12);
    expect(mean.dof).toBe(4);
  });

  test('of one reading has no statistics', () => {
    expect(meanOf([4.2])).toEqual({ value: 4.2, u: 0, dof: null, s: null });
  });

  test('of readings that are all alike is that reading to the last bit', () => {
    for (const reading of [0.1, 0.17453292519943295, 1e-7, 98.7]) {
      expect(meanOf([reading, reading, reading])).toEqual({ value: reading, u: 0, dof: 2, s: 0 });
    }
  });

  test('keeps the spread of readings far from zero', () => {
    expect(meanOf([1e9 + 4, 1e9 + 7, 1e9 + 13, 1e9 + 16]).s).toBeCloseTo(Math.sqrt(30), 9);
  });

  test('refuses no readings and readings that are none', () => {
    expect(() => meanOf([])).toThrow(RangeError);
    expect(() => meanOf([1, Number.NaN])).toThrow('reading NaN');
  });
});

test('widths: rectangular a / sqrt 3, triangular a / sqrt 6, a display d / sqrt 12', () => {
  expect(rectangular(0.3)).toBeCloseTo(0.173205, 6);
  expect(triangular(0.3)).toBeCloseTo(0.122474, 6);
  // JCGM 100:2008, F.2.2.1: u = 0.29 of the resolution
  expect(ofResolution(1)).toBeCloseTo(0.29, 2);
  for (const width of [rectangular, triangular, ofResolution]) {
    expect(width(0)).toBe(0);
    expect(() => width(-1)).toThrow(RangeError);
    expect(() => width(Number.NaN)).toThrow(RangeError);
  }
});

test('a level outside 0 to 1 and a spoilt value are refused', () => {
  expect(() => expanded({ value: 0, u: 1, dof: null }, 1)).toThrow('level 1');
  expect(() => expanded({ value: Number.NaN, u: 1, dof: null })).toThrow(RangeError);
});
