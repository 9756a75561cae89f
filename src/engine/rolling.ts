/**
 * Question: what force starts the cart and keeps it rolling, and does it get over a step, by force or
 * by its speed?
 *
 * Assumptions: locks off; hard flat floor; a castor that swivels has trailed by the time it rolls
 * steadily; a step with an edge; rigid wheels that do not slip on the edge or bounce. Derivations
 * and validity: docs/theory/rolling.md.
 *
 * Symbols (SI)
 *   r, b   wheel radius; rolling resistance length: a wheel that rolls under N needs N b / r
 *   t, Ms  trail; moment that resists swivelling about the stem
 *   N      load of a castor, W = G M the weight
 *   h      height of the step; a the angle from the vertical to the line from the step's edge to the
 *          axle: tan a = sqrt(2 r h - h^2) / (r - h)
 *   u      unit vector of travel; c the centre of mass
 */

import type { Vec2 } from '../kernel/index.js';
import type { SearchLimits } from './configuration-search.js';
import { DEFAULT_LIMITS } from './configuration-search.js';
import type { ConfigurationDomain } from './domain.js';
import { STANDARD_GRAVITY } from './gravity.js';
import type { Greatest } from './mass-extremes.js';
import { greatestCentre, greatestFunctional } from './mass-extremes.js';
import type { MassModel } from './mass-model.js';
import { momentsAt } from './mass-model.js';

/** A castor as far as rolling goes. */
export interface RollingCastor {
  /** m; the contact of a fixed castor */
  readonly stem: Vec2;
  /** m, >= 0; 0: it does not swivel */
  readonly trail: number;
  /** m, > 0 */
  readonly radius: number;
  /** m, >= 0 */
  readonly rollingLength: number;
  /** N m, >= 0 */
  readonly swivelMoment: number;
}

/** Forces on one castor or on all, N. */
export interface RollingForce {
  /** castors trailing */
  readonly sustained: number;
  /** castors standing the worst way */
  readonly start: number;
}

/** What the cart needs under given castor loads. */
export interface Propulsion extends RollingForce {
  readonly castors: readonly RollingForce[];
}

/**
 * The force that starts the cart and the force that keeps it going, for known castor loads, along
 * the rolling direction of any castor that does not swivel.
 *
 * Trailing, each castor takes N b / r. At rest a castor takes at most N b / r along its wheel, beyond
 * which it rolls, and at most Ms / t across it, beyond which it swivels: the force it can oppose to a
 * pull lies in that rectangle, and its corner sqrt((N b / r)^2 + (Ms / t)^2) is the most in any
 * direction. A castor can stand so that the pull points at the corner; all of them at once is the
 * worst start.
 *
 * @param loads N, one for each castor, >= 0
 */
export function propulsion(
  castors: readonly RollingCastor[],
  loads: readonly number[],
): Propulsion {
  if (loads.length !== castors.length) {
    throw new Error(`rolling: ${loads.length} loads for ${castors.length} castors`);
  }
  const each = castors.map((castor, i): RollingForce => {
    const rolling = (loads[i] as number) * rollingRatio(castor);
    return { sustained: rolling, start: Math.hypot(rolling, swivelForce(castor)) };
  });
  return {
    sustained: each.reduce((sum, { sustained }) => sum + sustained, 0),
    start: each.reduce((sum, { start }) => sum + start, 0),
    castors: each,
  };
}

/**
 * What no split of the weight over the castors needs more than. Sustained: all the weight on the
 * castor of the greatest b / r. Start: a sum of convex functions of the loads, whose greatest value
 * over all splits is at a corner, all the weight on one castor.
 *
 * @param weight N
 */
export function propulsionLimit(castors: readonly RollingCastor[], weight: number): RollingForce {
  let sustained = 0;
  let swivelling = 0;
  let extra = 0;
  for (const castor of castors) {
    const rolling = weight * rollingRatio(castor);
    const across = swivelForce(castor);
    sustained = Math.max(sustained, rolling);
    swivelling += across;
    extra = Math.max(extra, Math.hypot(rolling, across) - across);
  }
  return { sustained, start: swivelling + extra };
}

/** The heaviest configuration, which needs the greatest force, and what no split there exceeds. */
export interface WorstPropulsion {
  readonly heaviest: Greatest;
  /** N, for the proven greatest mass: no configuration and no split needs more */
  readonly limit: RollingForce;
}

