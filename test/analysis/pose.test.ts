/** Poses against closed forms by hand, and against each other. */

import { describe, expect, test } from 'vitest';
import type { Pose } from '../../src/analysis/index.js';
import {
  checkCart,
  fitPose,
  pinnedAt,
  poseCart,
  poseOfWorst,
  screenCart,
  startPose,
} from '../../src/analysis/index.js';
import type { Cart, Load, Mover, Part, Vec2, Vec3 } from '../../src/document/index.js';
import { STANDARD_GRAVITY } from '../../src/engine/index.js';
import { seededRandom } from '../reference/random.js';
import { builtIn, castorAt, simpleCart, TRANSPORT, USE } from './simple-cart.js';

const SET = builtIn('iec-60601-1-3.2');
const DEG = Math.PI / 180;
const HEIGHT = 0.9;

/** Rounding of a few sums of numbers of order one. */
const EXACT = 12;

const LIFT: Mover = {
  name: 'lift',
  kind: 'slide',
  on: null,
  origin: [0, 0, 0],
  axis: [0, 0, 1],
  from: 0.1,
  to: 0.4,
  stops: [0.1, 0.25, 0.4],
};
const ARM: Mover = {
  name: 'arm',
  kind: 'turn',
  on: 'lift',
  origin: [0.1, 0, 1],
  axis: [0, 0, 1],
  from: -Math.PI / 2,
  to: Math.PI / 2,
  stops: null,
};
const BAG: Load = {
  name: 'bag',
  kind: 'removable',
  on: 'arm',
  at: [0.4, 0, 1.1],
  atTolerance: 0,
  atDistribution: 'rectangular',
  least: 1,
  most: 5,
};

/** A lift with stops, an arm on it, a bag on the arm. */
function movingCart(changes: Partial<Cart> = {}): Cart {
  const base = simpleCart([0, 0, HEIGHT]);
  const head: Part = {
    ...(base.parts[0] as Part),
    name: 'head',
    mass: 6,
    at: [0.3, 0, 1.2],
    on: 'arm',
  };
  const bag = { least: 1, most: 5, mayBeAbsent: true };
  const arm = { from: -Math.PI / 2, to: Math.PI / 2 };
  return {
    ...base,
    parts: [...base.parts, head],
    movers: [LIFT, ARM],
    loads: [BAG],
    positions: [
      {
        ...TRANSPORT,
        movers: { lift: { from: 0.1, to: 0.25 }, arm: { from: 0.2, to: 0.6 } },
        loads: { bag: { least: 0, most: 0, mayBeAbsent: false } },
      },
      { ...USE, movers: { lift: { from: 0.2, to: 0.4 }, arm }, loads: { bag } },
    ],
    ...changes,
  };
}

function moved(cart: Cart, turn: number, [dx, dy]: Vec2): Cart {
  const plan = (x: number, y: number): Vec2 => [
    Math.cos(turn) * x - Math.sin(turn) * y + dx,
    Math.sin(turn) * x + Math.cos(turn) * y + dy,
  ];
  return {
    ...cart,
    parts: cart.parts.map((part) => ({
      ...part,
      at: [...plan(part.at[0], part.at[1]), part.at[2]] as unknown as Vec3,
    })),
    castors: cart.castors.map((castor) => ({ ...castor, at: plan(castor.at[0], castor.at[1]) })),
  };
}

