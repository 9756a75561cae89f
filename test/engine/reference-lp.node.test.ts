/**
 * The LP reference checked on its own, before anything is compared with it: closed forms and
 * published values for the same questions.
 */
import { beforeAll, describe, expect, test, vi } from 'vitest';
import type { Highs } from '../reference/lp-holding.js';
import {
  evenAngles,
  freshSolver,
  loadLpSolver,
  lpBracket,
  normalPieces,
  sharpBracket,
  warmSolver,
} from '../reference/lp-holding.js';
import { seededRandom } from '../reference/random.js';
import type { ReferenceContact, ReferencePath, Vec2 } from '../reference/random-contacts.js';
import { randomProblem } from '../reference/random-contacts.js';

/** ms; the slowest takes 2 s alone on one core, more beside other tests */
vi.setConfig({ testTimeout: 60_000 });

let highs: Highs;
beforeAll(async () => {
  highs = await loadLpSolver();
});

const foot = (at: Vec2, friction: number, more: Partial<ReferenceContact> = {}) => ({
  contact: at,
  grip: at,
  direction: 0,
  friction,
  alongFixed: Number.POSITIVE_INFINITY,
  alongPerNormal: 0,
  acrossFixed: Number.POSITIVE_INFINITY,
  acrossPerNormal: 0,
  stiffness: 1e5,
  ...more,
});
const free = { alongFixed: 0, acrossFixed: 0 };
const push = (more: Partial<ReferencePath>): ReferencePath => ({
  weight: 1,
  centre: [0, 0],
  direction: 0,
  point: [0, 0],
  height: 0,
  ...more,
});

function expectTruth(
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  truth: number,
  precision: number,
): void {
  const { coarse, sharp } = sharpBracket(highs, contacts, path);
  // Both brackets hold the truth to the digits it is known to, and the sharp one pins it.
  for (const bracket of [coarse, sharp]) {
    expect(bracket.low.force).toBeLessThanOrEqual(truth + precision);
    expect(bracket.high.force).toBeGreaterThanOrEqual(truth - precision);
  }
  // 2e-8 of the weight: the width asked of the sharp bracket, twice.
  expect(sharp.high.force - sharp.low.force).toBeLessThan(2e-8 * path.weight);
  expect(Math.abs(sharp.low.force - truth)).toBeLessThan(precision + 2e-8 * path.weight);
  // 32 even sides: inscribed and circumscribed differ by cos(pi / 32) where N does not change.
  if (path.height === 0) {
    expect(coarse.low.force).toBeGreaterThan(0.99518 * coarse.high.force - 1e-8 * path.weight);
  }
}

describe('planar friction limits (Goyal, Ruina, Papadopoulos 1991), F / (mu W)', () => {
  test('four equal supports 0.6 x 0.5 m: a couple of 0.39051 m', () => {
    const corners: Vec2[] = [
      [0.3, 0.25],
      [0.3, -0.25],
      [-0.3, 0.25],
      [-0.3, -0.25],
    ];
    // A push 1 km from the centre is a couple but for 4e-4 of the moment arm, which goes in squared.
    const arm = 1000;
    const path = push({ direction: Math.PI / 2, point: [arm, 0] });
    const { sharp } = sharpBracket(
      highs,
      corners.map((c) => foot(c, 0.5)),
      path,
    );
    expect((sharp.low.force * arm) / 0.5).toBeCloseTo(0.39051, 4);
    // Half the diagonal is the exact arm.
    expect((sharp.high.force * arm) / 0.5).toBeCloseTo(Math.hypot(0.3, 0.25), 4);
  });

  test('two braked supports 0.5 m apart carrying half, push beside their line', () => {
    // Free pair behind carries the other half; braked pair at x = 0, push along y.
    const contacts = [
      foot([0, 0.25], 1),
      foot([0, -0.25], 1),
      foot([-1, 0.25], 1, free),
      foot([-1, -0.25], 1, free),
    ];
    const at = (offset: number) =>
      push({ centre: [-0.5, 0], direction: Math.PI / 2, point: [offset, 0] });
    // Half the last printed digit.
    expectTruth(contacts, at(0.6), 0.1923, 0.5e-4);
    expectTruth(contacts, at(0.3), 0.3201, 0.5e-4);
    expectTruth(contacts, at(0), 0.5, 1e-7);
  });

  test('rod pushed across at its end: 0.4142, from many supports', () => {
    const count = 16;
    const contacts = Array.from({ length: count }, (_, i) =>
      // A hair off the line, so that they stand; equal loads by equal springs and a centred weight.
      foot([(i + 0.5) / count - 0.5, i % 4 === 0 || i % 4 === 3 ? 1e-3 : -1e-3], 1),
    );
    const path = push({ direction: Math.PI / 2, point: [0.5, 0] });
    const { sharp } = sharpBracket(highs, contacts, path, 1e-6);
    // 16 point supports stand for the rod to the square of their spacing, (1/16)^2.
    expect(sharp.low.force).toBeGreaterThan(Math.SQRT2 - 1 - 1 / 256);
    expect(sharp.high.force).toBeLessThan(Math.SQRT2 - 1 + 1 / 256);
  });
});

