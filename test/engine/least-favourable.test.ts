/** The least holding force over the splits that statics allows. */

import { describe, expect, test } from 'vitest';
import type { Contact, LoadPath } from '../../src/engine/index.js';
import { holdingForce, leastFavourableSplit } from '../../src/engine/index.js';
import { seededRandom } from '../reference/random.js';

function gripping(at: readonly [number, number], friction: number): Contact {
  return {
    contact: at,
    grip: at,
    direction: 0,
    friction,
    alongFixed: Number.POSITIVE_INFINITY,
    alongPerNormal: 0,
    acrossFixed: Number.POSITIVE_INFINITY,
    acrossPerNormal: 0,
    stiffness: 1e5,
  };
}

const LEVEL: LoadPath = { weight: 100, centre: [0, 0], direction: 0, point: [0, 0], height: 0 };

describe('least favourable split', () => {
  test('three castors have one split only', () => {
    const contacts = [
      gripping([0.3, 0], 0.5),
      gripping([-0.2, 0.3], 0.2),
      gripping([-0.2, -0.3], 0.4),
    ];
    const path: LoadPath = { ...LEVEL, height: 0.4, direction: 1 };
    const { force } = holdingForce(contacts, path);
    const found = leastFavourableSplit(contacts, path, force);
    // bisected to 1e-6; both methods solve the same problem to 1e-9
    expect(Math.abs(found.force - force)).toBeLessThan(3e-6 * force);
  });

  test('two locked in front, two free behind: on one diagonal the cart turns about a locked castor', () => {
    const contacts = [
      gripping([0.3, 0.3], 0.5),
      gripping([0.3, -0.3], 0.5),
      gripping([-0.3, 0.3], 0),
      gripping([-0.3, -0.3], 0),
    ];
    const nominal = holdingForce(contacts, LEVEL).force;
    // The locked pair carries half the weight whatever the split, since the load point is midway.
    expect(Math.abs(nominal - 0.5 * 50)).toBeLessThan(1e-6);
    // With one diagonal carrying all, a single locked castor, 0.3 m beside the force, resists.
    const { force, carrying } = leastFavourableSplit(contacts, LEVEL, nominal);
    expect(force).toBeLessThan(0.01);
    expect(carrying).not.toBeNull();
  });

  test('locks on opposite corners: the other diagonal may carry everything', () => {
    const contacts = [
      gripping([0.3, 0.3], 0.5),
      gripping([0.3, -0.3], 0),
      gripping([-0.3, 0.3], 0),
      gripping([-0.3, -0.3], 0.5),
    ];
    const nominal = holdingForce(contacts, LEVEL).force;
    expect(Math.abs(nominal - 25)).toBeLessThan(1e-6);
    expect(leastFavourableSplit(contacts, LEVEL, nominal).force).toBeLessThan(0.01);
  });

  test('no split of random carts holds less, and the one named does not hold (seed 5)', () => {
    const random = seededRandom(5);
    const between = (low: number, high: number): number => low + (high - low) * random();
    let worse = 0;
    for (let cart = 0; cart < 60; cart++) {
      const contacts = Array.from({ length: 5 }, (_, i) => {
        const angle = (2 * Math.PI * (i + between(-0.2, 0.2))) / 5;
        const radius = between(0.25, 0.4);
        const at = [radius * Math.cos(angle), radius * Math.sin(angle)] as const;
        return gripping(at, random() < 0.4 ? 0.02 : between(0.3, 0.7));
      });
      const path: LoadPath = {
        weight: 500,
        centre: [between(-0.05, 0.05), between(-0.05, 0.05)],
        direction: between(-3, 3),
        point: [between(-0.1, 0.1), between(-0.1, 0.1)],
        height: between(0.1, 0.8),
      };
      const nominal = holdingForce(contacts, path).force;
      const { force, carrying } = leastFavourableSplit(contacts, path, nominal);
      expect(force).toBeLessThanOrEqual(nominal);
      if (carrying !== null) worse += 1;
      // Below that force every split holds.
      for (let k = 0; k < 20; k++) {
        const at = force * between(0.05, 0.999);
        const loads = randomSplit(contacts, path, at, random);
        if (loads !== null) expect(withLoads(contacts, loads, path, at)).toBeGreaterThanOrEqual(at);
      }
    }
    expect(worse).toBeGreaterThan(30);
  });
});

/** Loads of a random split at a force: corners (three castors each) mixed at random. */
function randomSplit(
  contacts: readonly Contact[],
  path: LoadPath,
  force: number,
  random: () => number,
): number[] | null {
  const q = loadPoint(path, force);
  const loads = contacts.map(() => 0);
  let total = 0;
  for (let i = 0; i < contacts.length; i++) {
    for (let j = i + 1; j < contacts.length; j++) {
      for (let l = j + 1; l < contacts.length; l++) {
        const shares = barycentric(contacts, [i, j, l], q);
        if (shares.some((share) => share < 0)) continue;
        const part = random() ** 4;
        total += part;
        [i, j, l].forEach((castor, k) => {
          loads[castor] = (loads[castor] ?? 0) + part * (shares[k] ?? 0);
        });
      }
    }
  }
  return total > 0 ? loads.map((load) => (path.weight * load) / total) : null;
}

function loadPoint(path: LoadPath, force: number): readonly [number, number] {
  const shift = (force * path.height) / path.weight;
  return [
    path.centre[0] + shift * Math.cos(path.direction),
    path.centre[1] + shift * Math.sin(path.direction),
  ];
}

function barycentric(
  contacts: readonly Contact[],
  castors: readonly number[],
  [x, y]: readonly [number, number],
): readonly number[] {
  const [a, b, c] = castors.map((i) => (contacts[i] as Contact).contact) as [
    readonly [number, number],
    readonly [number, number],
    readonly [number, number],
  ];
  const cross = (p: readonly number[], q: readonly number[], r: readonly number[]): number =>
    ((q[0] ?? 0) - (p[0] ?? 0)) * ((r[1] ?? 0) - (p[1] ?? 0)) -
    ((q[1] ?? 0) - (p[1] ?? 0)) * ((r[0] ?? 0) - (p[0] ?? 0));
  const area = cross(a, b, c);
  return [cross([x, y], b, c) / area, cross(a, [x, y], c) / area, cross(a, b, [x, y]) / area];
}

/** Springs as stiff as the loads deflect evenly: they carry exactly those loads. */
function withLoads(
  contacts: readonly Contact[],
  loads: readonly number[],
  path: LoadPath,
  force: number,
): number {
  const carried = contacts.flatMap((contact, i) => {
    const load = loads[i] ?? 0;
    return load > 0 ? [{ ...contact, stiffness: load }] : [];
  });
  return holdingForce(carried, { ...path, centre: loadPoint(path, force), height: 0 }).force;
}
