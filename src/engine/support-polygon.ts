/**
 * Question: between which lines must the load point stay so that the cart does not tip: for castors
 * that stand in a known way, and for castors that may stand in any way?
 *
 * Assumptions: level and rigid floor; point contacts; a castor turned by psi touches the floor at
 * s + t (cos psi, sin psi), t the trail, psi free and independent of the others. Derivation:
 * docs/theory/support.md.
 *
 * Symbols
 *   s      stem, m; t trail, m, >= 0 (0: a fixed castor, the stem is the contact)
 *   n      outward unit normal of an edge, at `angle` from x to y
 *   offset m; the edge is n.q = offset, the cart stands while n.q <= offset
 */

import type { Vec2 } from '../kernel/index.js';

/** A castor as far as the support polygon goes. */
export interface SupportCastor {
  /** m */
  readonly stem: Vec2;
  /** m, >= 0 */
  readonly trail: number;
}

/** A side of a support polygon: a tipping line. */
export interface SupportEdge {
  /** rad, direction of the outward normal, from x to y */
  readonly angle: number;
  /** outward unit normal */
  readonly normal: Vec2;
  /** m, distance of the line from the origin along the normal */
  readonly offset: number;
  /** indices of the two outermost castors on the line, right-hand one first seen from inside */
  readonly castors: readonly [number, number];
  /** every castor on the line, ascending */
  readonly onLine: readonly number[];
  /** ends of the side, m, counter-clockwise round the polygon */
  readonly line: readonly [Vec2, Vec2];
  /** where every castor touches the floor when it stands as this edge needs, m */
  readonly contacts: readonly Vec2[];
  /** rad, swivel angle of every castor then; null: it has no trail, or its contact was given */
  readonly swivels: readonly (number | null)[];
}

/**
 * A convex polygon, or nothing: `empty` when the castors leave no area that is always supported
 * (castors in a line, or trails as large as the spacing), and then the cart tips unloaded.
 */
export type SupportPolygon =
  | {
      readonly kind: 'polygon';
      readonly edges: readonly SupportEdge[];
      /** counter-clockwise, vertex i between edge i - 1 and edge i, m */
      readonly vertices: readonly Vec2[];
    }
  | { readonly kind: 'empty' };

/** Relative to the size of the layout: castors nearer to a line than this count as on it. 1e-9 of a
 * metre is far below any drawing and far above rounding. */
const ON_LINE = 1e-9;

/** rad: lines that differ by less are one line; the same share of the layout as ON_LINE. */
const SAME_DIRECTION = 1e-9;

/**
 * The support polygon of contacts that are where they are: their convex hull.
 *
 * @param contacts m
 * @throws Error when a coordinate is not finite
 */
export function contactPolygon(contacts: readonly Vec2[]): SupportPolygon {
  return supportPolygon(contacts.map((stem) => ({ stem, trail: 0 })));
}

/**
 * The points supported whatever way the castors stand: all q with n.q <= max_i (n.s_i - t_i) for
 * every direction n. Edges can only be at directions in which two castors tie for that maximum.
 *
 * @throws Error when a coordinate or trail is not finite, or a trail is negative
 */
export function supportPolygon(castors: readonly SupportCastor[]): SupportPolygon {
  check(castors);
  const size = layoutSize(castors);
  if (!(size > 0)) return { kind: 'empty' };
  const tolerance = ON_LINE * size;
  const sides = tieDirections(castors, tolerance);
  // Where a single castor is the outermost over half of all directions or more, its own constraint
  // in opposite directions leaves no area; so do fewer than three sides.
  if (widestTurn(sides) >= Math.PI) return { kind: 'empty' };
  return clipped(castors, sides, size, tolerance);
}

/** Signed distance from a point to the nearest edge, m; negative outside; -Infinity: no polygon. */
export function supportMargin(polygon: SupportPolygon, q: Vec2): number {
  if (polygon.kind === 'empty') return Number.NEGATIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (const { normal, offset } of polygon.edges) {
    least = Math.min(least, offset - normal[0] * q[0] - normal[1] * q[1]);
  }
  return least;
}

