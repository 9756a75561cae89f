/** Lock layouts against counting all of them. */

import { describe, expect, test } from 'vitest';
import { screenCart } from '../../src/analysis/index.js';
import type { Cart, CartEdit, Castor, LockKind } from '../../src/document/index.js';
import { editCart } from '../../src/document/index.js';
import { lockLayouts } from '../../src/remedies/levers/lock-layouts.js';
import type { Screener } from '../../src/remedies/screener.js';
import { createScreener, shortOf } from '../../src/remedies/screener.js';
import { builtIn, CORNERS, castorAt, simpleCart } from '../analysis/simple-cart.js';

const MEDICAL = builtIn('iec-60601-1-3.2');
const HOLDS = {
  ...MEDICAL,
  clauses: MEDICAL.clauses.filter(({ id }) => id === 'unwanted-movement-transport'),
};

function locked(...locks: LockKind[]): Cart {
  const castors = CORNERS.map(([name, at], i) => castorAt(name, at, locks[i] ?? 'none'));
  return simpleCart([0, 0, 0.4], { castors });
}

function layouts(cart: Cart, margin = 0.1) {
  const screener: Screener = createScreener(cart, HOLDS, { margin, raised: new Map() });
  return lockLayouts(screener, shortOf(screener, screener.base));
}

function lock(castor: string, kind: LockKind): CartEdit {
  return { kind: 'castor lock', castor, lock: kind, brakeTorque: null, lockDirections: null };
}

const STRONGER: Readonly<Record<LockKind, readonly LockKind[]>> = {
  none: ['directional', 'wheel', 'total'],
  wheel: ['total'],
  directional: ['total'],
  total: [],
};

/** Every list of edits that changes so many castors, from the one at `first` on. */
function everyLayout({ castors }: Cart, changes: number, first = 0): readonly CartEdit[][] {
  if (changes === 0) return [[]];
  return castors
    .slice(first)
    .flatMap(({ name, lock: has }, i) =>
      STRONGER[has].flatMap((kind) =>
        everyLayout({ castors } as Cart, changes - 1, first + i + 1).map((rest) => [
          lock(name, kind),
          ...rest,
        ]),
      ),
    );
}

function mostReserve(cart: Cart, changes: number): number {
  const effort = { seed: 5, starts: 60, followed: 4 };
  const reserves = everyLayout(cart, changes).map(
    (edits) => screenCart(editCart(cart, edits), HOLDS, { effort }).findings[0]?.reserve ?? 0,
  );
  return Math.max(...reserves);
}

