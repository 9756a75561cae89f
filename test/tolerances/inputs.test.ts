import { describe, expect, test } from 'vitest';
import type { Cart } from '../../src/document/index.js';
import { inputsOf } from '../../src/tolerances/index.js';
import { builtIn, CORNERS, castorAt, simpleCart } from '../analysis/simple-cart.js';

const SET = builtIn('iec-60601-1-3.2');
const PLAIN = simpleCart([0, 0, 0.5]);

function withUncertainty(uncertainty: Cart['uncertainty'], changes: Partial<Cart> = {}): Cart {
  const floor = {
    ...PLAIN.floor,
    friction: PLAIN.floor.friction.map((f) => ({ ...f, tolerance: 0 })),
  };
  return { ...PLAIN, floor, uncertainty, ...changes };
}

const RECTANGULAR = { relative: false, distribution: 'rectangular' } as const;

function names(cart: Cart): readonly string[] {
  return inputsOf(cart, SET).map(({ name }) => name);
}

describe('the inputs of a cart', () => {
  test('are none where nothing has a tolerance', () => {
    expect(names(withUncertainty({}))).toEqual([]);
  });

  test('are its masses, places and frictions with a tolerance, each under a name', () => {
    const [body] = PLAIN.parts;
    const part = { ...body!, massTolerance: 0.5, atTolerance: 0.01 };
    expect(names({ ...PLAIN, parts: [part] })).toEqual([
      'mass of body',
      'forward place of body',
      'sideways place of body',
      'height of body',
      'friction of rubber',
    ]);
  });

  test('take castors that are alike as one, whatever their number', () => {
    const cart = withUncertainty({ trail: { tolerance: 0.001, ...RECTANGULAR } });
    const [input, ...others] = inputsOf(cart, SET);
    expect(others).toEqual([]);
    expect(input).toMatchObject({
      name: 'trail of all castors',
      nominal: 0.03,
      tolerance: 0.001,
      change: { kind: 'castor property', castors: [0, 1, 2, 3], property: 'trail' },
    });
  });

  test('tell castors of two types apart by their names', () => {
    const castors = CORNERS.map(([name, at], i) => ({
      ...castorAt(name, at, 'total'),
      wheelDiameter: i < 2 ? 0.1 : 0.125,
    }));
    const cart = withUncertainty({ trail: { tolerance: 0.001, ...RECTANGULAR } }, { castors });
    expect(names(cart)).toEqual([
      'trail of front left and front right castors',
      'trail of rear left and rear right castors',
    ]);
  });

  test('pass over what a castor has not: the trail of a fixed one, a brake that outlasts the tread', () => {
    const castors = CORNERS.map(([name, at], i) => {
      const castor = castorAt(name, at, 'total');
      return i < 2 ? castor : { ...castor, trail: 0, swivelMoment: 0, fixedDirection: 0 };
    });
    const cart = withUncertainty(
      {
        trail: { tolerance: 0.001, ...RECTANGULAR },
        'brake torque': { tolerance: 1, ...RECTANGULAR },
      },
      { castors },
    );
    expect(names(cart)).toEqual(['trail of all swivelling castors']);
  });

  test('take every stem by itself, in both coordinates', () => {
    const cart = withUncertainty({ 'castor places': { tolerance: 0.002, ...RECTANGULAR } });
    expect(inputsOf(cart, SET)).toHaveLength(8);
    expect(names(cart)[1]).toBe('sideways place of front left castor');
  });

  test('turn a share into an amount of each value', () => {
    const stated = { tolerance: 0.2, relative: true, distribution: 'triangular' } as const;
    const [input] = inputsOf(withUncertainty({ 'swivel moment': stated }), SET);
    expect(input?.tolerance).toBeCloseTo(0.06, 12);
    expect(input?.spread).toMatchObject({ kind: 'triangular' });
  });

  test('read a normal tolerance as two standard uncertainties', () => {
    const stated = { tolerance: 0.002, relative: false, distribution: 'normal' } as const;
    const [input] = inputsOf(withUncertainty({ 'ramp angle': stated }), SET);
    expect(input).toMatchObject({ standard: 0.001, nominal: null, dimension: 'angle' });
  });

  test('read the tolerance of readings as the half-width of their 95 % interval', () => {
    const friction = [
      {
        tread: 'rubber',
        value: 0.6,
        tolerance: 0.05,
        distribution: 't',
        readings: 10,
        basis: 'measured',
      },
    ] as const;
    const [input] = inputsOf({ ...PLAIN, floor: { name: 'vinyl', friction } }, SET);
    // t of 9 degrees of freedom, 95 %: 2.262 (JCGM 100:2008, table G.2: 2.26)
    expect(input?.spread).toMatchObject({ kind: 't', freedom: 9 });
    expect(input?.standard).toBeCloseTo((0.05 / 2.262) * Math.sqrt(9 / 7), 5);
  });

  test('tell a part from a castor of the same name', () => {
    const [body] = PLAIN.parts;
    const part = { ...body!, name: 'front left castor', atTolerance: 0.01 };
    const cart = withUncertainty(
      { 'castor places': { tolerance: 0.002, ...RECTANGULAR } },
      { parts: [part] },
    );
    const all = names(cart);
    expect(new Set(all).size).toBe(all.length);
    expect(all).toContain('forward place of front left castor (uncertainty > castor places)');
  });

  test('leave a ramp and a push at least a tenth of what is asked', () => {
    const cart = withUncertainty({
      'ramp angle': { tolerance: 0.01, ...RECTANGULAR },
      'push force': { tolerance: 1, ...RECTANGULAR },
    });
    const [ramp, push] = inputsOf(cart, SET);
    expect(ramp?.limits.least).toBeCloseTo(-0.9 * ((5 * Math.PI) / 180), 12);
    // 15 % of 50 kg, below every cap
    expect(push?.limits.least).toBeCloseTo(-0.9 * 0.15 * 50 * 9.80665, 9);
  });
});
