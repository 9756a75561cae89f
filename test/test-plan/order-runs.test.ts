/** The order of runs against every order there is, and against a bound that no order can beat. */

import { describe, expect, test } from 'vitest';
import { leastTree, orderRuns, pathEffort } from '../../src/test-plan/order-runs.js';
import { seededRandom } from '../reference/random.js';

function orders(items: readonly number[]): readonly (readonly number[])[] {
  if (items.length < 2) return [items];
  return items.flatMap((first) =>
    orders(items.filter((item) => item !== first)).map((rest) => [first, ...rest]),
  );
}

/** Runs as bits that are set or not: the effort between two is how many differ, like set-ups. */
function randomRuns(random: () => number, count: number, stages: number) {
  const bits = Array.from({ length: count }, () => Math.floor(random() * 2 ** 12));
  const effort = (from: number, to: number): number => {
    let differ = (bits[from] as number) ^ (bits[to] as number);
    let sum = 0;
    for (; differ > 0; differ >>= 1) sum += differ & 1;
    return sum;
  };
  return { effort, stage: bits.map(() => Math.floor(random() * stages)) };
}

function isStaged(order: readonly number[], stage: readonly number[]): boolean {
  return order.every(
    (run, i) => i === 0 || (stage[run] as number) >= (stage[order[i - 1] as number] as number),
  );
}

describe('the order of runs', () => {
  test('needs no more effort than any of all orders that keep the stages: 60 sets of up to 7 runs (seed 31)', () => {
    const random = seededRandom(31);
    for (let trial = 0; trial < 60; trial++) {
      const count = 1 + Math.floor(random() * 7);
      const { effort, stage } = randomRuns(random, count, 3);
      const best = Math.min(
        ...orders([...stage.keys()])
          .filter((order) => isStaged(order, stage))
          .map((order) => pathEffort(order, effort)),
      );
      const found = orderRuns(stage, effort);
      expect(isStaged(found.order, stage)).toBe(true);
      expect([...found.order].sort((a, b) => a - b)).toEqual([...stage.keys()]);
      expect(pathEffort(found.order, effort)).toBe(found.effort);
      expect(found.effort).toBe(best);
    }
  });

  test('by exchanges alone is never below the exact one, nor above the order given, and within a tenth of the least tree that joins the runs or of the exact one: 30 sets of 11 runs (seed 32)', () => {
    const random = seededRandom(32);
    let exactInAll = 0;
    let foundInAll = 0;
    for (let trial = 0; trial < 30; trial++) {
      const { effort, stage } = randomRuns(random, 11, 1);
      const exact = orderRuns(stage, effort);
      const found = orderRuns(stage, effort, 0);
      const given = pathEffort([...stage.keys()], effort);
      expect(found.effort).toBeGreaterThanOrEqual(exact.effort);
      expect(found.effort).toBeLessThanOrEqual(given);
      expect(exact.effort).toBeGreaterThanOrEqual(leastTree(11, effort));
      exactInAll += exact.effort;
      foundInAll += found.effort;
    }
    expect(foundInAll).toBeLessThanOrEqual(1.1 * exactInAll);
  });

  test('of 24 runs of one stage is the same every time, and not above the order given (seed 33)', () => {
    const { effort, stage } = randomRuns(seededRandom(33), 24, 1);
    const found = orderRuns(stage, effort);
    expect(orderRuns(stage, effort)).toEqual(found);
    expect(found.effort).toBeLessThanOrEqual(pathEffort([...stage.keys()], effort));
    expect(found.effort).toBeGreaterThanOrEqual(leastTree(24, effort));
    expect(new Set(found.order).size).toBe(24);
  });

  test('of nothing is nothing', () => {
    expect(orderRuns([], () => 1)).toEqual({ order: [], effort: 0 });
    expect(leastTree(0, () => 1)).toBe(0);
  });
});
