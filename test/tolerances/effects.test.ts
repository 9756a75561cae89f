import { describe, expect, test } from 'vitest';
import { endEffects, movingInputs } from '../../src/tolerances/effects.js';
import type { Input } from '../../src/tolerances/inputs.js';
import type { Judge, Judged } from '../../src/tolerances/judge.js';
import { drawersOf } from '../../src/tolerances/run-trials.js';
import { onlyClauses } from './one-clause.js';

function inputOf(name: string, tolerance: number, least = Number.NEGATIVE_INFINITY): Input {
  return {
    name,
    change: { kind: 'test', condition: 'push force' },
    spread: { kind: 'rectangular', halfWidth: tolerance },
    limits: { least, most: Number.POSITIVE_INFINITY },
    dimension: 'force',
    nominal: null,
    tolerance,
    distribution: 'rectangular',
    standard: tolerance / Math.sqrt(3),
    from: '',
  };
}

function judged(reserve: number | null): Judged {
  const force = { dimension: 'force', demand: 1, capacity: reserve } as const;
  return reserve === null
    ? { applies: false, reason: '', dimension: null, demand: null, capacity: null, reserve }
    : { applies: true, reason: '', ...force, reserve };
}

/** A judge of one finding by a function of the offsets. */
function judgeBy(reserveOf: (offsets: ArrayLike<number>) => number | null): Judge {
  const judge = (offsets: ArrayLike<number>) => [judged(reserveOf(offsets))];
  const itself: Judge = { judge, only: () => itself, afresh: judge };
  return itself;
}

function judgeByForce(
  amounts: (offsets: ArrayLike<number>) => { readonly demand: number; readonly capacity: number },
): Judge {
  const judge = (offsets: ArrayLike<number>): readonly Judged[] => {
    const { demand, capacity } = amounts(offsets);
    const reserve = capacity / demand;
    return [{ applies: true, reason: '', dimension: 'force', demand, capacity, reserve }];
  };
  const itself: Judge = { judge, only: () => itself, afresh: judge };
  return itself;
}

function movingOf(inputs: readonly Input[], judge: Judge): readonly boolean[] {
  const nominal = judge.judge(new Float64Array(inputs.length));
  return movingInputs(judge, inputs, nominal, drawersOf(inputs, 1, 'screening'));
}

describe('which inputs move a finding', () => {
  test('one that decides whether it is asked counts, and hides none of the others', () => {
    const inputs = [inputOf('mass', 1), inputOf('friction', 1), inputOf('nothing', 1)];
    const judge = judgeBy(({ 0: mass = 0, 1: friction = 0 }) => (mass < 0 ? null : 2 + friction));
    expect(movingOf(inputs, judge)).toEqual([true, true, false]);
  });

  test('an end beyond what is possible is not tried, and has no effect to show', () => {
    const inputs = [inputOf('force', 3, -1), inputOf('friction', 1)];
    const judge = judgeBy(({ 0: force = 0, 1: friction = 0 }) => {
      if (force < -1) throw new Error(`no test has ${force}`);
      return 10 - force + friction;
    });
    expect(movingOf(inputs, judge)).toEqual([true, true]);
    const nominal = judge.judge(new Float64Array(2));
    const set = onlyClauses('overbalance-use');
    const [force] = endEffects(judge, set, inputs, nominal);
    expect(force).toEqual({ low: [null], high: [-3] });
  });

  test('of a push whose force is off, what is asked moves and the cart bears what it bore', () => {
    // asked 20 N, bears 30 N; pushed by 5 N more or less it is 5 N less safe or safer
    const judge: Judge = judgeByForce(({ 0: force = 0 }) => ({ demand: 20 + force, capacity: 30 }));
    const set = onlyClauses('unwanted-movement-push');
    const [effect] = endEffects(judge, set, [inputOf('force', 5)], judge.judge([0]));
    expect(effect).toEqual({ low: [5], high: [-5] });
  });
});
