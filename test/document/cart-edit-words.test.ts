import { describe, expect, test } from 'vitest';
import type { Cart, CartEdit, CastorKind } from '../../src/document/index.js';
import {
  editsWords,
  editWords,
  readCart,
  sentence,
  writeStarterCart,
} from '../../src/document/index.js';
import { SMALL_CART } from './small-cart.js';

function cartOf(text: string): Cart {
  const read = readCart(text, 'cart.yaml');
  if (read.kind === 'invalid') throw new Error(read.issues.map(sentence).join('\n'));
  return read.value;
}

const SMALL = cartOf(SMALL_CART);
const STARTER = cartOf(writeStarterCart());
const DEGREE = Math.PI / 180;

function lock(castor: string, to: 'none' | 'wheel' | 'directional' | 'total'): CartEdit {
  return { kind: 'castor lock', castor, lock: to, brakeTorque: null, lockDirections: null };
}

/** The castor of the starter cart with some of what it brings replaced. */
function kind(castor: string, change: Partial<CastorKind>): CartEdit {
  const [own] = STARTER.castors;
  if (own === undefined) throw new Error('no castor');
  return { kind: 'castor kind', castor, becomes: { ...own, ...change } };
}

const CORNERS = ['front left', 'front right', 'rear left', 'rear right'];

describe('one change in words', () => {
  const cases: readonly (readonly [CartEdit, string])[] = [
    [{ kind: 'rename', name: 'Large cart' }, 'name "Large cart" instead of "My cart"'],
    [lock('front right', 'total'), 'lock "front right": total instead of none'],
    [
      {
        ...lock('front left', 'total'),
        brakeTorque: 12,
        lockDirections: [0, 90 * DEGREE],
      } as CartEdit,
      'lock "front left": total (brake 12 N m, engages at 0 deg and 90 deg) instead of total (brake outlasts the tread, engages at any angle)',
    ],
    [
      { kind: 'castor place', castor: 'rear right', at: [-0.275, -0.255] },
      'castor "rear right" 25 mm further out both ways: [-275 mm, -255 mm] instead of [-250 mm, -230 mm]',
    ],
    [
      { kind: 'castor place', castor: 'rear right', at: [-0.24, -0.23] },
      'castor "rear right" 10 mm further in: [-240 mm, -230 mm] instead of [-250 mm, -230 mm]',
    ],
    [
      { kind: 'castor place', castor: 'rear right', at: [-0.28, -0.27] },
      'castor "rear right" 30 mm further out along, 40 mm across: [-280 mm, -270 mm] instead of [-250 mm, -230 mm]',
    ],
    [
      { kind: 'castor place', castor: 'rear right', at: [-0.28, -0.19] },
      'castor "rear right" 50 mm away: [-280 mm, -190 mm] instead of [-250 mm, -230 mm]',
    ],
    [
      kind('front left', { wheelDiameter: 0.125, trail: 0.03, rating: null }),
      'castor "front left": wheel 125 mm instead of 100 mm, trail 30 mm instead of 32 mm, rating not stated instead of 60 kg',
    ],
    [
      kind('front left', { trail: 0.0320004 }),
      'castor "front left": trail 32.0004 mm instead of 32 mm',
    ],
    [
      { kind: 'friction', tread: 'grey rubber', value: 0.7, tolerance: 0.05, basis: 'measured' },
      'friction of "grey rubber": 0.7 ± 0.05 (measured) instead of 0.5 ± 0.1 (assumed)',
    ],
    [
      { kind: 'friction', tread: 'soft', value: 0.7, tolerance: 0.05, basis: 'assumed' },
      'friction of "soft": 0.7 ± 0.05 (assumed)',
    ],
    [
      { kind: 'add part', name: 'ballast', mass: 3.2, at: [-0.1, 0, 0.08], on: null },
      'ballast of 3.2 kg at [-100 mm, 0 mm, 80 mm]',
    ],
    [
      { kind: 'add part', name: 'ballast', mass: 3.2, at: [-0.1, 0, 0.08], on: 'lift' },
      'ballast of 3.2 kg at [-100 mm, 0 mm, 80 mm] on "lift"',
    ],
    [{ kind: 'part mass', part: 'base', mass: 21 }, 'part "base": 21 kg instead of 18.5 kg'],
    [
      { kind: 'part place', part: 'base', at: [-0.05, 0, 0.12] },
      'part "base" at [-50 mm, 0 mm, 120 mm] instead of [0 mm, 0 mm, 120 mm]',
    ],
    [
      { kind: 'mover range', mover: 'arm', from: -45 * DEGREE, to: 90 * DEGREE },
      'mover "arm": -45 deg to 90 deg instead of -90 deg to 90 deg',
    ],
    [
      { kind: 'position mover', position: 'in use', mover: 'lift', from: 0, to: 0 },
      'position "in use": lift at 0 mm instead of 0 mm to 400 mm',
    ],
    [
      {
        kind: 'position load',
        position: 'in use',
        load: 'supplies',
        state: { least: 0, most: 0, mayBeAbsent: false },
      },
      'position "in use": supplies absent instead of absent or 0.5 kg to 4 kg',
    ],
    [{ kind: 'add marking', marking: 'no pushing' }, 'sign "no pushing" added'],
    [{ kind: 'raise', by: 0.0125 }, 'everything above the castors raised by 12.5 mm'],
    [{ kind: 'raise', by: -0.01 }, 'everything above the castors lowered by 10 mm'],
  ];

  test.each(cases)('%#', (edit, words) => {
    expect(editWords(STARTER, edit)).toBe(words);
  });
});

