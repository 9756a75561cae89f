/** The bound behind every proof of holding, against single points put together by other means. */
import { describe, expect, it, vi } from 'vitest';
import { seededRandom } from '../reference/random.js';
import type { CartKind, RandomCart } from '../reference/random-carts.js';
import { randomCart } from '../reference/random-carts.js';
import type { BoxOutcome } from './box-check.js';
import { attackBox, boundOf, greatestTarget, pointTrial, tryBox } from './box-check.js';

/** ms; the longest takes 8 s alone on one core, more beside other tests */
vi.setConfig({ testTimeout: 120_000 });

/** Share of the weight at unit twist. The bound and the point's slack are sums of some hundred terms
 * of the size of the weight, each rounded to 1e-16 of it. */
const ROUNDING = 1e-11;
/** The same, and the hair (1e-9) by which the bound widens its own enclosures. */
const EXACT = 1e-8;

interface Tally {
  claims: number;
  points: number;
  open: number;
}

function expectClaimsHold(
  outcomes: readonly BoxOutcome[],
  cart: RandomCart,
  what: string,
  tally: Tally,
): void {
  for (const { target, points, worst, trial } of outcomes) {
    if (target === 0) tally.open += 1;
    else tally.claims += 1;
    tally.points += points;
    if (worst === null) continue;
    const locks = cart.castors.map(({ lock, fixedDirection }) =>
      fixedDirection === null ? lock : `fixed ${lock}`,
    );
    const place = `${what}: ${cart.load.kind}, ${locks.join(', ')}, target ${target}, cell ${JSON.stringify(trial.cell)}`;
    expect(worst.below, place).toBeLessThan(ROUNDING);
  }
}

function tryCarts(seed: number, carts: number, boxes: number, kind: CartKind): Tally {
  const random = seededRandom(seed);
  const tally: Tally = { claims: 0, points: 0, open: 0 };
  for (let k = 0; k < carts; k += 1) {
    const cart = randomCart(random, kind);
    const bound = boundOf(cart);
    for (let b = 0; b < boxes; b += 1)
      expectClaimsHold(tryBox(random, cart, bound, 16, 10), cart, `cart ${k} box ${b}`, tally);
  }
  return tally;
}

describe('no point of a box lies below its bound', () => {
  it('seed 51001: 2,400 boxes of 120 carts, any lock, at the greatest load that each lets pass', () => {
    const { claims, points, open } = tryCarts(51001, 120, 20, {});
    // Enough was claimed and compared to mean something: two loads a box, less those with no claim.
    expect(claims).toBeGreaterThan(4000);
    expect(points).toBeGreaterThan(100_000);
    expect(open).toBeLessThan(240);
  });

  it.each([
    ['none', 51002],
    ['wheel', 51003],
    ['directional', 51004],
    ['total', 51005],
  ] as const)('400 boxes of 20 carts whose castors all have the lock %s, seed %i', (lock, seed) => {
    const { claims, points } = tryCarts(seed, 20, 20, { locks: [lock] });
    expect(claims).toBeGreaterThan(400);
    expect(points).toBeGreaterThan(10_000);
  });

  it('seed 51006: three castors, where statics decides every load', () => {
    expect(tryCarts(51006, 20, 20, { castors: 3 }).claims).toBeGreaterThan(600);
  });
});

describe('a box that is one point', () => {
  it('seed 51010: the bound is the slack itself', () => {
    const random = seededRandom(51010);
    const below: number[] = [];
    for (let k = 0; k < 300; k += 1) {
      const cart = randomCart(random);
      const bound = boundOf(cart);
      const trial = pointTrial(random, cart);
      const target = greatestTarget(bound, trial) * 0.9 * random();
      if (target === 0) continue;
      const claimed = bound.boxSlack(trial.box, trial.cell, target, trial.factor, trial.point);
      const { worst } = attackBox(random, cart, trial, target, claimed, 1, 0);
      if (worst === null || claimed < 0) continue;
      expect(worst.below, `cart ${k}`).toBeLessThan(ROUNDING);
      below.push(-worst.below);
    }
    // Nothing is lost at a point but where a castor is about to lift, or where the first of several
    // lower bounds already sufficed: nine in ten are the slack to the last digits.
    expect(below.length).toBeGreaterThan(100);
    const exact = below.filter((gap) => gap < EXACT).length;
    expect(exact / below.length).toBeGreaterThan(0.9);
  });
});