/** max_i (n.s_i - t_i): how far out the castors reach in direction n at the least, m. */
export function leastReach(castors: readonly SupportCastor[], normal: Vec2): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const castor of castors) most = Math.max(most, reachOf(castor, normal));
  return most;
}

interface Side {
  readonly angle: number;
  readonly normal: Vec2;
  readonly offset: number;
}

function reachOf({ stem, trail }: SupportCastor, normal: Vec2): number {
  return normal[0] * stem[0] + normal[1] * stem[1] - trail;
}

/** Directions in which two castors reach equally far and no other further, ascending, once each. */
function tieDirections(castors: readonly SupportCastor[], tolerance: number): Side[] {
  const found: Side[] = [];
  for (let i = 0; i < castors.length; i++) {
    for (let j = i + 1; j < castors.length; j++) {
      for (const angle of equalReach(castors[i] as SupportCastor, castors[j] as SupportCastor)) {
        const normal: Vec2 = [Math.cos(angle), Math.sin(angle)];
        // The offset is the true maximum in this direction, so a direction kept although a third
        // castor reaches a little further is only a redundant side, never a wrong one.
        const offset = leastReach(castors, normal);
        const tied = reachOf(castors[i] as SupportCastor, normal);
        if (tied >= offset - tolerance) found.push({ angle: wrapped(angle), normal, offset });
      }
    }
  }
  return distinct(found, tolerance);
}

/** Ascending by angle, each line once: three castors in a line give it three times, to rounding. */
function distinct(sides: Side[], tolerance: number): Side[] {
  sides.sort((p, q) => p.angle - q.angle);
  const same = (p: Side | undefined, q: Side | undefined): boolean => {
    if (p === undefined || q === undefined || p === q) return false;
    const turn = Math.abs(wrapped(p.angle - q.angle));
    return turn <= SAME_DIRECTION && Math.abs(p.offset - q.offset) <= tolerance;
  };
  const kept: Side[] = [];
  for (const side of sides) if (!same(side, kept[kept.length - 1])) kept.push(side);
  if (kept.length > 1 && same(kept[0], kept[kept.length - 1])) kept.pop();
  return kept;
}

/** n.(s_i - s_j) = t_i - t_j: with d = |s_i - s_j|, cos(angle of n - angle of s_i - s_j) = dt / d. */
function equalReach(p: SupportCastor, q: SupportCastor): readonly number[] {
  const dx = p.stem[0] - q.stem[0];
  const dy = p.stem[1] - q.stem[1];
  const distance = Math.hypot(dx, dy);
  const difference = p.trail - q.trail;
  if (!(Math.abs(difference) <= distance) || distance === 0) return [];
  const along = Math.atan2(dy, dx);
  const away = Math.acos(difference / distance);
  return [along + away, along - away];
}

/** Largest angle from one side to the next, rad; a whole turn when there are none. */
function widestTurn(sides: readonly Side[]): number {
  let widest = 0;
  sides.forEach((side, index) => {
    const next = sides[index + 1]?.angle ?? (sides[0] as Side).angle + 2 * Math.PI;
    widest = Math.max(widest, next - side.angle);
  });
  return sides.length === 0 ? 2 * Math.PI : widest;
}

interface Corner {
  readonly at: Vec2;
  /** index of the side that runs from this corner to the next, -1: the frame */
  readonly side: number;
}