describe('several changes in words', () => {
  test('what is done alike to castors is said once', () => {
    const trails = CORNERS.map((name) => kind(name, { trail: 0.02 }));
    expect(editsWords(STARTER, trails)).toEqual(['all castors: trail 20 mm instead of 32 mm']);
    expect(editsWords(STARTER, trails.slice(0, 3))).toEqual([
      'castors "front left", "front right" and "rear left": trail 20 mm instead of 32 mm',
    ]);
    expect(editsWords(STARTER, [lock('front right', 'total'), lock('rear left', 'total')])).toEqual(
      ['locks "front right" and "rear left": total instead of none'],
    );
    const wheels = CORNERS.map((name) => lock(name, 'wheel'));
    expect(editsWords(STARTER, wheels)).toEqual([
      'lock "front left": wheel instead of total',
      'locks "front right" and "rear left": wheel instead of none',
      'lock "rear right": wheel instead of total',
    ]);
  });

  test('all that swivel, where one is fixed', () => {
    const [own] = SMALL.castors;
    if (own === undefined) throw new Error('no castor');
    const edits = ['front left', 'front right'].map(
      (castor): CartEdit => ({ kind: 'castor kind', castor, becomes: { ...own, trail: 0.02 } }),
    );
    expect(editsWords(SMALL, edits)).toEqual([
      'all swivelling castors: trail 20 mm instead of 32 mm',
    ]);
  });

  test('places are listed in the order of the castors', () => {
    const edits = STARTER.castors.slice(0, 2).map(
      ({ name, at }): CartEdit => ({
        kind: 'castor place',
        castor: name,
        at: [at[0] + 0.02, at[1]],
      }),
    );
    expect(editsWords(STARTER, edits)).toEqual([
      'castors "front left" and "front right" 20 mm further out: [270 mm, 230 mm], [270 mm, -230 mm] instead of [250 mm, 230 mm], [250 mm, -230 mm]',
    ]);
  });

  test('each is told from what the ones before it left', () => {
    const edits: CartEdit[] = [
      { kind: 'part mass', part: 'base', mass: 20 },
      { kind: 'part mass', part: 'base', mass: 22 },
    ];
    expect(editsWords(STARTER, edits)).toEqual([
      'part "base": 20 kg instead of 18.5 kg',
      'part "base": 22 kg instead of 20 kg',
    ]);
  });

  test('an edit that cannot be made throws', () => {
    expect(() => editWords(STARTER, { kind: 'part mass', part: 'bse', mass: 1 })).toThrow(
      /"bse"; allowed: the name of a part: .*nearest: base/,
    );
  });
});
