import { describe, expect, test } from 'vitest';
import type { Cart, StatedUncertainty, UncertainQuantity } from '../../src/document/index.js';
import { capacityOnSlope } from '../../src/tolerances/floor-slope.js';
import type { Input } from '../../src/tolerances/index.js';
import { inputsOf } from '../../src/tolerances/index.js';
import type { Judged } from '../../src/tolerances/judge.js';
import { judgeOf } from '../../src/tolerances/judge.js';
import { trialOf } from '../../src/tolerances/trial.js';
import { HALF_BASE, simpleCart } from '../analysis/simple-cart.js';
import { onlyClauses } from './one-clause.js';

const WEIGHT = 50 * 9.80665;
const HEIGHT = 0.5;
const PUSHED_AT = 1;
const SOME: StatedUncertainty = { tolerance: 0.002, relative: false, distribution: 'rectangular' };

/** The simple cart with only this quantity uncertain, and friction `mu` known. */
function cartWith(quantity: UncertainQuantity, mu = 0.3): Cart {
  const cart = simpleCart([0, 0, HEIGHT], { uncertainty: { [quantity]: SOME } });
  const friction = cart.floor.friction.map((f) => ({ ...f, value: mu, tolerance: 0 }));
  return { ...cart, floor: { ...cart.floor, friction } };
}

function judged(cart: Cart, clause: string, offset: number): Judged {
  const set = onlyClauses(clause);
  const inputs = inputsOf(cart, set);
  const judge = judgeOf(cart, set, inputs, [], 1);
  const [found] = judge.judge(inputs.map(() => offset));
  if (found === null || found === undefined) throw new Error(`no finding ${clause}`);
  return found;
}

/** Of a search that evaluates the worst configuration: the holding force is found to 5e-6 of the
 * friction available (docs/limits.md). */
const SEARCH = 1e-5;

describe('the ramp of a trial', () => {
  test('asks for the angle it has, of an overbalance and of a holding finding', () => {
    const cart = cartWith('ramp angle');
    for (const clause of ['overbalance-transport', 'unwanted-movement-transport']) {
      const { demand } = judged(cart, clause, 0.01);
      expect(demand).toBeCloseTo((10 * Math.PI) / 180 + 0.01, 12);
    }
  });

  test('leaves the capacity as it is', () => {
    const { capacity } = judged(cartWith('ramp angle'), 'overbalance-transport', 0.01);
    expect(capacity).toBeCloseTo(Math.atan(HALF_BASE / HEIGHT), 9);
  });
});

describe('the force of a trial', () => {
  test('asks for more of a push, and for nothing of a ramp', () => {
    const cart = cartWith('push force');
    const asked = 0.15 * WEIGHT;
    expect(judged(cart, 'unwanted-movement-push', 2).demand).toBeCloseTo(asked + 2, 9);
    expect(judged(cart, 'overbalance-transport', 2).demand).toBeCloseTo((10 * Math.PI) / 180, 12);
  });
});

describe('the height of a trial', () => {
  test('tips the cart at less the higher it is pushed: F = W d / h', () => {
    const { capacity } = judged(cartWith('push height'), 'horizontal-force', 0.05);
    expect(capacity).toBeCloseTo((WEIGHT * HALF_BASE) / (PUSHED_AT + 0.05), 6);
  });

  test('is that of the clause where the cart is higher', () => {
    const tall = cartWith('push height');
    const outline = tall.outline.map((body) => ({
      ...body,
      shape: { kind: 'box', from: [-0.2, -0.2, 0.1], to: [0.2, 0.2, 1.8] } as const,
    }));
    const { capacity } = judged({ ...tall, outline }, 'horizontal-force', -0.05);
    expect(capacity).toBeCloseTo((WEIGHT * HALF_BASE) / (1.5 - 0.05), 6);
  });

  test('asks no clause that the cart is too low for', () => {
    const set = onlyClauses('horizontal-force');
    const asked = set.clauses.map((clause) => ({
      ...clause,
      conditions: [{ kind: 'height at least', height: 1.01 } as const],
    }));
    const cart = cartWith('push height');
    const { set: drawn, cart: taller } = trialOf(
      cart,
      { ...set, clauses: asked },
      inputsOf(cart, onlyClauses('propulsion')),
      [0.05],
    );
    const [condition] = drawn.clauses[0]?.conditions ?? [];
    expect(condition).toMatchObject({ kind: 'height at least' });
    expect(condition?.kind === 'height at least' && condition.height).toBeCloseTo(1.06, 12);
    expect(taller.outline[0]?.shape).toMatchObject({ to: [0.2, 0.2, 1.05] });
  });
});

