/** Reserves where nothing is asked: the centre of mass is to lie inside the castors by 0 mm or more. */

import { describe, expect, test } from 'vitest';
import { checkCart, reserveOf, screenCart } from '../../src/analysis/index.js';
import { builtIn, castorAt, simpleCart } from './simple-cart.js';

const LABORATORY = builtIn('iec-61010-1-3');
const MISSING = 'castor-missing';

describe('the reserve', () => {
  test.each([
    [2, 3, 1.5],
    [0, 0.01, Number.POSITIVE_INFINITY],
    [0, 0, Number.POSITIVE_INFINITY],
    [0, -0.01, 0],
  ])('asked %d, can do %d: %d', (demand, capacity, reserve) => {
    expect(reserveOf(demand, capacity)).toBe(reserve);
  });
});

describe('a castor taken away', () => {
  test('from under a cart that then tips leaves no reserve', () => {
    const cart = simpleCart([0, 0, 0.5]);
    const [checked] = checkCart(cart, LABORATORY, { only: MISSING }).findings;
    expect(checked?.verdict).toBe('fails');
    expect(checked?.capacity?.value).toBeLessThan(0);
    const [screened] = screenCart(cart, LABORATORY, { only: [MISSING] }).findings;
    expect(screened?.reserve).toBe(0);
  });

  test('of three leaves nothing to stand on: a failure, and no open question', () => {
    const corners = [
      ['front', [0.3, 0]],
      ['rear left', [-0.2, 0.3]],
      ['rear right', [-0.2, -0.3]],
    ] as const;
    const castors = corners.map(([name, at]) => castorAt(name, at, 'total'));
    const cart = simpleCart([0, 0, 0.5], { castors });
    const [checked] = checkCart(cart, LABORATORY, { only: MISSING }).findings;
    expect(checked?.verdict).toBe('fails');
    expect(checked?.capacity).toBeNull();
    const [screened] = screenCart(cart, LABORATORY, { only: [MISSING] }).findings;
    expect(screened?.reserve).toBe(0);
  });
});

test('a rating that is not stated leaves the reserve open, though those that are would do', () => {
  const whole = simpleCart([0, 0, 0.5]);
  const castors = whole.castors.map((each, i) => (i === 3 ? { ...each, rating: null } : each));
  const set = builtIn('iec-60601-1-3.2');
  const ask = (cart: typeof whole) =>
    screenCart(cart, set, { only: ['castor-rating'] }).findings[0];
  expect(ask(whole)?.reserve).toBeGreaterThan(1);
  const open = ask({ ...whole, castors });
  expect(open?.reserve).toBeNull();
  expect(open?.reason).toContain('the rating of rear right is not stated');
});

test('a rating that does not do fails, whatever another one is', () => {
  const whole = simpleCart([0, 0, 0.5]);
  const castors = whole.castors.map((each, i) => ({ ...each, rating: i === 3 ? null : 5 }));
  const set = builtIn('iec-60601-1-3.2');
  const [failing] = screenCart({ ...whole, castors }, set, { only: ['castor-rating'] }).findings;
  expect(failing?.reserve).toBeLessThan(1);
});
