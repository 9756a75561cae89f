/**
 * Question: at what incline, horizontal push, downward force, or speed at a sudden stop does the cart
 * tip, in the worst of its configurations, and over which line?
 *
 * Assumptions: rigid cart and floor; a tipping line is a side of the given support polygon (for
 * castors that may stand in any way the polygon that is always there, so castors are at their
 * worst); something at the floor keeps the cart from sliding; quasi-static except at the sudden
 * stop. Derivations: docs/theory/overbalance.md.
 *
 * Symbols (SI; frame of the mass model)
 *   M, m   mass and first moments of the cart in a configuration x
 *   n, e   outward unit normal of a tipping line and its offset: the line is n.q = e
 *   A      e M - n.m, kg m: M times the distance of the centre of mass inside the line
 *   G      standard gravity
 *   h, l   height of a force point above the floor; distance beyond the line, n.p - e
 *
 * Every search returns the worst found and a bound that no configuration in the domain, no tipping
 * line and no force point is below. A cart that has already tipped (A <= 0) has capacity 0; one that
 * nothing can tip has capacity +Infinity. An empty polygon is a cart that tips by itself: capacity 0.
 */

import type { Vec2, Vec3 } from '../kernel/index.js';
import type { Least, SearchLimits, Way } from './configuration-search.js';
import { DEFAULT_LIMITS, leastOver, UNLIMITED } from './configuration-search.js';
import type { ConfigurationDomain } from './domain.js';
import { centre, rootBox } from './domain.js';
import { STANDARD_GRAVITY } from './gravity.js';
import { functionalLower, pointLower } from './mass-bounds.js';
import type { MassModel } from './mass-model.js';
import { curvedVariables, momentsAt, pointAt, withLoad } from './mass-model.js';
import type { SupportEdge, SupportPolygon } from './support-polygon.js';

/** What every question here is about. */
export interface OverturningInput {
  readonly model: MassModel;
  readonly domain: ConfigurationDomain;
  readonly support: SupportPolygon;
  readonly limits?: SearchLimits;
}

/** A place where a horizontal force may act: an upright edge of the outline, pushed at its top or at
 * the greatest height if that is lower. A point is an edge whose ends are the same. */
export interface PushPoint {
  /** index of the mover in the model's input, -1: the base */
  readonly mover: number;
  /** m, in the zero drawing */
  readonly top: Vec3;
  readonly bottom: Vec3;
}

/** A place where a downward force may act (the middle of the loaded patch). */
export interface DownPoint {
  readonly mover: number;
  /** m, in the zero drawing */
  readonly at: Vec3;
}

/** A force that grows with the weight up to a cap: the lesser of the two. */
export interface ForceRule {
  /** of the weight, > 0 */
  readonly fraction: number;
  /** N, > 0 */
  readonly cap: number;
}

/** The worst case of a question. */
export interface Tipping {
  /** in the unit the question names; 0: tips by itself, +Infinity: cannot be tipped so */
  readonly capacity: number;
  /** nothing in the domain has a capacity below this */
  readonly bound: number;
  /** capacity - bound, >= 0 */
  readonly gap: number;
  readonly boxes: number;
  /** closed: the gap is within the limits. budget: the bound holds, but the gap is wider */
  readonly status: 'closed' | 'budget';
  /** the configuration, null: capacity +Infinity in every configuration */
  readonly x: Float64Array | null;
  /** index of the tipping line in the polygon, -1: none (empty polygon, or cannot be tipped) */
  readonly edge: number;
  /** index of the force point, -1: none */
  readonly point: number;
  /** index of the downward point acting with a push, -1: none */
  readonly downPoint: number;
  /** kg and m, in that configuration; 0 and the origin where there is none */
  readonly mass: number;
  readonly centreOfMass: Vec3;
}

/** A Tipping whose capacity is a ratio of the force that tips to the force that is asked. */
export interface PushTipping extends Tipping {
  /** N, the force asked in that configuration */
  readonly demand: number;
  /** N, the force that tips in that configuration: ratio times demand */
  readonly force: number;
  /** m, where the force acts in that configuration, height already cut to the greatest */
  readonly at: Vec3 | null;
  /** rad below the horizontal, the least favourable slant of the force */
  readonly slant: number;
}

