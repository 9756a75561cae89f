import { describe, expect, test } from 'vitest';
import type { Study, StudyFactor } from '../../src/studies/index.js';
import {
  combinations,
  optionsOf,
  variantCart,
  variantCount,
  variantOf,
} from '../../src/studies/index.js';
import { builtIn, simpleCart } from '../analysis/simple-cart.js';

function factor(name: string, size: number, cost: number | null = 1): StudyFactor {
  const option = (i: number) => ({ label: `${name}${i}`, edits: [], cost });
  return {
    name,
    options: [option(0), ...Array.from({ length: size - 1 }, (_, i) => option(i + 1))],
  };
}

function studyOf(factors: readonly StudyFactor[]): Study {
  return {
    name: 'Numbering',
    cart: simpleCart([0, 0, 0.5]),
    requirementSet: builtIn('iec-60601-1-3.2'),
    only: null,
    margin: 0,
    factors,
    aims: [{ of: 'mass', wanted: 'least' }],
    currency: 'EUR',
    proofs: 1,
  };
}

describe('the variants of a study', () => {
  test('are numbered with the last factor fastest', () => {
    const study = studyOf([factor('a', 2), factor('b', 3), factor('c', 2)]);
    const labels = Array.from({ length: 12 }, (_, i) =>
      optionsOf(study, i)
        .map(({ label }) => label)
        .join(' '),
    );
    expect(labels).toEqual([
      ...['a0 b0 c0', 'a0 b0 c1', 'a0 b1 c0', 'a0 b1 c1', 'a0 b2 c0', 'a0 b2 c1'],
      ...['a1 b0 c0', 'a1 b0 c1', 'a1 b1 c0', 'a1 b1 c1', 'a1 b2 c0', 'a1 b2 c1'],
    ]);
    expect(variantCount(study)).toBe(12);
  });

  test('are refused outside of their numbers', () => {
    const study = studyOf([factor('a', 2)]);
    for (const index of [-1, 2, 0.5, Number.NaN]) {
      expect(() => variantOf(study, index)).toThrow(RangeError);
    }
  });

  test('are one where nothing has a choice', () => {
    expect(variantCount(studyOf([factor('a', 1)]))).toBe(1);
    expect(variantCount(studyOf([]))).toBe(1);
    expect(variantOf(studyOf([]), 0)).toMatchObject({ options: [], edits: [], cost: null });
  });

  test('may be a hundred million, and no more', () => {
    const most = [factor('a', 1000), factor('b', 1000), factor('c', 100)];
    expect(variantCount(studyOf(most))).toBe(1e8);
    const twice = [...most, factor('d', 2)];
    expect(combinations(twice)).toBe(2e8);
    expect(() => variantCount(studyOf(twice))).toThrow(/200000000 variants, at most 100000000/);
    // so many that a double holds the product no longer exactly, or at all
    const beyond = Array.from({ length: 120 }, (_, i) => factor(`f${i}`, 1000));
    expect(() => variantCount(studyOf(beyond))).toThrow(RangeError);
  });

  test('cost what their options cost together, or nothing is known', () => {
    const stated = studyOf([factor('a', 2, 1.5), factor('b', 2, 0)]);
    expect(variantOf(stated, 3).cost).toBe(1.5);
    const unstated = studyOf([factor('a', 2, 1.5), factor('b', 2, null)]);
    expect(variantOf(unstated, 3).cost).toBeNull();
  });
});

test('a variant moves a castor by what two of its options move it, in either order', () => {
  const across: StudyFactor = {
    name: 'across',
    options: [
      {
        label: 'wider',
        edits: [{ kind: 'castor place', castor: 'front left', at: [0.28, 0.32] }],
        cost: null,
      },
    ],
  };
  const along: StudyFactor = {
    name: 'along',
    options: [
      {
        label: 'longer',
        edits: [{ kind: 'castor place', castor: 'front left', at: [0.3, 0.28] }],
        cost: null,
      },
    ],
  };
  for (const factors of [
    [across, along],
    [along, across],
  ]) {
    const study = studyOf(factors);
    const [moved] = variantCart(study, variantOf(study, 0)).castors;
    expect(moved?.at[0]).toBeCloseTo(0.3, 12);
    expect(moved?.at[1]).toBeCloseTo(0.32, 12);
  }
});
