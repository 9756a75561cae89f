import { describe, expect, it } from 'vitest';
import {
  functionalLower,
  momentRanges,
  pointLower,
  pointRange,
} from '../../src/engine/mass-bounds.js';
import type { MassModel } from '../../src/engine/mass-model.js';
import { buildMassModel, momentsAt, pointAt } from '../../src/engine/mass-model.js';
import type { RandomTree } from '../reference/configurations.js';
import { randomTree, randomValue } from '../reference/configurations.js';
import { seededRandom } from '../reference/random.js';

interface Box {
  readonly lo: Float64Array;
  readonly hi: Float64Array;
}

/** Movers from about -2 to 2, up to `scale` * 4 wide, one in five fixed; loads 0 to 5 kg. */
function randomBox(random: () => number, model: MassModel, scale: number): Box {
  const lo = new Float64Array(model.variableCount);
  const hi = new Float64Array(model.variableCount);
  for (let v = 0; v < lo.length; v++) {
    const load = v >= model.moverCount;
    lo[v] = load ? 2 * random() : 4 * random() - 2;
    hi[v] = (lo[v] as number) + (random() < 0.2 ? 0 : (load ? 3 : 4) * scale * random());
  }
  return { lo, hi };
}

function draw(random: () => number, { lo, hi }: Box, x: Float64Array): void {
  for (let v = 0; v < x.length; v++) {
    x[v] = randomValue(random, lo[v] as number, hi[v] as number);
  }
}

/** Depth of free turns on each other: 0 none, 1 side by side, 2 or more nested. */
function freeTurnDepth(tree: RandomTree, { lo, hi }: Box): number {
  const depth = (name: string | null): number => {
    const index = tree.movers.findIndex((mover) => mover.name === name);
    const mover = tree.movers[index];
    if (mover === undefined) return 0;
    const free = mover.kind === 'turn' && (lo[index] as number) < (hi[index] as number);
    return depth(mover.on) + (free ? 1 : 0);
  };
  return Math.max(0, ...tree.movers.map(({ name }) => depth(name)));
}

const functional = (random: () => number): [number, number, number, number] => [
  2 * random() - 1,
  2 * random() - 1,
  2 * random() - 1,
  2 * random() - 1,
];

