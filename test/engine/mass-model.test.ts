import { describe, expect, it } from 'vitest';
import {
  buildMassModel,
  curvedVariables,
  momentsAt,
  pointAt,
  pointModel,
  withLoad,
  withMass,
} from '../../src/engine/mass-model.js';
import { placeOf, randomTree } from '../reference/configurations.js';
import { seededRandom } from '../reference/random.js';

/** Sums of a few dozen terms of order 10: rounding is below 1e-13 of them. */
const ROUNDING = 1e-12;

function moments(model: ReturnType<typeof buildMassModel>, x: readonly number[]): number[] {
  const out = new Float64Array(4);
  momentsAt(model, Float64Array.from(x), out);
  return [...out];
}

describe('mass and moments', () => {
  it('of a slide: what it carries moves along the axis', () => {
    const model = buildMassModel({
      parts: [
        { mass: 10, at: [0, 0, 0.1], on: null },
        { mass: 5, at: [0.2, 0, 1], on: 'lift' },
      ],
      movers: [{ name: 'lift', kind: 'slide', on: null, origin: [0, 0, 0], axis: [0, 0, 1] }],
      loads: [],
    });
    expect(moments(model, [0.4])).toEqual([15, 1, 0, 10 * 0.1 + 5 * 1.4]);
  });

  it('of a turn: the right-hand rule about the axis point', () => {
    const model = buildMassModel({
      parts: [{ mass: 2, at: [1.5, 0, 1], on: 'arm' }],
      movers: [{ name: 'arm', kind: 'turn', on: null, origin: [0.5, 0, 0], axis: [0, 0, 1] }],
      loads: [],
    });
    const [mass, mx, my, mz] = moments(model, [Math.PI / 2]) as [number, number, number, number];
    expect(mass).toBe(2);
    // A quarter turn takes the part from 1 m ahead of the axis to 1 m to its left.
    expect(mx).toBeCloseTo(2 * 0.5, 12);
    expect(my).toBeCloseTo(2 * 1, 12);
    expect(mz).toBe(2);
  });

  it('of a load: its mass is the variable after the movers', () => {
    const model = buildMassModel({
      parts: [{ mass: 1, at: [0, 0, 0], on: null }],
      movers: [{ name: 'drawer', kind: 'slide', on: null, origin: [0, 0, 0], axis: [-1, 0, 0] }],
      loads: [{ at: [0, 0, 0.5], on: 'drawer' }],
    });
    expect(moments(model, [0.3, 4])).toEqual([5, -1.2, 0, 2]);
  });

  it('do not depend on the order in which movers are listed', () => {
    const arm = {
      name: 'arm',
      kind: 'turn',
      on: 'lift',
      origin: [0.1, 0, 1],
      axis: [0, 0, 1],
    } as const;
    const lift = {
      name: 'lift',
      kind: 'slide',
      on: null,
      origin: [0, 0, 0],
      axis: [0, 0, 1],
    } as const;
    const parts = [{ mass: 3, at: [0.6, 0, 1.2], on: 'arm' }] as const;
    const carrierLast = buildMassModel({ parts, movers: [arm, lift], loads: [] });
    const carrierFirst = buildMassModel({ parts, movers: [lift, arm], loads: [] });
    expect(moments(carrierLast, [0.7, 0.2])).toEqual(moments(carrierFirst, [0.2, 0.7]));
    expect(curvedVariables(carrierLast)).toEqual([true, false]);
  });

  it('agree with each body moved by quaternions, carrier by carrier (seed 11)', () => {
    const random = seededRandom(11);
    for (let round = 0; round < 300; round++) {
      const tree = randomTree(random, 5, 3);
      const model = buildMassModel(tree);
      const x = Float64Array.from({ length: model.variableCount }, () => 3 * random());
      const values = new Map(tree.movers.map(({ name }, i) => [name, x[i] as number]));
      const expected = [0, 0, 0, 0];
      const add = (mass: number, at: readonly [number, number, number]): void => {
        [1, ...at].forEach((value, i) => {
          expected[i] = (expected[i] as number) + mass * value;
        });
      };
      for (const part of tree.parts) add(part.mass, placeOf(tree.movers, values, part.on, part.at));
      tree.loads.forEach(({ on, at }, i) => {
        add(x[tree.movers.length + i] as number, placeOf(tree.movers, values, on, at));
      });
      const found = moments(model, [...x]);
      found.forEach((value, i) => {
        expect(Math.abs(value - (expected[i] as number))).toBeLessThan(100 * ROUNDING);
      });
    }
  });

  it('of a point are one and its place, and of an added load those of an added mass (seed 12)', () => {
    const random = seededRandom(12);
    const place = new Float64Array(3);
    for (let round = 0; round < 200; round++) {
      const tree = randomTree(random, 4, 2);
      const model = buildMassModel(tree);
      const mover = Math.floor(random() * (model.moverCount + 1)) - 1;
      const p = [random(), random(), random()] as const;
      const x = Array.from({ length: model.variableCount }, () => 2 * random());
      pointAt(model, Float64Array.from(x), mover, p, place);
      const [unit, ...at] = moments(pointModel(model, mover, p), x);
      expect(unit).toBe(1);
      at.forEach((value, i) => {
        expect(Math.abs(value - (place[i] as number))).toBeLessThan(ROUNDING);
      });
      const asLoad = moments(withLoad(model, mover, p), [...x, 7]);
      const asMass = moments(withMass(model, mover, 7, p), x);
      asLoad.forEach((value, i) => {
        expect(Math.abs(value - (asMass[i] as number))).toBeLessThan(100 * ROUNDING);
      });
    }
  });
});

describe('a bug of the caller throws with its values', () => {
  const turn = { name: 'arm', kind: 'turn', on: null, origin: [0, 0, 0], axis: [0, 0, 1] } as const;
  it.each([
    ['an unknown carrier', { parts: [], movers: [{ ...turn, on: 'lift' }], loads: [] }, /lift/],
    ['a cycle', { parts: [], movers: [{ ...turn, on: 'arm' }], loads: [] }, /carried by itself/],
    ['a name used twice', { parts: [], movers: [turn, turn], loads: [] }, /two movers/],
    ['no axis', { parts: [], movers: [{ ...turn, axis: [0, 0, 0] as const }], loads: [] }, /axis/],
    [
      'a negative mass',
      { parts: [{ mass: -1, at: [0, 0, 0] as const, on: null }], movers: [], loads: [] },
      /-1/,
    ],
    [
      'NaN',
      { parts: [], movers: [], loads: [{ at: [0, Number.NaN, 0] as const, on: null }] },
      /NaN/,
    ],
  ])('%s', (_, input, message) => {
    expect(() => buildMassModel(input)).toThrow(message);
  });
});
