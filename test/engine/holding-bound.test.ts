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

describe('a cart that rocks', () => {
  // Two castors in line with the load, near one of them, and one far out on either side: the far ones
  // touch in turn as the load passes over the line, and what the lifted one is off the floor jumps.
  const far = 0.3;
  const castor = (x: number, y: number, rollingLength: number) => ({
    at: [x, y] as const,
    wheelDiameter: 0.1,
    trail: 0,
    fixedDirection: null,
    lock: 'none' as const,
    brakeTorque: null,
    lockDirections: null,
    swivelMoment: 0.3,
    rollingLength,
    stiffness: 4e5,
    friction: 0.9,
  });
  const rocking: RandomCart = {
    parts: [
      { mass: 40, at: [0, -0.18, 0.3], on: null },
      { mass: 10, at: [0, -0.18, 0.3], on: 'drawer' },
    ],
    movers: [{ name: 'drawer', kind: 'slide', on: null, origin: [0, 0, 0], axis: [1, 0, 0] }],
    loads: [],
    castors: [
      castor(0, -0.2, 0.02),
      castor(0, -0.1, 0.02),
      castor(far, 0.1, 0.03),
      castor(-far, 0.1, 0),
    ],
    load: { kind: 'incline', angle: 0.01 },
    gravity: 9.80665,
    domains: [],
  };

  it.each([
    [-0.05, 0.2],
    [-0.02, 0.03],
  ])('seed 51020: drawer from %f to %f m, both sides are seen', (from, to) => {
    const bound = boundOf(rocking);
    // The drawer, the direction of the force, and any swivel angle: all castors are free.
    const anywhere = [Math.PI, Math.PI, Math.PI, Math.PI];
    const trial = {
      box: {
        lo: Float64Array.of(from, 0, ...anywhere.map((angle) => -angle)),
        hi: Float64Array.of(to, 0, ...anywhere),
        first: new Int32Array(6),
        last: new Int32Array(6),
      },
      cell: { face: 0, a0: 0, a1: 0, b0: 0, b1: 0 },
      factor: 1,
      point: 0,
    };
    const claimed = bound.boxSlack(trial.box, trial.cell, 0.1, 1, 0);
    const { points, worst } = attackBox(seededRandom(51020), rocking, trial, 0.1, claimed, 200, 20);
    expect(points).toBeGreaterThan(200);
    expect(claimed).toBeGreaterThanOrEqual(0);
    expect(worst?.below ?? Number.NaN).toBeLessThan(ROUNDING);
  });
});

describe('lesser loads', () => {
  // Four braked castors, tilted towards one of them: W/4 (1 - 2 s) on the opposite one with the load
  // point a share s of the way to the corner, so it lifts at s = 1/2.
  const corner = 0.3;
  const height = 0.5;
  const cart: RandomCart = {
    parts: [{ mass: 50, at: [0, 0, height], on: null }],
    movers: [],
    loads: [],
    castors: [
      [corner, corner],
      [corner, -corner],
      [-corner, corner],
      [-corner, -corner],
    ].map(([x = 0, y = 0]) => ({
      at: [x, y] as const,
      wheelDiameter: 0.1,
      trail: 0,
      fixedDirection: 0,
      lock: 'wheel' as const,
      brakeTorque: null,
      lockDirections: null,
      swivelMoment: 0,
      rollingLength: 0.002,
      stiffness: 4e5,
      friction: 2,
    })),
    load: { kind: 'incline', angle: 0.1 },
    gravity: 9.80665,
    domains: [],
  };
  const diagonal = Float64Array.of(Math.PI / 4, 0, 0, 0, 0);
  const box = { lo: diagonal, hi: diagonal, first: new Int32Array(5), last: new Int32Array(5) };
  const cell = { face: 0, a0: 1, a1: 1, b0: 0, b1: 0 };
  const target = (share: number): number =>
    (share * Math.hypot(corner, corner)) / (height * Math.tan(0.1));

  it('hold with a load that lifts no castor on the way; past a lift-off it is not said', () => {
    const bound = boundOf(cart);
    expect(bound.boxSlack(box, cell, target(0.49), 1, 0)).toBeGreaterThan(0);
    expect(bound.holdsBelow()).toBe(true);
    expect(bound.boxSlack(box, cell, target(0.51), 1, 0)).toBeGreaterThan(0);
    expect(bound.holdsBelow()).toBe(false);
    // Nor once it has tipped, whatever box was asked about before.
    expect(bound.boxSlack(box, cell, target(0.49), 1, 0)).toBeGreaterThan(0);
    bound.boxSlack(box, cell, target(1.01), 1, 0);
    expect(bound.holdsBelow()).toBe(false);
  });
});