describe('the lower bound of a functional', () => {
  it('is below every sampled configuration, 600 boxes of 400 samples (seed 21)', () => {
    const random = seededRandom(21);
    const out = new Float64Array(4);
    for (let round = 0; round < 600; round++) {
      const model = buildMassModel(randomTree(random, 5, 3));
      const box = randomBox(random, model, [1, 0.1, 0.01][round % 3] as number);
      const [a, bx, by, bz] = functional(random);
      const bound = functionalLower(model, box.lo, box.hi, a, bx, by, bz);
      const x = new Float64Array(model.variableCount);
      let least = Number.POSITIVE_INFINITY;
      for (let sample = 0; sample < 400; sample++) {
        draw(random, box, x);
        momentsAt(model, x, out);
        const [mass, mx, my, mz] = out as unknown as [number, number, number, number];
        least = Math.min(least, a * mass + bx * mx + by * my + bz * mz);
      }
      expect(least).toBeGreaterThanOrEqual(bound);
    }
  });

  it('is attained at a corner when nothing turns: slides, loads and their products (seed 22)', () => {
    const random = seededRandom(22);
    const out = new Float64Array(4);
    for (let round = 0; round < 200; round++) {
      const tree = randomTree(random, 4, 3);
      const model = buildMassModel({
        ...tree,
        movers: tree.movers.map((mover) => ({ ...mover, kind: 'slide' as const })),
      });
      const { lo, hi } = randomBox(random, model, 1);
      const [a, bx, by, bz] = functional(random);
      const bound = functionalLower(model, lo, hi, a, bx, by, bz);
      let least = Number.POSITIVE_INFINITY;
      for (let corner = 0; corner < 2 ** model.variableCount; corner++) {
        const x = lo.map((low, v) => ((corner >> v) & 1 ? (hi[v] as number) : low));
        momentsAt(model, x, out);
        const [mass, mx, my, mz] = out as unknown as [number, number, number, number];
        least = Math.min(least, a * mass + bx * mx + by * my + bz * mz);
      }
      expect(least).toBeGreaterThanOrEqual(bound);
      // The stated slack is 2^-43 of the terms, here at most 50 kg times 30 m.
      expect(least - bound).toBeLessThan(1e-9);
    }
  });

  it('is the amplitude for one free turn: A + B cos q + C sin q in closed form', () => {
    const model = buildMassModel({
      parts: [
        { mass: 20, at: [0, 0, 0.2], on: null },
        { mass: 4, at: [0.8, 0, 1], on: 'arm' },
      ],
      movers: [{ name: 'arm', kind: 'turn', on: null, origin: [0.3, 0, 0], axis: [0, 0, 1] }],
      loads: [],
    });
    const over = (from: number, to: number): number =>
      functionalLower(model, Float64Array.of(from), Float64Array.of(to), 0, -1, 0, 0);
    // Mx = 4 (0.3 + 0.5 cos q), greatest where the range comes nearest to straight ahead.
    const expected = (q: number): number => -4 * (0.3 + 0.5 * Math.cos(q));
    expect(over(-1, 2)).toBeCloseTo(expected(0), 10);
    expect(over(0.5, 2)).toBeCloseTo(expected(0.5), 10);
    expect(over(-2, -0.7)).toBeCloseTo(expected(-0.7), 10);
    expect(over(3, 3 + 2 * Math.PI)).toBeCloseTo(expected(0), 10);
    expect(over(5, 20)).toBeCloseTo(expected(0), 10);
  });

  it.each([
    // For a box a tenth as wide the error falls to a hundredth for nested turns alone (second order)
    // and to a tenth while a load or slide under a turn is undecided (first order); a third of that
    // is asked, since the sampled least value is not quite the least.
    { loads: 0, slides: false, factor: 30 },
    { loads: 3, slides: true, factor: 3 },
  ])('tightens with the box: $loads loads, at least $factor times each (seed 23)', (setting) => {
    const random = seededRandom(23);
    const out = new Float64Array(4);
    const gaps = [0, 0, 0];
    for (let round = 0; round < 60; round++) {
      const tree = randomTree(random, 4, setting.loads);
      const model = buildMassModel({
        ...tree,
        movers: tree.movers.map((m) => ({
          ...m,
          kind: setting.slides ? m.kind : ('turn' as const),
        })),
      });
      const middle = randomBox(random, model, 1).lo;
      const [a, bx, by, bz] = functional(random);
      [0.1, 0.01, 0.001].forEach((half, level) => {
        const lo = middle.map((m) => m - half * Math.min(1, Math.abs(m)));
        const hi = middle.map((m) => m + half * Math.min(1, Math.abs(m)));
        const x = new Float64Array(model.variableCount);
        let least = Number.POSITIVE_INFINITY;
        for (let sample = 0; sample < 2000; sample++) {
          draw(random, { lo, hi }, x);
          momentsAt(model, x, out);
          const [mass, mx, my, mz] = out as unknown as [number, number, number, number];
          least = Math.min(least, a * mass + bx * mx + by * my + bz * mz);
        }
        gaps[level] =
          (gaps[level] as number) + least - functionalLower(model, lo, hi, a, bx, by, bz);
      });
    }
    const [wide, narrow, narrowest] = gaps as [number, number, number];
    // 60 times the stated slack of 2^-43 of terms up to some 1000 remains however narrow the box.
    const slack = 1e-8;
    expect((narrow - slack) * setting.factor).toBeLessThan(wide);
    expect((narrowest - slack) * setting.factor).toBeLessThan(narrow);
  });

  it('turns with the drawing and scales with its units (seed 24)', () => {
    const random = seededRandom(24);
    for (let round = 0; round < 100; round++) {
      const tree = randomTree(random, 4, 2);
      const model = buildMassModel(tree);
      const { lo, hi } = randomBox(random, model, 0.3);
      const [a, bx, by, bz] = functional(random);
      const bound = functionalLower(model, lo, hi, a, bx, by, bz);
      // A quarter turn about z is exact in floating point.
      const turned = buildMassModel(mapped(tree, ([x, y, z]) => [-y, x, z], 1));
      const size = 100;
      // Interval products are not invariant under rotation in general, but a quarter turn only
      // renames the axes, so nothing but rounding changes.
      expect(Math.abs(functionalLower(turned, lo, hi, a, -by, bx, bz) - bound)).toBeLessThan(
        1e-11 * size,
      );
      for (const scale of [1e-3, 1e3]) {
        const scaled = buildMassModel(mapped(tree, (v) => v, scale));
        const stretch = (values: Float64Array): Float64Array =>
          values.map((q, v) => (tree.movers[v]?.kind === 'slide' ? q * scale : q));
        const there = functionalLower(
          scaled,
          stretch(lo),
          stretch(hi),
          a,
          bx / scale,
          by / scale,
          bz / scale,
        );
        expect(Math.abs(there - bound)).toBeLessThan(1e-10 * size);
      }
    }
  });

  it('covers every angle and mass exactly when all are fixed', () => {
    const model = buildMassModel(randomTree(seededRandom(25), 5, 3));
    const x = new Float64Array(model.variableCount).fill(0.7);
    const out = new Float64Array(4);
    momentsAt(model, x, out);
    expect(functionalLower(model, x, x, 0, 1, 0, 0)).toBeCloseTo(out[1] as number, 9);
    expect(functionalLower(model, x, x, 1, 0, 0, 0)).toBeCloseTo(out[0] as number, 9);
  });
});

