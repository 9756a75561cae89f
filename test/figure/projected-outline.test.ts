import { describe, expect, it } from 'vitest';
import type { Placement } from '../../src/analysis/index.js';
import type { Body } from '../../src/document/index.js';
import { bodyOutline, wheelOutline } from '../../src/figure/projected-outline.js';

const CUBE: Body = {
  name: 'cube',
  on: 'tilt',
  shape: { kind: 'box', from: [-0.1, -0.1, -0.1], to: [0.1, 0.1, 0.1] },
  pushable: false,
};

/** Rows: orthonormal, the third along (1, 1, 1): the diagonal of a cube set upright. */
const DIAGONAL_UP: Placement = {
  rotation: [
    Math.SQRT1_2,
    -Math.SQRT1_2,
    0,
    1 / Math.sqrt(6),
    1 / Math.sqrt(6),
    -2 / Math.sqrt(6),
    1 / Math.sqrt(3),
    1 / Math.sqrt(3),
    1 / Math.sqrt(3),
  ],
  shift: [0.4, -0.2, 1],
};

describe('the outline of a body from above', () => {
  it('of a cube on its corner is a regular hexagon', () => {
    // A cube seen along a space diagonal: hexagon of circumradius edge sqrt(2/3) (Coxeter, Regular
    // Polytopes, 1973, section 2.7: from memory; also the length of a corner across the diagonal)
    const outline = bodyOutline(CUBE, { tilt: DIAGONAL_UP }, ([x, y]) => [x, y]);
    expect(outline).toHaveLength(6);
    for (const [x, y] of outline) {
      // rounding of a dozen operations
      expect(Math.abs(Math.hypot(x - 0.4, y + 0.2) - 0.2 * Math.sqrt(2 / 3))).toBeLessThan(1e-15);
    }
  });

  it('of an upright cylinder is its circle', () => {
    const shape = { kind: 'cylinder', base: [0.1, 0, 0.2], radius: 0.05, height: 0.4 } as const;
    const body: Body = { name: 'column', on: null, shape, pushable: true };
    const outline = bodyOutline(body, {}, ([x, y]) => [x, y]);
    const radii = outline.map(([x, y]) => Math.hypot(x - 0.1, y));
    expect(Math.min(...radii)).toBeCloseTo(0.05, 12);
    expect(Math.max(...radii)).toBeCloseTo(0.05, 12);
    const side = bodyOutline(body, {}, ([x, , z]) => [x, z]);
    expect(side).toHaveLength(4);
  });

  it('needs the placement of the mover', () => {
    expect(() => bodyOutline(CUBE, {}, ([x, y]) => [x, y])).toThrow('no placement of mover tilt');
  });
});

describe('the outline of a wheel', () => {
  it('is as long as its diameter the way it rolls, and round from the side', () => {
    const castor = {
      name: 'castor',
      stem: [0, 0],
      contact: [0.3, 0.1],
      rolls: Math.PI / 3,
      swivels: true,
      wheelDiameter: 0.1,
      lock: 'none',
      load: 100,
    } as const;
    const above = wheelOutline(castor, ([x, y]) => [x, y]);
    const along = above.map(([x, y]) => x * Math.cos(Math.PI / 3) + y * Math.sin(Math.PI / 3));
    expect(Math.max(...along) - Math.min(...along)).toBeCloseTo(0.1, 12);
    const side = wheelOutline({ ...castor, rolls: 0 }, ([x, , z]) => [x, z]);
    for (const [x, z] of side) expect(Math.hypot(x - 0.3, z - 0.05)).toBeCloseTo(0.05, 12);
  });
});