describe('lock layouts', () => {
  test.each([0.1, 0.8])('change no more castors than they must, with a margin of %s', (margin) => {
    const cart = locked('wheel');
    const [first] = layouts(cart, margin).passing;
    const changes = first?.lever.editsAt(1).length ?? 0;
    expect(changes).toBeGreaterThan(0);
    expect(first?.lever.shareAt(1)).toBe(changes / 4);
    expect(mostReserve(cart, changes - 1)).toBeLessThan(1 + margin);
  });

  test('keep one of mirror images that come to the same, and the weaker of stronger locks', () => {
    // symmetric about both axes: of the three other castors, two pairs are images
    const found = layouts(locked('wheel', 'wheel'));
    const ids = found.passing.map(({ lever }) => lever.id);
    expect(ids).toHaveLength(1);
    expect(ids[0]).toMatch(/^lock layout: rear (left|right) wheel$/);
  });

  test('never take a lock away, and say what the brake is taken to hold', () => {
    const castors = CORNERS.map(
      ([name, at], i): Castor => ({
        ...castorAt(name, at, i < 2 ? 'wheel' : 'none'),
        brakeTorque: i === 1 ? 9 : null,
      }),
    );
    const found = layouts(simpleCart([0, 0, 0.4], { castors }));
    for (const { lever } of found.passing) {
      for (const edit of lever.editsAt(1)) {
        expect(edit).toMatchObject({ kind: 'castor lock', lock: 'wheel', brakeTorque: 9 });
      }
      expect(lever.notes.join(' ')).toContain('that of castor "front right"');
    }
    const assumed = layouts(locked('wheel', 'wheel'));
    expect(assumed.passing[0]?.lever.notes.join(' ')).toContain('outlast the grip of the tread');
  });

  test('give a fixed castor a wheel lock only', () => {
    const castors = CORNERS.map(
      ([name, at], i): Castor =>
        i < 2
          ? castorAt(name, at, i === 0 ? 'total' : 'none')
          : { ...castorAt(name, at, 'none'), fixedDirection: 0, trail: 0, swivelMoment: 0 },
    );
    const found = layouts(simpleCart([0, 0, 0.4], { castors }));
    const changed = [...found.passing, ...found.others].flatMap(({ lever }) => lever.editsAt(1));
    const rear = changed.filter((edit) => 'castor' in edit && edit.castor.startsWith('rear'));
    expect(rear.length).toBeGreaterThan(0);
    for (const edit of rear) expect(edit).toMatchObject({ lock: 'wheel', lockDirections: null });
  });

  test('engage where the locks of the cart engage', () => {
    const castors = CORNERS.map(
      ([name, at], i): Castor => ({
        ...castorAt(name, at, i === 0 ? 'total' : 'none'),
        lockDirections: i === 0 ? [0, Math.PI] : null,
      }),
    );
    const found = layouts(simpleCart([0, 0, 0.4], { castors }));
    const total = [...found.passing, ...found.others]
      .flatMap(({ lever }) => lever.editsAt(1))
      .filter((edit) => edit.kind === 'castor lock' && edit.lock === 'total');
    for (const edit of total) expect(edit).toMatchObject({ lockDirections: [0, Math.PI] });
  });

  test('keep the angles of a swivel lock that is there, and say whose a new one takes', () => {
    const castors = CORNERS.map(
      ([name, at], i): Castor => ({
        ...castorAt(name, at, i === 3 ? 'none' : 'directional'),
        lockDirections: i === 0 ? [0, Math.PI] : null,
      }),
    );
    const found = layouts(simpleCart([0, 0, 0.4], { castors }), 0.8);
    const levers = [...found.passing, ...found.others].map(({ lever }) => lever);
    const edits = levers.flatMap((lever) => lever.editsAt(1));
    const ofCastor = (name: string) =>
      edits.filter((edit) => edit.kind === 'castor lock' && edit.castor === name);
    expect(ofCastor('rear left').length).toBeGreaterThan(0);
    for (const edit of ofCastor('rear left')) {
      expect(edit).toMatchObject({ lock: 'total', lockDirections: null });
    }
    const swivelling = levers.filter((lever) =>
      lever
        .editsAt(1)
        .some((e) => e.kind === 'castor lock' && e.castor === 'rear right' && e.lock !== 'wheel'),
    );
    expect(swivelling.length).toBeGreaterThan(0);
    for (const { notes } of swivelling) {
      expect(notes).toContain(
        'The new swivel lock is taken to engage at the same angles as that of castor "front left".',
      );
    }
  });

  test('of many castors look at the eight that help most, and say so', () => {
    const count = 12;
    const castors = Array.from({ length: count }, (_, i): Castor => {
      const angle = (2 * Math.PI * i) / count;
      const at = [0.4 * Math.cos(angle), 0.4 * Math.sin(angle)] as const;
      return castorAt(`castor ${i + 1}`, at, i % 2 === 0 ? 'wheel' : 'none');
    });
    const cart = simpleCart([0, 0, 0.4], { castors });
    const now = screenCart(cart, HOLDS).findings[0]?.reserve ?? 0;
    const found = layouts(cart, 1.01 * now - 1);
    expect(found.notes).toEqual([
      'Lock layouts change the 8 castors whose change helps most by itself, of 12 that could.',
    ]);
    expect(found.passing.length).toBeGreaterThan(0);
  });
});
