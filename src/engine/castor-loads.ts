/**
 * Question: how much, and how little, can each castor carry on a level floor, whatever the
 * configuration and whichever way the castors are turned?
 *
 * Assumptions: those of elastic-support.ts (rigid cart, castors as springs that only push, flat
 * floor); a castor turned by psi touches the floor at s + t (cos psi, sin psi), psi free.
 *
 * Symbols (SI)
 *   s, t, k  stem, trail, vertical stiffness of a castor; d its contact less its stem, |d| = t
 *   a        (1, s_x, s_y); H = sum k a a^T over all castors
 *   b        weight and its first moments, G (M, M_x, M_y); W = G M
 *   u        plane of deflection; u_s its two slopes
 *   r_i      k_i H^-1 a_i: the load of castor i is r_i.b while every contact is at its stem
 *
 * With contacts at a + d and all castors pressed, N = k (a + d).u and sum N (a + d) = b give
 *
 *   N_i = r_i.b - sum_j N_j (r_i)_s.d_j + sum_j c_ij d_j.u_s,   c_ij = k_i [i = j] - k_j r_i.a_j .
 *
 * The first term is a linear function of the moments; the second is at most W t_max |(r_i)_s|, linear
 * too; the third is small, for |u_s| has a bound of its own:
 *
 *   |u_s| <= (|(H^-1 b)_s| + W t_max |H^-1_ss|) / (1 - sum_j k_j t_j |(H^-1 a_j)_s|) .
 *
 * The same with the signs turned bounds the least load. Where every least load is above zero, no
 * castor lifts: on the way from the stems to any contacts the first to lift would have to pass
 * through a load that the bound excludes. Where that is not shown, statics alone bounds the greatest
 * load (moments about a line that all castors are on one side of), and the least is zero.
 */

import type { Vec2, Vec3 } from '../kernel/index.js';
import type { ConfigurationDomain } from './domain.js';
import type { SupportArrays } from './elastic-support.js';
import { invertSupport, solveSupport } from './elastic-support.js';
import { STANDARD_GRAVITY } from './gravity.js';
import type { Greatest } from './mass-extremes.js';
import { greatestFunctional } from './mass-extremes.js';
import type { MassModel } from './mass-model.js';
import { momentsAt } from './mass-model.js';
import { contactPolygon } from './support-polygon.js';

/** A castor as far as its load goes. */
export interface LoadedCastor {
  /** m; the contact of a fixed castor */
  readonly stem: Vec2;
  /** m, >= 0; 0: it does not swivel */
  readonly trail: number;
  /** N/m, > 0 */
  readonly stiffness: number;
}

/** An extreme load of one castor. */
export interface CastorLoad {
  /** N, found */
  readonly value: number;
  /** N, proven: no load is above it (greatest) or below it (least) */
  readonly bound: number;
  /** N, distance between the two, >= 0 */
  readonly gap: number;
  /** the configuration it was found in */
  readonly x: Float64Array;
  /** rad, how every castor is turned there; null: it does not swivel */
  readonly swivels: readonly (number | null)[];
  /** m, contacts there */
  readonly contacts: readonly Vec2[];
  /** N, loads of all castors there */
  readonly loads: readonly number[];
  readonly boxes: number;
}

export interface CastorLoads {
  /** greatest load of every castor */
  readonly most: readonly CastorLoad[];
  /** least load of every castor */
  readonly least: readonly CastorLoad[];
  /** springs: no castor ever lifts, the loads follow from the stiffness; statics: one may lift, the
   * bounds come from moments alone */
  readonly method: 'springs' | 'statics';
}

/**
 * Loads on given contacts, N; null where the load point is outside them.
 *
 * @param weight N
 * @param centre m, seen from above
 */
export function castorLoadsAt(
  castors: readonly LoadedCastor[],
  contacts: readonly Vec2[],
  weight: number,
  centre: Vec2,
): readonly number[] | null {
  return solved(castors, contacts, weight, centre)?.loads ?? null;
}

