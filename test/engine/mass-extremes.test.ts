import { describe, expect, it } from 'vitest';
import type { ConfigurationDomain } from '../../src/engine/domain.js';
import { contains } from '../../src/engine/domain.js';
import { greatestCentre, greatestFunctional } from '../../src/engine/mass-extremes.js';
import { buildMassModel, momentsAt } from '../../src/engine/mass-model.js';
import { randomTree, randomValue } from '../reference/configurations.js';
import { seededRandom } from '../reference/random.js';

describe('extremes of mass and centre of mass', () => {
  it('of a lift and a load in closed form', () => {
    const model = buildMassModel({
      parts: [
        { mass: 20, at: [0, 0, 0.2], on: null },
        { mass: 5, at: [0, 0, 1], on: 'lift' },
      ],
      movers: [{ name: 'lift', kind: 'slide', on: null, origin: [0, 0, 0], axis: [0, 0, 1] }],
      loads: [{ at: [0, 0, 0.1], on: null }],
    });
    const domain: ConfigurationDomain = {
      domains: [
        [[0, 0.4]],
        [
          [0, 0],
          [2, 10],
        ],
      ],
    };
    const heaviest = greatestFunctional(model, domain, 1, [0, 0, 0]);
    expect(heaviest.value).toBe(35);
    expect(heaviest.bound - 35).toBeLessThan(1e-4);
    expect(heaviest.bound).toBeGreaterThanOrEqual(35);
    // Highest with the lift up and nothing below; lowest with the lift down and all of it.
    const highest = greatestCentre(model, domain, [0, 0, 1]);
    expect(highest.value).toBeCloseTo((20 * 0.2 + 5 * 1.4) / 25, 9);
    expect([...highest.x]).toEqual([0.4, 0]);
    const lowest = greatestCentre(model, domain, [0, 0, -1]);
    expect(-lowest.value).toBeCloseTo((20 * 0.2 + 5 + 1) / 35, 9);
  });

  it('are passed by none of 20 000 samples of 20 carts (seed 81)', () => {
    const random = seededRandom(81);
    const moments = new Float64Array(4);
    for (let round = 0; round < 20; round++) {
      const tree = randomTree(random, 4, 3);
      const model = buildMassModel({
        ...tree,
        parts: [...tree.parts, { mass: 1, at: [0, 0, 0], on: null }],
      });
      const domain: ConfigurationDomain = {
        domains: Array.from({ length: model.variableCount }, (_, v) => {
          const from = v < model.moverCount ? 2 * random() - 1 : 0;
          return [[from, from + 2 * random()]] as const;
        }),
      };
      const [a, b, c, d] = [0, 0, 0, 0].map(() => 2 * random() - 1) as [
        number,
        number,
        number,
        number,
      ];
      const length = Math.hypot(b, c, d);
      const most = greatestFunctional(model, domain, a, [b, c, d]);
      const farthest = greatestCentre(model, domain, [b / length, c / length, d / length]);
      const x = new Float64Array(model.variableCount);
      const at = (): readonly [number, number] => {
        momentsAt(model, x, moments);
        const [mass, mx, my, mz] = moments as unknown as readonly [number, number, number, number];
        const m = b * mx + c * my + d * mz;
        return [a * mass + m, m / mass / length];
      };
      let [functional, centre] = [-Infinity, -Infinity];
      for (let sample = 0; sample < 1000; sample++) {
        domain.domains.forEach(([piece], v) => {
          const [low, high] = piece as readonly [number, number];
          x[v] = randomValue(random, low, high);
        });
        const [f, g] = at();
        functional = Math.max(functional, f);
        centre = Math.max(centre, g);
      }
      expect(functional).toBeLessThanOrEqual(most.bound);
      expect(centre).toBeLessThanOrEqual(farthest.bound);
      expect([most.status, farthest.status]).toEqual(['closed', 'closed']);
      x.set(most.x);
      expect(at()[0]).toBeCloseTo(most.value, 9);
      expect(contains(domain, farthest.x)).toBe(true);
      x.set(farthest.x);
      expect(at()[1]).toBeCloseTo(farthest.value, 9);
    }
  });

  it('refuse a cart that can weigh nothing', () => {
    const model = buildMassModel({ parts: [], movers: [], loads: [{ at: [0, 0, 1], on: null }] });
    expect(() => greatestCentre(model, { domains: [[[0, 3]]] }, [0, 0, 1])).toThrow(/mass can be/);
  });
});
