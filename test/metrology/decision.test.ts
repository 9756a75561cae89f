import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { DecisionRule, Limit, Measured } from '../../src/metrology/index.js';
import { decide, probabilityWithin, ruleWords } from '../../src/metrology/index.js';

const simple: DecisionRule = { kind: 'simple acceptance' };
const banded: DecisionRule = { kind: 'guard band', multiple: 1 };

function shared(greatestRisk: number): DecisionRule {
  return { kind: 'shared risk', greatestRisk };
}

function of(value: number, u: number, dof: number | null = null): Measured {
  return { value, u, dof };
}

describe('JCGM 106:2012, breakdown of a Zener diode (figures from memory)', () => {
  const limit: Limit = { kind: 'at most', value: -5.4 };

  test('-5.47 V with u 0.05 V conforms to -5.40 V or less with probability 0.919', () => {
    expect(Math.abs(probabilityWithin(of(-5.47, 0.05), limit) - 0.919)).toBeLessThan(0.0005);
  });

  test('simple acceptance passes it with a risk of 0.081, a guard band of U does not decide it', () => {
    expect(decide(of(-5.47, 0.05), limit, simple)).toMatchObject({ decision: 'pass', guard: 0 });
    expect(decide(of(-5.47, 0.05), limit, simple).risk).toBeCloseTo(1 - 0.919, 3);
    expect(decide(of(-5.47, 0.05), limit, banded)).toMatchObject({
      decision: 'not decided',
      risk: null,
    });
  });
});

describe('ILAC-G8:09/2019', () => {
  const limit: Limit = { kind: 'at least', value: 10 };

  test('at the acceptance limit with w = U, k = 2 the one-sided risk is 2.28 %', () => {
    const { acceptanceLimit } = decide(of(10, 0.1), limit, banded);
    expect(acceptanceLimit).toBeCloseTo(10.2, 12);
    const there = decide(of(acceptanceLimit, 0.1), limit, banded);
    expect(there.decision).toBe('pass');
    expect(Math.abs(100 * (there.risk ?? 0) - 2.28)).toBeLessThan(0.005001);
  });

  test('and with few degrees of freedom, whose U is wider, it is the same', () => {
    for (const dof of [1, 2.5, 7]) {
      const { acceptanceLimit, guard, U, k } = decide(of(10, 0.1, dof), limit, banded);
      expect(guard).toBe(U);
      expect(k).toBeGreaterThan(2.3);
      const there = decide(of(acceptanceLimit, 0.1, dof), limit, banded);
      expect(there).toMatchObject({ decision: 'pass' });
      expect(100 * (there.risk ?? 0)).toBeCloseTo(2.275, 3);
    }
  });

  test('simple acceptance is wrong in half of all cases at the limit itself', () => {
    const there = decide(of(10, 0.1), limit, simple);
    expect(there).toMatchObject({ decision: 'pass', probability: 0.5, risk: 0.5 });
  });

  test('w = 0.83 U keeps the risk of a pass to 5 % (JCGM 106: 1.645 u)', () => {
    const rule: DecisionRule = { kind: 'guard band', multiple: 1.645 / 2 };
    const there = decide(of(10.1645, 0.1), limit, rule);
    expect(there.decision).toBe('pass');
    expect(there.risk).toBeCloseTo(0.05, 4);
  });
});

