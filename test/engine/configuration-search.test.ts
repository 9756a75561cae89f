import { describe, expect, it } from 'vitest';
import type { Way } from '../../src/engine/configuration-search.js';
import { DEFAULT_LIMITS, leastOver } from '../../src/engine/configuration-search.js';
import type { ConfigurationDomain } from '../../src/engine/domain.js';

/** (x - a)^2 + c over an interval: the least over a box is known exactly. */
function parabola(a: number, c: number): Way {
  return {
    floor: c,
    valueAt: (x) => ((x[0] as number) - a) ** 2 + c,
    marginOver: (lo, hi) => {
      const nearest = Math.min(hi[0] as number, Math.max(lo[0] as number, a));
      return (r) => (nearest - a) ** 2 + c - r;
    },
  };
}

const line: ConfigurationDomain = { domains: [[[-1, 3]]] };

describe('the least over configurations and ways', () => {
  it('is that of the least way, where it is', () => {
    const found = leastOver(line, [parabola(0, 2), parabola(1, 0.5), parabola(2, 1)], [true]);
    expect(found.way).toBe(1);
    expect(found.value).toBeCloseTo(0.5, 8);
    expect(found.x?.[0]).toBeCloseTo(1, 4);
    expect(found.status).toBe('closed');
    expect(found.bound).toBeLessThanOrEqual(0.5);
    expect(found.gap).toBeLessThanOrEqual(1e-6);
  });

  it('is at an allowed value: between stops it is not looked for', () => {
    const stops: ConfigurationDomain = {
      domains: [
        [
          [-1, -1],
          [0.4, 0.4],
          [3, 3],
        ],
      ],
    };
    const found = leastOver(stops, [parabola(1, 0)], [true]);
    expect(found.x?.[0]).toBe(0.4);
    expect(found.value).toBeCloseTo(0.36, 12);
    expect(found.bound).toBeGreaterThan(0.36 - 1e-6);
  });

  it('without variables is the one value', () => {
    const constant: Way = { floor: 0, valueAt: () => 7, marginOver: () => (r) => 7 - r };
    expect(leastOver({ domains: [] }, [constant], [])).toMatchObject({
      value: 7,
      boxes: 1,
      status: 'closed',
    });
  });

  it('is unlimited when every value is', () => {
    const never: Way = { floor: 0, valueAt: () => Infinity, marginOver: () => () => 1 };
    expect(leastOver(line, [never, never], [false])).toEqual({
      value: Infinity,
      x: null,
      way: -1,
      bound: Infinity,
      gap: 0,
      boxes: 2,
      status: 'closed',
    });
  });

  it('says when the budget ran out, and keeps a valid bound', () => {
    // A margin that knows only a slope of 10: many boxes are needed.
    const wavy: Way = {
      floor: -20,
      valueAt: (x) => Math.sin(9 * (x[0] as number)),
      marginOver: (lo, hi) => {
        const [a, b] = [lo[0] as number, hi[0] as number];
        return (r) => Math.sin(4.5 * (a + b)) - 5 * (b - a) - r;
      },
    };
    const limits = { ...DEFAULT_LIMITS, maxBoxes: 8 };
    const few = leastOver(line, [wavy], [true], limits);
    expect(few.status).toBe('budget');
    expect(few.bound).toBeLessThanOrEqual(-1);
    // Of first order, it closes a thousandth and not a millionth in good time.
    const many = leastOver(line, [wavy], [true], { ...DEFAULT_LIMITS, relativeGap: 1e-3 });
    expect(many.status).toBe('closed');
    expect(many.value).toBeCloseTo(-1, 9);
    expect(many.boxes).toBeGreaterThan(few.boxes);
  });

  it('is the same every time', () => {
    const ways = [parabola(0.3, 1), parabola(2.2, 1)];
    expect(leastOver(line, ways, [true])).toEqual(leastOver(line, ways, [true]));
  });
});
