import { describe, expect, it } from 'vitest';
import { poseCart, startPose } from '../../src/analysis/index.js';
import {
  commonSwivel,
  firstPushPoint,
  loadRange,
  moverRange,
  nearestAllowed,
  nearestMass,
  stopsWithin,
  wholeTurn,
  withAllSwivels,
  withMover,
  withPushCarried,
  withSwivel,
} from '../../src/web/see/pose/pose-values.js';
import { fieldText, readTyped } from '../../src/web/see/pose/typed-value.js';
import { exampleCart } from '../analysis/example-carts.js';

const cart = await exampleCart('telehealth-four-locks.cart.yaml');
const trolley = await exampleCart('kit-trolley-six-castor.cart.yaml');
const pose = startPose(cart, 'in use');

describe('values of a pose', () => {
  it('have the range that the position allows', () => {
    const [lift] = cart.movers;
    expect(lift && moverRange(cart, 'transport', lift)).toEqual({ from: 0, to: 0 });
    expect(lift && moverRange(cart, 'in use', lift)).toEqual({ from: 0, to: 0.3 });
  });

  it('go to the nearest end or stop', () => {
    expect(nearestAllowed(0.5, { from: 0, to: 0.3 }, null)).toBe(0.3);
    expect(nearestAllowed(0.1, { from: -0.25, to: 0.25 }, [-0.25, 0, 0.25])).toBe(0);
    const tray = trolley.movers.find(({ stops }) => stops !== null);
    expect(tray && stopsWithin(tray, { from: 0, to: 0.25 })).toEqual([0, 0.25]);
  });

  it('let a load that may be absent be there from its least on', () => {
    const [supplies] = cart.loads;
    const range = supplies && loadRange(cart, 'in use', supplies);
    expect(range).toEqual({ from: 0.5, to: 4, mayBeAbsent: true });
    if (range === undefined) return;
    expect(nearestMass(0.1, range)).toBe(0);
    expect(nearestMass(0.3, range)).toBe(0.5);
    expect(nearestMass(9, range)).toBe(4);
    expect(nearestMass(0.1, { ...range, mayBeAbsent: false })).toBe(0.5);
  });

  it('tell whether all castors are turned alike', () => {
    const turned = withAllSwivels(pose, 0.4);
    expect(commonSwivel(turned)).toBe(0.4);
    expect(commonSwivel(withSwivel(turned, 'front left', 0.4 + 2 * Math.PI))).toBeCloseTo(0.4, 12);
    expect(commonSwivel(withSwivel(turned, 'front left', 0.5))).toBeNull();
  });

  it('show angles within half a turn to either side', () => {
    expect(wholeTurn(-Math.PI)).toBe(Math.PI);
    expect(wholeTurn(3 * Math.PI)).toBeCloseTo(Math.PI, 12);
    expect(wholeTurn(-0.1)).toBeCloseTo(-0.1, 12);
  });
});

describe('a push', () => {
  it('acts first at the middle of the top of the highest body that can be pushed', () => {
    // the worktop: x -250 to 180 mm, 620 mm high, on the lift
    const { placements } = poseCart(cart, withMover(pose, 'lift', 0.2));
    const point = firstPushPoint(cart, placements);
    expect(point[0]).toBeCloseTo(-0.035, 12);
    expect(point[1]).toBeCloseTo(0, 12);
    expect(point[2]).toBeCloseTo(0.82, 12);
  });

  it('at the top of a body goes up with the lift, another stays', () => {
    const before = poseCart(cart, pose).placements;
    const after = poseCart(cart, withMover(pose, 'lift', 0.2)).placements;
    const push = { point: firstPushPoint(cart, before), direction: 0, force: 50 };
    const carried = withPushCarried(cart, { ...pose, push }, before, after);
    expect(carried.push?.point[2]).toBeCloseTo(0.82, 12);
    const free = { ...pose, push: { ...push, point: [0, 0, 1.5] as const } };
    expect(withPushCarried(cart, free, before, after)).toBe(free);
  });
});

describe('a value typed into a field', () => {
  const lift = { from: 0, to: 0.3, stops: null };

  it('is read with its unit, or in the unit shown', () => {
    expect(readTyped('12 in', 'length', 'SI', { ...lift, to: 0.4 })).toEqual({
      kind: 'ok',
      value: 0.3048,
    });
    expect(readTyped('150', 'length', 'SI', lift)).toEqual({ kind: 'ok', value: 0.15 });
    expect(readTyped('4', 'length', 'US', lift)).toMatchObject({ kind: 'ok' });
    expect(readTyped('-90', 'angle', 'both', { from: -2, to: 2, stops: null })).toEqual({
      kind: 'ok',
      value: -Math.PI / 2,
    });
  });

  it('is refused outside of what is allowed, which is said', () => {
    const refused = readTyped('400 mm', 'length', 'SI', lift);
    expect(refused).toEqual({ kind: 'refused', words: 'Allowed: 0 mm to 300 mm.' });
    const stops = { from: -0.25, to: 0.25, stops: [-0.25, 0, 0.25] };
    expect(readTyped('100 mm', 'length', 'SI', stops).kind).toBe('refused');
    expect(readTyped('250 mm', 'length', 'SI', stops)).toEqual({ kind: 'ok', value: 0.25 });
    const mass = { from: 0.5, to: 4, stops: null, orNothing: true };
    expect(readTyped('0', 'mass', 'SI', mass)).toEqual({ kind: 'ok', value: 0 });
    expect(readTyped('0.2 kg', 'mass', 'SI', mass).kind).toBe('refused');
    expect(readTyped('<b>', 'mass', 'SI', mass).kind).toBe('refused');
  });

  it('is shown in one system', () => {
    expect(fieldText(0.3048, 'length', 'both')).toBe('304.8 mm');
    expect(fieldText(0.3048, 'length', 'US')).toBe('12 in');
  });
});
