/** The simulated truth against what textbooks say of a mass pulled through a spring over dry friction. */

import { describe, expect, it } from 'vitest';
import type { Hand, PulledCart } from '../reference/pulled-cart.js';
import { pull, record } from '../reference/pulled-cart.js';
import { seededRandom } from '../reference/random.js';

const CART: PulledCart = {
  mass: 40,
  stiffness: 4000,
  staticForce: 150,
  kineticForce: 120,
  hardening: 0,
  viscous: 0,
};
const HAND: Hand = {
  idle: 0.5,
  rate: 10,
  wobble: [],
  demand: null,
  overshoot: 0,
  sway: 0,
  after: 8,
  release: 0,
  rest: 0,
};

describe('a simulated pull', () => {
  const { slip, force, time, slid } = pull(CART, HAND);

  it('slips when the spring has been stretched to the static friction', () => {
    // 150 N at 10 N/s after 0.5 s; a step is 0.1 ms, of which half may be lost
    expect(slip?.force).toBe(150);
    expect(Math.abs((slip?.time ?? 0) - 15.5)).toBeLessThan(2e-4);
  });

  it('swings to as far below the kinetic friction as it was above, in half a period', () => {
    const from = time.findIndex((t) => t > (slip?.time ?? 0));
    const least = Math.min(...force.slice(from, from + 1000));
    // F = Fk + (Fs - Fk) cos(w t) + (rate / w) sin(w t): amplitude sqrt(30^2 + 1^2) = 30.02 at w = 10 rad/s
    expect(Math.abs(least - (120 - Math.hypot(30, 1)))).toBeLessThan(0.1);
    const at = (time[force.indexOf(least, from)] ?? 0) - (slip?.time ?? 0);
    expect(Math.abs(at - Math.PI / 10)).toBeLessThan(0.02);
  });

  it('then sticks, and slips again when the spring is as long again: 60 N later at 10 N/s', () => {
    const moving = slid.map((x, i) => i > 0 && x > (slid[i - 1] ?? 0));
    const starts = time.filter((_, i) => moving[i] && moving[i - 1] === false);
    // its speed is 0 again where tan(w t / 2) = -30, at 90 N; from there the hand needs 6 s to 150 N
    const slides = (2 * Math.PI - 2 * Math.atan(30)) / 10;
    expect(starts.length).toBeGreaterThanOrEqual(2);
    const pause = (starts[1] ?? 0) - (starts[0] ?? 0);
    // read off samples 1 ms apart
    expect(Math.abs(pause - (6 + slides))).toBeLessThan(0.005);
  });

  it('that is held below the static friction does not slip', () => {
    const held = pull(CART, { ...HAND, demand: 100, after: 2, release: 0.2, rest: 0.2 });
    expect(held.slip).toBeNull();
    expect(Math.max(...held.slid)).toBe(0);
    expect(Math.abs(Math.max(...held.force) - 100)).toBeLessThan(0.1);
    expect(held.force.at(-1)).toBeLessThan(0.01);
  });

  it('is recorded with the noise and the steps asked for (seed 6)', () => {
    const gauge = {
      rate: 500,
      jitter: 0,
      noise: 0.5,
      step: 0,
      zero: 2,
      drift: 0,
      spikes: 0,
      displacement: null,
    };
    const quiet = pull(CART, { ...HAND, idle: 10, after: 0.1 });
    const seen = record(quiet, gauge, seededRandom(6));
    const before = seen.force.filter((_, i) => (seen.time[i] ?? 0) < 9.9);
    const mean = before.reduce((sum, f) => sum + f, 0) / before.length;
    const sd = Math.sqrt(before.reduce((sum, f) => sum + (f - mean) ** 2, 0) / before.length);
    // 4950 samples: the mean is known to 0.007 N, the deviation to 1 %; four of these
    expect(Math.abs(mean - 2)).toBeLessThan(0.03);
    expect(Math.abs(sd - 0.5)).toBeLessThan(0.02);
    const stepped = record(quiet, { ...gauge, step: 0.25 }, seededRandom(6));
    expect(stepped.force.every((f) => f % 0.25 === 0)).toBe(true);
  });
});
