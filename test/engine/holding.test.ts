/** The first force at which a cart moves, in one configuration: published values and invariants. */
import { describe, expect, it } from 'vitest';
import type { CastorInput } from '../../src/engine/castor.js';
import { settledContact } from '../../src/engine/castor.js';
import type { Contact, HoldingResult, LoadPath } from '../../src/engine/holding.js';
import {
  createPackedContacts,
  frictionFactorNeeded,
  holdingForce,
  packContacts,
  pathNumbers,
} from '../../src/engine/holding.js';
import { seededRandom } from '../reference/random.js';
import { randomProblem } from '../reference/random-contacts.js';

type Vec2 = readonly [number, number];

const INF = Number.POSITIVE_INFINITY;
const INCH = 0.0254;
/** Pound-force in newton: 0.45359237 kg at 9.80665 m/s2, exact by definition. */
const POUND_FORCE = 0.45359237 * 9.80665;
const DEGREE = Math.PI / 180;

/** The last smoothing stage leaves 5e-6 of the friction available; see holding.ts. */
const SMOOTHING = 1e-5;

/** `lower` is the smoothed forces' own sum: what the smoothing leaves out (5e-6 of the friction at
 * each castor) is multiplied where the loads grow with the force. Greatest of 5,000 random carts: 9e-5
 * of the friction available, for the sum and for its balance. */
const LOWER = 2e-4;

/** A support that holds alike in every direction. */
function foot([x, y]: Vec2, friction: number, change: Partial<Contact> = {}): Contact {
  return {
    contact: [x, y],
    grip: [x, y],
    direction: 0,
    friction,
    alongFixed: INF,
    alongPerNormal: 0,
    acrossFixed: INF,
    acrossPerNormal: 0,
    stiffness: 4e5,
    ...change,
  };
}

/** A support that carries but holds nothing. */
const caster = (place: Vec2): Contact => foot(place, 0);

function path(weight: number, change: Partial<LoadPath> = {}): LoadPath {
  return { weight, centre: [0, 0], direction: 0, point: [0, 0], height: 0, ...change };
}

function expectShare(value: number, expected: number, relative: number): void {
  expect(Math.abs(value - expected)).toBeLessThan(relative * Math.abs(expected));
}

describe('cabinet on castors', () => {
  // Beer & Johnston, Vector Mechanics: Statics, chapter on friction (castor spacing 24 in from
  // memory): 120 lb, weight centred, mu 0.30, pushed at 32 in. Half of the last printed digit.
  const half = 12 * INCH;
  const leading: readonly Vec2[] = [
    [half, 10 * INCH],
    [half, -10 * INCH],
  ];
  const trailing: readonly Vec2[] = [
    [-half, 10 * INCH],
    [-half, -10 * INCH],
  ];
  const pounds = (front: boolean, rear: boolean, inches: number): [number, string] => {
    const found = holdingForce(
      [
        ...leading.map((place) => (front ? foot(place, 0.3) : caster(place))),
        ...trailing.map((place) => (rear ? foot(place, 0.3) : caster(place))),
      ],
      path(120 * POUND_FORCE, { height: inches * INCH }),
    );
    return [found.force / POUND_FORCE, found.kind];
  };

  it.each([
    ['all locked', true, true, 36.0, 0.05],
    ['leading pair locked', true, false, 30.0, 0.05],
    ['trailing pair locked', false, true, 12.86, 0.005],
  ] as const)('%s', (_, front, rear, expected, digit) => {
    const [force, kind] = pounds(front, rear, 32);
    expect(kind).toBe('slips');
    expect(Math.abs(force - expected)).toBeLessThan(digit);
  });

  it('to the last digits it is statics: 36, 30 and 90 / 7 lb', () => {
    expectShare(pounds(true, true, 32)[0], 36, SMOOTHING);
    expectShare(pounds(true, false, 32)[0], 30, SMOOTHING);
    expectShare(pounds(false, true, 32)[0], 90 / 7, SMOOTHING);
  });

  it('all locked, 40 in is the highest push that does not tip it', () => {
    expect(pounds(true, true, 39.99)[1]).toBe('slips');
    const [force, kind] = pounds(true, true, 40.01);
    expect(kind).toBe('tips');
    expectShare(force, (120 * 12) / 40.01, 1e-9);
    expectShare(pounds(true, true, 40)[0], 36, SMOOTHING);
  });
});

