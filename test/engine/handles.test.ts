import { describe, expect, it } from 'vitest';
import type { ConfigurationDomain } from '../../src/engine/domain.js';
import type { LiftPoint } from '../../src/engine/handles.js';
import { sharesOf, worstHandleLoads } from '../../src/engine/handles.js';
import { buildMassModel, momentsAt } from '../../src/engine/mass-model.js';
import { seededRandom } from '../reference/random.js';

const G = 9.80665;

const model = buildMassModel({
  parts: [
    { mass: 20, at: [0, 0, 0.4], on: null },
    { mass: 6, at: [0.2, 0.05, 1], on: 'drawer' },
  ],
  movers: [
    { name: 'drawer', kind: 'slide', on: null, origin: [0, 0, 0], axis: [1, 0, 0] },
    { name: 'lift', kind: 'slide', on: null, origin: [0, 0, 0], axis: [0, 0, 1] },
  ],
  loads: [{ at: [-0.2, 0.1, 0.5], on: null }],
});
const domain: ConfigurationDomain = { domains: [[[0, 0.3]], [[0, 0.4]], [[0, 5]]] };

const handle = (x: number, y: number, mover = -1): LiftPoint => ({ mover, at: [x, y, 0.8] });

describe('the force on lifting handles', () => {
  it('one handle: factor times all of the weight', () => {
    const { rule, handles } = worstHandleLoads(model, domain, [handle(0.1, 0)], 4);
    expect(rule).toBe('one handle');
    expect(handles[0]?.force).toBeCloseTo(4 * 31 * G, 6);
    expect(handles[0]?.bound).toBeGreaterThanOrEqual(handles[0]?.force as number);
  });

  it('two handles: the lever rule, worst with the drawer towards the one', () => {
    const { rule, handles } = worstHandleLoads(
      model,
      domain,
      [handle(0.4, 0.1), handle(-0.4, 0.1)],
      4,
    );
    expect(rule).toBe('lever');
    const [front, back] = handles;
    // About the other handle at -0.4: 20 * 0.4 + 6 * (0.5 + 0.4), and the load adds 5 * 0.2.
    expect(front?.force).toBeCloseTo((4 * G * (8 + 5.4 + 1)) / 0.8, 6);
    expect([...(front?.x ?? [])].filter((_, v) => v !== 1)).toEqual([0.3, 5]);
    // Drawer in and load on for the other: 20 * 0.4 + 6 * 0.2 + 5 * 0.6 about 0.4.
    expect(back?.force).toBeCloseTo((4 * G * (8 + 1.2 + 3)) / 0.8, 6);
  });

  it('shares of any layout add up to the weight and its moments (seed 95)', () => {
    const random = seededRandom(95);
    for (let round = 0; round < 100; round++) {
      const count = 3 + Math.floor(4 * random());
      const places = Array.from({ length: count }, () => [random(), random()] as const);
      const shares = sharesOf(places);
      const [mass, mx, my] = [10 + random(), 4 * random(), -3 * random()];
      const forces = shares.map(([a, bx, by]) => a * mass + bx * mx + by * my);
      const sum = (weight: (i: number) => number): number =>
        forces.reduce((total, f, i) => total + f * weight(i), 0);
      expect(sum(() => 1)).toBeCloseTo(mass, 9);
      expect(sum((i) => places[i]?.[0] as number)).toBeCloseTo(mx, 9);
      expect(sum((i) => places[i]?.[1] as number)).toBeCloseTo(my, 9);
    }
  });

  it('shares of a rectangle about its centre: a quarter, and by the springs beside it', () => {
    const shares = sharesOf([
      [1, 1],
      [1, -1],
      [-1, 1],
      [-1, -1],
    ]);
    for (const [a, bx, by] of shares) {
      expect(a).toBeCloseTo(0.25, 12);
      expect(Math.abs(bx)).toBeCloseTo(0.25, 12);
      expect(Math.abs(by)).toBeCloseTo(0.25, 12);
    }
    expect(
      sharesOf([
        [2, 3],
        [2, 3],
      ]),
    ).toEqual([
      [0.5, 0, 0],
      [0.5, 0, 0],
    ]);
  });

  it('a centre of mass outside the handles pulls one down, and that is said', () => {
    const { handles } = worstHandleLoads(model, domain, [handle(-0.3, 0), handle(-0.1, 0)], 1);
    expect(handles[0]?.least).toBeLessThan(0);
    expect(handles[1]?.force).toBeGreaterThan(31 * G * 0.9);
  });

  it('a handle that is moved up stays in place; one that is moved sideways bears all', () => {
    const raised = worstHandleLoads(model, domain, [handle(0.4, 0, 1), handle(-0.4, 0)], 4);
    expect(raised.rule).toBe('lever');
    const swung = worstHandleLoads(model, domain, [handle(0.4, 0, 0), handle(-0.4, 0)], 4);
    expect(swung.rule).toBe('each bears all');
    expect(swung.handles[0]?.force).toBeCloseTo(4 * 31 * G, 6);
  });

  it('is above the bound in none of 20 000 samples (seed 96)', () => {
    const random = seededRandom(96);
    const points = [handle(0.3, 0.2), handle(0.3, -0.2), handle(-0.35, 0)];
    const { rule, handles } = worstHandleLoads(model, domain, points, 4);
    expect(rule).toBe('equal springs');
    const shares = sharesOf(points.map(({ at }) => [at[0], at[1]] as const));
    const moments = new Float64Array(4);
    let beaten = 0;
    for (let sample = 0; sample < 20_000; sample++) {
      momentsAt(model, Float64Array.of(0.3 * random(), 0.4 * random(), 5 * random()), moments);
      const [mass, mx, my] = moments as unknown as readonly [number, number, number];
      shares.forEach(([a, bx, by], i) => {
        if (4 * G * (a * mass + bx * mx + by * my) > (handles[i]?.bound as number)) beaten++;
      });
    }
    expect(beaten).toBe(0);
  });
});