describe('guard band', () => {
  test.each([
    ['at most', 9.8, 'pass'],
    ['at most', 9.81, 'not decided'],
    ['at most', 10, 'not decided'],
    ['at most', 10.19, 'not decided'],
    ['at most', 10.2, 'fail'],
    ['at least', 10.2, 'pass'],
    ['at least', 10.19, 'not decided'],
    ['at least', 9.81, 'not decided'],
    ['at least', 9.8, 'fail'],
  ] as const)('limit %s 10, u 0.1: %d is %s', (kind, value, decision) => {
    expect(decide(of(value, 0.1), { kind, value: 10 }, banded).decision).toBe(decision);
  });

  test('limits lie U to either side', () => {
    const found = decide(of(3, 0.25), { kind: 'at most', value: 5 }, banded);
    expect(found).toMatchObject({
      U: 0.5,
      k: 2,
      guard: 0.5,
      acceptanceLimit: 4.5,
      rejectionLimit: 5.5,
    });
  });

  test('of width 0 is simple acceptance', () => {
    for (const value of [4.9, 5, 5.1]) {
      const none = decide(
        of(value, 0.2),
        { kind: 'at most', value: 5 },
        { kind: 'guard band', multiple: 0 },
      );
      expect(none).toEqual(decide(of(value, 0.2), { kind: 'at most', value: 5 }, simple));
    }
  });

  test('the risk of a fail is the chance that it conforms', () => {
    const found = decide(of(10.3, 0.1), { kind: 'at most', value: 10 }, banded);
    expect(found).toMatchObject({ decision: 'fail', risk: found.probability });
    // Phi(-3) of any table of the normal distribution
    expect(found.risk).toBeCloseTo(0.00135, 5);
  });
});

describe('shared risk', () => {
  const limit: Limit = { kind: 'at most', value: 50 };

  test('decides where the risk is at most what was agreed: 1.2816 u for 10 %', () => {
    expect(decide(of(48.71, 1), limit, shared(0.1)).decision).toBe('pass');
    expect(decide(of(48.73, 1), limit, shared(0.1)).decision).toBe('not decided');
    expect(decide(of(51.27, 1), limit, shared(0.1)).decision).toBe('not decided');
    expect(decide(of(51.29, 1), limit, shared(0.1)).decision).toBe('fail');
    expect(decide(of(48.71, 1), limit, shared(0.1)).guard).toBeCloseTo(1.281552, 6);
  });

  test('of one half is simple acceptance', () => {
    for (const value of [49.99, 50, 50.01]) {
      expect(decide(of(value, 1, 3), limit, shared(0.5))).toEqual(
        decide(of(value, 1, 3), limit, simple),
      );
    }
  });

  test('whatever is decided is wrong with at most the chance agreed', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -4, max: 4, noNaN: true }),
        fc.double({ min: 0.001, max: 0.5, noNaN: true }),
        fc.option(fc.integer({ min: 1, max: 40 })),
        fc.constantFrom('at most' as const, 'at least' as const),
        (z, greatest, dof, kind) => {
          const { decision, risk } = decide(
            of(7 + z, 1, dof),
            { kind, value: 7 },
            shared(greatest),
          );
          expect(decision === 'not decided').toBe(risk === null);
          expect(risk ?? 0).toBeLessThanOrEqual(greatest + 1e-9);
        },
      ),
      { seed: 11, numRuns: 300 },
    );
  });
});

describe('probability', () => {
  test('with few degrees of freedom is that of t: 2 u inside with 2 is 0.9082', () => {
    // closed form of t with 2 degrees: 1/2 + z / (2 sqrt(2 + z^2)), z = 2
    const known = 0.5 + 2 / (2 * Math.sqrt(6));
    expect(probabilityWithin(of(8, 1, 2), { kind: 'at most', value: 10 })).toBeCloseTo(known, 12);
  });

  test('with 1 is that of Cauchy', () => {
    const known = 0.5 + Math.atan(3) / Math.PI;
    expect(probabilityWithin(of(13, 1, 1), { kind: 'at least', value: 10 })).toBeCloseTo(known, 12);
  });

  test('both senses of one limit add up to 1', () => {
    for (const dof of [null, 1, 6]) {
      const most = probabilityWithin(of(9.7, 0.4, dof), { kind: 'at most', value: 10 });
      const least = probabilityWithin(of(9.7, 0.4, dof), { kind: 'at least', value: 10 });
      expect(most + least).toBeCloseTo(1, 14);
    }
  });

  test('a risk far out keeps its digits', () => {
    // Phi(-10) = 7.62e-24, any table of the far tail
    const { risk } = decide(of(0, 1), { kind: 'at most', value: 10 }, simple);
    expect((risk ?? 0) / 7.6199e-24).toBeCloseTo(1, 4);
  });
});

