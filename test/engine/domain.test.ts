import { describe, expect, it } from 'vitest';
import type { ConfigurationDomain } from '../../src/engine/domain.js';
import {
  canSplit,
  centre,
  contains,
  loadDomain,
  moverDomain,
  positionDomain,
  restricted,
  rootBox,
  snapped,
  split,
  width,
} from '../../src/engine/domain.js';
import { seededRandom } from '../reference/random.js';

const stops = moverDomain({ from: -1, to: 2, stops: [-1, 0, 0.5, 2] });
const absentOr = loadDomain({ least: 1, most: 6, mayBeAbsent: true });

describe('domains', () => {
  it('of movers: a range, or points at the stops', () => {
    expect(moverDomain({ from: 0, to: 0.4, stops: null })).toEqual([[0, 0.4]]);
    expect(stops).toEqual([
      [-1, -1],
      [0, 0],
      [0.5, 0.5],
      [2, 2],
    ]);
  });

  it('of loads: absent or within, joined where absent is within', () => {
    expect(absentOr).toEqual([
      [0, 0],
      [1, 6],
    ]);
    expect(loadDomain({ least: 0, most: 3, mayBeAbsent: true })).toEqual([[0, 3]]);
    expect(loadDomain({ least: 0, most: 0, mayBeAbsent: false })).toEqual([[0, 0]]);
  });

  it('are cut to a position', () => {
    expect(restricted(stops, -0.5, 1)).toEqual([
      [0, 0],
      [0.5, 0.5],
    ]);
    expect(restricted(stops, 0.1, 0.4)).toEqual([]);
    const movers = [{ name: 'lift', from: 0, to: 0.4, stops: null }];
    const loads = [{ name: 'bag' }];
    const position = {
      movers: { lift: { from: 0, to: 0.1 } },
      loads: { bag: { least: 1, most: 2, mayBeAbsent: false } },
    };
    expect(positionDomain(movers, loads, position).domains).toEqual([[[0, 0.1]], [[1, 2]]]);
    const outside = { ...position, movers: { lift: { from: 0.5, to: 0.6 } } };
    expect(() => positionDomain(movers, loads, outside)).toThrow(/lift cannot be in 0.5 to 0.6/);
    expect(() => positionDomain(movers, loads, { ...position, loads: {} })).toThrow(/no load bag/);
  });
});

describe('boxes', () => {
  const domain: ConfigurationDomain = { domains: [stops, absentOr, [[0, 1]]] };

  it('split between pieces first, then in the middle, and lose nothing (seed 51)', () => {
    const random = seededRandom(51);
    const draw = (): number[] =>
      domain.domains.map((pieces) => {
        const [low, high] = pieces[Math.floor(random() * pieces.length)] as readonly [
          number,
          number,
        ];
        return low + (high - low) * random();
      });
    const inside = (box: { lo: Float64Array; hi: Float64Array }, x: number[]): boolean =>
      x.every((value, v) => (box.lo[v] as number) <= value && value <= (box.hi[v] as number));
    for (let round = 0; round < 300; round++) {
      const x = draw();
      let box = rootBox(domain);
      for (let depth = 0; depth < 12; depth++) {
        const v = Math.floor(random() * 3);
        if (!canSplit(box, v)) continue;
        const parts = split(domain, box, v);
        const kept = parts.find((part) => inside(part, x));
        expect(kept).toBeDefined();
        for (const part of parts) expect(width(part, v)).toBeLessThan(width(box, v));
        box = kept ?? box;
      }
    }
  });

  it('have a centre in the domain', () => {
    const out = new Float64Array(3);
    centre(domain, rootBox(domain), out);
    // The middle of -1..2 is 0.5, a stop; of 0..6 it is 3.
    expect([...out]).toEqual([0.5, 3, 0.5]);
    expect(contains(domain, out)).toBe(true);
    expect(contains(domain, Float64Array.of(0.2, 3, 0.5))).toBe(false);
    const gap: ConfigurationDomain = {
      domains: [
        [
          [0, 0],
          [10, 12],
        ],
      ],
    };
    centre(gap, rootBox(gap), out);
    expect(out[0]).toBe(10);
    expect(snapped(gap, rootBox(gap), 0, 4)).toBe(0);
    expect(snapped(gap, rootBox(gap), 0, 99)).toBe(12);
  });

  it('end at points, which cannot be split', () => {
    const point: ConfigurationDomain = { domains: [[[1, 1]]] };
    expect(canSplit(rootBox(point), 0)).toBe(false);
    expect(() => split(point, rootBox(point), 0)).toThrow(/nothing to split/);
  });

  it('refuse an interval that is none', () => {
    expect(() => moverDomain({ from: 1, to: 0, stops: null })).toThrow(/from 1 to 0/);
    expect(() => moverDomain({ from: 0, to: 1, stops: [] })).toThrow(/no value/);
  });
});
