/** Holding by direction against closed forms and published values. */

import { describe, expect, test } from 'vitest';
import type { HoldingRay, HoldingRose, Pose, RoseOptions } from '../../src/analysis/index.js';
import { checkCart, holdingRose, provenReserve, startPose } from '../../src/analysis/index.js';
import type { Cart, Castor, Vec2 } from '../../src/document/index.js';
import { QUICK_EFFORT, STANDARD_GRAVITY } from '../../src/engine/index.js';
import { seededRandom } from '../reference/random.js';
import { builtIn, CORNERS, castorAt, simpleCart } from './simple-cart.js';

const SET = builtIn('iec-60601-1-3.2');
const PUSH = 'unwanted-movement-push';
const RAMP = 'unwanted-movement-transport';
const POSED = { castors: 'as posed' } as const;
const WORST = { castors: 'turned the worst way' } as const;

/** The solver's error is below 5e-6 of the friction available (docs/limits.md). */
const SOLVED = 1e-5;

function rose(
  cart: Cart,
  finding: string,
  options: RoseOptions,
  pose: Pose = startPose(cart, 'in use'),
): HoldingRose {
  const found = holdingRose(cart, SET, finding, pose, options);
  if (found === null) throw new Error('nothing to push on');
  return found;
}

function rayTo(of: HoldingRose, direction: number): HoldingRay {
  const found = of.rays.find((ray) => Math.abs(ray.direction - direction) < 1e-9);
  if (found === undefined) throw new Error(`no ray to ${direction}`);
  return found;
}

function expectNear(value: number, expected: number, share = SOLVED): void {
  expect(Math.abs(value / expected - 1), `${value}, expected ${expected}`).toBeLessThan(share);
}

const INCH = 0.0254;
const POUND = 0.45359237;
const POUND_FORCE = POUND * STANDARD_GRAVITY;

/** Beer & Johnston, Vector Mechanics: Statics, chapter on friction: a cabinet of 120 lb on castors 24 in
 * apart, friction 0.30, pushed at 32 in; a castor that is free rolls without resistance. */
function cabinet(front: Castor['lock'], rear: Castor['lock'], top = 32 * INCH): Cart {
  const half = 12 * INCH;
  const base = simpleCart([0, 0, 20 * INCH]);
  return {
    ...base,
    parts: base.parts.map((part) => ({ ...part, mass: 120 * POUND })),
    castors: (
      [
        [half, half],
        [half, -half],
        [-half, half],
        [-half, -half],
      ] as const
    ).map(
      (at, i): Castor => ({
        ...castorAt(`castor ${i}`, at, i < 2 ? front : rear),
        trail: 0,
        fixedDirection: 0,
        swivelMoment: 0,
        rollingLength: 0,
      }),
    ),
    floor: {
      name: 'floor',
      friction: [
        {
          tread: 'rubber',
          value: 0.3,
          tolerance: 0,
          distribution: 'rectangular',
          readings: null,
          basis: 'assumed',
        },
      ],
    },
    outline: [
      {
        name: 'cabinet',
        on: null,
        shape: { kind: 'box', from: [-half, -half, 0.05], to: [half, half, top] },
        pushable: true,
      },
    ],
  };
}

describe('a cabinet on castors, some of them locked', () => {
  test('all locked it slides at 36.0 lb whichever way', () => {
    const { rays } = rose(cabinet('total', 'total'), PUSH, POSED);
    for (const { capacity, direction, mode } of rays) {
      expectNear(capacity, 36 * POUND_FORCE);
      expect(mode?.kind).toBe('slides');
      const way = mode?.kind === 'slides' ? mode.direction : Number.NaN;
      expect(Math.cos(way - direction)).toBeCloseTo(1, 6);
    }
  });

  test('leading pair locked 30.0 lb, trailing pair locked 12.86 lb', () => {
    const front = rose(cabinet('total', 'none'), PUSH, POSED);
    expectNear(rayTo(front, 0).capacity, 30 * POUND_FORCE);
    // 12.857 = 90 / 7: printed to four figures
    expectNear(rayTo(front, Math.PI).capacity, (90 / 7) * POUND_FORCE);
    expect((90 / 7).toFixed(2)).toBe('12.86');
    expectNear(
      rayTo(rose(cabinet('none', 'total'), PUSH, POSED), 0).capacity,
      (90 / 7) * POUND_FORCE,
    );
    expect(Math.abs(front.rays[front.least]?.direction ?? 0)).toBeCloseTo(Math.PI, 9);
  });

  test('pushed above 40 in it tips: square to a side at W d / h, over the corner at sqrt(2) of it', () => {
    const tall = rose(cabinet('total', 'total', 50 * INCH), PUSH, POSED);
    const square = (120 * POUND_FORCE * 12) / 50;
    for (const direction of [0, Math.PI / 2, Math.PI, -Math.PI / 2]) {
      expectNear(rayTo(tall, direction).capacity, square);
      expect(rayTo(tall, direction).mode?.kind).toBe('tips');
    }
    // to the corner 1 / cos(45 deg) more would tip it: sliding at 36 lb comes before 40.7 lb
    expectNear(rayTo(tall, Math.PI / 4).capacity, 36 * POUND_FORCE);
    expect(rayTo(tall, Math.PI / 4).mode?.kind).toBe('slides');
  });

  test('what is asked is the share of the weight', () => {
    const values = SET.clauses.find(({ id }) => id === PUSH)?.values ?? [];
    const fraction = values.find(({ id }) => id === 'weight-fraction')?.value ?? Number.NaN;
    const cap = values.find(({ id }) => id === 'force-cap')?.value ?? Number.NaN;
    for (const { demand, stated, capacity } of rose(cabinet('total', 'total'), PUSH, POSED).rays) {
      expect(demand).toBeCloseTo(Math.min(fraction * 120 * POUND_FORCE, cap), 9);
      expect(stated).toEqual({ value: capacity, dimension: 'force' });
    }
  });
});