describe('a pose by hand', () => {
  const cart = simpleCart([0, 0, HEIGHT]);
  const start = startPose(cart, 'transport');

  test('castors trail behind a forward motion: contacts 30 mm behind their stems', () => {
    const { castors } = poseCart(cart, start);
    expect(castors.map(({ contact: [x] }) => x)).toEqual(
      [0.25, 0.25, -0.31, -0.31].map((x) => expect.closeTo(x, EXACT)),
    );
    for (const { rolls } of castors) expect(rolls).toBeCloseTo(0, EXACT);
  });

  test('tips over the front line at atan(0.25 / 0.9) = 15.52 deg', () => {
    // Statics: the centre of mass stands over the line. Value of a half base of 0.25 m at 0.90 m.
    const { lines, fallPoint, stands } = poseCart(cart, start);
    const front = lines.find(({ from, to }) => from[0] > 0.2 && to[0] > 0.2);
    expect(front?.distance).toBeCloseTo(0.25, EXACT);
    expect((front?.angle ?? 0) / DEG).toBeCloseTo(15.52, 2);
    expect(new Set(front?.castors)).toEqual(new Set(['front left', 'front right']));
    expect(fallPoint).toEqual([expect.closeTo(0, EXACT), expect.closeTo(0, EXACT)]);
    expect(stands).toBe(true);
  });

  test('lines run counter-clockwise with the cart on their left, each castor at its end', () => {
    const { lines, support, castors } = poseCart(cart, start);
    expect(support).toHaveLength(4);
    for (const { from, to, castors: ends } of lines) {
      expect(from[0] * to[1] - from[1] * to[0]).toBeGreaterThan(0);
      for (const [i, end] of [from, to].entries()) {
        const [x, y] = castors.find(({ name }) => name === ends[i])?.contact ?? [9, 9];
        expect(Math.hypot(end[0] - x, end[1] - y)).toBeLessThan(1e-9);
      }
    }
  });

  test('on an incline the fall point is where the vertical meets the floor', () => {
    const incline = { angle: 10 * DEG, downhill: 30 * DEG };
    const { fallPoint, castors, tipAngle } = poseCart(cart, { ...start, incline });
    const shift = HEIGHT * Math.tan(10 * DEG);
    expect(fallPoint[0]).toBeCloseTo(shift * Math.cos(30 * DEG), EXACT);
    expect(fallPoint[1]).toBeCloseTo(shift * Math.sin(30 * DEG), EXACT);
    // square to the floor the castors bear W cos(theta)
    const total = castors.reduce((sum, { load }) => sum + (load ?? 0), 0);
    expect(total).toBeCloseTo(50 * STANDARD_GRAVITY * Math.cos(10 * DEG), 9);
    // the front line is reached by the share cos(30 deg) of the slope
    expect(tipAngle).toBeCloseTo(Math.atan(0.25 / (HEIGHT * Math.cos(30 * DEG))), EXACT);
  });

  test('stands up to its tip angle, bears by the lever rule there, and not beyond', () => {
    const at = (angle: number): Pose => ({ ...start, incline: { angle, downhill: 0 } });
    const { tipAngle } = poseCart(cart, at(0));
    const tip = tipAngle ?? 0;
    const rim = poseCart(cart, at(tip));
    expect(rim.stands).toBe(true);
    const weight = 50 * STANDARD_GRAVITY * Math.cos(tip);
    expect(rim.castors.map(({ load }) => load)).toEqual(
      [0.5, 0.5, 0, 0].map((share) => expect.closeTo(share * weight, 6)),
    );
    const over = poseCart(cart, at(tip + 1e-4));
    expect(over.stands).toBe(false);
    expect(over.castors.every(({ load }) => load === null)).toBe(true);
    expect(Math.min(...over.lines.map(({ clearance }) => clearance))).toBeLessThan(0);
    expect(over.tipAngle).toBe(tip);
  });

  test('a cabinet of 120 lb on castors 24 in apart, pushed with 36 lb, tips at 40 in', () => {
    // Beer & Johnston, Vector Mechanics: Statics, chapter on friction: a cabinet on castors.
    const inch = 0.0254;
    const half = 12 * inch;
    const cabinet = simpleCart([0, 0, 20 * inch], {
      castors: [
        [half, half],
        [half, -half],
        [-half, half],
        [-half, -half],
      ].map(([x, y], i) => ({
        ...castorAt(`castor ${i}`, [x ?? 0, y ?? 0], 'total'),
        trail: 0,
      })),
    });
    const force = 0.3 * 50 * STANDARD_GRAVITY;
    const pushedAt = (height: number) =>
      poseCart(cabinet, {
        ...startPose(cabinet, 'in use'),
        push: { point: [0, 0, height * inch], direction: 0, force },
      });
    expect(pushedAt(40).fallPoint[0]).toBeCloseTo(half, EXACT);
    expect(pushedAt(39.9).stands).toBe(true);
    expect(pushedAt(40.1).stands).toBe(false);
  });

  test('a downward force moves the fall point by the lever rule', () => {
    const press = { point: [0.6, 0.2, 0.8] as Vec3, force: 25 * STANDARD_GRAVITY };
    const { fallPoint } = poseCart(cart, { ...start, press });
    // 50 kg at 0, 25 kg at the point: a third of the way
    expect(fallPoint).toEqual([expect.closeTo(0.2, EXACT), expect.closeTo(0.2 / 3, EXACT)]);
  });

  test('three castors bear what statics says', () => {
    // Moments about the two rear castors and about the x axis (any text on statics, equilibrium of a
    // rigid body in space): 0.6, 0.3 and 0.1 of the weight.
    const stool = simpleCart([0.1, 0.05, 0.5], {
      castors: (
        [
          [0.3, 0],
          [-0.2, 0.25],
          [-0.2, -0.25],
        ] as const
      ).map((at, i) => ({
        ...castorAt(`castor ${i}`, at, 'none'),
        trail: 0,
      })),
    });
    const { castors } = poseCart(stool, startPose(stool, 'in use'));
    const weight = 50 * STANDARD_GRAVITY;
    expect(castors.map(({ load }) => load)).toEqual(
      [0.6, 0.3, 0.1].map((share) => expect.closeTo(share * weight, 8)),
    );
  });

  test('without a castor the others bear all, and it nothing', () => {
    const { castors, lines } = poseCart(cart, { ...start, without: 'rear left' });
    expect(castors.find(({ name }) => name === 'rear left')?.load).toBe(0);
    expect(lines).toHaveLength(3);
  });

  test('movers carry masses where turning and lifting by hand puts them', () => {
    const moving = movingCart();
    const pose = {
      ...startPose(moving, 'in use'),
      movers: { lift: 0.25, arm: Math.PI / 2 },
      loads: { bag: 5 },
    };
    const { masses, placements, centreOfMass, mass } = poseCart(moving, pose);
    // the arm turns about x 0.1: 0.2 m ahead becomes 0.2 m to the left, lifted by 0.25 m
    const head = masses.find(({ name }) => name === 'head');
    expect(head?.at).toEqual([0.1, 0.2, 1.45].map((at) => expect.closeTo(at, EXACT)));
    expect(mass).toBe(61);
    expect(centreOfMass[1]).toBeCloseTo((6 * 0.2 + 5 * 0.3) / 61, EXACT);
    const { rotation: r, shift } = placements.arm ?? { rotation: [], shift: [0, 0, 0] };
    const drawn = [0.3, 0, 1.2];
    const there = [0, 1, 2].map((i) =>
      drawn.reduce((sum, at, j) => sum + (r[3 * i + j] ?? 0) * at, shift[i] ?? 0),
    );
    expect(there).toEqual(head?.at.map((at) => expect.closeTo(at, EXACT)));
  });
});

