import { describe, expect, it } from 'vitest';
import {
  arcTrig,
  chordOffset,
  chordSlope,
  productLower,
  productUpper,
  sinusoidLower,
  sinusoidRange,
} from '../../src/kernel/index.js';
import { seededRandom } from '../reference/random.js';

describe('the range of a sinusoid over an arc', () => {
  it('holds every sample and is attained to the sampling step (seed 31)', () => {
    const random = seededRandom(31);
    const trig = new Float64Array(12);
    const range = new Float64Array(2);
    for (let round = 0; round < 500; round++) {
      const [c0, c1, c2] = [random() - 0.5, 4 * random() - 2, 4 * random() - 2];
      const from = 20 * random() - 10;
      // From nothing to beyond a whole turn.
      const width = random() < 0.1 ? 0 : 8 * random();
      arcTrig(from, from + width, trig, 6);
      sinusoidRange(trig, 6, c0, c1, c2, range, 0);
      let least = Number.POSITIVE_INFINITY;
      let most = Number.NEGATIVE_INFINITY;
      const steps = 2000;
      for (let i = 0; i <= steps; i++) {
        const q = from + (width * i) / steps;
        const value = c0 + c1 * Math.cos(q) + c2 * Math.sin(q);
        least = Math.min(least, value);
        most = Math.max(most, value);
      }
      // Half a step from an extreme costs at most amplitude * (8 / 4000)^2 / 2 = 6e-6; rounding 1e-14.
      expect(range[0]).toBeLessThanOrEqual(least + 1e-14);
      expect(range[0]).toBeGreaterThan(least - 6e-6);
      expect(range[1]).toBeGreaterThanOrEqual(most - 1e-14);
      expect(range[1]).toBeLessThan(most + 6e-6);
      expect(sinusoidLower(trig, 6, c0, c1, c2)).toBe(range[0]);
    }
  });

  it('has the closed forms of a quarter turn', () => {
    const trig = new Float64Array(6);
    const range = new Float64Array(2);
    arcTrig(0, Math.PI / 2, trig, 0);
    sinusoidRange(trig, 0, 1, 3, 4, range, 0);
    expect(range[0]).toBeCloseTo(4, 12);
    expect(range[1]).toBeCloseTo(6, 12);
  });
});

describe('products of intervals', () => {
  it('are the extreme corner products (seed 32)', () => {
    const random = seededRandom(32);
    for (let round = 0; round < 1000; round++) {
      const [a, b, c, d] = [0, 0, 0, 0].map(() => 2 * random() - 1) as [
        number,
        number,
        number,
        number,
      ];
      const [al, ah, bl, bh] = [Math.min(a, b), Math.max(a, b), Math.min(c, d), Math.max(c, d)];
      const p = al + (ah - al) * random();
      const q = bl + (bh - bl) * random();
      expect(productLower(al, ah, bl, bh)).toBeLessThanOrEqual(p * q);
      expect(productUpper(al, ah, bl, bh)).toBeGreaterThanOrEqual(p * q);
    }
    expect(productLower(-2, 3, -1, 4)).toBe(-8);
    expect(productUpper(-2, 3, -1, 4)).toBe(12);
  });
});

describe('the chord below w c', () => {
  it('is below for every w and c, and touches where c keeps one sign (seed 33)', () => {
    const random = seededRandom(33);
    for (let round = 0; round < 1000; round++) {
      const from = 2 * random();
      const to = from + random();
      const low = 2 * random() - 1;
      const high = low + random();
      const slope = chordSlope(from, to, low, high);
      const offset = chordOffset(to, low, high, slope);
      for (const share of [0, 0.3, 0.7, 1]) {
        const c = low + share * (high - low);
        const least = Math.min(from * c, to * c);
        expect(slope * c + offset).toBeLessThanOrEqual(least + 1e-14);
        if (low >= 0 || high <= 0) expect(slope * c + offset).toBe(least);
      }
      const end = Math.min(from * low, to * low);
      expect(slope * low + offset).toBeCloseTo(end, 12);
    }
  });
});
