/** Verdict rules, applicability facts, alternatives, and the shape of a report. */

import { describe, expect, test } from 'vitest';
import { decided } from '../../src/analysis/answer.js';
import { cartFacts } from '../../src/analysis/cart-facts.js';
import { modelOf } from '../../src/analysis/cart-model.js';
import { checkCart, describeCart } from '../../src/analysis/index.js';
import type { Cart, Mover } from '../../src/document/index.js';
import { builtIn, simpleCart, TRANSPORT, USE, withValue } from './simple-cart.js';

const EITHER = builtIn('iec-62368-1-2018');

describe('verdicts', () => {
  test.each([
    ['at least', 10, 12, 11.9, 'holds'],
    ['at least', 10, 9, 8.9, 'fails'],
    ['at least', 10, 10.05, 9.9, 'not decided'],
    ['at least', 10, 10, 10, 'holds'],
    ['at most', 200, 150, 180, 'holds'],
    ['at most', 200, 210, 220, 'fails'],
    ['at most', 200, 190, 210, 'not decided'],
  ] as const)('%s %s, found %s, proven %s: %s', (sense, demand, found, bound, verdict) => {
    expect(decided(sense, demand, found, bound)).toBe(verdict);
  });

  // Tips at 14.04 deg and stands the forces: one clause each way.
  const CART = simpleCart([0, 0, 1]);

  test('a clause that fails is met by its alternative', () => {
    const steep = withValue(EITHER, 'overbalance', 'incline', 0.3);
    const report = checkCart(CART, steep);
    const [overbalance, combined] = report.findings;
    expect(combined?.verdict).toBe('holds');
    expect(overbalance?.verdict).toBe('holds');
    expect(overbalance?.margin?.value).toBeLessThan(0);
    expect(overbalance?.because).toMatch(
      /^Met by the alternative, .*\(combined-force\), which holds/,
    );
    expect(overbalance?.notes).toContain('By itself this clause fails; either is enough.');
    expect(report.verdict).toBe('holds');
  });

  test('alone it still asks for the alternative', () => {
    const steep = withValue(EITHER, 'overbalance', 'incline', 0.3);
    const report = checkCart(CART, steep, { only: 'overbalance' });
    expect(report.findings.map(({ id }) => id)).toEqual(['overbalance']);
    expect(report.verdict).toBe('holds');
  });

  test('both failing is a failure', () => {
    const steep = withValue(EITHER, 'overbalance', 'incline', 0.3);
    const both = withValue(steep, 'combined-force', 'weight-fraction', 0.9);
    const report = checkCart(CART, both);
    expect(report.findings.map(({ verdict }) => verdict)).toEqual(['fails', 'fails']);
    expect(report.verdict).toBe('fails');
  });

  test('a finding that is no clause of the set is refused, with those that are', () => {
    expect(() => checkCart(CART, EITHER, { only: 'propulsion' })).toThrow(
      'no finding propulsion in iec-62368-1-2018; allowed: overbalance, combined-force',
    );
  });
});

describe('a report', () => {
  const SET = builtIn('iec-61010-1-3');
  const CART = simpleCart([0, 0, 0.5]);

  test('has a finding for every clause, asked or not, and the cautions', () => {
    const report = checkCart(CART, SET);
    expect(report.findings.map(({ id }) => id)).toEqual(SET.clauses.map(({ id }) => id));
    const unasked = report.findings.find(({ id }) => id === 'downward-force');
    expect(unasked).toMatchObject({ verdict: 'not applicable', demand: null, capacity: null });
    expect(report.cautions.some((text) => text.includes('does not replace the test'))).toBe(true);
  });

  test('is the same every time', () => {
    expect(checkCart(CART, SET)).toEqual(checkCart(CART, SET));
  });

  test('tells its progress in order, to the end', () => {
    const seen: [number, number][] = [];
    checkCart(CART, SET, { onProgress: (done, total) => seen.push([done, total]) });
    const total = SET.clauses.length;
    expect(seen).toEqual(Array.from({ length: total + 1 }, (_, i) => [i, total]));
  });

  test('names unconfirmed values among what it rests on', () => {
    const [overbalance] = checkCart(CART, SET, { only: 'overbalance' }).findings;
    expect(
      overbalance?.restsOn.some((text) => text.startsWith('incline 10 deg: unconfirmed')),
    ).toBe(true);
    expect(overbalance?.requirement.values[0]).toMatchObject({ id: 'incline', confirmed: false });
  });
});

describe('facts of a cart', () => {
  const tilting: Mover = {
    name: 'flap',
    kind: 'turn',
    on: null,
    origin: [0, 0, 1],
    axis: [0, 1, 0],
    from: -Math.PI / 2,
    to: 0,
    stops: null,
  };
  const range = { flap: { from: -Math.PI / 2, to: 0 } };
  const CART: Cart = simpleCart([0, 0, 0.5], {
    movers: [tilting],
    loads: [
      {
        name: 'bag',
        kind: 'fluid',
        on: null,
        at: [0, 0, 1],
        atTolerance: 0,
        atDistribution: 'rectangular',
        least: 0,
        most: 3,
      },
    ],
    outline: [
      {
        name: 'flap body',
        on: 'flap',
        shape: { kind: 'box', from: [0, -0.1, 1], to: [0.4, 0.1, 1] },
        pushable: true,
      },
    ],
    surfaces: [
      { name: 'shelf', kind: 'work surface', on: null, from: [0, 0], to: [1, 1], height: 0.7 },
    ],
    positions: [TRANSPORT, USE].map((position) => ({
      ...position,
      movers: range,
      loads: { bag: { least: 0, most: 3, mayBeAbsent: false } },
    })),
  });

  test('mass with every load in, heights over all positions', () => {
    const facts = cartFacts(modelOf(CART));
    expect(facts).toMatchObject({ mobile: true, castors: 4, locks: 4, greatestMass: 53 });
    // The flap turned up by a right angle stands 0.4 m above its hinge at 1 m; searched to 1e-5 m.
    expect(Math.abs(facts.greatestHeight - 1.4)).toBeLessThan(2e-5);
    expect(facts.surfaces).toEqual([{ kind: 'work surface', name: 'shelf', height: 0.7 }]);
  });

  test('a description: masses, centres, castor loads', () => {
    const { positions, bareMass, greatestHeight, assumed } = describeCart(CART);
    expect(bareMass).toBe(50);
    expect(Math.abs((greatestHeight ?? 0) - 1.4)).toBeLessThan(2e-5);
    const [transport] = positions;
    expect(transport?.lightest.mass).toBe(50);
    expect(transport?.heaviest.mass).toBe(53);
    expect(transport?.proven).toBe(true);
    // 53 kg, the bag at the middle too: z of the centre of mass by hand
    expect(Math.abs((transport?.highest.centreOfMass[2] ?? 0) - (50 * 0.5 + 3) / 53)).toBeLessThan(
      1e-7,
    );
    for (const castor of transport?.castors ?? []) {
      expect(castor.least).toBeLessThan((50 * 9.80665) / 4);
      expect(castor.most).toBeGreaterThan((53 * 9.80665) / 4);
      expect(castor.rating).toBe(60 * 9.80665);
    }
    expect(assumed[0]).toEqual({
      what: 'friction of rubber on vinyl',
      taken: '0.6, 0.5 to 0.7',
      basis: 'assumed: not measured',
    });
  });
});