/** Both limits rise with the weight, so the heaviest configuration settles the domain. */
export function worstPropulsion(
  model: MassModel,
  domain: ConfigurationDomain,
  castors: readonly RollingCastor[],
): WorstPropulsion {
  const heaviest = greatestFunctional(model, domain, 1, [0, 0, 0]);
  return { heaviest, limit: propulsionLimit(castors, STANDARD_GRAVITY * heaviest.bound) };
}

/** b / r. */
function rollingRatio({ rollingLength, radius }: RollingCastor): number {
  return rollingLength / radius;
}

/** Ms / t, N; 0 for a castor that does not swivel: it is only pushed the way it rolls. */
function swivelForce({ swivelMoment, trail }: RollingCastor): number {
  return trail > 0 ? swivelMoment / trail : 0;
}

/**
 * tan a: the horizontal force at the axle that lifts a wheel onto a step, over its load. Moments
 * about the edge of the step: F (r - h) = N sqrt(2 r h - h^2).
 *
 * @param radius m, > 0
 * @param height m, >= 0
 * @returns +Infinity when the step is as high as the axle or higher
 */
export function climbRatio(radius: number, height: number): number {
  if (height >= radius) return Number.POSITIVE_INFINITY;
  return Math.sqrt(2 * radius * height - height * height) / (radius - height);
}

/**
 * The speed at which the cart must meet a step to roll up it on its own, for a share s of the mass on
 * the wheels that meet it. Two masses joined by a stiff frame, s M over the leading wheels and the
 * rest behind; the plastic impact on the edge leaves the speed v' = v / (1 + s tan^2 a) and the
 * energy (1/2) M v^2 / (1 + s tan^2 a), which must lift s M by h.
 *
 * @param share of the mass, 0 to 1
 */
export function climbSpeed(share: number, radius: number, height: number): number {
  const slope = climbRatio(radius, height);
  return Math.sqrt(2 * STANDARD_GRAVITY * share * height * (1 + share * slope * slope));
}

/** The energy left after the impact, over the mass: v^2 / (2 (1 + s tan^2 a)), J/kg. */
export function energyAfterImpact(
  speed: number,
  share: number,
  radius: number,
  height: number,
): number {
  const slope = climbRatio(radius, height);
  return (speed * speed) / (2 * (1 + share * slope * slope));
}

/** Castors that meet a step at once, one way of travel. */
export interface ThresholdRow {
  /** index in the directions of travel */
  readonly travel: number;
  /** indices of its castors */
  readonly castors: readonly number[];
  /** m, least wheel radius of the row: the hardest to lift */
  readonly radius: number;
  /** the static climb, where the row is loaded most */
  readonly climb: {
    /** N, in configuration x, all in any split that statics allows; +Infinity: not climbed */
    readonly force: number;
    /** N, no configuration needs more */
    readonly bound: number;
    /** kg on the row, at the most, and of the whole cart */
    readonly onRow: number;
    readonly mass: number;
    readonly x: Float64Array;
  };
  /** the roll up by speed, where the share of the row in the mass is greatest */
  readonly impact: {
    /** m/s in configuration x; +Infinity: not climbed */
    readonly speed: number;
    /** m/s, no configuration needs more */
    readonly bound: number;
    /** share of the mass on the row, at the most */
    readonly share: number;
    readonly mass: number;
    readonly x: Float64Array;
  };
  readonly boxes: number;
  readonly status: 'closed' | 'budget';
}

/** Castors nearer to each other in the direction of travel than this meet a step as one: the width of
 * a wheel's footprint. 1 mm. */
const ONE_ROW = 1e-3;

/**
 * Each row of castors against a step, for each direction of travel, castors trailing.
 *
 * How much of the weight a row can carry follows from moments alone, whatever the floor does to the
 * split. About the rearmost contacts: N_row (x_row - x_rear) <= W (c - x_rear), since every other
 * load has a moment that is not negative; about the foremost: N_row (x_front - x_row) <=
 * W (x_front - c). The first counts for the leading row, the second for the trailing, both between.
 *
 * @param travel unit vectors, forwards and backwards as a rule
 * @param height m, of the step
 */
