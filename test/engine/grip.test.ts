/** The friction set of one castor: power, its rate with the load, and the nearest force of the set. */
import { describe, expect, it } from 'vitest';
import { frictionPower, frictionPowerRate, nearestGrip } from '../../src/engine/grip.js';
import { seededRandom } from '../reference/random.js';

const INF = Number.POSITIVE_INFINITY;

interface Limits {
  readonly reach: number;
  readonly along: number;
  readonly across: number;
}

/** Disc alone, cut once, cut twice, a rectangle inside the disc, or nothing. */
function drawLimits(random: () => number): Limits {
  const limit = (): number => {
    const dice = random();
    return dice < 0.25 ? INF : dice < 0.35 ? 0 : 150 * random();
  };
  return { reach: random() < 0.05 ? 0 : 100 * random(), along: limit(), across: limit() };
}

/** The rim of the set in direction `angle`: as far as the nearest limit lets go. */
function rim({ reach, along, across }: Limits, angle: number): readonly [number, number] {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const radius = Math.min(
    reach,
    Math.abs(c) > 1e-15 ? along / Math.abs(c) : INF,
    Math.abs(s) > 1e-15 ? across / Math.abs(s) : INF,
  );
  return [radius * c, radius * s];
}

/** The corners that the cuts make, and many directions. */
function rimPoints(limits: Limits, count: number): (readonly [number, number])[] {
  const { reach, along, across } = limits;
  const even = Array.from({ length: count }, (_, k) => rim(limits, (2 * Math.PI * k) / count));
  const a = Math.min(along, reach);
  const b = Math.min(across, reach);
  const corners = [Math.acos(a / reach), Math.asin(b / reach), Math.atan2(b, a)]
    .filter(Number.isFinite)
    .flatMap((angle) => [angle, -angle, Math.PI - angle, Math.PI + angle])
    .map((angle) => rim(limits, angle));
  return [...even, ...corners];
}

describe('friction power', () => {
  it('seed 53001: is the most that any force of the set takes', () => {
    const random = seededRandom(53001);
    for (let k = 0; k < 2000; k += 1) {
      const limits = drawLimits(random);
      const angle = 2 * Math.PI * random();
      const speed = random() < 0.05 ? 0 : random();
      const [va, vs] = [speed * Math.cos(angle), speed * Math.sin(angle)];
      const power = frictionPower(limits.reach, limits.along, limits.across, va, vs);
      const most = Math.max(...rimPoints(limits, 720).map(([fa, fs]) => fa * va + fs * vs));
      // The rim's points are in the set but for rounding: none may take more. Half a degree apart
      // on the disc, with every corner among them, they come within 1 - cos(0.25 deg) = 1e-5.
      expect(power, `set ${k}`).toBeGreaterThanOrEqual(most - 1e-12);
      expect(power, `set ${k}`).toBeLessThanOrEqual(most + 1e-5 * limits.reach * speed + 1e-12);
    }
  });

  it('exact thresholds', () => {
    expect(frictionPower(5, 3, 4, 0.6, 0.8)).toBe(5);
    // Both limits meet on the disc (3-4-5): one corner, and past it the rectangle.
    expect(frictionPower(5, 3, 4, 1, 0)).toBe(3);
    expect(frictionPower(5, 3, 4, 0, 1)).toBe(4);
    expect(frictionPower(5, 3, 4, 1, 1)).toBe(7);
    // A limit equal to the disc cuts nothing off.
    expect(frictionPower(5, 5, INF, 1, 0)).toBe(5);
    expect(frictionPower(5, 5, 5, -1, 0)).toBe(5);
    expect(frictionPower(5, 0, 0, 1, 1)).toBe(0);
    expect(frictionPower(5, 0, INF, 1, 0)).toBe(0);
    expect(frictionPower(5, 0, INF, 1, 2)).toBe(10);
    expect(frictionPower(0, 3, 4, 1, 1)).toBe(0);
    expect(frictionPower(5, INF, INF, 0, 0)).toBe(0);
  });

  it('seed 53002: is concave in the normal force, its rate between the slopes on either side', () => {
    const random = seededRandom(53002);
    for (let k = 0; k < 2000; k += 1) {
      const mu = random();
      const [a0, a1, b0, b1] = [30 * random(), 0.3 * random(), 30 * random(), 0.3 * random()];
      const cut = random();
      const across0 = cut < 0.3 ? INF : b0;
      const va = 2 * random() - 1;
      const vs = 2 * random() - 1;
      const power = (n: number): number =>
        frictionPower(mu * n, a0 + a1 * n, across0 + b1 * n, va, vs);
      const n = 5 + 150 * random();
      const step = 2 * random();
      const [below, at, above] = [power(n - step), power(n), power(n + step)];
      expect(at, `set ${k}`).toBeGreaterThanOrEqual(0.5 * (below + above) - 1e-12);
      const rate = frictionPowerRate(
        mu * n,
        a0 + a1 * n,
        across0 + b1 * n,
        mu,
        a1,
        across0 === INF ? 0 : b1,
        va,
        vs,
      );
      // Concave: a slope at n lies between the chords right and left of it.
      const slack = 1e-9 / Math.max(step, 1e-3);
      expect(rate, `set ${k}`).toBeGreaterThanOrEqual((above - at) / step - slack);
      expect(rate, `set ${k}`).toBeLessThanOrEqual((at - below) / step + slack);
    }
  });
});

