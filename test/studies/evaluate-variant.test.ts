import { describe, expect, test } from 'vitest';
import { checkCart, screenCart } from '../../src/analysis/index.js';
import type { Study } from '../../src/studies/index.js';
import {
  evaluateBlock,
  evaluateVariant,
  findingIds,
  proveVariant,
  variantCart,
  variantCount,
  variantOf,
} from '../../src/studies/index.js';
import { builtIn, simpleCart } from '../analysis/simple-cart.js';
import { seededRandom } from '../reference/random.js';
import { ballastStudy } from '../study-runs/ballast-study.js';

const study = ballastStudy('Ballast of the kit trolley', 3);

describe('the row of a variant', () => {
  test('depends on its index alone, not on what was screened before (seed 12)', () => {
    const held: Study = { ...study, only: ['unwanted-movement-push', 'overbalance-transport'] };
    const inOrder = evaluateBlock(held, 0, variantCount(held));
    const random = seededRandom(12);
    const shuffled = inOrder.map(({ index }) => ({ index, key: random() }));
    for (const { index } of shuffled.sort((a, b) => a.key - b.key)) {
      expect(evaluateVariant(held, index)).toEqual(inOrder[index]);
    }
  });

  test('is the same from the study as text, as a worker or a database has it', () => {
    const copy: Study = JSON.parse(JSON.stringify(study));
    expect(evaluateBlock(copy, 4, 5)).toEqual(evaluateBlock(study, 4, 5));
  });

  test('holds what the screening of its cart says, at the low end of friction', () => {
    const row = evaluateVariant(study, 7);
    const cart = variantCart(study, variantOf(study, 7));
    const { findings } = screenCart(cart, study.requirementSet, { only: study.only ?? [] });
    expect(findings.map(({ id }) => id)).toEqual(findingIds(study));
    expect(row.reserves).toEqual(findings.map(({ reserve }) => reserve));
    const least = Math.min(...findings.map(({ reserve }) => reserve ?? Number.POSITIVE_INFINITY));
    expect(row.reserve).toBe(least);
    expect(findings.find(({ id }) => id === row.governs)?.reserve).toBe(least);
    expect(row.passes).toBe(least >= 1.1);
    expect(row.fault).toBeNull();
  });

  test('holds mass and size in closed form', () => {
    const rows = evaluateBlock(study, 0, variantCount(study));
    for (const { index, mass, width, length } of rows) {
      const [ballast, wider] = [(Math.floor(index / 6) + 1) / 3, (index % 6) / 100];
      expect(mass).toBeCloseTo(50 + ballast, 12);
      // Stems at 0.28 m, the front ones farther out; 30 mm of trail beyond.
      expect(width).toBeCloseTo(2 * (0.28 + wider + 0.03), 12);
      expect(length).toBeCloseTo(2 * (0.28 + 0.03), 12);
    }
  });
});

test('a fault of the program is thrown, and no fault of the variant', () => {
  const broken: Study = { ...study, cart: { ...study.cart, floor: undefined as never } };
  expect(() => evaluateVariant(broken, 0, new Map())).toThrow(TypeError);
});

describe('a proof never says more than the check', () => {
  const verdictOf = (asked: Study, id: string): string | undefined =>
    checkCart(variantCart(asked, variantOf(asked, 0)), asked.requirementSet, {
      friction: 'low',
      only: id,
    }).findings[0]?.verdict;

  test('a cart that tips without one castor has nothing to divide by, and does not pass', () => {
    const set = builtIn('iec-61010-1-3');
    const asked: Study = { ...study, requirementSet: set, only: ['castor-missing'], margin: 0 };
    expect(verdictOf(asked, 'castor-missing')).toBe('fails');
    expect(proveVariant(asked, 0)).toMatchObject({ reserve: 0, passes: false });
    expect(evaluateVariant(asked, 0)).toMatchObject({ reserve: 0, passes: false });
  });

  test('a rating that is not stated leaves the castors open, whatever the others bear', () => {
    const castors = study.cart.castors.map((each, i) =>
      i === 0 ? { ...each, rating: null } : each,
    );
    const cart = { ...study.cart, castors };
    const asked: Study = { ...study, cart, only: ['castor-rating'], margin: 0 };
    expect(verdictOf(asked, 'castor-rating')).toBe('not decided');
    expect(proveVariant(asked, 0)).toMatchObject({ reserve: null, passes: false });
    expect(evaluateVariant(asked, 0)).toMatchObject({ passes: false });
  });
});