describe.each([1, 2, 3])('seed %i', (seed) => {
  test('turned and moved with its floor, the pose turns and moves with it', () => {
    const random = seededRandom(seed);
    const between = (low: number, high: number): number => low + (high - low) * random();
    const cart = simpleCart([between(-0.1, 0.1), between(-0.1, 0.1), between(0.5, 1)]);
    const turn = between(-3, 3);
    const by: Vec2 = [between(-2, 2), between(-2, 2)];
    const names = cart.castors.map(({ name }) => name);
    const poseTurned = (angle: number): Pose => {
      const own = seededRandom(seed + 100);
      return {
        ...startPose(cart, 'transport'),
        swivels: Object.fromEntries(names.map((name) => [name, 6 * own() + angle])),
        incline: { angle: 0.1 * own(), downhill: 6 * own() + angle },
      };
    };
    const first = poseCart(cart, poseTurned(0));
    const second = poseCart(moved(cart, turn, by), poseTurned(turn));
    const [x, y] = first.fallPoint;
    expect(second.fallPoint[0]).toBeCloseTo(Math.cos(turn) * x - Math.sin(turn) * y + by[0], 10);
    expect(second.fallPoint[1]).toBeCloseTo(Math.sin(turn) * x + Math.cos(turn) * y + by[1], 10);
    for (const [i, { load }] of first.castors.entries()) {
      expect(second.castors[i]?.load).toBeCloseTo(load ?? Number.NaN, 7);
    }
    expect(second.tipAngle).toBeCloseTo(first.tipAngle ?? Number.NaN, 10);
    const angles = (posed: typeof first) => posed.lines.map(({ angle }) => angle).sort();
    expect(angles(second)).toEqual(angles(first).map((angle) => expect.closeTo(angle, 9)));
  });
});

