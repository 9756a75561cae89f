/** Predictions of runs against statics by hand. */

import { describe, expect, test } from 'vitest';
import { checkCart, QUICK_PROOF } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import { builtInSets, findSet } from '../../src/requirements/index.js';
import type { TestRun } from '../../src/test-plan/index.js';
import { planTests, predictRun } from '../../src/test-plan/index.js';
import { builtIn, HALF_BASE, simpleCart } from '../analysis/simple-cart.js';

const SET = builtIn('iec-60601-1-3.2');
const RULE = { kind: 'guard band', multiple: 1 } as const;
/** m/s2, conventional (ISO 80000-3) */
const G = 9.80665;
/** No proofs: what is found is what is tested here. */
const EFFORT = { ...QUICK_PROOF, starts: 20, followed: 2, firstBoxes: 0, gaps: [] };

function planOf(cart: Cart, set = SET) {
  return planTests(cart, set, checkCart(cart, set, { effort: EFFORT }), { rule: RULE });
}

function runBy(runs: readonly TestRun[], finding: string, purpose: RegExp): TestRun {
  const run = runs.find((each) => each.finding === finding && purpose.test(each.purpose));
  if (run === undefined) throw new Error(`no run ${finding} ${purpose}`);
  return run;
}

// centre of mass 0.05 m forward and 0.02 m to the left of the middle, 0.6 m high: d is 0.25 - 0.05
// forward, 0.25 + 0.05 backward, 0.25 - 0.02 left, 0.25 + 0.02 right
const CENTRE = [0.05, 0.02, 0.6] as const;
const ROOM = { forward: 0.2, backward: 0.3, left: 0.23, right: 0.27 } as const;