describe('tip or slide', () => {
  // Mississippi State University, Visual Statics, friction examples 1-3: 250 lb, base 32 in.
  const crate = (mu: number, inches: number): HoldingResult => {
    const [half, width] = [16 * INCH, 30 * INCH];
    const corners: readonly Vec2[] = [
      [half, width],
      [half, -width],
      [-half, width],
      [-half, -width],
    ];
    return holdingForce(
      corners.map((corner) => foot(corner, mu)),
      path(250 * POUND_FORCE, { height: inches * INCH }),
    );
  };

  it('mu 0.3: 60 lb at 60 in rests; it would slide at 75 lb, tips at 66.67 in', () => {
    expect(crate(0.3, 60).force / POUND_FORCE).toBeGreaterThan(60);
    expectShare(crate(0.3, 0).force / POUND_FORCE, 75, SMOOTHING);
    const tipping = crate(0.3, 66.67);
    expect(tipping.kind).toBe('tips');
    expect(Math.abs(tipping.force / POUND_FORCE - 60)).toBeLessThan(0.005);
  });

  it('mu 0.25: slides at 62.5 lb', () => {
    const found = crate(0.25, 60);
    expect(found.kind).toBe('slips');
    expect(Math.abs(found.force / POUND_FORCE - 62.5)).toBeLessThan(0.05);
    expectShare(found.velocity[0], 1, 1e-9);
    expect(Math.abs(found.rotation)).toBeLessThan(1e-4);
  });

  it('mu 0.4 at 66 in: tips first, at 60.61 lb', () => {
    const found = crate(0.4, 66);
    expect(found.kind).toBe('tips');
    expect(Math.abs(found.force / POUND_FORCE - 60.61)).toBeLessThan(0.005);
  });
});

/** Limits of planar friction, F / (mu W), least over the centres of rotation. */
describe('planar friction (limit-surface theory: Goyal, Ruina, Papadopoulos, Wear 143, 1991)', () => {
  /** A rod of unit length as pairs of supports, each in the middle of its share. */
  const rodEnd = (pairs: number): number => {
    const contacts = Array.from({ length: pairs }, (_, i) => (i + 0.5) / pairs - 0.5).flatMap(
      (x) => [foot([x, 1e-3], 1), foot([x, -1e-3], 1)],
    );
    return holdingForce(contacts, path(1, { direction: Math.PI / 2, point: [0.5, 0] })).force;
  };

  it('a rod pushed across at its end: sqrt(2) - 1 = 0.4142', () => {
    // Pieces of length 1/n stand for a rod: the centre of rotation sees the piece that it is in as a
    // point, an error of at most (1/n)^2 / 4 in the mean distance of 0.3, i.e. 5e-5 for n = 64. The
    // two rows 2 mm apart add (1e-3)^2 ln / 0.3: 2e-5.
    expect(Math.abs(rodEnd(64) - (Math.SQRT2 - 1))).toBeLessThan(1e-4);
    expect(Math.abs(rodEnd(128) - 0.4142)).toBeLessThan(0.00005);
  });

  it('a disc, pure moment: (2/3) mu W R', () => {
    // 256 supports at equal areas on a spiral that never repeats a direction. The mean distance of
    // such points is 2/3 to 1e-5; a force of moment 1 at 1000 R adds a slip of that size: 1e-3
    // squared. Their centre of gravity is off by up to 2e-3 R, squared again.
    const n = 256;
    const golden = Math.PI * (3 - Math.sqrt(5));
    const spots = Array.from({ length: n }, (_, i): Vec2 => {
      const radius = Math.sqrt((i + 0.5) / n);
      return [radius * Math.cos(i * golden), radius * Math.sin(i * golden)];
    });
    const mean = (axis: 0 | 1): number => spots.reduce((sum, spot) => sum + spot[axis], 0) / n;
    const arm = 1000;
    const found = holdingForce(
      spots.map((spot) => foot(spot, 1)),
      path(1, { centre: [mean(0), mean(1)], point: [0, -arm] }),
    );
    expectShare(found.force * arm, 2 / 3, 1e-4);
  });

  it('four equal supports 0.6 x 0.5 m, pure moment: 0.39051 mu W', () => {
    const corners: readonly Vec2[] = [
      [0.3, 0.25],
      [0.3, -0.25],
      [-0.3, 0.25],
      [-0.3, -0.25],
    ];
    const arm = 1000;
    const found = holdingForce(
      corners.map((corner) => foot(corner, 0.5)),
      path(800, { point: [0, -arm] }),
    );
    expect(Math.abs((found.force * arm) / (0.5 * 800) - 0.39051)).toBeLessThan(0.00001);
    expectShare(1 / Math.abs(found.rotation), arm, 1e-3);
  });

  it.each([
    [0.6, 0.1923],
    [0.3, 0.3201],
    [0, 0.5],
  ])('two braked supports 0.5 m apart, push %f m off their line: %f', (off, expected) => {
    const supports = [
      foot([0.25, 0], 0.4),
      foot([-0.25, 0], 0.4),
      caster([0.25, -0.5]),
      caster([-0.25, -0.5]),
    ];
    for (const side of [1, -1]) {
      const found = holdingForce(
        supports,
        path(800, { centre: [0, -0.25], point: [0.1, side * off] }),
      );
      expect(Math.abs(found.force / (0.4 * 800) - expected)).toBeLessThan(0.00005);
    }
  });
});

