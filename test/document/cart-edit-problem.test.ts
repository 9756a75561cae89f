import { describe, expect, test } from 'vitest';
import { cartTree } from '../../src/document/cart-tree.js';
import type { Cart, CartEdit, CastorKind } from '../../src/document/index.js';
import {
  editCart,
  editProblem,
  editsProblem,
  readCart,
  sentence,
} from '../../src/document/index.js';
import { issueLog } from '../../src/document/issue-log.js';
import { cartOfTree } from '../../src/document/read-cart.js';
import { cartDifference } from './agreeing-carts.js';
import { SMALL_CART } from './small-cart.js';

const read = readCart(SMALL_CART, 'small.cart.yaml');
if (read.kind === 'invalid') throw new Error(read.issues.map(sentence).join('\n'));
const CART: Cart = read.value;
const DEGREE = Math.PI / 180;

function kind(castor: string, change: Partial<CastorKind>): CartEdit {
  const own = CART.castors.find(({ name }) => name === castor);
  if (own === undefined) throw new Error(castor);
  return { kind: 'castor kind', castor, becomes: { ...own, ...change } };
}

function lock(
  castor: string,
  change: Partial<Extract<CartEdit, { kind: 'castor lock' }>>,
): CartEdit {
  return {
    kind: 'castor lock',
    castor,
    lock: 'none',
    brakeTorque: null,
    lockDirections: null,
    ...change,
  };
}

const FRICTION = {
  kind: 'friction',
  tread: 'grey rubber',
  value: 0.5,
  tolerance: 0.1,
  basis: 'assumed',
} as const;
const PART = { kind: 'add part', name: 'ballast', mass: 1, at: [0, 0, 0.1], on: null } as const;

describe('an edit that cannot be made', () => {
  const cases: readonly (readonly [edit: CartEdit, problem: string])[] = [
    [
      lock('rear lef', {}),
      'castors: "rear lef" names nothing that is known here; allowed: the name of a castor',
    ],
    [{ kind: 'part mass', part: 'x', mass: 1 }, 'parts: "x" names nothing'],
    [{ kind: 'mover range', mover: 'x', from: 0, to: 1 }, 'movers: "x" names nothing'],
    [{ ...PART, on: 'x' }, 'movers: "x" names nothing'],
    [{ ...PART, name: 'BASE' }, 'parts: "BASE" is given twice'],
    [{ ...PART, name: ' ' }, 'name: "" is not a usable name'],
    [{ ...PART, name: 'toString' }, '"toString" is not a usable name'],
    [
      { ...PART, mass: 0 },
      'mass: 0 kg is outside the limits; allowed: a mass with its unit, more than 0 kg',
    ],
    [{ ...PART, mass: Number.NaN }, 'mass: NaN kg is not a number with a unit'],
    [{ ...PART, at: [0, 0, -0.01] }, 'at > z: -10 mm is below the floor'],
    [{ ...PART, at: [0, 11, 0] }, 'at > y: 11000 mm is outside the limits'],
    [
      { kind: 'part mass', part: 'head', mass: 0.05 },
      'mass tolerance: 0.1 kg is too large a tolerance',
    ],
    [
      lock('rear', { lock: 'total' }),
      'castors[3] "rear" > lock: total does not go with a fixed castor; allowed: lock: none or wheel',
    ],
    [lock('front left', { brakeTorque: 3 }), 'brake torque: 3 N m does not belong here'],
    [
      lock('front left', { lock: 'wheel', brakeTorque: 0 }),
      'brake torque: 0 N m is outside the limits',
    ],
    [
      lock('front left', { lock: 'wheel', lockDirections: [0] }),
      'lock directions: a list of 1 does not belong here',
    ],
    [
      lock('front left', { lock: 'total', lockDirections: [] }),
      'lock directions: a list of 0 is too short',
    ],
    [lock('front left', { lock: 'total', lockDirections: [7] }), 'is outside the limits'],
    [
      { kind: 'castor place', castor: 'front left', at: [0.25, -0.2195] },
      'castors[2] "front right" > at: [250 mm, -220 mm] stands where another castor stands',
    ],
    [
      { kind: 'castor place', castor: 'rear', at: [0.25, 0] },
      'castors: [250 mm, 220 mm], [250 mm, -220 mm], [250 mm, 0 mm] stand in one line',
    ],
    [
      kind('front left', { trail: 0.0005 }),
      'castors[1] "front left" > trail: 0.5 mm is outside the limits; allowed: at least 1 mm for a castor that swivels',
    ],
    [
      kind('rear', { trail: 0.03 }),
      'castors[3] "rear" > type: a type with trail 30 mm does not go with a fixed castor',
    ],
    [
      kind('front right', { wheelDiameter: 2 }),
      'castors[2] "front right" > wheel diameter: 2000 mm is outside the limits',
    ],
    [
      kind('front right', { rollingLength: 0.05 }),
      'rolling length: 50 mm is outside the limits; allowed: less than the radius',
    ],
    [kind('front right', { tread: 'felt' }), 'tread: "felt" has no friction stated'],
    [
      { ...FRICTION, value: 2.5 },
      'value: 2.5 is outside the limits; allowed: a number without a unit, more than 0, at most 2',
    ],
    [{ ...FRICTION, tolerance: 0.5 }, 'tolerance: 0.5 is too large a tolerance'],
    [
      { kind: 'mover range', mover: 'lift', from: 0.2, to: 0.1 },
      'movers "lift": 200 mm to 100 mm is above the end',
    ],
    [
      { kind: 'mover range', mover: 'arm', from: 0.1, to: 0.2 },
      'holds none of the stops of its mover',
    ],
    [
      { kind: 'mover range', mover: 'lift', from: 0.1, to: 0.4 },
      'movers "lift": 100 mm to 400 mm reaches outside what is allowed; allowed: a range that meets that of position "transport", 0 mm',
    ],
    [{ kind: 'mover range', mover: 'lift', from: 0, to: Number.NaN }, 'movers "lift": 0 mm to NaN'],
    [
      { kind: 'mover range', mover: 'lift', from: 0, to: 12 },
      'movers[1] "lift" > slide > to: 12000 mm is outside the limits',
    ],
    [
      { kind: 'position mover', position: 'transport', mover: 'lift', from: 0, to: 0.5 },
      'positions[1] "transport" > transport > lift > to: 500 mm reaches outside what is allowed; allowed: within the range of the mover, 0 mm to 400 mm',
    ],
    [
      {
        kind: 'position mover',
        position: 'in use',
        mover: 'arm',
        from: 10 * DEGREE,
        to: 20 * DEGREE,
      },
      'holds none of the stops of its mover',
    ],
    [
      { kind: 'position mover', position: 'store', mover: 'arm', from: 0, to: 0 },
      'positions: "store" names nothing',
    ],
    [
      {
        kind: 'position load',
        position: 'in use',
        load: 'bag',
        state: { least: 0, most: 0, mayBeAbsent: false },
      },
      'bag: absent is a state that this load cannot be in',
    ],
    [
      {
        kind: 'position load',
        position: 'in use',
        load: 'supplies',
        state: { least: 2, most: 3, mayBeAbsent: true },
      },
      'supplies: absent or 2 kg to 3 kg is a state that this load cannot be in',
    ],
    [{ kind: 'raise', by: -0.2 }, 'foothold > height: -100 mm is outside the limits'],
    [{ kind: 'raise', by: -0.09 }, 'from > z: -30 mm is below the floor'],
    [{ kind: 'rename', name: 'x'.repeat(81) }, 'is not a usable name'],
  ];

  test.each(cases)('%#: %o', (edit, problem) => {
    expect(editProblem(CART, edit)).toContain(problem);
  });

  test('throws where it has no meaning, and says the same', () => {
    const edit: CartEdit = {
      kind: 'position load',
      position: 'x',
      load: 'bag',
      state: { least: 0, most: 0, mayBeAbsent: false },
    };
    expect(() => editCart(CART, [edit])).toThrow(/position load: positions "x"; allowed/);
  });
});