/** Greatest and least load of every castor over a domain and over all ways the castors turn. */
export function worstCastorLoads(
  model: MassModel,
  domain: ConfigurationDomain,
  castors: readonly LoadedCastor[],
): CastorLoads {
  const springs = springsOf(castors);
  const heaviest = greatestFunctional(model, domain, 1, [0, 0, 0]);
  const slope = springs === null ? Number.POSITIVE_INFINITY : greatestSlope(model, domain, springs);
  const finite = Number.isFinite(slope);
  const least = castors.map((_, i) => {
    if (springs === null || !finite) return liftedLoad(castors, model, heaviest, i);
    return extremeLoad(castors, model, domain, springs, slope, i, -1);
  });
  const pressed = least.every(({ bound }) => bound > 0);
  const most = castors.map((_, i) => {
    if (springs !== null && pressed) {
      return extremeLoad(castors, model, domain, springs, slope, i, 1);
    }
    return staticsLoad(castors, model, domain, heaviest, springs, i);
  });
  return {
    most,
    least: pressed ? least : least.map((each) => ({ ...each, bound: 0, gap: each.value })),
    method: pressed ? 'springs' : 'statics',
  };
}

/** All castors pressed, contacts at the stems. */
interface Springs {
  /** H^-1 a_j (H^-1 applied to (1, x, y)), three numbers a castor */
  readonly planes: readonly Vec3[];
  /** r_i */
  readonly rows: readonly Vec3[];
  /** H^-1, upper triangle */
  readonly inverse: Float64Array;
  readonly trail: number;
  /** sum_j k_j t_j |(H^-1 a_j)_s| */
  readonly feedback: number;
}

function arraysOf(castors: readonly LoadedCastor[], contacts: readonly Vec2[]): SupportArrays {
  return {
    count: castors.length,
    x: Float64Array.from(contacts, ([x]) => x),
    y: Float64Array.from(contacts, ([, y]) => y),
    stiffness: Float64Array.from(castors, ({ stiffness }) => stiffness),
  };
}

function springsOf(castors: readonly LoadedCastor[]): Springs | null {
  const stems = castors.map(({ stem }) => stem);
  const inverse = new Float64Array(6);
  const all = new Uint8Array(castors.length).fill(1);
  if (!invertSupport(arraysOf(castors, stems), all, inverse)) return null;
  const [h0, h1, h2, h3, h4, h5] = [...inverse] as [number, number, number, number, number, number];
  const planes = stems.map(
    ([x, y]): Vec3 => [h0 + h1 * x + h2 * y, h1 + h3 * x + h4 * y, h2 + h4 * x + h5 * y],
  );
  const rows = planes.map(([p, q, r], i): Vec3 => {
    const k = (castors[i] as LoadedCastor).stiffness;
    return [k * p, k * q, k * r];
  });
  const feedback = castors.reduce((sum, { trail }, j) => {
    const [, q, r] = rows[j] as Vec3;
    return sum + trail * Math.hypot(q, r);
  }, 0);
  return {
    planes,
    rows,
    inverse,
    trail: Math.max(...castors.map(({ trail }) => trail)),
    feedback,
  };
}

/** Bound of |u_s|; +Infinity where the castors' trails are too long for it. */
function greatestSlope(model: MassModel, domain: ConfigurationDomain, springs: Springs): number {
  const { inverse, trail, feedback } = springs;
  if (feedback >= 1) return Number.POSITIVE_INFINITY;
  const [, h1, h2, h3, h4, h5] = [...inverse] as [number, number, number, number, number, number];
  const widest = (a: number, bx: number, by: number): number =>
    STANDARD_GRAVITY *
    Math.max(
      greatestFunctional(model, domain, a, [bx, by, 0]).bound,
      greatestFunctional(model, domain, -a, [-bx, -by, 0]).bound,
    );
  const level = Math.hypot(widest(h1, h3, h4), widest(h2, h4, h5));
  const weight = STANDARD_GRAVITY * greatestFunctional(model, domain, 1, [0, 0, 0]).bound;
  // the norm of a symmetric matrix is at most that of its entries
  const turned = weight * trail * Math.hypot(h3, h4, h4, h5);
  return (level + turned) / (1 - feedback);
}