describe('nearest grip', () => {
  it('seed 53003: is in the set, and no force of the set is nearer', () => {
    const random = seededRandom(53003);
    const out = new Float64Array(5);
    for (let k = 0; k < 2000; k += 1) {
      const limits = drawLimits(random);
      const { reach, along, across } = limits;
      const [za, zs] = [400 * random() - 200, 400 * random() - 200];
      nearestGrip(reach, along, across, za, zs, out);
      const [fa, fs] = [out[0] ?? Number.NaN, out[1] ?? Number.NaN];
      const slack = 1e-12 * (reach + 1);
      expect(Math.hypot(fa, fs), `set ${k}`).toBeLessThanOrEqual(reach + slack);
      expect(Math.abs(fa), `set ${k}`).toBeLessThanOrEqual(along + slack);
      expect(Math.abs(fs), `set ${k}`).toBeLessThanOrEqual(across + slack);
      // Projection on a convex set: the way from it to z turns away from every force of the set.
      const turned = Math.max(
        ...rimPoints(limits, 180).map(([ya, ys]) => (za - fa) * (ya - fa) + (zs - fs) * (ys - fs)),
      );
      // Lengths of up to 300 N multiplied: rounding of 1e-11 N2.
      expect(turned, `set ${k}`).toBeLessThanOrEqual(1e-9);
    }
  });

  it('seed 53004: its derivative is that of small steps', () => {
    const random = seededRandom(53004);
    const out = new Float64Array(5);
    const force = (l: Limits, za: number, zs: number): readonly [number, number] => {
      nearestGrip(l.reach, l.along, l.across, za, zs, out);
      return [out[0] ?? 0, out[1] ?? 0];
    };
    const step = 1e-5;
    let compared = 0;
    for (let k = 0; k < 2000; k += 1) {
      const limits = drawLimits(random);
      const [za, zs] = [300 * random() - 150, 300 * random() - 150];
      nearestGrip(limits.reach, limits.along, limits.across, za, zs, out);
      const [, , daa = 0, das = 0, dss = 0] = [...out];
      const slopes = [1, -1].map((sign) => {
        const [a0, s0] = force(limits, za, zs);
        const [a1, s1] = force(limits, za + sign * step, zs);
        const [, s2] = force(limits, za, zs + sign * step);
        return [(a1 - a0) / (sign * step), (s1 - s0) / (sign * step), (s2 - s0) / (sign * step)];
      });
      // Where both sides differ there is a kink within the step: the derivative is one of many there.
      const kink = [0, 1, 2].some(
        (i) => Math.abs((slopes[0]?.[i] ?? 0) - (slopes[1]?.[i] ?? 0)) > 1e-3,
      );
      if (kink) continue;
      compared += 1;
      // Second derivative of order 1 / size of z, times the step, and rounding 1e-14 / step.
      [daa, das, dss].forEach((value, i) => {
        expect(Math.abs(value - (slopes[0]?.[i] ?? Number.NaN)), `set ${k}`).toBeLessThan(1e-4);
      });
    }
    expect(compared).toBeGreaterThan(1800);
  });
});
