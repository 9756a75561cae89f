import { describe, expect, test } from 'vitest';
import { streamOf } from '../../src/chance/index.js';

/** Sum of (count - expected)^2 / expected over bins of equal probability. */
function chiSquare(values: readonly number[], bins: number): number {
  const counts = new Array<number>(bins).fill(0);
  for (const u of values) counts[Math.floor(u * bins)]! += 1;
  const expected = values.length / bins;
  return counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
}

/** Upper 1e-4 point by Wilson and Hilferty's cube: 3.719 is the normal point of 1e-4. */
function critical(freedom: number): number {
  const k = 2 / (9 * freedom);
  return freedom * (1 - k + 3.719 * Math.sqrt(k)) ** 3;
}

function numbers(seed: number, name: string, count: number): readonly number[] {
  const stream = streamOf(seed, name);
  return Array.from({ length: count }, () => stream());
}

describe('a stream', () => {
  test('gives the same numbers for the same seed and name', () => {
    expect(numbers(5, 'mass of display', 50)).toEqual(numbers(5, 'mass of display', 50));
  });

  test('gives others for another seed or name', () => {
    const own = numbers(5, 'mass of display', 5);
    expect(numbers(6, 'mass of display', 5)).not.toEqual(own);
    expect(numbers(5, 'mass of displax', 5)).not.toEqual(own);
  });

  test('stays strictly between 0 and 1', () => {
    const all = numbers(1, 'ends', 20_000);
    expect(Math.min(...all)).toBeGreaterThan(0);
    expect(Math.max(...all)).toBeLessThan(1);
  });

  test('is even over 100 bins: chi-square, seed 11, false alarm once in 10 000', () => {
    expect(chiSquare(numbers(11, 'trail', 50_000), 100)).toBeLessThan(critical(99));
  });

  test('starts evenly over the names: chi-square of 5000 first numbers, false alarm once in 10 000', () => {
    const firsts = Array.from({ length: 5000 }, (_, i) => streamOf(1, `input ${i}`)());
    expect(new Set(firsts).size).toBe(5000);
    expect(chiSquare(firsts, 50)).toBeLessThan(critical(49));
  });

  test('starts evenly over the seeds too', () => {
    const firsts = Array.from({ length: 5000 }, (_, i) => streamOf(i, 'trail')());
    expect(chiSquare(firsts, 50)).toBeLessThan(critical(49));
  });

  test('does not follow the stream of a like name: correlation within 4 of its deviations (seed 2)', () => {
    const n = 20_000;
    const [p, q] = [numbers(2, 'trail A', n), numbers(2, 'trail B', n)];
    const product = p.reduce((sum, x, i) => sum + (x - 0.5) * ((q[i] as number) - 0.5), 0) / n;
    // each has variance 1/12, so the mean product has deviation 1/12 / sqrt(n)
    expect(Math.abs(product)).toBeLessThan(4 / 12 / Math.sqrt(n));
  });
});
