import { describe, expect, it } from 'vitest';
import type { SupportCastor, SupportPolygon } from '../../src/engine/support-polygon.js';
import {
  contactPolygon,
  leastReach,
  supportMargin,
  supportPolygon,
} from '../../src/engine/support-polygon.js';
import { seededRandom } from '../reference/random.js';

type Vec2 = readonly [number, number];

function castorsAt(stems: readonly Vec2[], trail: number | readonly number[]): SupportCastor[] {
  return stems.map((stem, i) => ({
    stem,
    trail: typeof trail === 'number' ? trail : (trail[i] as number),
  }));
}

/** Directions 4e-3 rad apart. */
const DIRECTIONS: readonly Vec2[] = Array.from({ length: 1571 }, (_, k) => {
  const angle = (2 * Math.PI * k) / 1571;
  return [Math.cos(angle), Math.sin(angle)];
});

/** Between two of the directions the least is missed by at most half a step times the distance
 * across the layouts below, sqrt 2: 3e-3. */
const BETWEEN = 3e-3;

/** Least over dense directions of max_i (n.s_i - t_i) - n.q: >= 0 exactly when q is always supported.
 * The definition, with nothing clever. */
function denseMargin(castors: readonly SupportCastor[]): (q: Vec2) => number {
  const reach = DIRECTIONS.map((n) => leastReach(castors, n));
  return (q) => {
    let least = Number.POSITIVE_INFINITY;
    DIRECTIONS.forEach((n, k) => {
      least = Math.min(least, (reach[k] as number) - n[0] * q[0] - n[1] * q[1]);
    });
    return least;
  };
}

const rectangle: readonly Vec2[] = [
  [0.25, 0.2],
  [0.25, -0.2],
  [-0.25, 0.2],
  [-0.25, -0.2],
];

function edges(polygon: SupportPolygon) {
  if (polygon.kind === 'empty') throw new Error('empty polygon');
  return polygon.edges;
}

describe('contacts that are where they are', () => {
  it('give their convex hull, with the castors of each side', () => {
    const polygon = contactPolygon(rectangle);
    const found = edges(polygon).map(({ offset, castors }) => [offset, ...[...castors].sort()]);
    expect(found).toHaveLength(4);
    expect(found).toContainEqual([0.25, 0, 1]);
    expect(found).toContainEqual([0.25, 2, 3]);
    expect(supportMargin(polygon, [0, 0])).toBeCloseTo(0.2, 12);
    expect(supportMargin(polygon, [0.3, 0])).toBeCloseTo(-0.05, 12);
  });

  it('inside, on a side, or given twice change nothing', () => {
    const polygon = contactPolygon([...rectangle, [0, 0.01], [0.25, 0], [0.25, 0.2]]);
    expect(edges(polygon)).toHaveLength(4);
    const front = edges(polygon).find(({ normal }) => normal[0] > 0.9);
    // Castor 6 stands on castor 0, castor 5 between 0 and 1.
    expect(front?.onLine).toEqual([0, 1, 5, 6]);
    expect(front?.line.map(([, y]) => y)).toEqual([
      expect.closeTo(-0.2, 9),
      expect.closeTo(0.2, 9),
    ]);
  });

  it('in a line, in one place, or fewer than three support nothing', () => {
    expect(contactPolygon([]).kind).toBe('empty');
    expect(contactPolygon([[1, 1]]).kind).toBe('empty');
    expect(
      contactPolygon([
        [0, 0],
        [1, 1],
      ]).kind,
    ).toBe('empty');
    expect(
      contactPolygon([
        [0.1, 0.1],
        [0.2, 0.2],
        [0.7, 0.7],
        [0.3, 0.3],
      ]).kind,
    ).toBe('empty');
    expect(
      contactPolygon([
        [1, 1],
        [1, 1],
        [1, 1],
      ]).kind,
    ).toBe('empty');
    expect(supportMargin(contactPolygon([]), [0, 0])).toBe(Number.NEGATIVE_INFINITY);
  });

  it('agree with the definition on 20 000 random points (seed 61)', () => {
    const random = seededRandom(61);
    let wrong = 0;
    for (let round = 0; round < 40; round++) {
      const stems = Array.from(
        { length: 3 + Math.floor(6 * random()) },
        (): Vec2 => [random(), random()],
      );
      const polygon = contactPolygon(stems);
      const definition = denseMargin(castorsAt(stems, 0));
      for (let sample = 0; sample < 500; sample++) {
        const q: Vec2 = [random(), random()];
        const dense = definition(q);
        const margin = supportMargin(polygon, q);
        if (margin > BETWEEN && dense < 0) wrong++;
        if (margin < -BETWEEN && dense > 0) wrong++;
      }
    }
    expect(wrong).toBe(0);
  });
});