describe('the pose to start from', () => {
  test('movers nearest to zero within range and stops, loads at their greatest', () => {
    const cart = movingCart();
    expect(startPose(cart, 'transport')).toMatchObject({
      movers: { lift: 0.1, arm: 0.2 },
      loads: { bag: 0 },
    });
    // in use the lift is at 0.2 m or more: its stops there are 0.25 and 0.4 m
    expect(startPose(cart, 'in use')).toMatchObject({
      movers: { lift: 0.25, arm: 0 },
      loads: { bag: 5 },
    });
  });

  test('is refused for a position that is not there', () => {
    expect(() => startPose(movingCart(), 'parked')).toThrow(
      /no position parked; allowed: transport, in use/,
    );
  });
});

describe('a pose after the cart has changed', () => {
  const cart = movingCart();
  const pose: Pose = {
    ...startPose(cart, 'in use'),
    movers: { lift: 0.4, arm: 1.2 },
    loads: { bag: 3 },
    without: 'rear left',
    incline: { angle: 0.1, downhill: 1 },
  };

  test('one that is allowed comes back as it is', () => {
    expect(fitPose(cart, pose)).toEqual(pose);
  });

  test.each<[string, Partial<Cart>, Partial<Pose>]>([
    [
      'a mover is gone',
      { movers: [LIFT], parts: cart.parts.slice(0, 1), loads: [{ ...BAG, on: 'lift' }] },
      { movers: { lift: 0.4 } },
    ],
    [
      'a stop is gone',
      { movers: [{ ...LIFT, stops: [0.1, 0.25] }, ARM] },
      { movers: { lift: 0.25, arm: 1.2 } },
    ],
    ['a load is added', { loads: [BAG, { ...BAG, name: 'tray' }] }, { loads: { bag: 3, tray: 5 } }],
    [
      'a castor is renamed',
      {
        castors: cart.castors.map((each) =>
          each.name === 'rear left' ? { ...each, name: 'rear port' } : each,
        ),
      },
      { without: null },
    ],
    [
      'the position is gone',
      { positions: cart.positions.slice(0, 1) },
      { position: 'transport', movers: { lift: 0.25, arm: 0.6 }, loads: { bag: 0 } },
    ],
  ])('%s', (_, changes, expected) => {
    const positions = (changes.positions ?? cart.positions).map((position) => ({
      ...position,
      movers: Object.fromEntries(
        (changes.movers ?? cart.movers).map(({ name }) => [
          name,
          position.movers[name] ?? { from: 0, to: 1 },
        ]),
      ),
      loads: Object.fromEntries(
        (changes.loads ?? cart.loads).map(({ name }) => [
          name,
          position.loads[name] ?? { least: 1, most: 5, mayBeAbsent: true },
        ]),
      ),
    }));
    const changed = { ...cart, ...changes, positions };
    const fitted = fitPose(changed, pose);
    expect(fitted).toMatchObject(expected);
    expect(Object.keys(fitted.swivels)).toEqual(changed.castors.map(({ name }) => name));
    expect(fitPose(changed, fitted)).toEqual(fitted);
    expect(() => poseCart(changed, fitted)).not.toThrow();
  });

  test('a load of 0.4 kg, which can be absent or 1 to 5 kg, becomes absent; one of 0.6 kg is 1 kg', () => {
    expect(fitPose(cart, { ...pose, loads: { bag: 0.4 } }).loads).toEqual({ bag: 0 });
    expect(fitPose(cart, { ...pose, loads: { bag: 0.6 } }).loads).toEqual({ bag: 1 });
  });
});