/** Cuts a frame around all castors by every side in turn. */
function clipped(
  castors: readonly SupportCastor[],
  sides: readonly Side[],
  size: number,
  tolerance: number,
): SupportPolygon {
  const [cx, cy] = (castors[0] as SupportCastor).stem;
  // The region lies within the hull of the stems, so a frame of twice the size never shows.
  const far = 2 * size;
  let corners: Corner[] = [
    { at: [cx - far, cy - far], side: -1 },
    { at: [cx + far, cy - far], side: -1 },
    { at: [cx + far, cy + far], side: -1 },
    { at: [cx - far, cy + far], side: -1 },
  ];
  sides.forEach((side, index) => {
    corners = cutBy(corners, side, index);
  });
  corners = withoutShortSides(corners, tolerance);
  if (corners.length < 3 || corners.some(({ side }) => side < 0)) return { kind: 'empty' };
  const edges = corners.map((corner, index) =>
    edgeOf(
      castors,
      sides[corner.side] as Side,
      corner.at,
      (corners[(index + 1) % corners.length] as Corner).at,
      tolerance,
    ),
  );
  return { kind: 'polygon', edges, vertices: corners.map(({ at }) => at) };
}

/** Keeps the part of a convex polygon with n.q <= offset. */
function cutBy(corners: readonly Corner[], side: Side, index: number): Corner[] {
  const kept: Corner[] = [];
  corners.forEach((corner, i) => {
    const next = corners[(i + 1) % corners.length] as Corner;
    const here = excess(side, corner.at);
    const there = excess(side, next.at);
    if (here <= 0) kept.push(corner);
    if (here <= 0 === there <= 0) return;
    const share = here / (here - there);
    const at: Vec2 = [
      corner.at[0] + share * (next.at[0] - corner.at[0]),
      corner.at[1] + share * (next.at[1] - corner.at[1]),
    ];
    // Leaving the half-plane the new side starts here; entering it the old side goes on.
    kept.push({ at, side: here <= 0 ? index : corner.side });
  });
  return kept;
}

function excess({ normal, offset }: Side, q: Vec2): number {
  return normal[0] * q[0] + normal[1] * q[1] - offset;
}

/** Drops sides of no length, so that a line found twice (from two pairs of castors) is one edge. */
function withoutShortSides(corners: readonly Corner[], tolerance: number): Corner[] {
  return corners.filter((corner, index) => {
    const next = corners[(index + 1) % corners.length] as Corner;
    return Math.hypot(next.at[0] - corner.at[0], next.at[1] - corner.at[1]) > tolerance;
  });
}

function edgeOf(
  castors: readonly SupportCastor[],
  side: Side,
  from: Vec2,
  to: Vec2,
  tolerance: number,
): SupportEdge {
  const { angle, normal, offset } = side;
  const contacts = castors.map(
    ({ stem, trail }): Vec2 => [stem[0] - trail * normal[0], stem[1] - trail * normal[1]],
  );
  const onLine = castors.flatMap((castor, index) =>
    reachOf(castor, normal) >= offset - tolerance ? [index] : [],
  );
  const along = (index: number): number => {
    const [x, y] = contacts[index] as Vec2;
    return normal[0] * y - normal[1] * x;
  };
  let first = onLine[0] as number;
  let last = first;
  for (const index of onLine) {
    if (along(index) < along(first)) first = index;
    if (along(index) > along(last)) last = index;
  }
  const swivels = castors.map(({ trail }) => (trail > 0 ? wrapped(angle + Math.PI) : null));
  return {
    angle,
    normal,
    offset,
    castors: [first, last],
    onLine,
    line: [from, to],
    contacts,
    swivels,
  };
}

/** Largest distance from the first stem to another, m. */
function layoutSize(castors: readonly SupportCastor[]): number {
  const [cx, cy] = castors[0]?.stem ?? [0, 0];
  let size = 0;
  for (const { stem } of castors) size = Math.max(size, Math.hypot(stem[0] - cx, stem[1] - cy));
  return size;
}

/** Into (-pi, pi]. */
function wrapped(angle: number): number {
  const turns = Math.ceil(angle / (2 * Math.PI) - 0.5);
  return angle - 2 * Math.PI * turns;
}

function check(castors: readonly SupportCastor[]): void {
  for (const { stem, trail } of castors) {
    if (stem.every(Number.isFinite) && Number.isFinite(trail) && trail >= 0) continue;
    throw new Error(`support polygon: castor at [${stem.join(', ')}] with trail ${trail}`);
  }
}