describe('cabinet on castors (Beer & Johnston, Statics; spacing 24 in from memory)', () => {
  // 120 lb, mu 0.30, pushed to the right at 32 in; inches and pounds throughout.
  const cabinet = (leading: Partial<ReferenceContact>, trailing: Partial<ReferenceContact>) => [
    foot([12, 10], 0.3, leading),
    foot([12, -10], 0.3, leading),
    foot([-12, 10], 0.3, trailing),
    foot([-12, -10], 0.3, trailing),
  ];
  const path = push({ weight: 120, height: 32 });
  test.each([
    ['all locked', {}, {}, 36],
    ['leading pair locked', {}, free, 30],
    ['trailing pair locked', free, {}, 90 / 7],
  ])('%s', (_, leading, trailing, truth) => {
    expectTruth(cabinet(leading, trailing), path, truth, 1e-5);
  });

  test('all locked: tips first from 40 in on', () => {
    // 120 lb x 12 in / 40 in = 36 lb, the friction limit.
    expect(normalPieces(cabinet({}, {}), push({ weight: 120, height: 40 })).tip).toBeCloseTo(36, 6);
    const above = push({ weight: 120, height: 40.1 });
    const bracket = lpBracket(highs, cabinet({}, {}), above);
    expect(bracket.high.kind).toBe('tips');
    expect(bracket.high.force).toBeCloseTo((120 * 12) / 40.1, 6);
  });
});

describe('normal forces', () => {
  test('seed 11: 300 random carts balance and carry continuously up to tipping', () => {
    const random = seededRandom(11);
    for (let k = 0; k < 300; k += 1) {
      const { contacts, path } = randomProblem(random);
      const { pieces, tip } = normalPieces(contacts, path);
      expect(tip === Number.POSITIVE_INFINITY).toBe(path.height === 0);
      const ends = pieces.flatMap((p) => [p.from, Math.min(p.to, 10 * path.weight)]);
      ends.forEach((force, e) => {
        const piece = pieces[Math.floor(e / 2)];
        const loads = contacts.map(
          (_, i) => (piece?.base[i] ?? 0) + (piece?.slope[i] ?? 0) * force,
        );
        const sum = loads.reduce((a, b) => a + b, 0);
        const moment = [0, 1].map((axis) =>
          loads.reduce((a, load, i) => a + load * (contacts[i]?.contact[axis as 0 | 1] ?? 0), 0),
        );
        const due = [Math.cos(path.direction), Math.sin(path.direction)].map(
          (d, axis) => path.weight * (path.centre[axis as 0 | 1] ?? 0) + force * path.height * d,
        );
        // 1e-8 of the weight: the sign slack over the least stiff standing triangle.
        expect(Math.abs(sum - path.weight)).toBeLessThan(1e-8 * path.weight);
        expect(Math.abs((moment[0] ?? 0) - (due[0] ?? 0))).toBeLessThan(1e-8 * path.weight);
        expect(Math.abs((moment[1] ?? 0) - (due[1] ?? 0))).toBeLessThan(1e-8 * path.weight);
        expect(Math.min(...loads)).toBeGreaterThan(-1e-8 * path.weight);
      });
    }
  });
});

describe('ways of asking the solver', () => {
  test('seed 12: one-shot and kept-alive answers agree with the tight ones on 40 carts', () => {
    const random = seededRandom(12);
    const ways = (['text', 'arrays', 'arrays without presolve'] as const).map((way) =>
      freshSolver(highs, 'inscribed', way),
    );
    for (let k = 0; k < 40; k += 1) {
      const { contacts, path } = randomProblem(random);
      const warm = warmSolver(highs, contacts, path, 'inscribed');
      for (let turn = 0; turn < 4; turn += 1) {
        const turned = { ...path, direction: path.direction + turn * 0.7 };
        const normals = normalPieces(contacts, turned);
        const tight = lpBracket(highs, contacts, turned, evenAngles(contacts.length, 32), normals)
          .low.force;
        // Default feasibility tolerance 1e-7 of the weight, times a few tens of active rows.
        const slack = 1e-5 * path.weight;
        for (const fresh of ways) {
          expect(Math.abs(fresh(contacts, turned, normals) - tight)).toBeLessThan(slack);
        }
        expect(Math.abs(warm.solve(turned, normals) - tight)).toBeLessThan(slack);
      }
      warm.dispose();
    }
  });
});
