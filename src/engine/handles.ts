/**
 * Question: how great is the force on each handle when the cart is carried by them?
 *
 * Assumptions: all lifting handles carry together, straight up, the cart level. One: it carries all.
 * Two: the lever rule along the line through both. More: the carriers give like equal springs, the
 * cart is rigid. Each is a linear function of mass and moments, so its worst case is that of a
 * functional. A handle that a mover moves sideways has no one place; then each handle is taken to
 * bear everything, the safe side.
 *
 * Symbols: M, m mass and moments of the cart; p_i the handles on plan, p their mean; S the sum of
 * (p_i - p)(p_i - p)^T; share of handle i: M / n + (p_i - p).S^+ (m - M p), S^+ the pseudo-inverse.
 */

import type { Vec2, Vec3 } from '../kernel/index.js';
import type { SearchLimits } from './configuration-search.js';
import { DEFAULT_LIMITS } from './configuration-search.js';
import type { ConfigurationDomain } from './domain.js';
import { rootBox } from './domain.js';
import { STANDARD_GRAVITY } from './gravity.js';
import { pointRange } from './mass-bounds.js';
import type { Greatest } from './mass-extremes.js';
import { greatestFunctional } from './mass-extremes.js';
import type { MassModel } from './mass-model.js';

/** A lifting handle. */
export interface LiftPoint {
  /** index of the mover in the model's input, -1: the base */
  readonly mover: number;
  /** m, in the zero drawing */
  readonly at: Vec3;
}

/** How the weight is shared. */
export type SharingRule = 'one handle' | 'lever' | 'equal springs' | 'each bears all';

/** The worst case of one handle. */
export interface HandleLoad {
  /** N, factor times the greatest share of the weight */
  readonly force: number;
  /** N, no configuration gives more */
  readonly bound: number;
  readonly gap: number;
  readonly x: Float64Array;
  /** N, the same for its least share; negative: the handle would have to be held down, the centre of
   * mass being outside the handles */
  readonly least: number;
  readonly boxes: number;
  readonly status: 'closed' | 'budget';
}

export interface HandleLoads {
  readonly rule: SharingRule;
  readonly handles: readonly HandleLoad[];
}

/** m: places on plan that differ by less are one place; far below any drawing. */
const ONE_PLACE = 1e-9;

/**
 * The force on every handle in its worst configuration.
 *
 * @param factor on the weight, > 0
 */
export function worstHandleLoads(
  model: MassModel,
  domain: ConfigurationDomain,
  handles: readonly LiftPoint[],
  factor: number,
  limits: SearchLimits = DEFAULT_LIMITS,
): HandleLoads {
  const places = placesOnPlan(model, domain, handles);
  const shares = places === null ? handles.map((): Share => [1, 0, 0]) : sharesOf(places);
  const scale = factor * STANDARD_GRAVITY;
  return {
    rule: ruleFor(places, handles.length),
    handles: shares.map(([a, bx, by]): HandleLoad => {
      const b: Vec3 = [scale * bx, scale * by, 0];
      const most = greatestFunctional(model, domain, scale * a, b, limits);
      const opposite: Vec3 = [-b[0], -b[1], 0];
      const least = greatestFunctional(model, domain, -scale * a, opposite, limits);
      return described(most, least);
    }),
  };
}

/** Share of a handle as a functional: a M + bx Mx + by My. */
type Share = readonly [number, number, number];

/**
 * Shares of handles at fixed places on plan. In a line, or for two, S has rank one and its
 * pseudo-inverse acts along the line only; all in one place they share equally.
 */
export function sharesOf(places: readonly Vec2[]): readonly Share[] {
  const n = places.length;
  const px = places.reduce((sum, p) => sum + p[0], 0) / n;
  const py = places.reduce((sum, p) => sum + p[1], 0) / n;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (const [x, y] of places) {
    sxx += (x - px) ** 2;
    sxy += (x - px) * (y - py);
    syy += (y - py) ** 2;
  }
  const [ixx, ixy, iyy] = pseudoInverse(sxx, sxy, syy);
  return places.map(([x, y]): Share => {
    const bx = (x - px) * ixx + (y - py) * ixy;
    const by = (x - px) * ixy + (y - py) * iyy;
    return [1 / n - bx * px - by * py, bx, by];
  });
}

/** Ratio of the spreads across and along below which handles count as in a line. The spreads are
 * squares, so this is a millionth of the length. */
const IN_A_LINE = 1e-12;

/** Pseudo-inverse of a symmetric 2 x 2 matrix with no negative eigenvalue. */
function pseudoInverse(xx: number, xy: number, yy: number): readonly [number, number, number] {
  const trace = xx + yy;
  if (trace === 0) return [0, 0, 0];
  const determinant = xx * yy - xy * xy;
  if (determinant > IN_A_LINE * trace * trace) {
    return [yy / determinant, -xy / determinant, xx / determinant];
  }
  // Rank one, S = s e e^T with s the trace: S^+ = e e^T / s = S / s^2.
  const square = trace * trace;
  return [xx / square, xy / square, yy / square];
}

/** Where the handles are on plan, or null when a mover moves one of them sideways. */
function placesOnPlan(
  model: MassModel,
  domain: ConfigurationDomain,
  handles: readonly LiftPoint[],
): readonly Vec2[] | null {
  const { lo, hi } = rootBox(domain);
  const least = new Float64Array(3);
  const most = new Float64Array(3);
  const places: Vec2[] = [];
  for (const { mover, at } of handles) {
    pointRange(model, lo, hi, mover, at, least, most);
    const [x0, y0] = least as unknown as Vec2;
    const [x1, y1] = most as unknown as Vec2;
    if (x1 - x0 > ONE_PLACE || y1 - y0 > ONE_PLACE) return null;
    places.push([0.5 * (x0 + x1), 0.5 * (y0 + y1)]);
  }
  return places;
}

function ruleFor(places: readonly Vec2[] | null, count: number): SharingRule {
  if (count === 1) return 'one handle';
  if (places === null) return 'each bears all';
  return count === 2 ? 'lever' : 'equal springs';
}

function described(most: Greatest, least: Greatest): HandleLoad {
  const { value, bound, gap, x, boxes, status } = most;
  return {
    force: value,
    bound,
    gap,
    x,
    least: -least.bound,
    boxes: boxes + least.boxes,
    status: status === 'closed' && least.status === 'closed' ? 'closed' : 'budget',
  };
}
