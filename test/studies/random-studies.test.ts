/** Random studies, made of the factors that a study file can hold. */

import { describe, expect, test } from 'vitest';
import { editsProblem } from '../../src/document/index.js';
import type { Study, StudyFactor } from '../../src/studies/index.js';
import {
  evaluateBlock,
  evaluateVariant,
  findingIds,
  frontOf,
  variantCart,
  variantCount,
  variantOf,
} from '../../src/studies/index.js';
import { builtIn } from '../analysis/simple-cart.js';
import { CART, readSmallStudy, SMALL_STUDY } from '../document/small-study.js';
import { seededRandom } from '../reference/random.js';

const ALL = readSmallStudy(SMALL_STUDY).plan?.factors ?? [];
const SET = builtIn('iec-60601-1-3.2');
/** Quick ones, of which some do not apply to some variants. */
const QUICK = ['overbalance-transport', 'downward-force', 'threshold', 'handles', 'castor-rating'];

function sampled<T>(list: readonly T[], random: () => number): T[] {
  const some = list.filter(() => random() < 0.6);
  return some
    .map((each) => ({ each, key: random() }))
    .sort((a, b) => a.key - b.key)
    .map(({ each }) => each);
}

function randomStudy(random: () => number): Study {
  const factors = sampled(ALL, random).map(({ name, options }): StudyFactor => {
    const [first = options[0], ...others] = sampled(options, random);
    return { name, options: [first, ...others] };
  });
  const only = sampled(QUICK, random);
  return {
    name: 'Random',
    cart: CART,
    requirementSet: SET,
    only: only.length === 0 ? ['overbalance-use'] : only,
    margin: random() * 0.5,
    factors,
    aims: [
      { of: 'mass', wanted: 'least' },
      { of: 'margin', wanted: 'greatest' },
    ],
    currency: 'EUR',
    proofs: 3,
  };
}

describe('random studies of the small cart (seed 23)', () => {
  const random = seededRandom(23);
  const studies = Array.from({ length: 25 }, () => randomStudy(random));

  test('differ: with many factors and few, in any order', () => {
    expect(ALL.length).toBe(9);
    expect(new Set(studies.map(variantCount)).size).toBeGreaterThan(5);
  });

  test('have carts in every variant that a cart file could hold', () => {
    for (const study of studies) {
      for (let i = 0; i < 4; i += 1) {
        const index = Math.floor(random() * variantCount(study));
        expect(editsProblem(study.cart, variantOf(study, index).edits)).toBeNull();
      }
    }
  });

  test('have rows of their index alone, with the mass of their cart and a cost where all state one', () => {
    for (const study of studies) {
      const count = variantCount(study);
      const from = Math.floor(random() * count);
      const block = evaluateBlock(study, from, Math.min(3, count - from));
      for (const row of block) {
        const copy: Study = JSON.parse(JSON.stringify(study));
        expect(evaluateVariant(copy, row.index)).toEqual(row);
        const { options } = variantOf(study, row.index);
        const { parts, loads } = variantCart(study, variantOf(study, row.index));
        const mass = [...parts.map((part) => part.mass), ...loads.map(({ most }) => most)];
        expect(row.mass).toBeCloseTo(
          mass.reduce((sum, each) => sum + each, 0),
          9,
        );
        const stated = options.length > 0 && options.every(({ cost }) => cost !== null);
        expect(row.cost !== null).toBe(stated);
        expect(row.reserves).toHaveLength(findingIds(study).length);
        expect(row.passes).toBe(row.reserve !== null && row.reserve >= 1 + study.margin);
      }
    }
  });

  test('have a front of variants that pass', async () => {
    for (const study of studies.slice(0, 8)) {
      const rows = evaluateBlock(study, 0, Math.min(24, variantCount(study)));
      const front = await frontOf(study, rows);
      expect(front.every(({ passes }) => passes)).toBe(true);
      expect(front.length > 0).toBe(rows.some(({ passes }) => passes));
    }
  });
});
