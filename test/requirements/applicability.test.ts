import { describe, expect, it } from 'vitest';
import type { CartFacts, Clause, Condition } from '../../src/requirements/index.js';
import {
  applicability,
  builtInSets,
  findSet,
  surfacesAsked,
} from '../../src/requirements/index.js';

const CART: CartFacts = {
  mobile: true,
  castors: 4,
  locks: 2,
  greatestMass: 54,
  greatestHeight: 1.62,
  surfaces: [],
  markings: [],
  liftingHandles: 0,
};

function clauseOf(set: string, id: string): Clause {
  const clause = findSet(builtInSets, set)?.clauses.find((each) => each.id === id);
  if (clause === undefined) throw new Error(`no clause ${set} ${id}`);
  return clause;
}

function asked(id: string, facts: Partial<CartFacts>, set = 'iec-60601-1-3.2') {
  return applicability(clauseOf(set, id), { ...CART, ...facts });
}

function under(condition: Condition): Clause {
  return { ...clauseOf('iec-60601-1-3.2', 'overbalance-use'), conditions: [condition] };
}

describe('when a clause is asked', () => {
  it('asks overbalance of every cart', () => {
    const all = { applies: true, reason: 'It is asked of every cart.' };
    expect(asked('overbalance-transport', { greatestMass: 1, mobile: false })).toEqual(all);
    expect(asked('overbalance', {}, 'iec-62368-1-2018')).toEqual(all);
  });

  it('asks the horizontal force from exactly 25 kg on', () => {
    expect(asked('horizontal-force', { greatestMass: 25 })).toEqual({
      applies: true,
      reason: 'No sign forbids pushing; its greatest mass, 25 kg, is at least 25 kg.',
    });
    expect(asked('horizontal-force', { greatestMass: 24.9999 })).toEqual({
      applies: false,
      reason: 'Its greatest mass, 24.9999 kg, is below 25 kg.',
    });
  });

  it('takes masses that add up to 25 kg on paper for 25 kg', () => {
    const sum = Array.from({ length: 250 }, () => 0.1).reduce((a, b) => a + b, 0);
    expect(sum).not.toBe(25);
    expect(asked('horizontal-force', { greatestMass: sum }).applies).toBe(true);
    const below = 24.999_999_999_999_996;
    expect(below).toBeLessThan(25);
    expect(asked('horizontal-force', { greatestMass: below }).applies).toBe(true);
  });

  it('asks the threshold only above 45 kg', () => {
    expect(asked('threshold', { greatestMass: 45 })).toEqual({
      applies: false,
      reason: 'Its greatest mass, 45 kg, is not above 45 kg.',
    });
    expect(asked('threshold', { greatestMass: 45 + 5e-12 }).applies).toBe(false);
    expect(asked('threshold', { greatestMass: 45.0001 })).toEqual({
      applies: true,
      reason:
        'The cart is mobile; the cart stands on 4 castors; its greatest mass, 45.0001 kg, is above 45 kg.',
    });
  });

  it('asks the threshold of every mobile cart in edition 3.0', () => {
    expect(asked('threshold', { greatestMass: 10 }, 'iec-60601-1-3.0').applies).toBe(true);
    expect(asked('threshold', { mobile: false }, 'iec-60601-1-3.0')).toEqual({
      applies: false,
      reason: 'The cart is stationary.',
    });
  });

  it('asks propulsion of mobile carts of any mass', () => {
    expect(asked('propulsion', { greatestMass: 5 }).applies).toBe(true);
    expect(asked('propulsion', { mobile: false, castors: 0 })).toEqual({
      applies: false,
      reason: 'The cart is stationary; the cart stands on no castor.',
    });
  });

  it('does not push what is signed against pushing', () => {
    expect(asked('horizontal-force', { markings: ['no pushing'] })).toEqual({
      applies: false,
      reason: 'It is signed against pushing (ISO 7010 P017).',
    });
    expect(asked('unwanted-movement-push', { markings: ['no pushing'] }).applies).toBe(true);
  });

  it('asks unwanted movement of carts without locks too', () => {
    expect(asked('unwanted-movement-transport', { locks: 0 }).applies).toBe(true);
  });

  it('asks the floor equipment of IEC 61010-1 whatever its size', () => {
    const small = { greatestMass: 8, greatestHeight: 0.5 };
    expect(asked('horizontal-force', small, 'iec-61010-1-2001').applies).toBe(true);
  });

  it('asks handles above 20 kg', () => {
    expect(asked('handles', { liftingHandles: 2, greatestMass: 20 }).applies).toBe(false);
    expect(asked('handles', { liftingHandles: 2, greatestMass: 21.5 })).toEqual({
      applies: true,
      reason: 'The cart has 2 handles for lifting; its greatest mass, 21.5 kg, is above 20 kg.',
    });
    expect(asked('handles', {})).toEqual({
      applies: false,
      reason: 'The cart has no handle for lifting.',
    });
  });

  it('judges heights and locks where a set of the user asks for them', () => {
    const tall = under({ kind: 'height at least', height: 1 });
    expect(applicability(tall, { ...CART, greatestHeight: 1 })).toEqual({
      applies: true,
      reason: 'Its greatest height, 1 m, is at least 1 m.',
    });
    expect(applicability(tall, { ...CART, greatestHeight: 0.99999 }).reason).toBe(
      'Its greatest height, 0.99999 m, is below 1 m.',
    );
    expect(applicability(under({ kind: 'has locks' }), { ...CART, locks: 1 }).reason).toBe(
      'The cart has 1 castor lock.',
    );
    expect(applicability(under({ kind: 'has locks' }), { ...CART, locks: 0 }).applies).toBe(false);
  });

  it('shows a threshold in as many digits as tell it from the value', () => {
    const clause = under({ kind: 'mass at least', mass: 55 * 0.45359237 });
    expect(applicability(clause, { ...CART, greatestMass: 24.95 }).reason).toBe(
      'Its greatest mass, 24.95 kg, is at least 24.948 kg.',
    );
  });

  it('throws on facts that are no numbers', () => {
    expect(() => asked('threshold', { greatestMass: Number.NaN })).toThrow(RangeError);
    expect(() => asked('threshold', { greatestHeight: Number.POSITIVE_INFINITY })).toThrow(
      RangeError,
    );
  });
});