describe('ranges', () => {
  it('of moments and points hold every sample, nested turns about all directions (seed 26)', () => {
    const random = seededRandom(26);
    const out = new Float64Array(4);
    const [lo4, hi4] = [new Float64Array(4), new Float64Array(4)];
    const [lo3, hi3, place] = [new Float64Array(3), new Float64Array(3), new Float64Array(3)];
    let nested = 0;
    let outside = 0;
    for (let round = 0; round < 300; round++) {
      const tree = randomTree(random, 5, 2);
      const model = buildMassModel(tree);
      const box = randomBox(random, model, [1, 0.1, 0.01][round % 3] as number);
      if (freeTurnDepth(tree, box) > 1) nested++;
      const mover = Math.floor(random() * (model.moverCount + 1)) - 1;
      const p = [random(), random(), random()] as const;
      momentRanges(model, box.lo, box.hi, lo4, hi4);
      pointRange(model, box.lo, box.hi, mover, p, lo3, hi3);
      const x = new Float64Array(model.variableCount);
      for (let sample = 0; sample < 200; sample++) {
        draw(random, box, x);
        momentsAt(model, x, out);
        pointAt(model, x, mover, p, place);
        for (let i = 0; i < 4; i++) {
          const value = out[i] as number;
          if (value < (lo4[i] as number) || value > (hi4[i] as number)) outside++;
        }
        for (let i = 0; i < 3; i++) {
          const value = place[i] as number;
          if (value < (lo3[i] as number) || value > (hi3[i] as number)) outside++;
        }
      }
    }
    expect(outside).toBe(0);
    expect(nested).toBeGreaterThan(50);
  });

  it('of a point on one free turn are exact', () => {
    const model = buildMassModel({
      parts: [],
      movers: [{ name: 'arm', kind: 'turn', on: null, origin: [0, 0, 0], axis: [0, 0, 1] }],
      loads: [],
    });
    const lower = (bx: number, by: number): number =>
      pointLower(model, Float64Array.of(0.2), Float64Array.of(2), 0, [0.5, 0, 1], bx, by, 0);
    expect(lower(1, 0)).toBeCloseTo(0.5 * Math.cos(2), 12);
    expect(lower(-1, 0)).toBeCloseTo(-0.5 * Math.cos(0.2), 12);
    expect(lower(0, -1)).toBeCloseTo(-0.5, 12);
  });
});

function mapped(
  tree: RandomTree,
  turn: (v: readonly [number, number, number]) => readonly [number, number, number],
  scale: number,
): RandomTree {
  const place = (v: readonly [number, number, number]): readonly [number, number, number] => {
    const [x, y, z] = turn(v);
    return [x * scale, y * scale, z * scale];
  };
  return {
    movers: tree.movers.map((m) => ({ ...m, origin: place(m.origin), axis: turn(m.axis) })),
    parts: tree.parts.map((part) => ({ ...part, at: place(part.at) })),
    loads: tree.loads.map((load) => ({ ...load, at: place(load.at) })),
  };
}
