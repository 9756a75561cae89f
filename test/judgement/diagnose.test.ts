/** Why a run failed: set-ups whose mends have closed forms. */

import { describe, expect, test } from 'vitest';
import type { Cart, Castor } from '../../src/document/index.js';
import { diagnose, judgeRun } from '../../src/judgement/index.js';
import type { TestRun } from '../../src/test-plan/index.js';
import type { RunReading } from '../../src/test-record/index.js';
import { builtIn, simpleCart } from '../analysis/simple-cart.js';
import {
  aRecord,
  aRun,
  criterion,
  DEGREE,
  gaveWay,
  INSTRUMENTS,
  inclineLoading,
  predictedRun,
  pushLoading,
  reading,
  SIMPLE,
} from './run-record.js';

const SET = builtIn('iec-60601-1-3.2');
const W = 50 * 9.80665;

function diagnosed(cart: Cart, run: TestRun, readings: readonly RunReading[]) {
  const record = aRecord(readings);
  return diagnose(cart, SET, run, record, judgeRun(run, record, INSTRUMENTS, SIMPLE));
}

function withCastors(cart: Cart, change: (castor: Castor) => Partial<Castor>): Cart {
  return { ...cart, castors: cart.castors.map((each) => ({ ...each, ...change(each) })) };
}

describe('a cart that tips', () => {
  const cart = simpleCart([0, 0, 1.6]);
  const run = predictedRun(cart, SET, 'overbalance-transport', inclineLoading());
  const { mode, asPredicted, mechanism, mends } = diagnosed(cart, run, [
    gaveWay('8.9 deg', 'tips'),
  ]);

  test('over its front line, at atan(250 / 1600) = 8.881 deg', () => {
    expect(mode).toMatchObject({ kind: 'tips', castors: ['front right', 'front left'] });
    expect(asPredicted).toBe(true);
    expect(mechanism.join(' ')).toContain('atan(250 mm / 1600 mm) = 8.881 deg');
  });

  test('lower by 1600 - 250 / tan 10 = 182.2 mm, or the line 1600 tan 10 - 250 = 32.1 mm out', () => {
    expect(mends[0]).toMatch(/^A centre of mass 182\.2 mm lower \(at 1418 mm\)/);
    expect(mends[1]).toMatch(/^Or the tipping line 32\.1\d mm farther out/);
  });

  test('a push tips at W d / h', () => {
    const pushed = predictedRun(cart, SET, 'horizontal-force', pushLoading(0.15 * W, 1.2));
    const { mechanism: words } = diagnosed(cart, pushed, [gaveWay('70 N', 'tips')]);
    expect(words.join(' ')).toContain('490.3 N x 250 mm / 1200 mm = 102.2 N');
  });
});

describe('a cart that slides', () => {
  const [first] = simpleCart([0, 0, 0.4]).floor.friction;
  const floor = {
    name: 'vinyl',
    friction: first === undefined ? [] : [{ ...first, value: 0.12, tolerance: 0 }],
  };
  const cart = simpleCart([0, 0, 0.4], { floor });
  const run = predictedRun(cart, SET, 'unwanted-movement-use', inclineLoading(10 * DEGREE));

  test('with every castor locked only friction helps: tan 10 = 0.177, upwards', () => {
    // the clause asks 5 deg, tan 5 = 0.0875: it holds 6.84 deg; another run asks more
    const steep = { ...run, finding: 'unwanted-movement-transport' };
    const found = diagnosed(cart, steep, [gaveWay('6.8 deg', 'slides')]);
    expect(found.mode?.kind).toBe('slides');
    expect(found.mechanism.join(' ')).toContain('a friction coefficient of 0.177 is enough');
    // mu W cos 10 = 0.12 x 490.3 x 0.985 against W sin 10
    expect(found.mechanism.join(' ')).toContain(
      'hold 57.95 N at most, less than the 85.15 N that the load asks',
    );
    expect(found.mends).toContain(
      'No other layout of these locks holds it at this set-up both ways, nor do locks on every castor.',
    );
    expect(found.mends.join(' ')).toContain('Treads that surely grip with 0.177 or more');
  });

  test('brakes that slip before their treads are named with both forces', () => {
    const weak = withCastors(simpleCart([0, 0, 0.4]), () => ({ brakeTorque: 1 }));
    const pushed = predictedRun(weak, SET, 'unwanted-movement-push', pushLoading(0.15 * W, 1));
    const { mechanism } = diagnosed(weak, pushed, [gaveWay('60 N', 'rolls')]);
    // 1 N m over a radius of 62.5 mm
    expect(mechanism.join(' ')).toMatch(
      /The brake of \w+ \w+ slips at 16 N, before its tread does/,
    );
  });

  test('where the model says that it holds, it says so, and asks for that much more', () => {
    const stands = simpleCart([0, 0, 0.4]);
    const gentle = predictedRun(stands, SET, 'unwanted-movement-use', inclineLoading(5 * DEGREE));
    const found = diagnosed(stands, gentle, [gaveWay('4.5 deg', 'slides')]);
    expect(found).toMatchObject({ mode: null, asPredicted: false });
    expect(found.mechanism[0]).toContain('By the model it holds at this set-up');
    expect(found.mends[0]).toContain('measure the friction on the floor of the test');
  });
});

describe('other runs', () => {
  test('a castor that carries too much: all loads, and where the centre of mass is', () => {
    const cart = withCastors(simpleCart([0.1, 0.1, 0.5]), () => ({ rating: 15 }));
    const loading = { kind: 'weighing', castor: 'front left', removed: false } as const;
    const clause = SET.clauses.find(({ question }) => question.kind === 'castor load');
    if (clause === undefined) throw new Error('no clause of castor loads');
    const run = aRun(
      loading,
      [criterion('castor load', { value: 15, dimension: 'mass' }, 'at most')],
      { finding: clause.id },
    );
    const { mode, mechanism, mends } = diagnosed(cart, run, [reading({ castorLoad: '23 kg' })]);
    expect(mode).toEqual({ kind: 'overloads', what: 'front left' });
    expect(mechanism.join(' ')).toContain('Of 50 kg in all');
    expect(mends[0]).toContain('higher rating');
  });

  test('a run of another clause is refused', () => {
    const cart = simpleCart([0, 0, 0.5]);
    const run = aRun(inclineLoading(), [], { finding: 'no-such-finding' });
    expect(() => diagnosed(cart, run, [gaveWay('5 deg')])).toThrow(RangeError);
  });
});
