import type { Vec2 } from '../document/index.js';

/** Corners of the convex hull, counter-clockwise where y points up; no three in a line (monotone
 * chain). */
export function convexHull(points: readonly Vec2[]): readonly Vec2[] {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  if (sorted.length < 3) return sorted;
  const lower = chain(sorted);
  const upper = chain(sorted.reverse());
  return [...lower.slice(0, -1), ...upper.slice(0, -1)];
}

/** m²: corners that bend less are rounding. */
const FLAT = 1e-12;

function chain(points: readonly Vec2[]): readonly Vec2[] {
  const kept: Vec2[] = [];
  for (const point of points) {
    while (kept.length >= 2 && turn(kept.at(-2) as Vec2, kept.at(-1) as Vec2, point) <= FLAT) {
      kept.pop();
    }
    kept.push(point);
  }
  return kept;
}

function turn(a: Vec2, b: Vec2, c: Vec2): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}