describe('an incline', () => {
  test('all locked it slides where tan(theta) = mu: the force along the slope is W sin(theta)', () => {
    // Any text on statics: the angle of friction.
    const { rays, load } = rose(cabinet('total', 'total'), RAMP, POSED);
    expect(load).toBe('incline');
    const weight = 120 * POUND_FORCE;
    for (const { stated, capacity, demand } of rays) {
      expectNear(stated.value, Math.atan(0.3));
      expect(stated.dimension).toBe('angle');
      expectNear(capacity, weight * Math.sin(Math.atan(0.3)));
      expect(demand).toBeCloseTo(weight * Math.sin((10 * Math.PI) / 180), 9);
    }
  });

  test('turned the worst way a tall cart tips over the lines that are always there', () => {
    // stems at 0.28 m, trail 0.03 m, 1.6 m high: atan(0.25 / 1.6), less than atan(0.6)
    const cart = simpleCart([0, 0, 1.6]);
    const worst = rose(cart, RAMP, WORST);
    for (const direction of [0, Math.PI / 2, Math.PI, -Math.PI / 2]) {
      const { stated, mode, swivels } = rayTo(worst, direction);
      expectNear(stated.value, Math.atan(0.25 / 1.6));
      expect(mode?.kind).toBe('tips');
      // every castor turned against the way it tips
      for (const swivel of Object.values(swivels))
        expect(Math.cos(swivel - direction)).toBeCloseTo(-1, 9);
    }
    // as posed, all contacts 30 mm to the rear
    const posed = rose(cart, RAMP, POSED);
    expectNear(rayTo(posed, 0).stated.value, Math.atan(0.25 / 1.6));
    expectNear(rayTo(posed, Math.PI).stated.value, Math.atan(0.31 / 1.6));
  });
});

/** Castors of mixed locks at the corners, some with trail on the stiff side of a weak brake. */
function mixedCart(seed: number): Cart {
  const random = seededRandom(seed);
  const locks = ['total', 'directional', 'wheel', 'none'] as const;
  const castors = CORNERS.map(
    ([name, [x, y]], i): Castor => ({
      ...castorAt(
        name,
        [x * (0.7 + 0.6 * random()), y * (0.7 + 0.6 * random())],
        locks[Math.floor(4 * random())] ?? 'none',
      ),
      ...(i === 0 ? { lock: 'total' as const } : {}),
      brakeTorque: random() < 0.3 ? 4 + 8 * random() : null,
    }),
  );
  return simpleCart([0.1 * random(), 0.1 * random(), 0.5 + 0.5 * random()], { castors });
}

describe.each([1, 2, 3])('castors of mixed locks, seed %i', (seed) => {
  const cart = mixedCart(seed);

  test('turned with its floor, the rose turns with the cart', () => {
    const turn = 2 * Math.PI * (5 / 24);
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    const turned = {
      ...cart,
      parts: cart.parts.map((part) => {
        const [x, y, z] = part.at;
        return { ...part, at: [c * x - s * y, s * x + c * y, z] as const };
      }),
      castors: cart.castors.map((castor) => {
        const [x, y] = castor.at;
        return { ...castor, at: [c * x - s * y, s * x + c * y] as Vec2 };
      }),
    };
    const pose = startPose(cart, 'in use');
    const swivels = Object.fromEntries(
      Object.entries(pose.swivels).map(([name, angle]) => [name, angle + turn]),
    );
    const first = rose(cart, RAMP, { ...POSED, directions: 24 });
    const second = rose(
      turned,
      RAMP,
      { ...POSED, directions: 24, through: turn },
      { ...pose, swivels },
    );
    for (const { direction, capacity, mode } of first.rays) {
      const to = Math.atan2(Math.sin(direction + turn), Math.cos(direction + turn));
      const off = (ray: HoldingRay): number => 1 - Math.cos(ray.direction - to);
      const same = second.rays.reduce((p, q) => (off(q) < off(p) ? q : p));
      expectNear(same.capacity, capacity);
      expect(same.mode?.kind).toBe(mode?.kind);
    }
  });

  test('as posed is nowhere below the worst, the worst nowhere below what is proven', () => {
    const { findings } = checkCart(cart, SET, { only: RAMP, effort: QUICK_EFFORT });
    const [finding] = findings;
    if (finding === undefined) throw new Error('no such finding');
    const worst = rose(cart, RAMP, { ...WORST, directions: 12 });
    const posed = rose(cart, RAMP, { ...POSED, directions: 12 });
    const bound = (provenReserve(finding) ?? 0) * (finding.demand?.value ?? 0);
    for (const [i, { stated, capacity }] of worst.rays.entries()) {
      expect(stated.value).toBeGreaterThanOrEqual(bound * (1 - 1e-9));
      expect(posed.rays[i]?.capacity ?? 0).toBeGreaterThanOrEqual(capacity * (1 - SOLVED));
    }
    const ratios = worst.rays.map(({ capacity, demand }) => capacity / demand);
    expect(worst.least).toBe(ratios.indexOf(Math.min(...ratios)));
    const few = rose(cart, RAMP, { ...WORST, directions: 4 });
    expect(rose(cart, RAMP, { ...WORST, directions: 4 })).toEqual(few);
  });
});

