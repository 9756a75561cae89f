/** The physics set-up checked on its own, on cases whose answer is known in closed form. */
import { beforeAll, describe, expect, test, vi } from 'vitest';
import type { Physics } from '../reference/physics-ramp.js';
import { loadPhysics, physicsLimit } from '../reference/physics-ramp.js';
import type { FootedCart } from '../reference/random-contacts.js';

/** ms; the slowest takes 1 s alone on one core, more beside other tests */
vi.setConfig({ testTimeout: 60_000 });

let physics: Physics;
beforeAll(async () => {
  physics = await loadPhysics();
});

const cart = (frictions: readonly number[], more: Partial<FootedCart> = {}): FootedCart => ({
  feet: (
    [
      [0.3, 0.25],
      [0.3, -0.25],
      [-0.3, 0.25],
      [-0.3, -0.25],
    ] as const
  ).map((at, i) => ({ at, friction: frictions[i] ?? 0, stiffness: 1 })),
  mass: 50,
  centre: [0, 0, 0.5],
  direction: 0,
  point: [0, 0, 0.5],
  ...more,
});
const all = (mu: number) => [mu, mu, mu, mu];

/** Relative. What is left is the law of onset (dependence on t^3) and 1 ms steps: half a percent
 * is several times the greatest deviation seen here and far below the few percent of the campaign. */
const CLOSE = 0.005;
function expectLimit(
  subject: FootedCart,
  loading: 'ramp' | 'push',
  kind: 'slips' | 'tips',
  truth: number,
): void {
  const found = physicsLimit(physics, subject, loading);
  expect(found.kind).toBe(kind);
  expect(Math.abs(found.ratio / truth - 1)).toBeLessThan(CLOSE);
}

describe('block on a ramp', () => {
  test.each([0.2, 0.5, 0.8])('slides at tan(angle) = mu = %f, whatever the heading', (mu) => {
    // Low enough not to tip: 0.25 m / 0.2 m > 0.8.
    for (const direction of [0, 0.7, Math.PI / 2]) {
      expectLimit(cart(all(mu), { centre: [0, 0, 0.2], direction }), 'ramp', 'slips', mu);
    }
  });

  test('tips at tan(angle) = half base / height: 15.52 deg at 0.25 m and 0.90 m', () => {
    const tall = cart(all(0.9), { centre: [0, 0, 0.9], direction: Math.PI / 2 });
    expectLimit(tall, 'ramp', 'tips', 0.25 / 0.9);
    expectLimit(tall, 'ramp', 'tips', Math.tan((15.52 * Math.PI) / 180));
  });
});

describe('push', () => {
  test('slides at mu, tips at half base over the height of the push', () => {
    expectLimit(cart(all(0.4)), 'push', 'slips', 0.4);
    expectLimit(cart(all(0.9), { point: [0, 0, 1.2] }), 'push', 'tips', 0.3 / 1.2);
  });

  test('cabinet on castors (Beer & Johnston): 36, 30 and 12.86 lb of 120 lb', () => {
    const inch = 0.0254;
    const feet = (leading: number, trailing: number) =>
      [12, 12, -12, -12].map((x, i) => ({
        at: [x * inch, (i % 2 === 0 ? 10 : -10) * inch] as const,
        friction: i < 2 ? leading : trailing,
        stiffness: 1,
      }));
    const cabinet = (leading: number, trailing: number) =>
      cart([], { feet: feet(leading, trailing), point: [0, 0, 32 * inch] });
    expectLimit(cabinet(0.3, 0.3), 'push', 'slips', 36 / 120);
    expectLimit(cabinet(0.3, 0), 'push', 'slips', 30 / 120);
    expectLimit(cabinet(0, 0.3), 'push', 'slips', 90 / 7 / 120);
  });

  test('two braked supports 0.5 m apart carrying half (limit-surface theory)', () => {
    // mu 0.8: F / W = 0.8 x 0.1923 with the push 0.6 m from their line, 0.8 x 0.3201 at 0.3 m.
    for (const [offset, value] of [
      [0.6, 0.1923],
      [0.3, 0.3201],
    ] as const) {
      const pair = cart([0.8, 0.8, 0, 0], {
        direction: Math.PI / 2,
        // On the floor, so that the loads stay as they are.
        point: [0.3 - offset, 0, 0],
      });
      expectLimit(pair, 'push', 'slips', 0.8 * value);
    }
  });
});

describe('load sharing', () => {
  test('stiffer feet carry more, as springs do', () => {
    // Four feet, centred weight; the diagonal pair twice as stiff carries twice the load and alone
    // is braked: two thirds of the weight hold.
    const pair = cart([0.6, 0, 0, 0.6], { point: [0, 0, 0] });
    const stiff = {
      ...pair,
      feet: pair.feet.map((f) => ({ ...f, stiffness: f.friction > 0 ? 2 : 1 })),
    };
    expectLimit(pair, 'push', 'slips', 0.3);
    expectLimit(stiff, 'push', 'slips', 0.4);
  });
});
