import { describe, expect, test } from 'vitest';
import { cartSize } from '../../src/analysis/index.js';
import type { Body, Cart, Mover } from '../../src/document/index.js';
import { CORNERS, castorAt, simpleCart, TRANSPORT, USE } from './simple-cart.js';

const DEGREE = Math.PI / 180;
/** m: what the search for an extent may leave */
const CLOSE = 2e-5;

const ARM: Mover = {
  name: 'arm',
  kind: 'turn',
  on: null,
  origin: [0, 0, 0.8],
  axis: [0, 0, 1],
  from: -180 * DEGREE,
  to: 180 * DEGREE,
  stops: null,
};

/** From 0.1 m to 0.5 m along x, 40 mm wide, with the arm at zero. */
const BOOM: Body = {
  name: 'boom',
  on: 'arm',
  shape: { kind: 'box', from: [0.1, -0.02, 0.8], to: [0.5, 0.02, 0.9] },
  pushable: false,
};

function withArm(from: number, to: number): Cart {
  const plain = simpleCart([0, 0, 0.5]);
  const transport = { arm: { from: from * DEGREE, to: to * DEGREE } };
  return {
    ...plain,
    movers: [ARM],
    outline: [...plain.outline, BOOM],
    positions: [
      { ...TRANSPORT, movers: transport },
      { ...USE, movers: { arm: { from: ARM.from, to: ARM.to } } },
    ],
  };
}

describe('the size of a cart', () => {
  test('is over the contacts of the castors, whichever way they are turned', () => {
    // stems at 0.28 m, trail 0.03 m
    const { mass, width, length } = cartSize(simpleCart([0, 0, 0.5]));
    expect(mass).toBe(50);
    expect(width).toBeCloseTo(0.62, 12);
    expect(length).toBeCloseTo(0.62, 12);
  });

  test('is over the stem of a fixed castor, which is its contact', () => {
    const castors = CORNERS.map(([name, at]) => ({
      ...castorAt(name, at, 'none'),
      fixedDirection: 0,
      trail: 0,
    }));
    expect(cartSize(simpleCart([0, 0, 0.5], { castors })).width).toBeCloseTo(0.56, 12);
  });

  test('is over an arm as the transport position has it, not as it can be in use', () => {
    const folded = cartSize(withArm(0, 0));
    expect(folded.length).toBeCloseTo(0.5 + 0.31, 9);
    expect(folded.width).toBeCloseTo(0.62, 9);
    const aside = cartSize(withArm(90, 90));
    expect(aside.length).toBeCloseTo(0.62, 9);
    expect(aside.width).toBeCloseTo(0.5 + 0.31, 9);
  });

  test('is over all that an arm can reach in a range: the corner of its box on a circle', () => {
    const swinging = cartSize(withArm(0, 90));
    const reach = Math.hypot(0.5, 0.02);
    expect(Math.abs(swinging.width - (reach + 0.31))).toBeLessThan(CLOSE);
    expect(Math.abs(swinging.length - (reach + 0.31))).toBeLessThan(CLOSE);
  });

  test('counts every load at its most', () => {
    const cart = simpleCart([0, 0, 0.5], {
      loads: [
        {
          name: 'bag',
          kind: 'fluid',
          on: null,
          at: [0, 0, 1],
          atTolerance: 0,
          atDistribution: 'rectangular',
          least: 0.5,
          most: 3,
        },
      ],
      positions: [TRANSPORT, USE].map((position) => ({
        ...position,
        loads: { bag: { least: 0.5, most: 1, mayBeAbsent: false } },
      })),
    });
    expect(cartSize(cart).mass).toBe(53);
  });
});
