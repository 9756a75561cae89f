import { describe, expect, test } from 'vitest';
import type { Cart } from '../../src/document/index.js';
import { readCart, sentence, writeStarterCart } from '../../src/document/index.js';
import { SMALL_CART, spoiled } from './small-cart.js';

function cartOf(text: string): Cart {
  const result = readCart(text, 'small.cart.yaml');
  if (result.kind === 'invalid') throw new Error(result.issues.map(sentence).join('\n'));
  return result.value;
}

/** Values of two or three roundings: 1e-12 is a thousand times what these leave of 1. */
const ROUNDING = 12;

describe('a cart file becomes a cart in SI units', () => {
  const cart = cartOf(SMALL_CART);

  test('parts, with what is left out', () => {
    expect(cart.parts).toEqual([
      {
        name: 'base',
        mass: 20,
        massTolerance: 0,
        massDistribution: 'rectangular',
        at: [0, 0, 0.1],
        atTolerance: 0,
        atDistribution: 'rectangular',
        on: null,
        massFrom: 'cart file',
      },
      {
        name: 'head',
        mass: 5,
        massTolerance: 0.1,
        massDistribution: 'rectangular',
        at: [0, 0, 0.9],
        atTolerance: 0,
        atDistribution: 'rectangular',
        on: 'lift',
        massFrom: 'cart file',
      },
    ]);
  });

  test('movers: words and numbers for the axis, degrees to radians, stops', () => {
    const [lift, arm] = cart.movers;
    expect(lift).toEqual({
      name: 'lift',
      kind: 'slide',
      on: null,
      origin: [0, 0, 0],
      axis: [0, 0, 1],
      from: 0,
      to: 0.4,
      stops: null,
    });
    expect(arm?.kind).toBe('turn');
    expect(arm?.on).toBe('lift');
    expect(arm?.origin).toEqual([0, 0, 0.9]);
    expect(arm?.axis).toEqual([0, 0, 1]);
    expect(arm?.from).toBeCloseTo(-Math.PI / 2, ROUNDING);
    expect(arm?.stops?.[2]).toBe(arm?.to);
  });

  test('loads', () => {
    expect(cart.loads.map(({ kind, least, most, on }) => ({ kind, least, most, on }))).toEqual([
      { kind: 'fluid', least: 0.5, most: 3, on: 'arm' },
      { kind: 'removable', least: 1, most: 6, on: null },
    ]);
  });

  test('castors with the figures of their types', () => {
    const [left, right, rear] = cart.castors;
    expect(left).toEqual({
      name: 'front left',
      at: [0.25, 0.22],
      wheelDiameter: 0.1,
      trail: 0.032,
      fixedDirection: null,
      lock: 'total',
      brakeTorque: 12,
      lockDirections: [0, Math.PI / 2],
      swivelMoment: 0.3,
      rollingLength: 0.0022,
      rating: 60,
      stiffness: 400_000,
      tread: 'grey rubber',
    });
    expect(right?.lock).toBe('none');
    expect(right?.lockDirections).toBeNull();
    expect(rear).toMatchObject({ fixedDirection: 0, trail: 0, swivelMoment: 0, rating: null });
    expect(rear).toMatchObject({ lock: 'wheel', brakeTorque: null });
  });

  test('outline, surfaces, handles, markings, floor', () => {
    expect(cart.outline.map((body) => body.shape.kind)).toEqual(['box', 'cylinder']);
    expect(cart.outline[1]).toMatchObject({ on: 'lift', pushable: false });
    expect(cart.surfaces[0]).toMatchObject({ kind: 'foothold', from: [0.2, -0.1], height: 0.1 });
    expect(cart.handles.map(({ kind, rating }) => [kind, rating])).toEqual([
      ['pushing', null],
      ['lifting', 900],
    ]);
    expect(cart.markings).toEqual(['no sitting']);
    expect(cart.floor.friction).toEqual([
      {
        tread: 'grey rubber',
        value: 0.6,
        tolerance: 0.1,
        distribution: 'rectangular',
        readings: null,
        basis: 'assumed',
      },
    ]);
  });

  test('positions name every mover and load, with the whole range where the file is silent', () => {
    const [transport, use] = cart.positions;
    expect(transport?.movers.lift).toEqual({ from: 0, to: 0 });
    expect(transport?.loads).toEqual({
      bag: { least: 3, most: 3, mayBeAbsent: false },
      supplies: { least: 0, most: 0, mayBeAbsent: false },
    });
    expect(use?.movers.lift).toEqual({ from: 0.1, to: 0.4 });
    expect(use?.movers.arm?.to).toBeCloseTo(Math.PI / 2, ROUNDING);
    expect(use?.loads).toEqual({
      bag: { least: 0.5, most: 3, mayBeAbsent: false },
      supplies: { least: 1, most: 2, mayBeAbsent: false },
    });
  });

  test('a removable load that a position does not speak of may be absent', () => {
    const quiet = cartOf(spoiled('    loads:\n      supplies: {least: 1 kg, most: 2 kg}\n', ''));
    expect(quiet.positions[1]?.loads.supplies).toEqual({ least: 1, most: 6, mayBeAbsent: true });
  });

  test('pounds and inches', () => {
    const imperial = spoiled('mass: 20 kg', 'mass: 44 lb');
    // 1 lb is 0.453 592 37 kg by definition
    expect(cartOf(imperial).parts[0]?.mass).toBeCloseTo(44 * 0.45359237, ROUNDING);
    const inches = spoiled('at: [0 mm, 0 mm, 100 mm]', 'at: [1 in, 0 mm, 10 cm]');
    expect(cartOf(inches).parts[0]?.at).toEqual([0.0254, 0, 0.1]);
  });

  test('the end of a range in another unit is the end of the range', () => {
    const text = spoiled(
      'lift: 0 mm',
      'lift: 15 3/4 in',
      spoiled('      to: 400 mm', '      to: 400.05 mm'),
    );
    expect(cartOf(text).positions[0]?.movers.lift).toEqual({ from: 0.40005, to: 0.40005 });
  });

  test('line ends of either kind, a byte order mark, and anchors change nothing', () => {
    expect(cartOf(SMALL_CART.replaceAll('\n', '\r\n'))).toEqual(cart);
    expect(cartOf(`\ufeff${SMALL_CART}`)).toEqual(cart);
    const anchored = spoiled('at: [0 mm, 0 mm, 500 mm]', 'at: *here');
    const both = spoiled('at: [0 mm, 0 mm, 100 mm]', 'at: &here [0 mm, 0 mm, 500 mm]', anchored);
    expect(cartOf(both).loads[1]?.at).toEqual([0, 0, 0.5]);
  });

  test('the starter cart reads without errors and without warnings', () => {
    const result = readCart(writeStarterCart(), 'starter.cart.yaml');
    expect(result).toMatchObject({ kind: 'ok', warnings: [] });
  });

  test('what nothing uses is a warning', () => {
    const text = spoiled(
      '    - {tread: grey rubber, value: 0.6, tolerance: 0.1, basis: assumed}\n',
      `    - {tread: grey rubber, value: 0.6, tolerance: 0.1, basis: assumed}
    - {tread: felt, value: 0.4, tolerance: 0.1, basis: assumed}
`,
    );
    const result = readCart(text, 'small.cart.yaml');
    expect(result).toMatchObject({
      kind: 'ok',
      warnings: [{ code: 'unused-entry', severity: 'warning', actual: '"felt"' }],
    });
  });
});