/** Common practice, no source: two wheel-locking castors on one side of a cart usually fail the pull;
 * on opposite corners the same cart can pass; most go from two locking castors to four. */
describe('two wheel locks', () => {
  const stems: readonly Vec2[] = [
    [0.25, 0.23],
    [-0.25, 0.23],
    [0.25, -0.23],
    [-0.25, -0.23],
  ];
  const base: CastorInput = {
    at: [0, 0],
    wheelDiameter: 0.1,
    trail: 0.032,
    fixedDirection: null,
    lock: 'none',
    brakeTorque: null,
    lockDirections: null,
    swivelMoment: 0.3,
    rollingLength: 0.0022,
    stiffness: 4e5,
    friction: 0.6,
  };
  /** Force over weight, castors trailing straight behind the push, pushed at 0.8 m through the middle. */
  const held = (locked: readonly number[], degrees: number): number => {
    const heading = degrees * DEGREE;
    const contacts = stems.map((at, i) =>
      settledContact(
        { ...base, at, lock: locked.includes(i) ? 'wheel' : 'none' },
        heading + Math.PI,
      ),
    );
    return holdingForce(contacts, path(600, { direction: heading, height: 0.8 })).force / 600;
  };
  const headings = Array.from({ length: 24 }, (_, k) => 15 * k);

  it('on one side: holds 15 % pushed towards the locks, fails pulled away from them', () => {
    expect(held([0, 1], 90)).toBeGreaterThan(0.15);
    expect(held([0, 1], -90)).toBeLessThan(0.15);
  });

  it('on opposite corners the same cart holds 15 % every way', () => {
    for (const heading of headings) expect(held([0, 3], heading)).toBeGreaterThan(0.15);
  });

  it('four locks hold more than two, every way', () => {
    for (const heading of headings) {
      expect(held([0, 1, 2, 3], heading)).toBeGreaterThan(0.15);
      for (const two of [
        [0, 1],
        [0, 3],
      ])
        expect(held([0, 1, 2, 3], heading)).toBeGreaterThanOrEqual(held(two, heading));
    }
  });
});

describe('edges', () => {
  const corners: readonly Vec2[] = [
    [0.3, 0.25],
    [0.3, -0.25],
    [-0.3, 0.25],
    [-0.3, -0.25],
  ];

  it('without friction nothing is held', () => {
    const found = holdingForce(
      corners.map((corner) => foot(corner, 0)),
      path(500, { height: 0.8 }),
    );
    expect(found).toMatchObject({ kind: 'slips', force: 0 });
  });

  it('a load point outside the contacts is unsupported before any force', () => {
    const found = holdingForce(
      corners.map((corner) => foot(corner, 0.6)),
      path(500, { centre: [0.31, 0] }),
    );
    expect(found).toMatchObject({ kind: 'unsupported', force: 0, lower: 0 });
  });

  it('a push along the floor shifts no load', () => {
    const found = holdingForce(
      corners.map((corner) => foot(corner, 0.6)),
      path(500, { centre: [0.1, 0], direction: 1 }),
    );
    const shares = [1 + 1 / 3, 1 + 1 / 3, 1 - 1 / 3, 1 - 1 / 3];
    expect(found.kind).toBe('slips');
    shares.forEach((share, i) => {
      expectShare(found.normals[i] ?? Number.NaN, 125 * share, 1e-9);
    });
  });

  it('bad numbers are refused by name', () => {
    const feet = corners.map((corner) => foot(corner, 0.6));
    expect(() => holdingForce(feet.slice(0, 2), path(500))).toThrow(/2 contacts/);
    expect(() => holdingForce(feet, path(0))).toThrow(/weight 0/);
    expect(() => holdingForce(feet, path(500, { height: Number.NaN }))).toThrow(/height = NaN/);
    expect(() => holdingForce([...feet.slice(1), foot([0, INF], 0.6)], path(500))).toThrow(
      RangeError,
    );
  });
});

/** Figures in a frame turned by `angle` and moved by `shift`, lengths times `scale`, forces times
 * `load`. */
function transformed(
  contacts: readonly Contact[],
  load: LoadPath,
  angle: number,
  shift: Vec2,
  scale: number,
  forces: number,
): { readonly contacts: readonly Contact[]; readonly load: LoadPath } {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const place = ([x, y]: Vec2): Vec2 => [
    scale * (c * x - s * y) + shift[0],
    scale * (s * x + c * y) + shift[1],
  ];
  return {
    contacts: contacts.map((contact) => ({
      ...contact,
      contact: place(contact.contact),
      grip: place(contact.grip),
      direction: contact.direction + angle,
      alongFixed: forces * contact.alongFixed,
      acrossFixed: forces * contact.acrossFixed,
    })),
    load: {
      weight: forces * load.weight,
      centre: place(load.centre),
      direction: load.direction + angle,
      point: place(load.point),
      height: scale * load.height,
    },
  };
}