/**
 * The incline at which the cart tips, over every heading. Tilted by theta towards n, the load point
 * has moved (Mz / M) tan theta downhill, so it reaches the line at tan theta = A / Mz; a heading
 * along the normal of a line is the worst for that line.
 *
 * @returns capacity, bound and gap in rad
 */
export function worstIncline(input: OverturningInput): Tipping {
  const { model } = input;
  const ways = edgesOf(input.support).map((edge): Way => {
    const [nx, ny] = edge.normal;
    return {
      floor: 0,
      valueAt: (x) => {
        momentsAt(model, x, moments);
        return ratioOf(distanceMoment(edge), moments[3] as number);
      },
      marginOver: (lo, hi) => (r) => functionalLower(model, lo, hi, edge.offset, -nx, -ny, -r),
    };
  });
  const found = withoutWay(worstOf(input, ways));
  const capacity = Math.atan(found.capacity);
  const bound = Math.atan(found.bound);
  return { ...found, capacity, bound, gap: capacity - bound };
}

/**
 * The least distance of the centre of mass inside the polygon, whatever the configuration: how far
 * the cart is from tipping by itself on the level. Negative: it tips by itself.
 *
 * @returns capacity, bound and gap in m; an empty polygon has capacity and bound -Infinity, gap 0
 */
export function worstLoadPoint(input: OverturningInput): Tipping {
  const { model, support } = input;
  if (support.kind === 'empty') {
    return { ...tipsByItself(input), capacity: -Infinity, bound: -Infinity };
  }
  const floor = -centreReach(input);
  const ways = support.edges.map((edge): Way => {
    const [nx, ny] = edge.normal;
    return {
      floor,
      valueAt: (x) => {
        momentsAt(model, x, moments);
        return distanceMoment(edge) / (moments[0] as number);
      },
      marginOver: (lo, hi) => (r) => functionalLower(model, lo, hi, edge.offset - r, -nx, -ny, 0),
    };
  });
  return withoutWay(worstOf({ ...input, limits: input.limits ?? LOAD_POINT_LIMITS }, ways));
}

/**
 * The push that tips the cart over a low stop, against the push that is asked. The force may have any
 * direction without an upward part. Square to the line and slanting down by beta it has the moment
 * F (h cos beta + l sin beta) about it, greatest F sqrt(h^2 + l^2) for l > 0 and F h for l <= 0, so
 * it tips at F = G A / sqrt(h^2 + max(0, l)^2).
 *
 * @param points where it may act; an edge whose bottom is above the greatest height cannot be pushed
 * @param rule the force asked
 * @param greatestHeight m
 * @param slants false: the force is level, and tips at F = G A / h
 * @returns capacity, bound and gap as the ratio of the two forces: 1 just stands
 */
export function worstPush(
  input: OverturningInput,
  points: readonly PushPoint[],
  rule: ForceRule,
  greatestHeight: number,
  slants = true,
): PushTipping {
  const edges = edgesOf(input.support);
  const pairs = edges.flatMap((edge) => points.map((point) => ({ edge, point })));
  const ways = pairs.map(({ edge, point }) => {
    const lever = slants
      ? slantLever(input.model, edge, point, greatestHeight)
      : levelLever(input.model, point, greatestHeight);
    return forceWay(input.model, edge, [{ ...rule, ...lever }], {
      mover: point.mover,
      at: point.top,
    });
  });
  const found = worstOf(input, ways);
  const index = found.x === null || edges.length === 0 ? -1 : found.way;
  const pair = pairs[index];
  return describePush(input.model, found, rule, greatestHeight, {
    edge: pair === undefined ? -1 : edges.indexOf(pair.edge),
    point: pair === undefined ? -1 : points.indexOf(pair.point),
    downPoint: -1,
    line: pair?.edge ?? null,
    at: pair?.point ?? null,
    slants,
  });
}

/**
 * A level push and a downward force at the same time, both growing in the proportion in which they
 * are asked. A downward force inside the tipping line would help the cart, so it is left out there.
 *
 * @param push where and how the level force acts
 * @param down where and how the downward force acts; every pair of points is tried
 * @param greatestHeight m, for the push; downward points above it are left out too
 * @returns capacity, bound and gap as a factor on the forces asked: 1 just stands; `demand`,
 *   `force` and `at` are those of the push
 */