describe('poses that do not fit are refused by name', () => {
  const cart = movingCart();
  const pose = startPose(cart, 'in use');
  test.each<[string, Partial<Pose>, RegExp]>([
    ['no value', { movers: { lift: 0.1 } }, /nothing said of mover arm/],
    ['a mover too many', { movers: { ...pose.movers, door: 0 } }, /no mover door/],
    ['not a number', { loads: { bag: Number.NaN } }, /load bag is NaN/],
    ['a mass below zero', { loads: { bag: -1 } }, /load bag is -1/],
    [
      'a castor too many',
      { swivels: { ...pose.swivels, middle: 0 } },
      /no castor that swivels middle/,
    ],
    ['a castor that is not there', { without: 'middle' }, /no castor middle/],
    ['a wall', { incline: { angle: Math.PI / 2, downhill: 0 } }, /incline is 1.57/],
    ['a pull for a push', { push: { point: [0, 0, 1], direction: 0, force: -1 } }, /force is -1/],
  ])('%s', (_, changes, words) => {
    expect(() => poseCart(cart, { ...pose, ...changes })).toThrow(words);
    expect(() => pinnedAt(cart, { ...pose, ...changes })).toThrow(RangeError);
  });

  test('names that every object has are no values', () => {
    const named = movingCart({ loads: [{ ...BAG, name: 'constructor' }] });
    const positions = named.positions.map((each) => ({
      ...each,
      loads: { constructor: { least: 1, most: 5, mayBeAbsent: true } },
    }));
    const hostile = { ...named, positions } as unknown as Cart;
    const start = startPose(hostile, 'in use');
    expect(start.loads).toEqual({ constructor: 5 });
    expect(() => poseCart(hostile, { ...start, loads: {} })).toThrow(
      /nothing said of load constructor/,
    );
    expect(fitPose(hostile, { ...start, loads: {} }).loads).toEqual({ constructor: 5 });
  });
});

describe('a cart held in a pose', () => {
  test.each([0, 3])('both kinds of position are in the pose, a bag of %i kg too', (bag) => {
    const cart = movingCart();
    const pose = { ...startPose(cart, 'in use'), movers: { lift: 0.3, arm: 1 }, loads: { bag } };
    const pinned = pinnedAt(cart, pose);
    expect(pinned.positions.map(({ kind }) => kind).sort()).toEqual(['transport', 'use']);
    const { findings } = checkCart(pinned, SET, { effort: NOTHING_PROVEN });
    const { mass, centreOfMass } = poseCart(cart, pose);
    expect(mass).toBe(56 + bag);
    for (const { loads } of pinned.positions) {
      expect(loads).toEqual({ bag: { least: bag, most: bag, mayBeAbsent: false } });
    }
    for (const { worst, id } of findings) {
      if (worst === null) continue;
      expect(worst.mass, id).toBeCloseTo(mass, EXACT);
      expect(worst.centreOfMass, id).toEqual(centreOfMass.map((at) => expect.closeTo(at, EXACT)));
      expect(worst.movers, id).toEqual(pose.movers);
      expect(worst.loads, id).toEqual(pose.loads);
    }
  });

  test('tips where its pose does with the castors turned the worst way', () => {
    const cart = simpleCart([0.05, 0, HEIGHT]);
    const pinned = pinnedAt(cart, startPose(cart, 'transport'));
    const { findings } = screenCart(pinned, SET, { only: ['overbalance-transport'] });
    expect(findings[0]?.capacity?.value).toBeCloseTo(Math.atan((0.25 - 0.05) / HEIGHT), EXACT);
  });
});