export function worstThreshold(
  model: MassModel,
  domain: ConfigurationDomain,
  castors: readonly RollingCastor[],
  travel: readonly Vec2[],
  height: number,
  limits: SearchLimits = DEFAULT_LIMITS,
): readonly ThresholdRow[] {
  const whole = greatestFunctional(model, domain, 1, [0, 0, 0], limits);
  return travel.flatMap((u, index) => {
    const along = castors.map(({ stem, trail }) => u[0] * stem[0] + u[1] * stem[1] - trail);
    const ahead = greatestCentre(model, domain, [u[0], u[1], 0]);
    const behind = greatestCentre(model, domain, [-u[0], -u[1], 0]);
    return rowsOf(along).map((row): ThresholdRow => {
      const radius = Math.min(...row.map((i) => (castors[i] as RollingCastor).radius));
      const slope = climbRatio(radius, height);
      const pivots = pivotsOf(row, along);
      const loads = pivots.map((pivot) => greatestOnRow(model, domain, u, pivot, limits));
      const load = [whole, ...loads].reduce((p, q) => (q.bound < p.bound ? q : p));
      const onRow = Math.max(0, load.value);
      const share = pivots
        .map((pivot) => shareOnRow(pivot, pivot.sign === 1 ? ahead : behind))
        .reduce((p, q) => (q.bound < p.bound ? q : p), { value: 1, bound: 1, x: whole.x });
      const searches = [whole, ahead, behind, ...loads];
      return {
        travel: index,
        castors: row,
        radius,
        climb: {
          force: STANDARD_GRAVITY * onRow * slope,
          bound: STANDARD_GRAVITY * Math.max(0, load.bound) * slope,
          onRow,
          mass: massAt(model, load.x),
          x: load.x,
        },
        impact: {
          speed: climbSpeed(share.value, radius, height),
          bound: climbSpeed(share.bound, radius, height),
          share: share.value,
          mass: massAt(model, share.x),
          x: share.x,
        },
        boxes: searches.reduce((sum, { boxes }) => sum + boxes, 0),
        status: searches.every(({ status }) => status === 'closed') ? 'closed' : 'budget',
      };
    });
  });
}

/** A line about which moments limit the load of a row: `at` along the travel, `arm` from the row,
 * sign +1 behind it and -1 before it. */
interface Pivot {
  readonly at: number;
  readonly arm: number;
  readonly sign: 1 | -1;
}

/** The rearmost and the foremost contacts, but not for a row that is there itself. */
function pivotsOf(row: readonly number[], along: readonly number[]): Pivot[] {
  const rear = Math.min(...along);
  const front = Math.max(...along);
  const from = Math.min(...row.map((i) => along[i] as number));
  const to = Math.max(...row.map((i) => along[i] as number));
  const pivots: Pivot[] = [];
  if (from > rear) pivots.push({ at: rear, arm: from - rear, sign: 1 });
  if (to < front) pivots.push({ at: front, arm: front - to, sign: -1 });
  return pivots;
}

/** Greatest (u.m - at M) / arm, or its opposite: kg that a row can carry. */
function greatestOnRow(
  model: MassModel,
  domain: ConfigurationDomain,
  u: Vec2,
  { at, arm, sign }: Pivot,
  limits: SearchLimits,
): Greatest {
  const k = sign / arm;
  return greatestFunctional(model, domain, -k * at, [k * u[0], k * u[1], 0], limits);
}

/** The same over the mass, within 0 to 1, from the greatest u.c, or the greatest -u.c before it. */
function shareOnRow({ at, arm, sign }: Pivot, centre: Greatest) {
  const of = (c: number): number => Math.min(1, Math.max(0, (c - sign * at) / arm));
  return { value: of(centre.value), bound: of(centre.bound), x: centre.x };
}

/** Indices grouped by place, foremost row first. */
function rowsOf(along: readonly number[]): number[][] {
  const order = along.map((_, i) => i).sort((i, j) => (along[j] as number) - (along[i] as number));
  const rows: number[][] = [];
  for (const i of order) {
    const row = rows[rows.length - 1];
    const first = row?.[0];
    const near = first !== undefined && (along[first] as number) - (along[i] as number) <= ONE_ROW;
    if (near) row?.push(i);
    else rows.push([i]);
  }
  return rows;
}

const moments = new Float64Array(4);

function massAt(model: MassModel, x: Float64Array): number {
  momentsAt(model, x, moments);
  return moments[0] as number;
}