export function worstCombined(
  input: OverturningInput,
  push: { readonly points: readonly PushPoint[]; readonly rule: ForceRule },
  down: { readonly points: readonly DownPoint[]; readonly rule: ForceRule },
  greatestHeight: number,
): PushTipping {
  const { model } = input;
  const edges = edgesOf(input.support);
  const triples = edges.flatMap((edge) =>
    push.points.flatMap((point) => down.points.map((under) => ({ edge, point, under }))),
  );
  const ways = triples.map(({ edge, point, under }) =>
    forceWay(
      model,
      edge,
      [
        { ...push.rule, ...levelLever(model, point, greatestHeight) },
        { ...down.rule, ...downLever(model, edge, under, greatestHeight) },
      ],
      under,
    ),
  );
  const found = worstOf(input, ways);
  const triple = found.x === null || edges.length === 0 ? undefined : triples[found.way];
  return describePush(model, found, push.rule, greatestHeight, {
    edge: triple === undefined ? -1 : edges.indexOf(triple.edge),
    point: triple === undefined ? -1 : push.points.indexOf(triple.point),
    downPoint: triple === undefined ? -1 : down.points.indexOf(triple.under),
    line: triple?.edge ?? null,
    at: triple?.point ?? null,
    slants: false,
  });
}

/**
 * The downward force that tips the cart: P l = G A.
 *
 * @param points where it may act; a point counts only while it is at most at the greatest height
 * @param greatestHeight m
 * @returns capacity, bound and gap in N
 */
export function worstDownwardForce(
  input: OverturningInput,
  points: readonly DownPoint[],
  greatestHeight: number,
): Tipping {
  const edges = edgesOf(input.support);
  const pairs = edges.flatMap((edge) => points.map((point) => ({ edge, point })));
  const found = worstOf(
    input,
    pairs.map(({ edge, point }) => downWay(input.model, edge, point, greatestHeight)),
  );
  const pair = found.x === null || edges.length === 0 ? undefined : pairs[found.way];
  return {
    ...withoutWay(found),
    edge: pair === undefined ? -1 : edges.indexOf(pair.edge),
    point: pair === undefined ? -1 : points.indexOf(pair.point),
  };
}

/**
 * The speed at which the cart tips when its leading castors stop dead. Momentum about the tipping
 * line is kept: M v z = I w. It goes over when (1/2) I w^2 lifts the centre of mass over the line,
 * M G (R - z) with R^2 = d^2 + z^2, d the distance of the centre of mass from the line and z its
 * height. A point mass has the least I = M R^2 and so the greatest energy: it is the safe side, and
 * v^2 = 2 G (R - z) R^2 / z^2.
 *
 * @param travel unit vectors, the directions in which it may be moving; null: any. A line hit at a
 *   slant takes only the part n.u of the speed.
 * @returns capacity, bound and gap in m/s
 */
export function worstSuddenStop(
  input: OverturningInput,
  travel: readonly Vec2[] | null = null,
): Tipping {
  const { model } = input;
  const ways = edgesOf(input.support).map((edge) =>
    stopWay(model, edge, travel === null ? 1 : greatestFacing(edge, travel)),
  );
  return withoutWay(worstOf(input, ways));
}

/** A tenth of a micrometre, whatever the distance: it may be about 0. */
const LOAD_POINT_LIMITS: SearchLimits = { ...DEFAULT_LIMITS, relativeGap: 0, absoluteGap: 1e-7 };

/** [M, Mx, My, Mz] of the configuration at hand */
const moments = new Float64Array(4);
const place = new Float64Array(3);

/** A in the configuration whose moments are at hand. */
function distanceMoment({ normal, offset }: SupportEdge): number {
  return (
    offset * (moments[0] as number) -
    normal[0] * (moments[1] as number) -
    normal[1] * (moments[2] as number)
  );
}

/** The ratio N / D with its conventions: 0 where N <= 0 (it has already happened), +Infinity where
 * D <= 0 or the ratio counts as unlimited. */
