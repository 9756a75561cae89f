import { describe, expect, it } from 'vitest';
import { branchAndBound } from '../../src/kernel/index.js';
import { seededRandom } from '../reference/random.js';

interface Interval {
  readonly lo: number;
  readonly hi: number;
}

const halves = ({ lo, hi }: Interval): Interval[] => {
  const middle = 0.5 * (lo + hi);
  return middle > lo && middle < hi
    ? [
        { lo, hi: middle },
        { lo: middle, hi },
      ]
    : [];
};

const middle = ({ lo, hi }: Interval): number => 0.5 * (lo + hi);

/** A function with its greatest slope on the interval: f(middle) - slope * half is a bound. */
function search(f: (x: number) => number, slope: number, root: Interval, over = {}) {
  return branchAndBound<Interval>({
    root: [root],
    bound: (box) => f(middle(box)) - 0.5 * slope * (box.hi - box.lo),
    evaluate: (box) => f(middle(box)),
    split: halves,
    absoluteGap: 1e-4,
    relativeGap: 0,
    maxBoxes: 100_000,
    ...over,
  });
}

describe('branch and bound', () => {
  it('finds the least of a function with many local ones and proves it', () => {
    const f = (x: number): number => Math.cos(5 * x) + 0.1 * (x - 2) ** 2;
    const found = search(f, 6, { lo: -4, hi: 5 });
    // Dense scan as the independent answer; its step of 1e-5 leaves less than 1e-8.
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i <= 900_000; i++) least = Math.min(least, f(-4 + i * 1e-5));
    expect(found.status).toBe('closed');
    expect(found.bound).toBeLessThanOrEqual(least);
    expect(found.best).toBeGreaterThanOrEqual(least - 1e-8);
    expect(found.best - found.bound).toBeLessThanOrEqual(1e-4);
    expect(f(middle(found.bestBox as Interval))).toBe(found.best);
  });

  it('holds for random functions (seed 41)', () => {
    const random = seededRandom(41);
    for (let round = 0; round < 30; round++) {
      const a = Array.from({ length: 4 }, () => 2 * random() - 1);
      const f = (x: number): number => a.reduce((sum, c, k) => sum + c * Math.sin((k + 1) * x), 0);
      const slope = a.reduce((sum, c, k) => sum + Math.abs(c) * (k + 1), 0);
      const found = search(f, slope, { lo: 0, hi: 6 });
      for (let i = 0; i <= 6000; i++) expect(f(i * 1e-3)).toBeGreaterThanOrEqual(found.bound);
      expect(found.best - found.bound).toBeLessThanOrEqual(1e-4);
    }
  });

  it('keeps a valid bound when the budget runs out', () => {
    const found = search((x) => x * x, 8, { lo: -4, hi: 3 }, { absoluteGap: 0, maxBoxes: 20 });
    expect(found.status).toBe('budget');
    expect(found.boxes).toBeLessThanOrEqual(21);
    expect(found.bound).toBeLessThanOrEqual(0);
    expect(found.best).toBeGreaterThan(found.bound);
  });

  it('keeps the bound of a box that cannot be split', () => {
    const found = branchAndBound<number>({
      root: [0, 1],
      bound: (box) => box - 0.5,
      evaluate: (box) => box,
      split: () => [],
      absoluteGap: 0.1,
      relativeGap: 0,
      maxBoxes: 100,
    });
    expect(found).toEqual({ best: 0, bestBox: 0, bound: -0.5, boxes: 2, status: 'budget' });
  });

  it('closes on infinite values and never returns NaN', () => {
    const infinite = search(() => Number.POSITIVE_INFINITY, 0, { lo: 0, hi: 1 });
    expect(infinite).toMatchObject({ best: Infinity, bound: Infinity, status: 'closed' });
    expect(infinite.bestBox).toBeNull();
    const bottomless = search(() => Number.NEGATIVE_INFINITY, 0, { lo: 0, hi: 1 });
    expect(bottomless).toMatchObject({ best: -Infinity, bound: -Infinity, status: 'closed' });
  });

  it('is the same every time, and takes ties in the order they came', () => {
    const run = () => {
      const order: number[] = [];
      branchAndBound<Interval>({
        root: [{ lo: 0, hi: 1 }],
        bound: () => 0,
        evaluate: (box) => {
          order.push(box.lo);
          return 1;
        },
        split: halves,
        absoluteGap: 0,
        relativeGap: 0,
        maxBoxes: 15,
      });
      return order;
    };
    expect(run()).toEqual(run());
    expect(run()).toEqual([
      0, 0, 0.5, 0, 0.25, 0.5, 0.75, 0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875,
    ]);
  });

  it('throws on NaN and on nothing to search', () => {
    expect(() => search(() => Number.NaN, 0, { lo: 0, hi: 1 })).toThrow(/NaN/);
    const empty = { bound: () => 0, evaluate: () => 0, split: () => [], absoluteGap: 0 };
    expect(() => branchAndBound({ ...empty, root: [], relativeGap: 0, maxBoxes: 1 })).toThrow(
      /root/,
    );
  });
});