describe('edits that can be made', () => {
  test('give no problem, also those that only together leave a cart', () => {
    const places: CartEdit[] = [
      { kind: 'castor place', castor: 'front left', at: [0.25, -0.22] },
      { kind: 'castor place', castor: 'front right', at: [0.25, 0.22] },
    ];
    expect(editsProblem(CART, places)).toBeNull();
    expect(editsProblem(CART, places.slice(0, 1))).not.toBeNull();
    expect(editsProblem(CART, [])).toBeNull();
    expect(editProblem(CART, kind('rear', { wheelDiameter: 0.2 }))).toBeNull();
  });
});

describe('a cart in memory', () => {
  test('is judged as its file would be: its tree reads as the same cart', () => {
    const text = SMALL_CART.replace(
      '    mass tolerance: 0.1 kg\n',
      `    mass tolerance: 0.1 kg
    mass tolerance distribution: triangular
    at tolerance: 3 mm
    at tolerance distribution: normal
`,
    )
      .replace('at: [0 mm, 0 mm, 500 mm]\n', 'at: [0 mm, 0 mm, 500 mm]\n    at tolerance: 5 mm\n')
      .replace(
        'tolerance: 0.1, basis: assumed',
        'tolerance: 0.1, tolerance distribution: t, readings: 10, basis: measured',
      )
      .concat(`requirements: iec-60601-1-3.2
description: For the test.
uncertainty:
  trail: {tolerance: 5 %, distribution: triangular}
  brake torque: {standard uncertainty: 0.5 Nm}
  ramp angle: {tolerance: 0.1 deg}
`);
    const original = readCart(text, 'small.cart.yaml');
    if (original.kind === 'invalid') throw new Error(original.issues.map(sentence).join('\n'));
    const log = issueLog('', [0]);
    const again = cartOfTree(cartTree(original.value).root, new Map(), log);
    expect(log.issues()).toEqual([]);
    expect(cartDifference(again, original.value)).toBeNull();
  });
});
