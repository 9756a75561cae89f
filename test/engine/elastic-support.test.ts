/** How the weight divides over the castors: closed forms, balance, and every set of castors tried. */
import { describe, expect, it } from 'vitest';
import type { SupportArrays } from '../../src/engine/elastic-support.js';
import { invertSupport, solveSupport } from '../../src/engine/elastic-support.js';
import { elasticLoads } from '../reference/elastic-loads.js';
import { seededRandom } from '../reference/random.js';
import { insetOf } from '../reference/random-contacts.js';

type Vec2 = readonly [number, number];

/** Share of the weight: a 3 x 3 system in doubles whose condition is some hundreds at most here. */
const ROUNDING = 1e-11;

function arraysOf(places: readonly Vec2[], stiffness: readonly number[]): SupportArrays {
  return {
    count: places.length,
    x: Float64Array.from(places, ([x]) => x),
    y: Float64Array.from(places, ([, y]) => y),
    stiffness: Float64Array.from(stiffness),
  };
}

interface Solved {
  readonly normals: readonly number[];
  readonly active: readonly number[];
}

function solve(
  places: readonly Vec2[],
  stiffness: readonly number[],
  weight: number,
  point: Vec2,
): Solved | null {
  const support = arraysOf(places, stiffness);
  const active = new Uint8Array(places.length);
  const u = new Float64Array(3);
  const [x, y] = point;
  const inverse = new Float64Array(6);
  if (!solveSupport(support, weight, weight * x, weight * y, active, inverse, u)) return null;
  const normals = places.map(([px, py], i) =>
    active[i] === 1 ? (stiffness[i] ?? 0) * ((u[0] ?? 0) + (u[1] ?? 0) * px + (u[2] ?? 0) * py) : 0,
  );
  return { normals, active: [...active] };
}

function expectLoads(solved: Solved | null, expected: readonly number[], weight: number): void {
  expect(solved).not.toBeNull();
  expected.forEach((load, i) => {
    expect(Math.abs((solved?.normals[i] ?? Number.NaN) - load)).toBeLessThan(ROUNDING * weight);
  });
}

const square = (half: number): readonly Vec2[] => [
  [half, half],
  [half, -half],
  [-half, half],
  [-half, -half],
];

describe('closed forms', () => {
  it('three castors: the lever rule, whatever the springs', () => {
    const places: readonly Vec2[] = [
      [0.4, 0],
      [-0.2, 0.3],
      [-0.2, -0.3],
    ];
    // Load point = 0.5 first + 0.3 second + 0.2 third.
    const point: Vec2 = [0.2 - 0.1, 0.09 - 0.06];
    expectLoads(solve(places, [1e5, 1e5, 1e5], 600, point), [300, 180, 120], 600);
    expectLoads(solve(places, [1e5, 7e5, 2e4], 600, point), [300, 180, 120], 600);
  });

  it('a rectangle of equal castors: W/4 (1 + qx x/a^2 + qy y/b^2)', () => {
    const [a, b] = [0.3, 0.25];
    const places: readonly Vec2[] = [
      [a, b],
      [a, -b],
      [-a, b],
      [-a, -b],
    ];
    const [qx, qy] = [0.06, -0.04];
    const expected = places.map(([x, y]) => 200 * (1 + (qx * x) / a ** 2 + (qy * y) / b ** 2));
    expectLoads(solve(places, [4e5, 4e5, 4e5, 4e5], 800, [qx, qy]), expected, 800);
  });

  it('a stiff and a soft diagonal share a centred weight as their stiffness', () => {
    const solved = solve(square(0.3), [3e5, 1e5, 1e5, 3e5], 800, [0, 0]);
    expectLoads(solved, [300, 100, 100, 300], 800);
  });

  it('a castor that lifts carries nothing, and the other three go by statics', () => {
    const half = 0.3;
    const e = 0.24;
    // On the diagonal at (e, e), e > half / 2: W e/half on the near corner, the rest on the sides.
    const solved = solve(square(half), [4e5, 4e5, 4e5, 4e5], 500, [e, e]);
    expectLoads(solved, [400, 50, 50, 0], 500);
    expect(solved?.active).toEqual([1, 1, 1, 0]);
  });

  it('at the very point of lifting the load is nil and passes on without a jump', () => {
    const half = 0.3;
    const at = (e: number): Solved | null => solve(square(half), [4e5, 4e5, 4e5, 4e5], 500, [e, e]);
    expectLoads(at(half / 2), [250, 125, 125, 0], 500);
    // Loads change by W / half per metre at most: 1e-9 m moves them by 2e-6 N.
    for (const e of [half / 2 - 1e-9, half / 2 + 1e-9])
      (at(e)?.normals ?? []).forEach((load, i) => {
        expect(Math.abs(load - ([250, 125, 125, 0][i] ?? Number.NaN))).toBeLessThan(5e-6);
      });
  });
});