describe('invariants on random carts', () => {
  it('seed 54001: the forces found balance at `lower`, and lower <= force within the smoothing', () => {
    const random = seededRandom(54001);
    let slips = 0;
    for (let k = 0; k < 500; k += 1) {
      const { contacts, path: load } = randomProblem(random);
      const found = holdingForce(contacts, load);
      const available = contacts.reduce(
        (sum, c, i) => sum + c.friction * (found.normals[i] ?? 0),
        0,
      );
      expect(found.lower, `cart ${k}`).toBeLessThanOrEqual(found.force);
      if (found.kind !== 'slips') continue;
      slips += 1;
      expect(found.force - found.lower, `cart ${k}`).toBeLessThan(LOWER * available);
      let along = 0;
      let across = 0;
      let yaw = 0;
      const [dx, dy] = [Math.cos(load.direction), Math.sin(load.direction)];
      found.grips.forEach(([fx, fy], i) => {
        const [x, y] = contacts[i]?.grip ?? [0, 0];
        along += fx * dx + fy * dy;
        across += fy * dx - fx * dy;
        yaw += (x - load.point[0]) * fy - (y - load.point[1]) * fx;
      });
      const balanced = LOWER * available;
      expect(Math.abs(along + found.lower), `cart ${k}`).toBeLessThan(balanced);
      expect(Math.abs(across), `cart ${k}`).toBeLessThan(balanced);
      expect(Math.abs(yaw), `cart ${k}`).toBeLessThan(balanced);
    }
    expect(slips).toBeGreaterThan(300);
  });

  it('seed 54002: turning, moving and scaling a cart', () => {
    const random = seededRandom(54002);
    for (let k = 0; k < 200; k += 1) {
      const { contacts, path: load } = randomProblem(random);
      const before = holdingForce(contacts, load);
      const scale = 10 ** (2 * random() - 1);
      const forces = 10 ** (2 * random() - 1);
      const shift: Vec2 = [4 * random() - 2, 4 * random() - 2];
      const moved = transformed(contacts, load, 2 * Math.PI * random(), shift, scale, forces);
      const after = holdingForce(moved.contacts, moved.load);
      expect(after.kind, `cart ${k}`).toBe(before.kind);
      // Both stop within the smoothing of the same figure.
      const slack = SMOOTHING * load.weight;
      expect(Math.abs(after.force / forces - before.force), `cart ${k}`).toBeLessThan(slack);
    }
  });

  it('seed 54003: more friction never holds less', () => {
    const random = seededRandom(54003);
    for (let k = 0; k < 200; k += 1) {
      const { contacts, path: load } = randomProblem(random);
      const forces = [0.5, 0.8, 1, 1.25, 2].map(
        (factor) =>
          holdingForce(
            contacts.map((contact) => ({ ...contact, friction: factor * contact.friction })),
            load,
          ).force,
      );
      for (let i = 1; i < forces.length; i += 1)
        expect((forces[i] ?? 0) - (forces[i - 1] ?? 0), `cart ${k}`).toBeGreaterThan(
          -SMOOTHING * load.weight,
        );
    }
  });

  it('seed 54004: the friction factor needed holds the demand, and a little less does not', () => {
    const random = seededRandom(54004);
    const packed = createPackedContacts(16);
    let finite = 0;
    let none = 0;
    for (let k = 0; k < 300; k += 1) {
      const { contacts, path: load } = randomProblem(random);
      const demand = load.weight * (0.03 + 0.2 * random());
      packContacts(contacts, packed);
      const factor = frictionFactorNeeded(packed, pathNumbers(load), demand);
      const held = (times: number): number =>
        holdingForce(
          contacts.map((contact) => ({ ...contact, friction: times * contact.friction })),
          load,
        ).force;
      // A factor off by 1e-3 moves the force by 1e-3 of what friction gives, far above the smoothing.
      if (factor === INF) {
        none += 1;
        expect(held(8), `cart ${k}`).toBeLessThan(demand * (1 + 1e-4));
      } else if (factor < 8) {
        finite += 1;
        expect(held(factor * (1 + 1e-3)), `cart ${k}`).toBeGreaterThan(demand * (1 - 1e-5));
        expect(held(factor * (1 - 1e-3)), `cart ${k}`).toBeLessThan(demand * (1 + 1e-5));
      }
    }
    expect(finite).toBeGreaterThan(100);
    expect(none).toBeGreaterThan(10);
  });
});