function ratioOf(numerator: number, denominator: number): number {
  if (numerator <= 0) return 0;
  if (denominator <= 0) return Number.POSITIVE_INFINITY;
  const ratio = numerator / denominator;
  return ratio < UNLIMITED ? ratio : Number.POSITIVE_INFINITY;
}

/** Part of a force: how it grows with the weight, and its lever about the tipping line, m. */
interface ForceTerm extends ForceRule {
  /** m, >= 0 */
  readonly leverAt: (x: Float64Array) => number;
  readonly leverOver: (lo: Float64Array, hi: Float64Array) => LeverBound;
}

/** Throughout a box the lever is at most level + slope l, l the distance of the term's point beyond
 * the tipping line, and l is at most `beyond`. All >= 0 but `beyond`. */
interface LeverBound {
  readonly level: number;
  readonly slope: number;
  readonly beyond: number;
}

type Lever = Pick<ForceTerm, 'leverAt' | 'leverOver'>;

/**
 * Ratio r of capacity to demand for a sum of force terms: G A = r sum_k min(f_k M G, cap_k) lever_k.
 *
 * Over a box each minimum is at most either of its sides, and each lever at most level + slope l;
 * every choice of sides then gives a functional of the moments, and the best of those bounds is
 * taken. A term r cap slope l / G is that of a load of r cap slope / G at the point, bounded jointly
 * with the cart. For r f M slope l, with M0 the least mass: M l <= M0 l + (M - M0) (greatest l), a
 * load and a part for each mass.
 *
 * @param at the point of the one term whose lever has a slope
 */
function forceWay(
  model: MassModel,
  edge: SupportEdge,
  terms: readonly ForceTerm[],
  at: DownPoint,
): Way {
  const [nx, ny] = edge.normal;
  const choices = 2 ** terms.length;
  const loaded = withLoad(model, at.mover, at.at);
  const from = new Float64Array(loaded.variableCount);
  const to = new Float64Array(loaded.variableCount);
  const last = loaded.variableCount - 1;
  return {
    floor: 0,
    valueAt: (x) => {
      momentsAt(model, x, moments);
      const weight = STANDARD_GRAVITY * (moments[0] as number);
      const righting = STANDARD_GRAVITY * distanceMoment(edge);
      let turning = 0;
      for (const term of terms) {
        turning += Math.min(term.fraction * weight, term.cap) * term.leverAt(x);
      }
      return ratioOf(righting, turning);
    },
    marginOver: (lo, hi) => {
      const levers = terms.map((term) => term.leverOver(lo, hi));
      const least = functionalLower(model, lo, hi, 1, 0, 0, 0);
      return (r) => {
        from.set(lo);
        to.set(hi);
        let best = Number.NEGATIVE_INFINITY;
        for (let choice = 0; choice < choices; choice++) {
          let perMass = edge.offset;
          let fixed = 0;
          let load = 0;
          for (let k = 0; k < terms.length; k++) {
            const { fraction, cap } = terms[k] as ForceTerm;
            const { level, slope, beyond } = levers[k] as LeverBound;
            if ((choice >> k) & 1) {
              fixed += (r * cap * level) / STANDARD_GRAVITY;
              load += (r * cap * slope) / STANDARD_GRAVITY;
            } else {
              perMass -= r * fraction * (level + slope * beyond);
              fixed -= r * fraction * slope * beyond * least;
              load += r * fraction * slope * least;
            }
          }
          from[last] = load;
          to[last] = load;
          // The load's own functional must be e - n.p, whatever falls to each mass of the cart.
          const shifted = fixed + (perMass - edge.offset) * load;
          const bound = functionalLower(loaded, from, to, perMass, -nx, -ny, 0) - shifted;
          best = Math.max(best, bound);
        }
        return best;
      };
    },
  };
}

/** Lever sqrt(h^2 + max(0, l)^2) of a push that may slant down: for a given h convex in l, so below
 * its chord, and rising with h. */
