import { describe, expect, test } from 'vitest';
import { seededRandom } from './random.js';

function draw(seed: number, count: number): number[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, () => random());
}

describe('seededRandom', () => {
  test('repeats its numbers for the same seed', () => {
    expect(draw(7, 100)).toEqual(draw(7, 100));
  });

  test('gives other numbers for a neighbouring seed', () => {
    const left = draw(7, 100);
    const right = new Set(draw(8, 100));
    expect(left.filter((value) => right.has(value))).toEqual([]);
  });

  test('seed 1: fills ten equal bins evenly', () => {
    const values = draw(1, 100_000);
    expect(values.filter((value) => value < 0 || value >= 1)).toEqual([]);
    const counts = Array.from({ length: 10 }, () => 0);
    for (const value of values) {
      const bin = Math.floor(value * 10);
      counts[bin] = (counts[bin] ?? 0) + 1;
    }
    const chiSquared = counts.reduce((sum, count) => sum + (count - 10_000) ** 2 / 10_000, 0);
    // 9 degrees of freedom: an even source passes 27.88 once in a thousand (chi-squared tables).
    expect(chiSquared).toBeLessThan(27.88);
  });

  test('seed 2: neighbouring numbers are uncorrelated', () => {
    const values = draw(2, 100_000);
    let sum = 0;
    for (let i = 1; i < values.length; i += 1) {
      sum += ((values[i - 1] ?? Number.NaN) - 0.5) * ((values[i] ?? Number.NaN) - 0.5);
    }
    const correlation = sum / (values.length - 1) / (1 / 12);
    // The standard error is 1/sqrt(100000) = 0.0032; 4 of them.
    expect(Math.abs(correlation)).toBeLessThan(0.0127);
  });
});