/** sum_j t_j |c_ij|: how much a slope of one can change load i. */
function slopeEffect(castors: readonly LoadedCastor[], springs: Springs, i: number): number {
  return castors.reduce(
    (sum, { trail }, j) => sum + trail * Math.abs(coupling(castors, springs, i, j)),
    0,
  );
}

/** c_ij */
function coupling(
  castors: readonly LoadedCastor[],
  { rows }: Springs,
  i: number,
  j: number,
): number {
  const { stiffness, stem } = castors[j] as LoadedCastor;
  const [p, q, r] = rows[i] as Vec3;
  return (i === j ? stiffness : 0) - stiffness * (p + q * stem[0] + r * stem[1]);
}

/** The greatest (sign 1) or least (-1) load of castor i with all castors pressed. */
function extremeLoad(
  castors: readonly LoadedCastor[],
  model: MassModel,
  domain: ConfigurationDomain,
  springs: Springs,
  slope: number,
  i: number,
  sign: 1 | -1,
): CastorLoad {
  const [p, q, r] = springs.rows[i] as Vec3;
  const shift = springs.trail * Math.hypot(q, r);
  const b: Vec3 = [sign * q, sign * r, 0];
  const first = greatestFunctional(model, domain, sign * p + shift, b);
  const second = slope * slopeEffect(castors, springs, i);
  const bound = sign * (STANDARD_GRAVITY * first.bound + second);
  const found = turnedWorst(castors, model, first.x, springs, i, sign);
  return { ...found, bound, gap: Math.max(0, sign * (bound - found.value)), boxes: first.boxes };
}

/** No bound from the springs: the least is nothing, wherever it was found. */
function liftedLoad(
  castors: readonly LoadedCastor[],
  model: MassModel,
  heaviest: Greatest,
  i: number,
): CastorLoad {
  const found = turnedWorst(castors, model, heaviest.x, springsOf(castors), i, -1);
  return { ...found, bound: 0, gap: found.value, boxes: heaviest.boxes };
}

/** Bounds of the greatest load by statics. About a line beyond which no castor can stand, with n
 * pointing from it to castor i: N_i (n.s_i - t_i - m) <= W (n.q - m), m = min_j (n.s_j - t_j). */
function staticsLoad(
  castors: readonly LoadedCastor[],
  model: MassModel,
  domain: ConfigurationDomain,
  heaviest: Greatest,
  springs: Springs | null,
  i: number,
): CastorLoad {
  const { stem, trail } = castors[i] as LoadedCastor;
  const outline = contactPolygon(castors.map((castor) => castor.stem));
  let best = heaviest;
  for (const { normal } of outline.kind === 'polygon' ? outline.edges : []) {
    const along = (v: Vec2): number => -normal[0] * v[0] - normal[1] * v[1];
    const line = Math.min(...castors.map((castor) => along(castor.stem) - castor.trail));
    const arm = along(stem) - trail - line;
    if (!(arm > 0)) continue;
    const b: Vec3 = [-normal[0] / arm, -normal[1] / arm, 0];
    const load = greatestFunctional(model, domain, -line / arm, b);
    if (load.bound < best.bound) best = load;
  }
  const starts = [best.x];
  if (springs !== null) {
    const [p, q, r] = springs.rows[i] as Vec3;
    starts.push(greatestFunctional(model, domain, p, [q, r, 0]).x);
  }
  const found = starts
    .map((x) => turnedWorst(castors, model, x, springs, i, 1))
    .reduce((p, q) => (q.value > p.value ? q : p));
  // Statics speaks of a cart that stands; one that tips has all its weight on some castor.
  const bound = Math.max(STANDARD_GRAVITY * best.bound, found.value);
  return { ...found, bound, gap: Math.max(0, bound - found.value), boxes: best.boxes };
}