function slantLever(
  model: MassModel,
  edge: SupportEdge,
  point: PushPoint,
  greatestHeight: number,
): Lever {
  const [nx, ny] = edge.normal;
  const { mover, top } = point;
  const upright = levelLever(model, point, greatestHeight);
  return {
    leverAt: (x) => {
      const height = upright.leverAt(x);
      if (height === 0) return 0;
      pointAt(model, x, mover, top, place);
      const beyond = nx * (place[0] as number) + ny * (place[1] as number) - edge.offset;
      return Math.hypot(height, Math.max(0, beyond));
    },
    leverOver: (lo, hi) => {
      const height = upright.leverOver(lo, hi).level;
      if (height === 0) return NO_LEVER;
      const near = pointLower(model, lo, hi, mover, top, nx, ny, 0) - edge.offset;
      const far = -pointLower(model, lo, hi, mover, top, -nx, -ny, 0) - edge.offset;
      return chord(near, far, height);
    },
  };
}

const NO_LEVER: LeverBound = { level: 0, slope: 0, beyond: 0 };

/** The chord over l in [near, far] above sqrt(height^2 + max(0, l)^2). */
function chord(near: number, far: number, height: number): LeverBound {
  const atNear = Math.hypot(height, Math.max(0, near));
  const atFar = Math.hypot(height, Math.max(0, far));
  const slope = far > near ? (atFar - atNear) / (far - near) : 0;
  // Both ends are widened outward, and the chord between them is above the curve up to rounding.
  return { level: Math.max(atNear - slope * near, atFar - slope * far), slope, beyond: far };
}

/** Lever h of a level push; 0 where the point is above the greatest height or below the floor. */
function levelLever(model: MassModel, point: PushPoint, greatestHeight: number): Lever {
  const { mover, top, bottom } = point;
  return {
    leverAt: (x) => {
      pointAt(model, x, mover, bottom, place);
      if ((place[2] as number) > greatestHeight) return 0;
      pointAt(model, x, mover, top, place);
      return Math.max(0, Math.min(place[2] as number, greatestHeight));
    },
    leverOver: (lo, hi) => {
      if (pointLower(model, lo, hi, mover, bottom, 0, 0, 1) > greatestHeight) return NO_LEVER;
      const height = -pointLower(model, lo, hi, mover, top, 0, 0, -1);
      return { level: Math.max(0, Math.min(height, greatestHeight)), slope: 0, beyond: 0 };
    },
  };
}

/** Lever max(0, l) of a downward force; 0 where the point is above the greatest height. */
function downLever(
  model: MassModel,
  edge: SupportEdge,
  point: DownPoint,
  greatestHeight: number,
): Lever {
  const { mover, at } = point;
  const [nx, ny] = edge.normal;
  return {
    leverAt: (x) => {
      pointAt(model, x, mover, at, place);
      if ((place[2] as number) > greatestHeight) return 0;
      return Math.max(0, nx * (place[0] as number) + ny * (place[1] as number) - edge.offset);
    },
    leverOver: (lo, hi) => {
      if (pointLower(model, lo, hi, mover, at, 0, 0, 1) > greatestHeight) return NO_LEVER;
      const near = pointLower(model, lo, hi, mover, at, nx, ny, 0) - edge.offset;
      const far = -pointLower(model, lo, hi, mover, at, -nx, -ny, 0) - edge.offset;
      return far <= 0 ? NO_LEVER : chord(near, far, 0);
    },
  };
}

/** P = G A / l. The force is a load of P / G at the point, so that what moves both the cart and the
 * point is bounded jointly. */
function downWay(
  model: MassModel,
  edge: SupportEdge,
  point: DownPoint,
  greatestHeight: number,
): Way {
  const [nx, ny] = edge.normal;
  const lever = downLever(model, edge, point, greatestHeight);
  const loaded = withLoad(model, point.mover, point.at);
  const from = new Float64Array(loaded.variableCount);
  const to = new Float64Array(loaded.variableCount);
  const last = loaded.variableCount - 1;
  return {
    floor: 0,
    valueAt: (x) => {
      momentsAt(model, x, moments);
      return ratioOf(STANDARD_GRAVITY * distanceMoment(edge), lever.leverAt(x));
    },
    marginOver: (lo, hi) => {
      const reached = lever.leverOver(lo, hi) !== NO_LEVER;
      return (force) => {
        from.set(lo);
        to.set(hi);
        from[last] = reached ? force / STANDARD_GRAVITY : 0;
        to[last] = from[last] as number;
        return functionalLower(loaded, from, to, edge.offset, -nx, -ny, 0);
      };
    },
  };
}

