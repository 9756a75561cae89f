/** The table of limits by lock, in the instant and in the settled view. */
import { describe, expect, it } from 'vitest';
import type { CastorInput } from '../../src/engine/castor.js';
import {
  brakeForce,
  canSwivel,
  contactAt,
  instantContact,
  isWheelLocked,
  packSettled,
  placeSettled,
  rollingRatio,
  settledContact,
} from '../../src/engine/castor.js';
import { createPackedContacts, packContacts } from '../../src/engine/holding.js';

const INF = Number.POSITIVE_INFINITY;
const LOCKS = ['none', 'wheel', 'directional', 'total'] as const;

/** 100 mm wheel, 40 mm trail; brake 12 N m: 240 N; swivel 0.3 N m: 7.5 N; rolling 2.2 mm: 0.044 N. */
function castor(change: Partial<CastorInput> = {}): CastorInput {
  return {
    at: [0.25, 0.2],
    wheelDiameter: 0.1,
    trail: 0.04,
    fixedDirection: null,
    lock: 'none',
    brakeTorque: 12,
    lockDirections: null,
    swivelMoment: 0.3,
    rollingLength: 0.0022,
    stiffness: 4e5,
    friction: 0.6,
    ...change,
  };
}

function expectNear(value: number, expected: number): void {
  expect(Math.abs(value - expected)).toBeLessThan(1e-12 * Math.abs(expected) + 1e-15);
}

describe('what a castor is', () => {
  it('brake force and rolling ratio from the wheel radius', () => {
    expectNear(brakeForce(castor()), 240);
    expect(brakeForce(castor({ brakeTorque: null }))).toBe(INF);
    // 2.2 mm on a 102 mm wheel: 0.0431 (Al-Eisawi et al., Applied Ergonomics 30, 1999), half a digit.
    const published = rollingRatio(castor({ wheelDiameter: 0.102 }));
    expect(Math.abs(published - 0.0431)).toBeLessThan(0.00005);
  });

  it('which locks hold the wheel, which let it swivel', () => {
    const all = LOCKS.map((lock) => castor({ lock }));
    expect(all.map(isWheelLocked)).toEqual([false, true, false, true]);
    expect(all.map(canSwivel)).toEqual([true, true, false, false]);
    const fixed = LOCKS.map((lock) => castor({ lock, fixedDirection: 0, trail: 0 }));
    expect(fixed.map(isWheelLocked)).toEqual([false, true, false, true]);
    expect(fixed.map(canSwivel)).toEqual([false, false, false, false]);
  });

  it('the contact lies a trail from the stem, at the swivel angle; a fixed one under its stem', () => {
    const [x, y] = contactAt(castor(), Math.PI / 6);
    expectNear(x, 0.25 + 0.04 * Math.cos(Math.PI / 6));
    expectNear(y, 0.2 + 0.04 * 0.5);
    expect(contactAt(castor({ fixedDirection: 1 }), 2)).toEqual([0.25, 0.2]);
  });
});

describe('instant view: exactly as it is turned', () => {
  it.each([
    // lock, along: fixed, per normal force, across: fixed
    ['none', 0, 0.044, 7.5],
    ['wheel', 240, 0, 7.5],
    ['directional', 0, 0.044, INF],
    ['total', 240, 0, INF],
  ] as const)('lock %s', (lock, alongFixed, alongPerNormal, acrossFixed) => {
    const contact = instantContact(castor({ lock }), 0.7);
    expectNear(contact.alongFixed, alongFixed);
    expectNear(contact.alongPerNormal, alongPerNormal);
    if (acrossFixed === INF) expect(contact.acrossFixed).toBe(INF);
    else expectNear(contact.acrossFixed, acrossFixed);
    expect(contact.acrossPerNormal).toBe(0);
    expect(contact.friction).toBe(0.6);
    expect(contact.direction).toBe(0.7);
    expect(contact.grip).toEqual(contact.contact);
    expect(contact.contact).toEqual(contactAt(castor(), 0.7));
    expect(contact.reachFixed ?? INF).toBe(INF);
    expect(contact.rolling ?? false).toBe(false);
  });

  it.each(LOCKS)('a fixed castor with lock %s: nothing but the disc across', (lock) => {
    const contact = instantContact(castor({ lock, fixedDirection: 0.3, trail: 0 }), 2);
    expect(contact.acrossFixed).toBe(INF);
    expect(contact.direction).toBe(0.3);
    expect(contact.contact).toEqual([0.25, 0.2]);
    expectNear(contact.alongFixed, isWheelLocked(castor({ lock })) ? 240 : 0);
    expectNear(contact.alongPerNormal, isWheelLocked(castor({ lock })) ? 0 : 0.044);
  });

  it('without a trail nothing turns it: no limit across', () => {
    expect(instantContact(castor({ trail: 0 }), 1).acrossFixed).toBe(INF);
    expect(instantContact(castor({ trail: 0, lock: 'wheel' }), 1).acrossFixed).toBe(INF);
  });

  it('a brake that outlasts the tread leaves the disc', () => {
    expect(instantContact(castor({ lock: 'total', brakeTorque: null }), 1).alongFixed).toBe(INF);
  });
});

