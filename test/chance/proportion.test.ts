import { describe, expect, test } from 'vitest';
import { halfWidthOf, probabilityOf } from '../../src/chance/index.js';
import { binomial } from '../reference/distributions.js';

function sum(from: number, to: number, n: number, p: number): number {
  let total = 0;
  for (let k = from; k <= to; k++) total += binomial(k, n, p);
  return total;
}

describe('the interval of Clopper and Pearson', () => {
  test.each([10, 367, 4000])('of %d trials that all passed is closed form: 0.025^(1/n)', (n) => {
    const { value, from, to } = probabilityOf(n, n);
    expect([value, to]).toEqual([1, 1]);
    expect(from).toBeCloseTo(0.025 ** (1 / n), 12);
  });

  test('of trials that all failed is its mirror image', () => {
    const [all, none] = [probabilityOf(50, 50), probabilityOf(0, 50)];
    expect(none.from).toBe(0);
    expect(none.to).toBeCloseTo(1 - all.from, 12);
  });

  test.each([
    [1, 10],
    [7, 20],
    [81, 263],
    [199, 200],
  ])('of %d in %d leaves 0.025 of the binomial sum at either end', (k, n) => {
    const { from, to } = probabilityOf(k, n);
    // the beta quantile is good to about 1e-10, the sum to 1e-12
    expect(sum(k, n, n, from)).toBeCloseTo(0.025, 8);
    expect(sum(0, k, n, to)).toBeCloseTo(0.025, 8);
  });

  test('covers every probability in 95 % of cases or more', () => {
    const n = 40;
    for (let p = 0.01; p < 1; p += 0.01) {
      let covered = 0;
      for (let k = 0; k <= n; k++) {
        const { from, to } = probabilityOf(k, n);
        if (from <= p && p <= to) covered += binomial(k, n, p);
      }
      expect(covered).toBeGreaterThanOrEqual(0.95);
    }
  });

  test('has half of its width as its precision', () => {
    expect(halfWidthOf({ value: 0.5, from: 0.4, to: 0.58 })).toBeCloseTo(0.09, 12);
  });
});