describe('a value without uncertainty', () => {
  test.each([
    ['at most', 9.99, 'pass', 1],
    ['at most', 10, 'pass', 1],
    ['at most', 10.01, 'fail', 0],
    ['at least', 10.01, 'pass', 1],
    ['at least', 10, 'pass', 1],
    ['at least', 9.99, 'fail', 0],
  ] as const)(
    'limit %s 10: %d is a %s, whatever the rule',
    (kind, value, decision, probability) => {
      for (const rule of [simple, banded, shared(0.05)]) {
        const found = decide(of(value, 0), { kind, value: 10 }, rule);
        expect(found).toMatchObject({ decision, probability, risk: 0, U: 0, guard: 0 });
      }
    },
  );
});

describe('rounding', () => {
  test('a value that is the limit but for the last bits is on it', () => {
    const limit = (10 * Math.PI) / 180;
    const reckoned = limit * (1 - 4e-16);
    expect(reckoned).not.toBe(limit);
    expect(decide(of(reckoned, 0), { kind: 'at least', value: limit }, simple).decision).toBe(
      'pass',
    );
    // in floating point 0.3 is not three times 0.1
    expect(decide(of(3 * 0.1, 0), { kind: 'at most', value: 0.3 }, simple).decision).toBe('pass');
  });

  test('a difference that an instrument could show is none of rounding', () => {
    expect(decide(of(10 + 1e-9, 0), { kind: 'at most', value: 10 }, simple).decision).toBe('fail');
  });
});

test('mirrored values and limits are decided alike', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -5, max: 5, noNaN: true }),
      fc.double({ min: 0, max: 2, noNaN: true }),
      fc.constantFrom(simple, banded, shared(0.2)),
      (value, u, rule) => {
        const a = decide(of(value, u), { kind: 'at most', value: 1 }, rule);
        const b = decide(of(-value, u), { kind: 'at least', value: -1 }, rule);
        expect(a.decision).toBe(b.decision);
        expect(a.probability).toBeCloseTo(b.probability, 12);
      },
    ),
    { seed: 3, numRuns: 200 },
  );
});

test.each([
  ['a value that is no number', of(Number.NaN, 1), 5, simple],
  ['u below 0', of(1, -1), 5, simple],
  ['a limit that is no number', of(1, 1), Number.NaN, simple],
  ['an infinite limit', of(1, 1), Number.POSITIVE_INFINITY, simple],
  ['a guard band below 0', of(1, 1), 5, { kind: 'guard band', multiple: -1 }],
  ['a shared risk of 0', of(1, 1), 5, shared(0)],
  ['a shared risk above one half', of(1, 1), 5, shared(0.6)],
] as [string, Measured, number, DecisionRule][])('refuses %s', (_, measured, value, rule) => {
  expect(() => decide(measured, { kind: 'at most', value }, rule)).toThrow(RangeError);
});

test('the words of a rule say what passes and at what risk', () => {
  expect(ruleWords(simple)).toMatch(/^Simple acceptance: .* 50 %\.$/);
  expect(ruleWords(banded)).toContain('Guard band of U (');
  expect(ruleWords(banded)).toContain('at most 2.28 %');
  expect(ruleWords({ kind: 'guard band', multiple: 0.5 })).toContain('0.5 U');
  expect(ruleWords({ kind: 'guard band', multiple: 0.5 })).toContain('15.9 %');
  expect(ruleWords(shared(0.05))).toContain('at most 5 %');
  for (const rule of [simple, banded, shared(0.05), { kind: 'guard band', multiple: 0 } as const]) {
    expect(ruleWords(rule).match(/\./g)?.length, 'one sentence').toBe(
      1 + (ruleWords(rule).match(/\d\.\d/g)?.length ?? 0),
    );
  }
});