describe('settled view: after free castors have been pulled round', () => {
  it('wheel lock: the tread or the brake, alike in all directions, through the stem', () => {
    const contact = settledContact(castor({ lock: 'wheel' }), 0.7);
    expect(contact.grip).toEqual([0.25, 0.2]);
    expect(contact.contact).toEqual(contactAt(castor(), 0.7));
    expect(contact.friction).toBe(0.6);
    expectNear(contact.reachFixed ?? Number.NaN, 240);
    expect(contact.rolling).toBe(false);
    expect([contact.alongFixed, contact.acrossFixed]).toEqual([INF, INF]);
    const outlasting = settledContact(castor({ lock: 'wheel', brakeTorque: null }), 0.7);
    expect(outlasting.reachFixed).toBe(INF);
  });

  it('no lock: rolling resistance or swivel friction, whichever is less', () => {
    const contact = settledContact(castor(), 0.7);
    expect(contact.grip).toEqual([0.25, 0.2]);
    expectNear(contact.friction, 0.044);
    expectNear(contact.reachFixed ?? Number.NaN, 7.5);
    expect(contact.rolling).toBe(true);
    expect(settledContact(castor({ trail: 0 }), 0.7).reachFixed).toBe(INF);
  });

  it.each([
    ['directional', null],
    ['total', null],
    ['none', 0.3],
    ['wheel', 0.3],
  ] as const)('lock %s, fixed at %s: as it stands', (lock, fixedDirection) => {
    const held = castor({ lock, fixedDirection });
    expect(settledContact(held, 0.7)).toEqual(instantContact(held, 0.7));
  });

  it('packed at once it is what the contacts one by one pack to', () => {
    const castors = [
      castor(),
      castor({ lock: 'wheel', at: [-0.25, 0.2] }),
      castor({ lock: 'directional', at: [-0.25, -0.2] }),
      castor({ lock: 'total', at: [0.25, -0.2], brakeTorque: null }),
      castor({ lock: 'wheel', at: [0, -0.3], fixedDirection: 0.4, trail: 0 }),
    ];
    const swivels = Float64Array.of(9, 0.3, 1.1, -2, 3, 0.5);
    const fast = createPackedContacts(5);
    packSettled(castors, 1, 1, fast);
    placeSettled(castors, swivels, 1, fast);
    const slow = createPackedContacts(5);
    packContacts(
      castors.map((each, i) => settledContact(each, swivels[1 + i] ?? 0)),
      slow,
    );
    for (const field of [
      'x',
      'y',
      'gripX',
      'gripY',
      'stiffness',
      'friction',
      'reachFixed',
      'rolling',
      'alongFixed',
      'alongPerNormal',
      'acrossFixed',
      'acrossPerNormal',
    ] as const)
      expect([...fast[field]], field).toEqual([...slow[field]]);
    // The direction counts only where a limit along or across does.
    for (const i of [2, 3, 4]) {
      expectNear(fast.cos[i] ?? Number.NaN, slow.cos[i] ?? 0);
      expectNear(fast.sin[i] ?? Number.NaN, slow.sin[i] ?? 0);
    }
  });

  it('a factor on friction leaves rolling alone; a factor on fixed limits leaves friction alone', () => {
    const castors = [castor(), castor({ lock: 'wheel' }), castor({ lock: 'total' })];
    const packed = createPackedContacts(3);
    packSettled(castors, 0.5, 1.1, packed);
    const expected = [0.044, 0.3, 0.3];
    expected.forEach((value, i) => {
      expectNear(packed.friction[i] ?? Number.NaN, value);
    });
    expectNear(packed.reachFixed[0] ?? Number.NaN, 8.25);
    expectNear(packed.reachFixed[1] ?? Number.NaN, 264);
    expectNear(packed.alongFixed[2] ?? Number.NaN, 264);
  });
});