describe('rays', () => {
  const cart = simpleCart([0, 0, 0.9]);

  test('72 in order over the full turn, one of them forward', () => {
    const { rays } = rose(cart, PUSH, POSED);
    expect(rays).toHaveLength(72);
    expect(rays.map(({ direction }) => direction)).toContain(0);
    for (const [i, { direction }] of rays.entries()) {
      if (i > 0) expect(direction - (rays[i - 1]?.direction ?? 0)).toBeCloseTo(Math.PI / 36, 12);
      expect(direction > -Math.PI && direction <= Math.PI).toBe(true);
    }
  });

  test('one goes exactly where it is told to', () => {
    const through = 0.123456789;
    const { rays } = rose(cart, PUSH, { ...POSED, directions: 7, through });
    expect(rays).toHaveLength(7);
    expect(rays.map(({ direction }) => direction)).toContain(through);
  });

  test('at low friction they are shorter by the share of the friction', () => {
    // the tread is 0.6 +/- 0.1, assumed
    const wide = simpleCart([0, 0, 0.2], {
      outline: cart.outline.map((body) => ({
        ...body,
        shape: { kind: 'box', from: [-0.2, -0.2, 0.1], to: [0.2, 0.2, 0.2] } as const,
      })),
    });
    const stated = rayTo(rose(wide, PUSH, POSED), 0).capacity;
    const low = rayTo(rose(wide, PUSH, { ...POSED, friction: 'low' }), 0).capacity;
    expectNear(stated, 0.6 * 50 * STANDARD_GRAVITY);
    expectNear(low, 0.5 * 50 * STANDARD_GRAVITY);
  });

  test('no wheel locked, it rolls', () => {
    const free = {
      ...cart,
      castors: cart.castors.map((castor) => ({ ...castor, lock: 'none' as const })),
    };
    for (const { mode } of rose(free, PUSH, POSED).rays) expect(mode?.kind).toBe('rolls');
  });

  test('a lock that engages at some angles only is taken at the nearest', () => {
    const engaging = {
      ...cart,
      castors: cart.castors.map((castor) => ({ ...castor, lockDirections: [-3.1, 0, 1.5] })),
    };
    // castors trail at pi: -3.1 rad is 0.04 rad away across the full turn
    const swivels = Object.values(rayTo(rose(engaging, PUSH, POSED), 0).swivels);
    expect(swivels).toEqual([-3.1, -3.1, -3.1, -3.1]);
    for (const ray of rose(engaging, PUSH, { ...WORST, directions: 8 }).rays) {
      for (const swivel of Object.values(ray.swivels)) expect([-3.1, 0, 1.5]).toContain(swivel);
    }
  });

  test('there are none where there is nothing to push on', () => {
    const bare = { ...cart, outline: [] };
    expect(holdingRose(bare, SET, PUSH, startPose(bare, 'in use'), POSED)).toBeNull();
  });

  test('what cannot be is refused', () => {
    const pose = startPose(cart, 'in use');
    const ask =
      (finding: string, options: RoseOptions, at = pose) =>
      () =>
        holdingRose(cart, SET, finding, at, options);
    expect(ask('overbalance-transport', POSED)).toThrow(/asks for no holding .* allowed: unwanted/);
    expect(ask('no such', POSED)).toThrow(RangeError);
    expect(ask(PUSH, { ...POSED, directions: 2.5 })).toThrow(/2.5 directions/);
    expect(ask(PUSH, { ...POSED, through: Number.NaN })).toThrow(RangeError);
    expect(ask(PUSH, POSED, { ...pose, swivels: {} })).toThrow(/castor that swivels front left/);
  });
});