describe('the slope of a floor that is called level', () => {
  const slope = 0.01;

  test('takes from a tipping push what the moment balance says: (d cos - z sin) W / h', () => {
    const cart = cartWith('floor slope');
    const exact = (WEIGHT * (HALF_BASE * Math.cos(slope) - HEIGHT * Math.sin(slope))) / PUSHED_AT;
    expect(judged(cart, 'horizontal-force', slope).capacity).toBeCloseTo(exact, 6);
    expect(judged(cart, 'horizontal-force', -slope).capacity).toBeCloseTo(exact, 6);
  });

  test('takes from a sliding push what the force balance says: (mu cos - sin) W', () => {
    // a push at 0.1 m does not unload a side enough to matter; all four castors slide together
    const mu = 0.15;
    const cart = cartWith('floor slope', mu);
    const low = cart.outline.map((body) => ({
      ...body,
      shape: { kind: 'box', from: [-0.2, -0.2, 0], to: [0.2, 0.2, 0.1] } as const,
    }));
    const { capacity } = judged({ ...cart, outline: low }, 'unwanted-movement-push', slope);
    const exact = WEIGHT * (mu * Math.cos(slope) - Math.sin(slope));
    expect(Math.abs((capacity ?? 0) / exact - 1)).toBeLessThan(SEARCH);
  });

  test('leaves a ramp and a propulsion alone', () => {
    const cart = cartWith('floor slope');
    expect(judged(cart, 'overbalance-transport', slope)).toEqual(
      judged(cart, 'overbalance-transport', 0),
    );
    expect(judged(cart, 'propulsion', slope)).toEqual(judged(cart, 'propulsion', 0));
  });

  test('takes all from a cart that moves by itself', () => {
    expect(capacityOnSlope(100, 0.05, 0.04)).toBe(0);
    expect(capacityOnSlope(100, 0.05, 0)).toBe(0);
    expect(capacityOnSlope(100, 0, 0)).toBe(100);
  });
});

describe('a clause that another may stand for', () => {
  test('has the greater reserve of the two, after what the test adds to each', () => {
    const cart = cartWith('ramp angle');
    const plain = onlyClauses('overbalance-transport', 'unwanted-movement-transport');
    const clauses = plain.clauses.map((clause) => ({
      ...clause,
      alternative: clause.id === 'unwanted-movement-transport' ? 'overbalance-transport' : null,
    }));
    const set = { ...plain, clauses };
    const inputs = inputsOf(cart, set);
    const judge = judgeOf(cart, set, inputs, [], 1);
    const offset = inputs.map(() => 0.01);
    const [tips, moves] = judge.judge(offset);
    // it slides at atan 0.3 = 16.7 deg and tips at atan 0.5 = 26.6 deg
    const asked = (10 * Math.PI) / 180 + 0.01;
    expect(tips?.reserve).toBeCloseTo(Math.atan(0.5) / asked, 9);
    expect(moves?.reserve).toBe(tips?.reserve);
    expect(moves?.capacity).toBeCloseTo(Math.atan(0.3), 5);
    const [, alone] = judge.only(['unwanted-movement-transport']).judge(offset);
    expect(alone?.reserve).toBe(moves?.reserve);
  });
});

describe('a drawn cart', () => {
  function drawn(cart: Cart, offset: (input: Input) => number) {
    const inputs = inputsOf(cart, onlyClauses('propulsion'));
    return trialOf(cart, onlyClauses('propulsion'), inputs, inputs.map(offset)).cart;
  }

  test('has its friction known: no tolerance is left to take off', () => {
    const cart = simpleCart([0, 0, HEIGHT]);
    expect(drawn(cart, () => 0.05).floor.friction[0]).toMatchObject({ value: 0.65, tolerance: 0 });
  });

  test('stands higher on larger wheels, by half of what they are larger', () => {
    const { parts, castors, outline } = drawn(cartWith('wheel diameter'), () => 0.002);
    expect(castors[0]?.wheelDiameter).toBeCloseTo(0.127, 12);
    expect(parts[0]?.at[2]).toBeCloseTo(HEIGHT + 0.001, 12);
    expect(outline[0]?.shape).toMatchObject({ to: [0.2, 0.2, 1.001] });
  });

  test('moves one stem and no other', () => {
    const cart = cartWith('castor places');
    const only = (input: Input): number =>
      input.name === 'forward place of front left castor' ? 0.002 : 0;
    const { castors } = drawn(cart, only);
    const [first, ...others] = castors;
    expect(first?.at[0]).toBeCloseTo(0.282, 12);
    expect(first?.at[1]).toBe(0.28);
    expect(others).toEqual(cart.castors.slice(1));
  });

  test('moves a load in one coordinate, and a part by its mass alone', () => {
    const cart = simpleCart([0, 0, HEIGHT], {
      loads: [
        {
          name: 'bag',
          kind: 'fluid',
          on: null,
          at: [0.1, 0.2, 0.9],
          atTolerance: 0.01,
          atDistribution: 'rectangular',
          least: 0,
          most: 3,
        },
      ],
    });
    const { loads, parts } = drawn(cart, ({ name }) => (name === 'height of load bag' ? 0.01 : 0));
    expect(loads[0]?.at[2]).toBeCloseTo(0.91, 12);
    expect(loads[0]?.at.slice(0, 2)).toEqual([0.1, 0.2]);
    const heavier = { ...cart, parts: cart.parts.map((part) => ({ ...part, massTolerance: 1 })) };
    const [body] = drawn(heavier, ({ name }) => (name === 'mass of body' ? 0.5 : 0)).parts;
    expect(body?.mass).toBeCloseTo(50.5, 12);
    expect(body?.at).toEqual(parts[0]?.at);
  });

  test('does not change the cart it was drawn from', () => {
    const cart = simpleCart([0, 0, HEIGHT], { uncertainty: { trail: SOME } });
    const before = JSON.stringify(cart);
    drawn(cart, () => 0.001);
    expect(JSON.stringify(cart)).toBe(before);
  });
});