type Found = Pick<CastorLoad, 'value' | 'x' | 'swivels' | 'contacts' | 'loads'>;

/** Rounds of turning every castor the way its load's slope points. */
const TURNS = 4;

/** In configuration x: turns the castors so that castor i carries most (sign 1) or least. */
function turnedWorst(
  castors: readonly LoadedCastor[],
  model: MassModel,
  x: Float64Array,
  springs: Springs | null,
  i: number,
  sign: 1 | -1,
): Found {
  momentsAt(model, x, moments);
  const mass = moments[0] as number;
  const weight = STANDARD_GRAVITY * mass;
  const centre: Vec2 = [(moments[1] as number) / mass, (moments[2] as number) / mass];
  let directions = castors.map((): number => 0);
  if (springs !== null) {
    const [, q, r] = springs.rows[i] as Vec3;
    directions = castors.map(() => Math.atan2(-sign * r, -sign * q));
  }
  let best: Found | null = null;
  for (let turn = 0; turn < TURNS; turn++) {
    const contacts = castors.map(({ stem, trail }, j) =>
      turned(stem, trail, directions[j] as number),
    );
    const state = solved(castors, contacts, weight, centre);
    if (state === null) break;
    const value = state.loads[i] as number;
    const swivels = castors.map(({ trail }, j) => (trail > 0 ? (directions[j] as number) : null));
    if (best === null || sign * (value - best.value) > 0) {
      best = { value, x, swivels, contacts, loads: state.loads };
    }
    if (springs === null) break;
    const [, q, r] = springs.rows[i] as Vec3;
    directions = castors.map((_, j) => {
      const load = state.loads[j] as number;
      const c = coupling(castors, springs, i, j);
      return Math.atan2(
        sign * (c * state.slopes[1] - load * r),
        sign * (c * state.slopes[0] - load * q),
      );
    });
  }
  return best ?? unsupported(castors, x, weight, sign);
}

/** The load point is outside the contacts: the cart tips, and one castor takes all or nothing. */
function unsupported(
  castors: readonly LoadedCastor[],
  x: Float64Array,
  weight: number,
  sign: 1 | -1,
): Found {
  return {
    value: sign === 1 ? weight : 0,
    x,
    swivels: castors.map(() => null),
    contacts: castors.map(({ stem }) => stem),
    loads: castors.map(() => 0),
  };
}

function turned(stem: Vec2, trail: number, direction: number): Vec2 {
  return [stem[0] + trail * Math.cos(direction), stem[1] + trail * Math.sin(direction)];
}

interface Solved {
  readonly loads: readonly number[];
  readonly slopes: Vec2;
}

function solved(
  castors: readonly LoadedCastor[],
  contacts: readonly Vec2[],
  weight: number,
  centre: Vec2,
): Solved | null {
  const arrays = arraysOf(castors, contacts);
  const active = new Uint8Array(castors.length);
  const inverse = new Float64Array(6);
  const plane = new Float64Array(3);
  const [bx, by] = [weight * centre[0], weight * centre[1]];
  if (!solveSupport(arrays, weight, bx, by, active, inverse, plane)) return null;
  const [u0, u1, u2] = plane as unknown as Vec3;
  const loads = contacts.map(([cx, cy], j) => {
    const pressed = u0 + u1 * cx + u2 * cy;
    return active[j] === 1 ? Math.max(0, (castors[j] as LoadedCastor).stiffness * pressed) : 0;
  });
  return { loads, slopes: [u1, u2] };
}

/** [M, Mx, My, Mz] of the configuration at hand */
const moments = new Float64Array(4);