describe('on the simple cart, four castors at the corners of a square', () => {
  const cart = simpleCart(CENTRE);
  const { runs } = planOf(cart);

  test('each side tips at atan(d / z)', () => {
    const angle = (purpose: RegExp) =>
      runBy(runs, 'overbalance-transport', purpose).prediction.capacity?.value;
    expect(angle(/worst found/)).toBeCloseTo(Math.atan(ROOM.forward / 0.6), 9);
    expect(angle(/to the left/)).toBeCloseTo(Math.atan(ROOM.left / 0.6), 9);
    expect(angle(/backward/)).toBeCloseTo(Math.atan(ROOM.backward / 0.6), 9);
    expect(angle(/to the right/)).toBeCloseTo(Math.atan(ROOM.right / 0.6), 9);
  });

  test('a side that is the worst direction itself is not run twice', () => {
    const purposes = runs
      .filter(({ finding }) => finding === 'overbalance-transport')
      .map(({ purpose }) => purpose);
    expect(purposes.sort()).toEqual([
      'downhill backward',
      'downhill to the left',
      'downhill to the right',
      'worst found',
    ]);
  });

  test('a level push at 1 m tips it at W d / h, and 15 % of the weight is asked', () => {
    const weight = 50 * G;
    const run = runBy(runs, 'horizontal-force', /to the left/);
    // its box is 0.2 m to each side, inside the tipping lines: no slant helps
    expect(run.prediction.capacity?.value).toBeCloseTo((weight * ROOM.left) / 1, 6);
    expect(run.prediction.demand?.value).toBeCloseTo(0.15 * weight, 9);
    expect(run.prediction.reserve).toBeCloseTo(ROOM.left / 0.15, 6);
    expect(run.loading).toMatchObject({ kind: 'push', slant: 0, stop: true, locksOn: true });
  });

  test('on an incline it slides at atan of its friction where that comes before tipping', () => {
    const low = simpleCart([0, 0, 0.2]);
    const run = runBy(planOf(low).runs, 'unwanted-movement-transport', /backward|worst/);
    const at = (friction: number) => predictRun(low, SET, run, friction).capacity?.value;
    // total locks on all four: the cart is one block on four feet, Amontons and Coulomb
    for (const friction of [0.1, 0.3, 0.7])
      expect(at(friction)).toBeCloseTo(Math.atan(friction), 6);
    expect(run.prediction.frictionNeeded).toBeCloseTo(Math.tan((10 * Math.PI) / 180), 5);
    expect(predictRun(low, SET, run, 0.3)).toMatchObject({
      verdict: 'holds',
      mode: { kind: 'slides' },
      frictionNeeded: null,
    });
    expect(predictRun(low, SET, run, 0.1).verdict).toBe('fails');
  });

  test('a push that tips before it slides does not know friction', () => {
    const run = runBy(runs, 'unwanted-movement-push', /worst/);
    const held = [0.9, 1.2].map((friction) => predictRun(cart, SET, run, friction));
    expect(held[0]?.mode?.kind).toBe('tips');
    expect(held[0]?.capacity?.value).toBeCloseTo(held[1]?.capacity?.value ?? 0, 9);
  });

  test('two loads that the model was not planned with are predicted anew', () => {
    const run = runBy(runs, 'horizontal-force', /to the left/);
    const part = cart.parts[0];
    if (part === undefined) throw new Error('no part');
    const heavier: Cart = { ...cart, parts: [{ ...part, mass: 60 }] };
    const again = predictRun(heavier, SET, run);
    expect(again.capacity?.value).toBeCloseTo(60 * G * ROOM.left, 6);
    expect(again.demand?.value).toBeCloseTo(0.15 * 60 * G, 9);
  });

  test('without the castor that carries most, the centre of mass lies outside the others', () => {
    const set = findSet(builtInSets, 'iec-61010-1-3');
    if (set === null) throw new Error('no set');
    const run = runBy(planOf(cart, set).runs, 'castor-missing', /worst/);
    // front left goes; the line rear left to front right runs through the middle, its castors turned
    // against its normal, a trail of 0.03 m inside: d = -0.03 - (0.05 + 0.02) / sqrt(2)
    expect(run.loading).toEqual({ kind: 'weighing', castor: 'front left', removed: true });
    expect(run.prediction.capacity?.value).toBeCloseTo(-0.03 - 0.07 / Math.SQRT2, 9);
    expect(run.prediction.verdict).toBe('fails');
  });

  test('a threshold is taken at the speed that a dead stop tips it at', () => {
    const heavy = simpleCart(CENTRE, {
      parts: cart.parts.map((part) => ({ ...part, mass: 70 })),
    });
    const run = runBy(planOf(heavy).runs, 'threshold', /worst/);
    const radius = Math.hypot(ROOM.forward, 0.6);
    // sqrt(2 g (R - z)) R / z
    const speed = (Math.sqrt(2 * G * (radius - 0.6)) * radius) / 0.6;
    expect(run.prediction.capacity?.value).toBeCloseTo(speed, 9);
    expect(run.setUp.castors.every(({ swivel, locked }) => swivel === null && !locked)).toBe(true);
  });

  test('starting it takes the corner of rolling and swivelling of every castor', () => {
    const run = runBy(runs, 'propulsion', /worst/);
    // per castor hypot(N b / r, M_s / t) at the loads of castors that trail behind; springs are alike, so
    // that loads are linear in the place of the castor: N = W/4 (1 + x X / X2 + y Y / Y2)
    const trail = 0.03;
    const [halfX, halfY] = [HALF_BASE + trail, HALF_BASE + trail];
    const [x, y] = [CENTRE[0] + trail, CENTRE[1]];
    const force = [1, -1].flatMap((i) =>
      [1, -1].map((j) => {
        const load = ((50 * G) / 4) * (1 + (i * x) / halfX + (j * y) / halfY);
        return Math.hypot((load * 0.0022) / 0.0625, 0.3 / trail);
      }),
    );
    expect(run.prediction.capacity?.value).toBeCloseTo(
      force.reduce((sum, each) => sum + each, 0),
      6,
    );
  });
});

describe('what does not belong together is refused', () => {
  const cart = simpleCart(CENTRE);
  const report = checkCart(cart, SET, { effort: EFFORT });
  const run = planOf(cart).runs[0] as TestRun;

  test('a report of another set, a clause the set does not have, a friction that cannot be', () => {
    const other = builtIn('iec-61010-1-3');
    expect(() => planTests(cart, other, report, { rule: RULE })).toThrow(/iec-61010-1-3/);
    expect(() => predictRun(cart, SET, { ...run, finding: 'nothing' })).toThrow(RangeError);
    expect(() => predictRun(cart, SET, run, 0)).toThrow(/friction is 0/);
    expect(() => predictRun(cart, SET, { ...run, finding: 'propulsion' })).toThrow(RangeError);
    for (const repeats of [0, 1.5]) {
      expect(() => planTests(cart, SET, report, { rule: RULE, repeats })).toThrow(/repeats/);
    }
  });
});