describe('which surfaces a downward force is asked on', () => {
  const step = { kind: 'foothold', name: 'step', height: 0.1 } as const;
  const bench = { kind: 'seat', name: 'bench', height: 1.0001 } as const;
  const top = { kind: 'work surface', name: 'top', height: 1 } as const;

  it('asks of a foothold up to exactly 1 m', () => {
    const high = { ...step, height: 1 };
    expect(asked('downward-force', { surfaces: [high] })).toEqual({
      applies: true,
      reason: 'The foothold "step", 1 m above the floor, is no higher than 1 m.',
    });
  });

  it('names every reason for not asking', () => {
    const facts = { surfaces: [step, bench, top], markings: ['no stepping'] as const };
    expect(asked('downward-force', facts)).toEqual({
      applies: false,
      reason:
        'The foothold "step" is signed against stepping (ISO 7010 P019), the seat "bench", 1.0001 m above the floor, is higher than 1 m.',
    });
    expect(asked('downward-force', { surfaces: [top] })).toEqual({
      applies: false,
      reason: 'The cart has no foothold or seat.',
    });
  });

  it('lists the surfaces asked about, each sign taking out its own kind', () => {
    const seat = { ...bench, height: 0.5 };
    const facts: CartFacts = { ...CART, surfaces: [step, seat, top], markings: ['no sitting'] };
    const clause = clauseOf('iec-60601-1-3.2', 'downward-force');
    expect(surfacesAsked(clause, facts)).toEqual([step]);
    expect(surfacesAsked(clause, { ...facts, markings: ['no stepping'] })).toEqual([seat]);
    expect(surfacesAsked(clause, { ...facts, markings: ['no sitting', 'no stepping'] })).toEqual(
      [],
    );
    expect(surfacesAsked(clauseOf('iec-60601-1-3.2', 'propulsion'), facts)).toEqual([]);
  });

  it('never signs away a work surface', () => {
    const facts: CartFacts = {
      ...CART,
      surfaces: [top],
      markings: ['no sitting', 'no stepping', 'no pushing'],
    };
    const clause = clauseOf('iec-61010-1-2001', 'downward-force');
    expect(applicability(clause, facts).applies).toBe(true);
    expect(surfacesAsked(clause, facts)).toEqual([top]);
  });
});