/** v for a centre of mass at distance d inside the line and height z, m and m/s. */
function stopSpeed(distance: number, height: number, facing: number): number {
  if (distance <= 0) return 0;
  if (height <= 0 || facing <= 0 || distance === Number.POSITIVE_INFINITY) {
    return Number.POSITIVE_INFINITY;
  }
  const radius = Math.hypot(distance, height);
  // R - z = d^2 / (R + z), without the cancellation for a high centre of mass.
  const rise = distance ** 2 / (radius + height);
  return Math.sqrt(2 * STANDARD_GRAVITY * rise) * (radius / height / facing);
}

/**
 * The cart stands a stop at speed v when d >= D(z), D the distance at which v just tips it. D is
 * concave: with C = (v facing)^2 / 2G the tip is at C = z k(d / z), k(t) = (sqrt(1 + t^2) - 1)(1 + t^2),
 * which rises and is convex, so D = z K(C / z) with K the inverse of k is the perspective of a
 * concave function. So D lies below each of its tangents, and d M >= (D0 - D0' z0) M + D0' z M is a
 * functional of the moments that proves it: jointly for d and z, exact at z0.
 */
function stopWay(model: MassModel, edge: SupportEdge, facing: number): Way {
  const [nx, ny] = edge.normal;
  const middle = new Float64Array(model.variableCount);
  let bestValue = Number.POSITIVE_INFINITY;
  let bestHeight = Number.NaN;
  return {
    floor: 0,
    valueAt: (x) => {
      momentsAt(model, x, moments);
      const mass = moments[0] as number;
      const height = (moments[3] as number) / mass;
      const value = stopSpeed(distanceMoment(edge) / mass, height, facing);
      if (value < bestValue) {
        bestValue = value;
        bestHeight = height;
      }
      return value;
    },
    marginOver: (lo, hi) => {
      for (let v = 0; v < lo.length; v++) middle[v] = 0.5 * ((lo[v] as number) + (hi[v] as number));
      momentsAt(model, middle, moments);
      const here = (moments[3] as number) / (moments[0] as number);
      const proven = (v: number, height: number): number => {
        if (!(height > 0)) return Number.NEGATIVE_INFINITY;
        const [at, slope] = stopDistance(v * facing, height);
        const perMass = edge.offset - (at - slope * height);
        return functionalLower(model, lo, hi, perMass, -nx, -ny, -slope);
      };
      // The tangent at the height of the worst found is the exact one where the worst is a corner.
      return (v) => (facing <= 0 ? 0 : Math.max(proven(v, bestHeight), proven(v, here)));
    },
  };
}

/** Newton steps for the distance below; from above on a convex function each more than doubles the
 * digits near the end, and the start is within a factor of 2. */
const NEWTON_STEPS = 12;

/** Below this s is known to fewer than eight digits of s - 1: a line met at a glancing angle. */
const TINY = 1e-8;

/** The distance from the line at which a stop at speed v just tips a centre of mass at height z, and
 * its derivative by z. With s = sqrt(1 + (d/z)^2): s^3 - s^2 = v^2 / (2 G z). */
function stopDistance(v: number, z: number): readonly [number, number] {
  const u = (v * v) / (2 * STANDARD_GRAVITY * z);
  if (u === 0) return [0, 0];
  if (u < TINY) {
    // s - 1 is lost in the rounding of s; it is at most u, so t is at most this.
    const least = Math.sqrt(u * (2 + u));
    return [z * least, least - u / least];
  }
  // (1 + u) and 1 + cbrt(u) both are above the root: s^2 (s - 1) >= s - 1 and >= (s - 1)^3.
  let s = 1 + Math.min(u, Math.cbrt(u));
  for (let step = 0; step < NEWTON_STEPS; step++) {
    const excess = s * s * (s - 1) - u;
    s = Math.max(1, s - excess / (s * (3 * s - 2)));
  }
  const t = Math.sqrt((s - 1) * (s + 1));
  // dK/du = 1 / k'(t), k'(t) = (3 s - 2) t; D = z K(u), u = C / z, so dD/dz = K - u dK/du.
  return [z * t, t - u / ((3 * s - 2) * t)];
}