const IMPOSSIBLE: Study = {
  ...study,
  margin: 0,
  factors: [
    {
      name: 'what cannot be',
      options: [
        { label: 'as it is', edits: [], cost: null },
        {
          label: 'a part that is not there',
          edits: [{ kind: 'part mass', part: 'nothing', mass: 3 }],
          cost: null,
        },
        {
          label: 'top heavy',
          edits: [{ kind: 'part place', part: 'body', at: [0.6, 0, 0.6] }],
          cost: null,
        },
      ],
    },
  ],
};

describe('a variant that cannot stand', () => {
  test('is a row with a fault or without a reserve, and never an end of the run', () => {
    const [asItIs, missing, tipped] = evaluateBlock(IMPOSSIBLE, 0, 3);
    expect(asItIs).toMatchObject({ fault: null, reserve: expect.any(Number) });
    expect(missing).toMatchObject({ reserve: null, governs: '', passes: false });
    expect(missing?.fault).toContain('nothing');
    expect(missing?.reserves).toEqual([null, null, null, null]);
    expect(tipped?.passes).toBe(false);
  });

  test('a study in which no finding applies has rows that say so', () => {
    const none: Study = { ...study, only: ['handles'] };
    expect(evaluateVariant(none, 0)).toMatchObject({
      passes: false,
      reserve: null,
      fault: 'no finding applies to this cart',
    });
  });
});

describe('the proof of a variant', () => {
  test('is what the full check proves, and never above what screening finds', () => {
    const proof = proveVariant(study, 3);
    const cart = variantCart(study, variantOf(study, 3));
    const { requirementSet } = study;
    const clauses = requirementSet.clauses.filter(({ id }) => findingIds(study).includes(id));
    const set = { ...requirementSet, clauses };
    const report = checkCart(cart, set, { friction: 'low', margin: 0.1 });
    const row = evaluateVariant(study, 3);
    for (const [i, id] of findingIds(study).entries()) {
      const finding = report.findings.find((each) => each.id === id);
      const { proof: by, demand, capacity } = finding ?? {};
      if (by?.kind !== 'proven' || !demand || !capacity) throw new Error(`${id} is not proven`);
      const [over, under] =
        finding?.sense === 'at least' ? [by.bound, demand] : [capacity, by.bound];
      expect(proof.reserves[i]).toBeCloseTo(over.value / under.value, 12);
      expect(proof.reserves[i]).toBeLessThanOrEqual((row.reserves[i] ?? 0) * (1 + 1e-9));
    }
    expect(proof.passes).toBe(Math.min(...proof.reserves.map(Number)) >= 1.1);
  });

  test('takes the alternative of a clause where that is greater, as screening does', () => {
    const either: Study = {
      ...study,
      requirementSet: builtIn('iec-62368-1-2018'),
      only: ['overbalance'],
    };
    const [row, proof] = [evaluateVariant(either, 0), proveVariant(either, 0)];
    expect(proof.reserves).toHaveLength(1);
    expect(row.reserve).not.toBeNull();
    expect(proof.reserve).toBeGreaterThan((row.reserve ?? 0) * 0.99);
    expect(proof.reserve).toBeLessThanOrEqual((row.reserve ?? 0) * (1 + 1e-9));
  });

  test('that the margin is not reached says so', () => {
    const demanding: Study = { ...study, margin: 20 };
    expect(proveVariant(demanding, 0).passes).toBe(false);
  });
});

test('a study of one variant is the study of its cart', () => {
  const one: Study = { ...study, cart: simpleCart([0, 0, 0.6]), factors: [] };
  const [row] = evaluateBlock(one, 0, variantCount(one));
  expect(variantCount(one)).toBe(1);
  expect(row).toMatchObject({ index: 0, mass: 50, cost: null, fault: null });
});