const NOTHING_PROVEN = { seed: 1, starts: 20, followed: 1, wanted: 1, firstBoxes: 0, gaps: [] };

describe('the pose of a worst configuration', () => {
  const cart = simpleCart([0.05, 0, HEIGHT]);
  const { findings } = checkCart(cart, SET, { effort: NOTHING_PROVEN });
  const finding = findings.find(({ id }) => id === 'overbalance-transport');

  test('stands on the incline of the capacity, or on the one asked', () => {
    if (finding === undefined) throw new Error('no such finding');
    const tips = poseOfWorst(cart, SET, finding);
    expect(tips?.incline?.angle).toBeCloseTo(Math.atan(0.2 / HEIGHT), EXACT);
    expect(tips?.incline?.downhill).toBeCloseTo(0, EXACT);
    // every castor turned against the line it tips over: contacts inward
    expect(Object.values(tips?.swivels ?? {})).toEqual(
      Array(4).fill(expect.closeTo(Math.PI, EXACT)),
    );
    const asked = poseOfWorst(cart, SET, finding, 'demand');
    expect(asked?.incline?.angle).toBe(finding.demand?.value);
  });

  test('there is none of a finding without a worst configuration', () => {
    const none = findings.find(({ worst }) => worst === null);
    if (none === undefined) throw new Error('no such finding');
    expect(poseOfWorst(cart, SET, none)).toBeNull();
  });

  test('is refused for a finding of another set', () => {
    if (finding === undefined) throw new Error('no such finding');
    expect(() => poseOfWorst(cart, SET, { ...finding, id: 'other' })).toThrow(/no clause other/);
  });

  test('a push that slants down is shown as a level part and one square to the floor', () => {
    // pushed at the edge of a top that stands 0.35 m out, 0.1 m beyond the line at 0.25 m
    const wide = simpleCart([0, 0, HEIGHT], {
      outline: [
        {
          name: 'top',
          on: null,
          shape: { kind: 'box', from: [-0.35, -0.35, 0.9], to: [0.35, 0.35, 1] },
          pushable: true,
        },
      ],
    });
    const report = checkCart(wide, SET, { effort: NOTHING_PROVEN });
    const pushed = report.findings.find(
      ({ id, worst }) =>
        worst !== null &&
        SET.clauses.some(
          (clause) => clause.id === id && clause.question.kind === 'horizontal force',
        ),
    );
    if (pushed === undefined) throw new Error('no such finding');
    const pose = poseOfWorst(wide, SET, pushed);
    // lever square to the arm: W d / sqrt(1 + 0.1^2), slant atan(0.1)
    const force = (50 * STANDARD_GRAVITY * 0.25) / Math.hypot(1, 0.1);
    expect(pose?.push?.force).toBeCloseTo(force * Math.cos(Math.atan(0.1)), 8);
    expect(pose?.press?.force).toBeCloseTo(force * Math.sin(Math.atan(0.1)), 8);
    if (pose === null) throw new Error('no pose');
    const { lines, stands } = poseCart(wide, pose);
    expect(stands).toBe(true);
    expect(Math.min(...lines.map(({ clearance }) => clearance))).toBeCloseTo(0, 9);
  });
});
