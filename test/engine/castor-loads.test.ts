/** Extreme castor loads: closed forms, and bounds that no configuration and no castor angle beats. */

import { describe, expect, test } from 'vitest';
import type { ConfigurationDomain, LoadedCastor, MassModel } from '../../src/engine/index.js';
import {
  buildMassModel,
  castorLoadsAt,
  momentsAt,
  worstCastorLoads,
} from '../../src/engine/index.js';
import { seededRandom } from '../reference/random.js';

const G = 9.80665; // m/s^2, standard gravity

function still(x: number, y: number, mass = 40): MassModel {
  return buildMassModel({
    parts: [{ mass, at: [x, y, 0.5], on: null }],
    movers: [],
    loads: [],
  });
}

const NOTHING: ConfigurationDomain = { domains: [] };

function castor(x: number, y: number, trail = 0, stiffness = 4e5): LoadedCastor {
  return { stem: [x, y], trail, stiffness };
}

describe('closed forms', () => {
  test('four alike at the corners, no trail: W / 4 (1 + x / a + y / b)', () => {
    const castors = [castor(0.3, 0.2), castor(0.3, -0.2), castor(-0.3, 0.2), castor(-0.3, -0.2)];
    const { most, least, method } = worstCastorLoads(still(0.06, 0.02), NOTHING, castors);
    const expected = castors.map(
      ({ stem: [x, y] }) => 10 * G * (1 + (0.06 * x) / 0.09 + (0.02 * y) / 0.04),
    );
    expect(method).toBe('springs');
    expected.forEach((load, i) => {
      // one configuration, linear: exact but for the outward slack of 1e-13
      expect(Math.abs((most[i]?.value ?? 0) - load)).toBeLessThan(1e-9 * load);
      expect(Math.abs((most[i]?.bound ?? 0) - load)).toBeLessThan(1e-9 * load);
      expect(Math.abs((least[i]?.bound ?? 0) - load)).toBeLessThan(1e-9 * load);
    });
  });

  test('three castors: the lever rule, whatever their stiffness', () => {
    const castors = [castor(0.4, 0, 0, 1e5), castor(-0.2, 0.3, 0, 9e5), castor(-0.2, -0.3, 0, 3e5)];
    const { most } = worstCastorLoads(still(0.1, 0), NOTHING, castors);
    expect(Math.abs((most[0]?.value ?? 0) - (40 * G * 0.3) / 0.6)).toBeLessThan(1e-6);
  });

  test('castors that all turn the same way shift the load point by the trail', () => {
    const trail = 0.03;
    const castors = [
      castor(0.3, 0.3, trail),
      castor(0.3, -0.3, trail),
      castor(-0.3, 0.3, trail),
      castor(-0.3, -0.3, trail),
    ];
    const { most } = worstCastorLoads(still(0, 0), NOTHING, castors);
    // turned away from the corner, along its diagonal
    const shifted = 10 * G * (1 + (2 * (trail / Math.SQRT2)) / 0.3);
    expect(most[0]?.value).toBeGreaterThanOrEqual(shifted - 1e-9);
    expect(most[0]?.bound).toBeGreaterThanOrEqual(most[0]?.value ?? Number.POSITIVE_INFINITY);
    // The allowance for slopes is of second order in the trail: a few per cent here.
    expect((most[0]?.gap ?? 1) / shifted).toBeLessThan(0.05);
  });

  test('a load point beyond the contacts: one castor is taken to carry all', () => {
    const castors = [castor(0.3, 0.2), castor(0.3, -0.2), castor(-0.3, 0)];
    const { most, least, method } = worstCastorLoads(still(0.5, 0), NOTHING, castors);
    expect(method).toBe('statics');
    expect(most[0]?.bound).toBeGreaterThanOrEqual(most[0]?.value ?? Number.POSITIVE_INFINITY);
    expect(least.map(({ bound }) => bound)).toEqual([0, 0, 0]);
  });
});

test('a thousand ways to stand never beat the bounds, 40 random carts (seed 11)', () => {
  const random = seededRandom(11);
  const between = (low: number, high: number): number => low + (high - low) * random();
  const methods = new Set<string>();
  let over = Number.NEGATIVE_INFINITY;
  let stood = 0;
  for (let cart = 0; cart < 40; cart++) {
    const reach = cart % 3 === 0 ? 0.35 : 0.1;
    const model = buildMassModel({
      parts: [
        { mass: 30, at: [between(-0.02, 0.02), between(-0.02, 0.02), 0.3], on: null },
        { mass: 8, at: [reach, 0, 1], on: 'arm' },
      ],
      movers: [{ name: 'arm', kind: 'turn', on: null, origin: [0, 0, 1], axis: [0, 0, 1] }],
      loads: [{ at: [0, reach, 0.5], on: null }],
    });
    const domain: ConfigurationDomain = {
      domains: [[[-2, 2]], [[0, between(1, 10)]]],
    };
    const count = 3 + Math.floor(between(0, 4));
    const castors = Array.from({ length: count }, (_, i) => {
      const angle = (2 * Math.PI * (i + between(-0.15, 0.15))) / count;
      const radius = between(0.3, 0.4);
      const trail = random() < 0.2 ? 0 : between(0.02, 0.04);
      return castor(radius * Math.cos(angle), radius * Math.sin(angle), trail, between(2e5, 8e5));
    });
    const { most, least, method } = worstCastorLoads(model, domain, castors);
    methods.add(method);
    const moments = new Float64Array(4);
    for (let k = 0; k < 1000; k++) {
      const x = Float64Array.from(domain.domains, (pieces) => {
        const [low, high] = pieces[0] ?? [0, 0];
        return between(low, high);
      });
      momentsAt(model, x, moments);
      const [mass, mx, my] = moments as unknown as readonly [number, number, number];
      const shared = between(-3.2, 3.2);
      const contacts = castors.map(({ stem: [sx, sy], trail }) => {
        const angle = random() < 0.5 ? shared : between(-3.2, 3.2);
        return [sx + trail * Math.cos(angle), sy + trail * Math.sin(angle)] as const;
      });
      const loads = castorLoadsAt(castors, contacts, mass * G, [mx / mass, my / mass]);
      if (loads === null) continue;
      loads.forEach((load, i) => {
        const above = load - (most[i]?.bound ?? 0);
        const below = (least[i]?.bound ?? Number.POSITIVE_INFINITY) - load;
        over = Math.max(over, above, below);
      });
      stood += 1;
    }
    most.forEach(({ value, bound }) => {
      expect(value).toBeLessThanOrEqual(bound);
    });
  }
  // N; the loads of the reference are solved to rounding, 1e-12 of some 100 N
  expect(over).toBeLessThanOrEqual(1e-9);
  expect(stood).toBeGreaterThan(30_000);
  expect(methods).toEqual(new Set(['springs', 'statics']));
});
