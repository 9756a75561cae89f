/** Screening against closed forms of a cart with one configuration. */

import { describe, expect, test } from 'vitest';
import { checkCart, screenCart } from '../../src/analysis/index.js';
import { builtIn, HALF_BASE, simpleCart } from './simple-cart.js';

const MEDICAL = builtIn('iec-60601-1-3.2');
const DEGREE = Math.PI / 180;

function screened(id: string, cart = simpleCart([0, 0, 0.5]), friction?: 'low' | 'as stated') {
  const options = friction === undefined ? {} : { friction };
  const found = screenCart(cart, MEDICAL, { ...options, only: [id] }).findings;
  expect(found.map((each) => each.id)).toEqual([id]);
  return found[0];
}

describe('screening', () => {
  test('an overbalance reserve is tip angle over angle asked', () => {
    // angle = atan(half base / height); closed form, to rounding of the search over edges
    const expected = Math.atan(HALF_BASE / 0.5) / (10 * DEGREE);
    expect(screened('overbalance-transport')?.own).toBeCloseTo(expected, 6);
  });

  test('four total locks on a ramp slide at the friction angle, low end unless asked otherwise', () => {
    // all locked, weight centred: tan(theta) = mu whatever the way the castors are turned
    const at = (mu: number): number => Math.atan(mu) / (10 * DEGREE);
    const id = 'unwanted-movement-transport';
    // the cart tips at atan(0.25 / 0.35) = 35.5 deg, after it slides
    const low = simpleCart([0, 0, 0.35]);
    // smoothing of the holding force, 1e-5 of it
    expect(Math.abs((screened(id, low)?.own ?? 0) / at(0.5) - 1)).toBeLessThan(2e-5);
    expect(Math.abs((screened(id, low, 'as stated')?.own ?? 0) / at(0.6) - 1)).toBeLessThan(2e-5);
    expect(screened(id, low)?.mode).toBe('slides');
  });

  test('what does not apply, or cannot be known, has no reserve and says why', () => {
    const bare = simpleCart([0, 0, 0.5], { outline: [] });
    expect(screened('handles', bare)).toMatchObject({ applies: false, own: null, reserve: null });
    const push = screened('unwanted-movement-push', bare);
    expect(push).toMatchObject({ applies: true, own: null, reserve: null });
    expect(push?.reason).toContain('no pushable body');
  });

  test('a clause that may be met by another has the greater reserve of the two', () => {
    const set = builtIn('iec-62368-1-2018');
    const pairs = set.clauses.filter(({ alternative }) => alternative !== null);
    expect(pairs.length).toBeGreaterThan(0);
    const { findings } = screenCart(simpleCart([0, 0, 0.9]), set);
    for (const { id, alternative } of pairs) {
      const [one, other] = [id, alternative].map((each) => findings.find((f) => f.id === each));
      expect(one?.reserve).toBe(Math.max(one?.own ?? 0, other?.own ?? 0));
    }
  });

  test('refuses the name of a finding that the set does not have', () => {
    expect(() => screenCart(simpleCart([0, 0, 0.5]), MEDICAL, { only: ['tipping'] })).toThrow(
      /no finding tipping in iec-60601-1-3\.2; allowed: .*overbalance-transport/,
    );
  });
});

describe('a check with a margin', () => {
  const cart = simpleCart([0, 0, 0.35]);
  const id = 'unwanted-movement-transport';

  const effort = { seed: 1, starts: 20, followed: 2, wanted: 1, firstBoxes: 20_000, gaps: [] };

  test('proves the margin wanted first, at the low end of friction', () => {
    // slides at atan(0.5) = 26.57 deg, 2.657 times 10 deg: twice can be proven, 2.7 times cannot
    const proven = (margin: number): number => {
      const report = checkCart(cart, MEDICAL, { only: id, margin, friction: 'low', effort });
      const proof = report.findings[0]?.proof;
      return proof?.kind === 'proven' ? proof.bound.value / DEGREE : 0;
    };
    expect(proven(1)).toBeCloseTo(20, 9);
    expect(proven(1.7)).toBeCloseTo(10, 9);
    expect(proven(0)).toBeCloseTo(10, 9);
  });

  test('says that friction is at its low end', () => {
    const notes = (friction: 'low' | 'as stated'): string =>
      checkCart(cart, MEDICAL, { only: id, friction, effort }).findings[0]?.notes.join(' ') ?? '';
    expect(notes('low')).toContain('Friction is assumed: the capacity is at the low end');
    expect(notes('as stated')).not.toContain('low end');
  });
});