/** Greatest n.u over the directions of travel. */
function greatestFacing({ normal }: SupportEdge, travel: readonly Vec2[]): number {
  return Math.max(...travel.map((u) => normal[0] * u[0] + normal[1] * u[1]));
}

interface Found extends Tipping {
  /** index of the way, -1: none */
  readonly way: number;
}

/** Runs the search, with one way for each edge unless the caller says otherwise. */
function worstOf(input: OverturningInput, ways: readonly Way[]): Found {
  if (input.support.kind === 'empty') return { ...tipsByItself(input), way: -1 };
  if (ways.length === 0) return { ...cannotTip(), way: -1 };
  const curved = curvedVariables(input.model);
  const found: Least = leastOver(input.domain, ways, curved, input.limits ?? DEFAULT_LIMITS);
  return {
    capacity: found.value,
    bound: found.bound,
    gap: found.gap,
    boxes: found.boxes,
    status: found.status,
    x: found.x,
    edge: found.way,
    point: -1,
    downPoint: -1,
    way: found.way,
    ...massOf(input.model, found.x),
  };
}

function withoutWay({ way: _, ...tipping }: Found): Tipping {
  return tipping;
}

function massOf(
  model: MassModel,
  x: Float64Array | null,
): { readonly mass: number; readonly centreOfMass: Vec3 } {
  if (x === null) return { mass: 0, centreOfMass: [0, 0, 0] };
  momentsAt(model, x, moments);
  const [mass, mx, my, mz] = [...moments] as [number, number, number, number];
  return { mass, centreOfMass: [mx / mass, my / mass, mz / mass] };
}

function tipsByItself(input: OverturningInput): Tipping {
  const x = new Float64Array(input.model.variableCount);
  centre(input.domain, rootBox(input.domain), x);
  const none = { edge: -1, point: -1, downPoint: -1 };
  const settled = { capacity: 0, bound: 0, gap: 0, boxes: 0, status: 'closed' } as const;
  return { ...settled, ...none, x, ...massOf(input.model, x) };
}

function cannotTip(): Tipping {
  return {
    capacity: Number.POSITIVE_INFINITY,
    bound: Number.POSITIVE_INFINITY,
    gap: 0,
    boxes: 0,
    status: 'closed',
    x: null,
    edge: -1,
    point: -1,
    downPoint: -1,
    mass: 0,
    centreOfMass: [0, 0, 0],
  };
}

function describePush(
  model: MassModel,
  found: Found,
  rule: ForceRule,
  greatestHeight: number,
  what: {
    readonly edge: number;
    readonly point: number;
    readonly downPoint: number;
    readonly line: SupportEdge | null;
    readonly at: PushPoint | null;
    readonly slants: boolean;
  },
): PushTipping {
  const { edge, point, downPoint, line, at } = what;
  const demand = Math.min(rule.fraction * STANDARD_GRAVITY * found.mass, rule.cap);
  const force = demand === 0 ? found.capacity : found.capacity * demand;
  const tipping = { ...withoutWay(found), edge, point, downPoint, demand, force };
  if (found.x === null || line === null || at === null) return { ...tipping, at: null, slant: 0 };
  pointAt(model, found.x, at.mover, at.top, place);
  const height = Math.min(place[2] as number, greatestHeight);
  const where: Vec3 = [place[0] as number, place[1] as number, height];
  const beyond = line.normal[0] * where[0] + line.normal[1] * where[1] - line.offset;
  return {
    ...tipping,
    at: where,
    slant: what.slants ? Math.atan2(Math.max(0, beyond), height) : 0,
  };
}

function edgesOf(support: SupportPolygon): readonly SupportEdge[] {
  return support.kind === 'empty' ? [] : support.edges;
}

/** m: the centre of mass is nowhere further than this from any tipping line. */
function centreReach({ model, domain, support }: OverturningInput): number {
  let reach = model.reach;
  const { lo, hi } = rootBox(domain);
  for (let v = 0; v < model.moverCount; v++) {
    reach += Math.max(Math.abs(lo[v] as number), Math.abs(hi[v] as number));
  }
  let offset = 0;
  for (const edge of edgesOf(support)) offset = Math.max(offset, Math.abs(edge.offset));
  return reach + offset;
}