describe('no support', () => {
  it('a load point outside is refused, one just inside is carried', () => {
    const springs = [4e5, 4e5, 4e5, 4e5];
    expect(solve(square(0.3), springs, 500, [0.3 + 1e-6, 0])).toBeNull();
    expect(solve(square(0.3), springs, 500, [1.5, 1.2])).toBeNull();
    const inside = solve(square(0.3), springs, 500, [0.3 - 1e-6, 0.1]);
    expect(inside).not.toBeNull();
    expect(Math.min(...(inside?.normals ?? [-1]))).toBeGreaterThanOrEqual(0);
  });

  it('castors in a line cannot be inverted', () => {
    const line = arraysOf(
      [
        [0, 0],
        [0.2, 0.1],
        [0.4, 0.2],
      ],
      [1e5, 1e5, 1e5],
    );
    expect(invertSupport(line, Uint8Array.of(1, 1, 1), new Float64Array(6))).toBe(false);
    expect(invertSupport(line, Uint8Array.of(0, 0, 0), new Float64Array(6))).toBe(false);
  });
});

interface Drawn {
  readonly places: readonly Vec2[];
  readonly stiffness: readonly number[];
  readonly weight: number;
  readonly point: Vec2;
}

/** 3 to 8 castors anywhere within 0.5 m, springs to a ratio of 20, the load point inside their hull,
 * now and then close to its rim. */
function draw(random: () => number): Drawn {
  for (;;) {
    const count = 3 + Math.floor(6 * random());
    const places = Array.from({ length: count }, (): Vec2 => [random() - 0.5, random() - 0.5]);
    const shares = places.map(() => (random() < 0.3 ? 1e-3 : 1) * -Math.log(1 - random()));
    const sum = shares.reduce((total, share) => total + share, 0);
    const mean = (axis: 0 | 1): number =>
      places.reduce((total, place, i) => total + ((shares[i] ?? 0) / sum) * place[axis], 0);
    const point: Vec2 = [mean(0), mean(1)];
    if (insetOf(point, places) < 1e-3) continue;
    const stiffness = places.map(() => 5e4 * 20 ** random());
    return { places, stiffness, weight: 100 + 1900 * random(), point };
  }
}

/** Nearly flat triangles lose digits: with the load point 1 mm inside, up to four of them. */
const RANDOM_ROUNDING = 1e-8;

describe('random carts', () => {
  it('seed 52001: 2,000 supports balance, press where they carry, and match every set tried', () => {
    const random = seededRandom(52001);
    let lifted = 0;
    for (let k = 0; k < 2000; k += 1) {
      const { places, stiffness, weight, point } = draw(random);
      const solved = solve(places, stiffness, weight, point);
      const what = `support ${k}`;
      expect(solved, what).not.toBeNull();
      const normals = solved?.normals ?? [];
      const slack = RANDOM_ROUNDING * weight;
      const sum = (of: (i: number) => number): number =>
        normals.reduce((total, load, i) => total + load * of(i), 0);
      expect(Math.abs(sum(() => 1) - weight), what).toBeLessThan(slack);
      expect(Math.abs(sum((i) => places[i]?.[0] ?? 0) - weight * point[0]), what).toBeLessThan(
        slack,
      );
      expect(Math.abs(sum((i) => places[i]?.[1] ?? 0) - weight * point[1]), what).toBeLessThan(
        slack,
      );
      expect(Math.min(...normals), what).toBeGreaterThan(-slack);
      const reference = elasticLoads(
        places.map((contact, i) => ({ contact, stiffness: stiffness[i] ?? 0 })),
        weight,
        [weight * point[0], weight * point[1]],
      );
      expect(reference, what).not.toBeNull();
      normals.forEach((load, i) => {
        expect(Math.abs(load - (reference?.[i] ?? Number.NaN)), what).toBeLessThan(slack);
      });
      if ((solved?.active ?? []).includes(0)) lifted += 1;
    }
    expect(lifted).toBeGreaterThan(500);
  });

  it('seed 52002: turning, moving and scaling a cart do not change its shares', () => {
    const random = seededRandom(52002);
    for (let k = 0; k < 300; k += 1) {
      const { places, stiffness, weight, point } = draw(random);
      const angle = 2 * Math.PI * random();
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      const [dx, dy, scale] = [2 * random() - 1, 2 * random() - 1, 10 ** (2 * random() - 1)];
      const moved = ([x, y]: Vec2): Vec2 => [
        scale * (c * x - s * y) + dx,
        scale * (s * x + c * y) + dy,
      ];
      const before = solve(places, stiffness, weight, point)?.normals ?? [];
      const after =
        solve(
          places.map(moved),
          stiffness.map((spring) => 7 * spring),
          3 * weight,
          moved(point),
        )?.normals ?? [];
      expect(after).toHaveLength(before.length);
      after.forEach((load, i) => {
        expect(Math.abs(load / 3 - (before[i] ?? Number.NaN))).toBeLessThan(
          RANDOM_ROUNDING * weight,
        );
      });
    }
  });
});