describe('castors that may stand in any way', () => {
  it('of equal trail: every side of the hull of the stems moves in by the trail', () => {
    const random = seededRandom(62);
    for (let round = 0; round < 200; round++) {
      const stems = Array.from(
        { length: 3 + Math.floor(5 * random()) },
        (): Vec2 => [2 * random(), 2 * random()],
      );
      const hull = edges(contactPolygon(stems));
      const trail = 0.05 * random();
      const polygon = supportPolygon(castorsAt(stems, trail));
      for (let sample = 0; sample < 20; sample++) {
        const q: Vec2 = [2 * random(), 2 * random()];
        const shrunk = Math.min(
          ...hull.map(({ normal, offset }) => offset - trail - normal[0] * q[0] - normal[1] * q[1]),
        );
        // Outside, a side may have vanished in the one description; inside, the margins are equal.
        if (shrunk >= 0) expect(supportMargin(polygon, q)).toBeCloseTo(shrunk, 9);
        else expect(supportMargin(polygon, q)).toBeLessThan(0);
      }
    }
  });

  it('of unequal trails agree with the definition on 20 000 random points (seed 63)', () => {
    const random = seededRandom(63);
    let wrong = 0;
    let inside = 0;
    for (let round = 0; round < 40; round++) {
      const count = 3 + Math.floor(5 * random());
      const castors = Array.from({ length: count }, () => ({
        stem: [random(), random()] as const,
        trail: random() < 0.2 ? 0 : 0.2 * random(),
      }));
      const polygon = supportPolygon(castors);
      const definition = denseMargin(castors);
      for (let sample = 0; sample < 500; sample++) {
        const q: Vec2 = [random(), random()];
        const dense = definition(q);
        const margin = supportMargin(polygon, q);
        if (margin > BETWEEN && dense < 0) wrong++;
        if (margin < -BETWEEN && dense > 0) wrong++;
        if (margin > 0) inside++;
      }
    }
    expect(wrong).toBe(0);
    expect(inside).toBeGreaterThan(1000);
  });

  it('are never worse in any sampled stand, and as bad in the stand of each side (seed 64)', () => {
    const random = seededRandom(64);
    for (let round = 0; round < 60; round++) {
      const castors = Array.from({ length: 3 + Math.floor(4 * random()) }, () => ({
        stem: [random(), random()] as const,
        trail: 0.06 * random(),
      }));
      const polygon = supportPolygon(castors);
      if (polygon.kind === 'empty') continue;
      const [a, b, c] = polygon.vertices as readonly [Vec2, Vec2, Vec2];
      const q: Vec2 = [(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3];
      const always = supportMargin(polygon, q);
      for (let sample = 0; sample < 300; sample++) {
        const contacts = castors.map(({ stem, trail }): Vec2 => {
          const psi = 2 * Math.PI * random();
          return [stem[0] + trail * Math.cos(psi), stem[1] + trail * Math.sin(psi)];
        });
        // One stand supports q at least as far inside as all of them together, up to rounding.
        expect(supportMargin(contactPolygon(contacts), q)).toBeGreaterThan(always - 1e-9);
      }
      for (const edge of polygon.edges) {
        const reach = Math.max(
          ...edge.contacts.map((p) => edge.normal[0] * p[0] + edge.normal[1] * p[1]),
        );
        expect(reach).toBeCloseTo(edge.offset, 9);
        edge.contacts.forEach((contact, i) => {
          const { stem, trail } = castors[i] as SupportCastor;
          const psi = edge.swivels[i] as number;
          expect(contact[0]).toBeCloseTo(stem[0] + trail * Math.cos(psi), 12);
          expect(contact[1]).toBeCloseTo(stem[1] + trail * Math.sin(psi), 12);
        });
        for (const index of edge.castors) expect(edge.onLine).toContain(index);
      }
    }
  });

  it('nearly in line leave a thin polygon or none, never a wrong one', () => {
    const bent = (by: number): readonly Vec2[] => [
      [-0.4, 0.2],
      [0, 0.2 + by],
      [0.4, 0.2],
      [0, -0.2],
    ];
    for (const by of [1e-3, 1e-6, 1e-10, 0, -1e-10, -1e-6]) {
      const polygon = supportPolygon(castorsAt(bent(by), 0.03));
      const dense = denseMargin(castorsAt(bent(by), 0.03))([0, 0.1]);
      expect(Math.abs(supportMargin(polygon, [0, 0.1]) - dense)).toBeLessThan(BETWEEN);
    }
    const thin = castorsAt(
      [
        [-1, 0],
        [0, 0.05],
        [1, 0],
      ],
      0.03,
    );
    // The middle stem is 0.05 off the line and every contact may come 0.03 towards the other side.
    expect(supportPolygon(thin).kind).toBe('empty');
    expect(
      supportPolygon(
        castorsAt(
          [
            [-1, 0],
            [0, 0.2],
            [1, 0],
          ],
          0.03,
        ),
      ).kind,
    ).toBe('polygon');
  });

  it('with a trail as large as the spacing leave nothing', () => {
    expect(supportPolygon(castorsAt(rectangle, 0.2)).kind).toBe('empty');
    expect(supportPolygon(castorsAt(rectangle, 0.5)).kind).toBe('empty');
    expect(supportPolygon(castorsAt(rectangle, [0.01, 0.6, 0.6, 0.6])).kind).toBe('empty');
    expect(supportMargin(supportPolygon(castorsAt(rectangle, 0.199)), [0, 0])).toBeCloseTo(
      0.001,
      9,
    );
  });

  it('move, turn and scale with the layout (seed 65)', () => {
    const random = seededRandom(65);
    for (let round = 0; round < 50; round++) {
      const castors = Array.from({ length: 5 }, () => ({
        stem: [random(), random()] as const,
        trail: 0.08 * random(),
      }));
      const q: Vec2 = [0.2 + 0.6 * random(), 0.2 + 0.6 * random()];
      const margin = supportMargin(supportPolygon(castors), q);
      const [angle, dx, dy] = [7 * random(), 9 * random(), -9 * random()];
      const moved = ([x, y]: Vec2): Vec2 => [
        dx + x * Math.cos(angle) - y * Math.sin(angle),
        dy + x * Math.sin(angle) + y * Math.cos(angle),
      ];
      const there = supportPolygon(
        castors.map(({ stem, trail }) => ({ stem: moved(stem), trail })),
      );
      if (Number.isFinite(margin)) expect(supportMargin(there, moved(q))).toBeCloseTo(margin, 9);
      else expect(there.kind).toBe('empty');
      for (const scale of [1e-3, 1e3]) {
        const scaled = supportPolygon(
          castors.map(({ stem, trail }) => ({
            stem: [scale * stem[0], scale * stem[1]] as const,
            trail: scale * trail,
          })),
        );
        if (!Number.isFinite(margin)) continue;
        const there2 = supportMargin(scaled, [scale * q[0], scale * q[1]]);
        expect(there2 / scale).toBeCloseTo(margin, 9);
      }
    }
  });

  it('refuse numbers that are none', () => {
    expect(() => supportPolygon([{ stem: [0, Number.NaN], trail: 0 }])).toThrow(/NaN/);
    expect(() => supportPolygon([{ stem: [0, 0], trail: -0.01 }])).toThrow(/-0.01/);
  });
});
