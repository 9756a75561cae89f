import { describe, expect, it } from 'vitest';
import { checkCart } from '../../src/analysis/index.js';
import type { CartEdit } from '../../src/document/index.js';
import { editCart } from '../../src/document/index.js';
import { builtInSets, findSet } from '../../src/requirements/index.js';
import { cartDifferences } from '../../src/web/compare/cart-differences.js';
import { comparedRows, differenceOf, rowsOfReport } from '../../src/web/compare/compared-rows.js';
import type { FindingRow } from '../../src/web/findings/finding-rows.js';
import { EXAMPLE_FILES, exampleCart } from '../analysis/example-carts.js';

const cart = await exampleCart('telehealth-two-locks-one-side.cart.yaml');

const changed = (...edits: readonly CartEdit[]) =>
  cartDifferences(cart, editCart(cart, edits), 'SI');

describe('the difference of two carts', () => {
  it.each(EXAMPLE_FILES)('is nothing of %s to itself', async (file) => {
    const one = await exampleCart(file);
    expect(cartDifferences(one, structuredClone(one), 'both')).toEqual([]);
  });

  it('names the part and its mass, old and new, with units', () => {
    expect(changed({ kind: 'part mass', part: 'battery', mass: 6.2 })).toEqual([
      { section: 'Parts', what: 'battery', field: 'mass', a: '2.4 kg', b: '6.2 kg' },
    ]);
  });

  it('shows as many figures as tell two values apart', () => {
    const [only] = changed({ kind: 'part mass', part: 'battery', mass: 2.400001 });
    expect(only).toMatchObject({ a: '2.4 kg', b: '2.400001 kg' });
  });

  it('names locks, friction, ranges, positions and signs', () => {
    const all = changed(
      {
        kind: 'castor lock',
        castor: 'rear right',
        lock: 'total',
        brakeTorque: null,
        lockDirections: null,
      },
      { kind: 'mover range', mover: 'lift', from: 0, to: 0.2 },
      { kind: 'add marking', marking: 'no sitting' },
      { kind: 'castor place', castor: 'rear left', at: [-0.35, 0.3] },
    );
    expect(all).toContainEqual({
      section: 'Castors',
      what: 'rear right',
      field: 'lock',
      a: 'no lock',
      b: 'total',
    });
    expect(all).toContainEqual({
      section: 'Movers',
      what: 'lift',
      field: 'range',
      a: '0 mm to 300 mm',
      b: '0 mm to 200 mm',
    });
    expect(all.some(({ field, b }) => field === 'signs' && b === 'no sitting')).toBe(true);
    expect(all.some(({ what, field }) => what === 'rear left' && field === 'place')).toBe(true);
    // a mover that can do less can do less in every position that used all of it
    expect(all.some(({ section, what }) => section === 'Positions' && /: lift$/.test(what))).toBe(
      true,
    );
  });

  it('tells what is only in one of them', () => {
    const part = { kind: 'add part', name: 'ballast', mass: 5, at: [0, 0, 0.1], on: null } as const;
    expect(changed(part)).toEqual([
      { section: 'Parts', what: 'ballast', field: '', a: 'not there', b: 'there, mass 5 kg' },
    ]);
    expect(cartDifferences(editCart(cart, [part]), cart, 'SI')).toEqual([
      { section: 'Parts', what: 'ballast', field: '', a: 'there, mass 5 kg', b: 'not there' },
    ]);
  });

  it('leaves out of the positions what only one of them has', () => {
    const movers = cart.movers.filter(({ name }) => name !== 'lift');
    const positions = cart.positions.map((each) => {
      const { lift: _, ...others } = each.movers;
      return { ...each, movers: others };
    });
    const all = cartDifferences(cart, { ...cart, movers, positions }, 'SI');
    expect(all).toEqual([
      {
        section: 'Movers',
        what: 'lift',
        field: '',
        a: 'there, range 0 mm to 300 mm',
        b: 'not there',
      },
    ]);
  });

  it('finds the field of every change that can be made to a field of a cart', () => {
    // every entry of the cart changed by itself, found again by the section that it stands in
    const lists = ['parts', 'movers', 'loads', 'castors', 'surfaces', 'handles'] as const;
    for (const list of lists) {
      const [first] = cart[list];
      if (first === undefined) continue;
      for (const key of Object.keys(first).filter(
        (each) => each !== 'name' && each !== 'massFrom',
      )) {
        const other = {
          ...first,
          [key]: LISTS.has(key) ? [0.5] : changedValue(first[key as keyof typeof first]),
        };
        const differs = cartDifferences(
          cart,
          { ...cart, [list]: [other, ...cart[list].slice(1)] },
          'SI',
        );
        expect(differs.length, `${list} ${key}`).toBeGreaterThan(0);
      }
    }
  });
});

/** Fields that are a list of numbers, or null. */
const LISTS: ReadonlySet<string> = new Set(['stops', 'lockDirections']);

/** Another value of the same kind. */
function changedValue(value: unknown): unknown {
  if (typeof value === 'number') return value + 0.125;
  if (typeof value === 'string') return `${value} other`;
  if (Array.isArray(value)) return value.map(changedValue);
  return value === null ? 0.5 : value;
}

describe('findings beside each other', () => {
  const set = findSet(builtInSets, 'iec-60601-1-3.2');
  if (set === null) throw new Error('no set');
  const a = rowsOfReport(checkCart(cart, set), set, 'SI');

  it('are the same of the same cart', () => {
    const rows = comparedRows(a, a);
    expect(rows.length).toBeGreaterThan(5);
    expect(new Set(rows.map(({ difference }) => difference))).toEqual(
      new Set(['the same reserve']),
    );
    expect(rows.every(({ a: row }) => row?.asked)).toBe(true);
  });

  const row = (change: Partial<FindingRow>): FindingRow => ({ ...(a[0] as FindingRow), ...change });

  it('tell more and less reserve, and another verdict', () => {
    const p = row({ verdict: 'fails', found: 0.9, reserve: '0.900' });
    const q = row({ verdict: 'holds', found: 1.25, reserve: '1.250' });
    expect(differenceOf(p, q)).toEqual({
      difference: 'holds instead of fails; 0.350 more',
      way: 'more',
    });
    expect(differenceOf(q, p)).toEqual({
      difference: 'fails instead of holds; 0.350 less',
      way: 'less',
    });
  });

  it('tell what is asked of one only, and reserves without limit', () => {
    const p = row({});
    expect(differenceOf(p, row({ asked: false })).difference).toBe('asked of A only');
    expect(differenceOf(null, p).difference).toBe('asked of B only');
    const unlimited = row({ found: Number.POSITIVE_INFINITY, reserve: 'unlimited' });
    expect(differenceOf(unlimited, unlimited).way).toBe('same');
    expect(differenceOf(p, unlimited)).toMatchObject({ way: 'more' });
    expect(differenceOf(p, row({ found: null })).difference).toBe('reserve not known');
  });
});
