/**
 * Question: in which configuration, with the castors turned which way and the force in which
 * direction, does the cart hold least, and how sure is it that nothing is worse?
 *
 * The worst is searched (seeded starts, then coordinate search) and then proven: `holding-bound.ts`
 * bounds the slack over boxes, and boxes are cut until the bound shows that nothing slides at a
 * target load, or a worse configuration turns up, or the budget is spent. Tipping on the way is
 * bounded apart (overturning.ts), so boxes in which the support finds no plane need no proof here.
 *
 * Variables v: those of the mass model, the direction of the force (rad), one swivel angle a castor.
 */

import type { CastorInput } from './castor.js';
import { canSwivel, packSettled, placeSettled } from './castor.js';
import type { ConfigurationBox, ConfigurationDomain, Domain } from './domain.js';
import { centre, rootBox, split, width } from './domain.js';
import type { HoldingResult, HoldingScratch, PackedContacts, PathNumbers } from './holding.js';
import {
  createPackedContacts,
  describeHolding,
  factorOfMotion,
  forceOfMotion,
  frictionFactorNeeded,
  lastMotion,
  solveHolding,
} from './holding.js';
import type { HoldingBound, HoldingProblem, TwistCell } from './holding-bound.js';
import { createHoldingBound } from './holding-bound.js';
import { functionalLower, momentRanges, pointLower } from './mass-bounds.js';
import { momentsAt, pointAt } from './mass-model.js';

export interface HoldingCase {
  readonly problem: HoldingProblem;
  /** variables of the mass model */
  readonly configurations: ConfigurationDomain;
  /** rad, ways the force may point, within (-pi, pi]; left out: any */
  readonly directions?: Domain;
}

/** One evaluated configuration. */
export interface HoldingPoint {
  readonly variables: Float64Array;
  /** N: first force at which it moves, what is asked there */
  readonly force: number;
  readonly demand: number;
  /** force / demand */
  readonly ratio: number;
  readonly tips: boolean;
  /** index of the push point; 0 for an incline */
  readonly point: number;
}

export interface HoldingWorst {
  readonly found: HoldingPoint;
  /** multiple of the demand at which nothing slides anywhere, 0: not proven */
  readonly proven: number;
  readonly boxes: number;
  readonly evaluations: number;
}

export interface FrictionNeed {
  /** least factor on every tread's friction with which the worst found holds; Infinity: none does */
  readonly found: number;
  readonly variables: Float64Array | null;
  /** factor with which everything holds, Infinity: not proven */
  readonly proven: number;
  readonly boxes: number;
}

export interface SearchEffort {
  /** seed of the starts */
  readonly seed: number;
  /** random starts */
  readonly starts: number;
  /** the best of them that are searched on from, their forces in different directions */
  readonly followed: number;
  /** multiple of the demand to prove first: 1 is what is asked, more is with a margin */
  readonly wanted: number;
  /** boxes at most to prove what is asked, or anything at all */
  readonly firstBoxes: number;
  /** relative gaps to try, descending, each with the boxes it may cost at most */
  readonly gaps: readonly { readonly gap: number; readonly boxes: number }[];
  /** false: the friction needed is found and not proven; default true */
  readonly provesNeed?: boolean;
  /** asked now and then; true ends the search by `SearchStopped` */
  readonly isStopped?: () => boolean;
}

/** The search was asked to stop before it had an answer. */
export class SearchStopped extends Error {
  override readonly name = 'SearchStopped';
}

function keepOn({ isStopped }: Pick<SearchEffort, 'isStopped'>): void {
  if (isStopped?.() === true) throw new SearchStopped('the search was asked to stop');
}

export const USUAL_EFFORT: SearchEffort = {
  seed: 1,
  starts: 300,
  followed: 12,
  wanted: 1,
  firstBoxes: 150000,
  gaps: [
    { gap: 0.5, boxes: 100000 },
    { gap: 0.2, boxes: 60000 },
    { gap: 0.1, boxes: 40000 },
    { gap: 0.04, boxes: 12000 },
  ],
};

/** A search asks whether to go on every so many configurations: some tenths of a millisecond apart. */
const ASK_EVERY = 32;

function watched(
  score: (v: Float64Array) => number,
  effort: Pick<SearchEffort, 'isStopped'>,
): (v: Float64Array) => number {
  if (effort.isStopped === undefined) return score;
  let count = 0;
  return (v) => {
    count += 1;
    if (count % ASK_EVERY === 0) keepOn(effort);
    return score(v);
  };
}

/** What can be had in about a tenth of a second for a cart of four castors: whether what is asked is held,
 * else a bound far from the worst found. */
export const QUICK_EFFORT: SearchEffort = {
  seed: 1,
  starts: 60,
  followed: 4,
  wanted: 1,
  firstBoxes: 3000,
  gaps: [{ gap: 0.6, boxes: 3000 }],
  provesNeed: false,
};

/** A narrower gap costs at least this many times the boxes of the one before: no use starting what the
 * budget will not finish. */
const GROWTH = 1.5;

const FULL_TURN: Domain = [[-Math.PI, Math.PI]];

/** All variables of a holding case: configuration, direction, swivels. */
export function holdingDomain(holding: HoldingCase): ConfigurationDomain {
  const swivels = holding.problem.castors.map(swivelDomain);
  const directions = holding.directions ?? FULL_TURN;
  return { domains: [...holding.configurations.domains, directions, ...swivels] };
}

/** A castor free to swivel trails behind its motion: its angle is a variable of the proof alone. */
function swivelDomain(castor: CastorInput): Domain {
  if (castor.fixedDirection !== null) return [[0, 0]];
  if (castor.lockDirections === null || canSwivel(castor)) return FULL_TURN;
  return [...castor.lockDirections].sort((a, b) => a - b).map((angle) => [angle, angle] as const);
}

export interface HoldingEvaluator {
  readonly evaluate: (v: Float64Array) => HoldingPoint;
  /** factor on the friction needed at the demand */
  readonly need: (v: Float64Array) => number;
  /** the result behind an evaluated point, with everything a report shows */
  readonly describe: (v: Float64Array) => {
    result: HoldingResult;
    path: PathNumbers;
    /** rad, one a castor: as set, or as it trails; null: fixed */
    swivels: readonly (number | null)[];
  };
  /** Turns the castors whose locks hold their angle to where the motion that starts in `v` takes the
   * least friction, and the force along that motion as nearly as its directions allow. Writes `v`; what
   * comes of it is to be evaluated. */
  readonly sharpen: (v: Float64Array, domain: ConfigurationDomain) => void;
  readonly count: () => number;
}

/** Evaluates configurations one at a time. `factor` scales the treads' friction. */
export function createEvaluator(problem: HoldingProblem, factor: number): HoldingEvaluator {
  const { model, castors, load, gravity } = problem;
  const nv = model.variableCount;
  const packed: PackedContacts = createPackedContacts(castors.length);
  const bare: PackedContacts = createPackedContacts(castors.length);
  packSettled(castors, factor, 1, packed);
  packSettled(castors, factor, 1, bare);
  const moments = new Float64Array(4);
  const place = new Float64Array(3);
  const path: PathNumbers = {
    weight: 0,
    centreX: 0,
    centreY: 0,
    directionX: 1,
    directionY: 0,
    pointX: 0,
    pointY: 0,
    height: 0,
  };
  const brakes = Number.isFinite(Math.min(...packed.reachFixed, ...packed.alongFixed));
  const free = Uint8Array.from(castors, (castor) => (canSwivel(castor) ? 1 : 0));
  const anyFree = castors.some((castor) => canSwivel(castor) && castor.trail > 0);
  const swivels = new Float64Array(castors.length);
  const reachOfStems = Math.max(...castors.map((castor) => Math.hypot(castor.at[0], castor.at[1])));
  /** the free castor about which the motion at hand turns, -1: none */
  let pivot = -1;
  let count = 0;
  let tips = false;

  function setPath(v: Float64Array): { demand: number; point: number } {
    momentsAt(model, v, moments);
    const mass = moments[0] as number;
    path.weight = mass * gravity;
    path.centreX = (moments[1] as number) / mass;
    path.centreY = (moments[2] as number) / mass;
    path.directionX = Math.cos(v[nv] as number);
    path.directionY = Math.sin(v[nv] as number);
    placeSettled(castors, v, nv + 1, packed);
    if (load.kind === 'incline') {
      path.pointX = path.centreX;
      path.pointY = path.centreY;
      path.height = (moments[3] as number) / mass;
      return { demand: path.weight * Math.tan(load.angle), point: 0 };
    }
    const point = highestPoint(v);
    return { demand: Math.min(load.fraction * path.weight, load.cap), point };
  }

  function highestPoint(v: Float64Array): number {
    if (load.kind !== 'push') return 0;
    let best = -1;
    let top = Number.NEGATIVE_INFINITY;
    load.points.forEach((p, index) => {
      pointAt(model, v, p.mover, p.at, place);
      const h = Math.min(load.greatestHeight, place[2] as number);
      if (h <= top + HEIGHT_TIE) return;
      top = h;
      best = index;
      path.pointX = place[0] as number;
      path.pointY = place[1] as number;
      path.height = Math.max(0, h);
    });
    return best;
  }

  /** Limits that do not grow with the normal force are worth 1 / cos(theta) on a ramp. */
  function scaleFixed(scale: number): void {
    for (let i = 0; i < packed.count; i++) {
      packed.reachFixed[i] = (bare.reachFixed[i] as number) * scale;
      packed.alongFixed[i] = (bare.alongFixed[i] as number) * scale;
      packed.acrossFixed[i] = (bare.acrossFixed[i] as number) * scale;
    }
  }

  /** First failing force; whether it tips is left in `tips`. */
  function solve(): number {
    count += 1;
    let force = solveOnce();
    if (load.kind !== 'incline' || !brakes) return force;
    for (let k = 0; k < RAMP_ROUNDS; k++) {
      scaleFixed(Math.hypot(1, force / path.weight));
      const next = solveOnce();
      if (Math.abs(next - force) <= 1e-7 * next) break;
      force = next;
    }
    scaleFixed(1);
    return force;
  }

  /** The force at which some motion starts with the free castors trailing behind that very motion:
   * from castors that trail straight, a motion is found, the castors are turned behind it, and so
   * on; the least force counts. */
  function solveOnce(): number {
    if (!anyFree) return take(solveHolding(packed, path));
    trailBehind(path.directionX, path.directionY, 0);
    let best = Number.POSITIVE_INFINITY;
    for (let round = 0; round < TRAIL_ROUNDS; round++) {
      const s = solveHolding(packed, path);
      if (s.kind !== 'slips') return Math.min(best, take(s));
      const { beta, spin } = s;
      turnBehind(beta, spin);
      const force = leastOfPivot(() => forceOfMotion(packed, path, beta, spin).force);
      if (force >= best * (1 - TRAIL_TOLERANCE)) break;
      best = force;
    }
    tips = false;
    return best;
  }

  /** Places the castors whose locks hold their angle; the free ones stay as they trail. */
  function placeHeld(v: Float64Array): void {
    for (let i = 0; i < castors.length; i++) {
      const castor = castors[i] as CastorInput;
      if (free[i] === 1 || castor.fixedDirection !== null) continue;
      const angle = v[nv + 1 + i] as number;
      packed.cos[i] = Math.cos(angle);
      packed.sin[i] = Math.sin(angle);
      packed.x[i] = castor.at[0] + castor.trail * Math.cos(angle);
      packed.y[i] = castor.at[1] + castor.trail * Math.sin(angle);
      packed.gripX[i] = packed.x[i] as number;
      packed.gripY[i] = packed.y[i] as number;
    }
  }

  /** Least of `score` over the directions of a castor about which the cart turns: its stem stands
   * still, so it may trail any way. Leaves it at the worst. */
  function leastOfPivot(score: () => number): number {
    let best = score();
    const i = pivot;
    if (i < 0) return best;
    const castor = castors[i] as CastorInput;
    let worst = swivels[i] as number;
    const turn = (angle: number): void => {
      swivels[i] = angle;
      packed.x[i] = castor.at[0] + castor.trail * Math.cos(angle);
      packed.y[i] = castor.at[1] + castor.trail * Math.sin(angle);
    };
    let step = (2 * Math.PI) / PIVOT_STEPS;
    const first = worst;
    for (let k = 1; k < PIVOT_STEPS; k++) {
      turn(first + k * step);
      const value = score();
      if (value >= best) continue;
      best = value;
      worst = first + k * step;
    }
    for (let k = 0; k < PIVOT_HALVINGS; k++) {
      step *= 0.5;
      for (const angle of [worst - step, worst + step]) {
        turn(angle);
        const value = score();
        if (value >= best) continue;
        best = value;
        worst = angle;
        break;
      }
    }
    turn(worst);
    return best;
  }

  function take(s: HoldingScratch): number {
    tips = s.kind !== 'slips';
    return s.force;
  }

  /** Turns the free castors behind the motion (velocity of the point, rotation about it). */
  function trailBehind(vx: number, vy: number, rotation: number): void {
    pivot = -1;
    const still = STANDING * Math.abs(rotation) * reachOfStems;
    for (let i = 0; i < castors.length; i++) {
      const castor = castors[i] as CastorInput;
      if (free[i] === 0 || castor.trail === 0) continue;
      const x = vx - rotation * (castor.at[1] - path.pointY);
      const y = vy + rotation * (castor.at[0] - path.pointX);
      const v = Math.sqrt(x * x + y * y);
      if (v <= still) pivot = i;
      if (v === 0) continue;
      packed.x[i] = castor.at[0] - (castor.trail * x) / v;
      packed.y[i] = castor.at[1] - (castor.trail * y) / v;
      swivels[i] = Math.atan2(-y, -x);
    }
  }

  function turnBehind(beta: number, spin: number): void {
    const { directionX: dx, directionY: dy } = path;
    trailBehind(dx - beta * dy, dy + beta * dx, spin);
  }

  /** The motion with castors trailing behind it that starts at the least force, with the castors left
   * as they trail behind it. */
  function settleTrailing(): HoldingScratch {
    if (!anyFree) return solveHolding(packed, path);
    trailBehind(path.directionX, path.directionY, 0);
    const least = { force: Number.POSITIVE_INFINITY, beta: 0, spin: 0, x: packed.x, y: packed.y };
    const angles = swivels.slice();
    for (let round = 0; round < TRAIL_ROUNDS; round++) {
      const s = solveHolding(packed, path);
      if (s.kind !== 'slips') {
        if (s.force < least.force) return s;
        break;
      }
      const { beta, spin } = s;
      turnBehind(beta, spin);
      const force = leastOfPivot(() => forceOfMotion(packed, path, beta, spin).force);
      if (force >= least.force * (1 - TRAIL_TOLERANCE)) break;
      Object.assign(least, { force, beta, spin, x: packed.x.slice(), y: packed.y.slice() });
      angles.set(swivels);
    }
    packed.x.set(least.x);
    packed.y.set(least.y);
    swivels.set(angles);
    return forceOfMotion(packed, path, least.beta, least.spin);
  }

  function needOnce(demand: number): number {
    if (!anyFree) return frictionFactorNeeded(packed, path, demand);
    trailBehind(path.directionX, path.directionY, 0);
    let most = 0;
    for (let round = 0; round < TRAIL_ROUNDS; round++) {
      if (frictionFactorNeeded(packed, path, demand) === Number.POSITIVE_INFINITY)
        return Number.POSITIVE_INFINITY;
      const { beta, spin } = lastMotion();
      turnBehind(beta, spin);
      const needed = -leastOfPivot(() => -factorOfMotion(packed, path, demand, beta, spin));
      if (needed <= most * (1 + TRAIL_TOLERANCE)) break;
      most = needed;
    }
    return most;
  }

  return {
    evaluate(v) {
      const { demand, point } = setPath(v);
      const force = solve();
      return { variables: v.slice(), force, demand, ratio: force / demand, tips, point };
    },
    need(v) {
      const { demand } = setPath(v);
      if (load.kind === 'incline') scaleFixed(Math.hypot(1, demand / path.weight));
      const needed = needOnce(demand);
      scaleFixed(1);
      return needed;
    },
    describe(v) {
      setPath(v);
      const force = solve();
      if (load.kind === 'incline') scaleFixed(Math.hypot(1, force / path.weight));
      const result = describeHolding(packed, path, settleTrailing());
      scaleFixed(1);
      const angles = Array.from(castors, (castor, i) =>
        castor.fixedDirection !== null
          ? null
          : canSwivel(castor)
            ? (swivels[i] as number)
            : (v[nv + 1 + i] as number),
      );
      return { result, path: { ...path }, swivels: angles };
    },
    sharpen(v, domain) {
      setPath(v);
      solve();
      if (tips) return;
      const { beta, spin } = lastMotion();
      const forceNow = (): number => {
        placeHeld(v);
        return forceOfMotion(packed, path, beta, spin).force;
      };
      let best = forceNow();
      for (let i = 0; i < castors.length; i++) {
        if (free[i] === 1 || (castors[i] as CastorInput).fixedDirection !== null) continue;
        const at = nv + 1 + i;
        const from = v[at] as number;
        let worst = from;
        for (let k = 1; k < SHARPEN_STEPS; k++) {
          v[at] = nearestAllowed(domain, at, wrapped(from + (2 * Math.PI * k) / SHARPEN_STEPS));
          const force = forceNow();
          if (force >= best) continue;
          best = force;
          worst = v[at] as number;
        }
        v[at] = worst;
      }
      const { directionX: dx, directionY: dy } = path;
      v[nv] = nearestAllowed(domain, nv, Math.atan2(dy + beta * dx, dx - beta * dy));
    },
    count: () => count,
  };
}

/** Directions tried for every castor while sharpening. */
const SHARPEN_STEPS = 12;

/** Two points within this height of each other are as high: m, far below any drawing's accuracy. */
const HEIGHT_TIE = 1e-9;
const RAMP_ROUNDS = 4;
/** Rounds of turning free castors behind the motion at most; two or three are the rule. */
const TRAIL_ROUNDS = 8;
/** Relative gain below which another round is not worth it. */
const TRAIL_TOLERANCE = 1e-6;
/** Distance from a stem, as a share of the stems' distance from the origin, within which the centre of
 * rotation counts as at the stem: the smoothing of the solver leaves it about 1e-5 off. */
const STANDING = 1e-3;
/** Directions tried for a castor the cart turns about, and halvings of the step after that. */
const PIVOT_STEPS = 8;
const PIVOT_HALVINGS = 3;

/** Numbers in [0, 1) from a 32-bit state (Numerical Recipes' linear congruence, from memory): good
 * enough to scatter starts, and the same everywhere. */
function scatter(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}

interface Scored {
  readonly variables: Float64Array;
  readonly score: number;
}

/** Least value of `score` found over the domain: scattered starts, then coordinate search from the
 * best few. */
function searchLeast(
  whole: ConfigurationDomain,
  castors: readonly CastorInput[],
  nv: number,
  score: (v: Float64Array) => number,
  effort: SearchEffort,
  hints: readonly Float64Array[],
  sharpen: HoldingEvaluator['sharpen'],
): Scored {
  return searchEnds(whole, castors, nv, score, effort, hints, sharpen).reduce((p, q) =>
    q.score < p.score ? q : p,
  );
}

/** Where the searches end, at least one of them; the best start is the first. */
function searchEnds(
  whole: ConfigurationDomain,
  castors: readonly CastorInput[],
  nv: number,
  plainScore: (v: Float64Array) => number,
  effort: Pick<SearchEffort, 'seed' | 'starts' | 'followed' | 'isStopped'>,
  hints: readonly Float64Array[],
  sharpen: HoldingEvaluator['sharpen'],
): readonly [Scored, ...Scored[]] {
  const score = watched(plainScore, effort);
  // Free castors trail: their angles change nothing here.
  const domain: ConfigurationDomain = {
    domains: whole.domains.map((d, i) => {
      const castor = castors[i - nv - 1];
      return castor !== undefined && canSwivel(castor) ? [[0, 0]] : d;
    }),
  };
  const random = scatter(effort.seed);
  const pool: Scored[] = hints.map((v) => ({ variables: v.slice(), score: score(v) }));
  const v = new Float64Array(domain.domains.length);
  for (let k = 0; k < effort.starts; k++) {
    scatterPoint(domain, nv, random, v);
    pool.push({ variables: v.slice(), score: score(v) });
  }
  pool.sort((p, q) => p.score - q.score);
  const first = pool[0];
  if (first === undefined) throw new Error('holding search: neither a start nor a hint');
  const sharpened = pool
    .slice(0, SHARPENED * effort.followed)
    .map((start) => sharpest(start, domain, score, sharpen))
    .sort((p, q) => p.score - q.score);
  const { lo, hi } = rootBox(domain);
  const oneWay = lo[nv] === hi[nv];
  const ends = distinct(sharpened, effort.followed, nv, oneWay).map((start) =>
    coordinateSearch(domain, score, start),
  );
  return [first, ...ends];
}

/** Starts sharpened for each one that is followed. */
const SHARPENED = 3;
const SHARPEN_ROUNDS = 2;

function sharpest(
  start: Scored,
  domain: ConfigurationDomain,
  score: (v: Float64Array) => number,
  sharpen: HoldingEvaluator['sharpen'],
): Scored {
  let best = start;
  const v = start.variables.slice();
  for (let round = 0; round < SHARPEN_ROUNDS; round++) {
    sharpen(v, domain);
    const value = score(v);
    if (value >= best.score) break;
    best = { variables: v.slice(), score: value };
  }
  return best;
}

/** rad between the directions of two starts, or they count as one. */
const APART = 0.4;

/** The best few whose forces point different ways; where there is but one way, those in which some castor
 * is turned otherwise. */
function distinct(
  pool: readonly Scored[],
  count: number,
  nv: number,
  oneWay: boolean,
): readonly Scored[] {
  const kept: Scored[] = [];
  const angles = (v: Float64Array): Float64Array =>
    oneWay ? v.subarray(nv + 1) : v.subarray(nv, nv + 1);
  for (const candidate of pool) {
    if (kept.length >= count) break;
    const own = angles(candidate.variables);
    const isApart = ({ variables }: Scored): boolean =>
      angles(variables).some((angle, i) => Math.abs(wrapped(angle - own[i]!)) > APART);
    if (kept.every(isApart)) kept.push(candidate);
  }
  return kept;
}

function scatterPoint(
  domain: ConfigurationDomain,
  nv: number,
  random: () => number,
  out: Float64Array,
): void {
  domain.domains.forEach((pieces, i) => {
    const piece = pieces[Math.floor(random() * pieces.length)] as readonly [number, number];
    const pick = random();
    const share = i < nv ? (pick < 0.35 ? 0 : pick < 0.7 ? 1 : random()) : random();
    out[i] = piece[0] + share * (piece[1] - piece[0]);
  });
  // Half of the starts turn every castor the same way to the force: the usual worst.
  if (random() < 0.5) return;
  const direction = (out[nv] as number) + (random() < 0.5 ? 0 : Math.PI);
  for (let i = nv + 1; i < out.length; i++) out[i] = nearestAllowed(domain, i, wrapped(direction));
}

function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
}

function nearestAllowed(domain: ConfigurationDomain, i: number, value: number): number {
  let best = Number.NaN;
  for (const [low, high] of domain.domains[i] as Domain) {
    const near = Math.min(high, Math.max(low, value));
    if (!(Math.abs(near - value) >= Math.abs(best - value))) best = near;
  }
  return best;
}

/** Compass search: each variable in turn, steps that halve. Angles of a full turn wrap. */
function coordinateSearch(
  domain: ConfigurationDomain,
  score: (v: Float64Array) => number,
  start: Scored,
): Scored {
  const v = start.variables.slice();
  let best = start.score;
  const spans = domain.domains.map((pieces) => {
    const first = pieces[0] as readonly [number, number];
    const last = pieces[pieces.length - 1] as readonly [number, number];
    return last[1] - first[0];
  });
  let share = 0.25;
  let scans = SCANS;
  for (let round = 0; round < COMPASS_ROUNDS; round++) {
    let moved = false;
    for (let i = 0; i < v.length; i++) {
      const span = spans[i] as number;
      if (span === 0) continue;
      const wraps = domain.domains[i] === FULL_TURN;
      for (const step of [share * span, -share * span]) {
        const before = v[i] as number;
        const to = before + step;
        v[i] = wraps ? wrapped(to) : nearestAllowed(domain, i, to);
        const value = v[i] === before ? best : score(v);
        if (value < best) {
          best = value;
          moved = true;
          break;
        }
        v[i] = before;
      }
    }
    if (!moved) share *= 0.5;
    if (share >= COMPASS_END) continue;
    if (scans === 0) break;
    scans -= 1;
    if (!scan()) break;
    share = SHARE_AFTER_SCAN;
  }
  return { variables: v, score: best };

  /** Every variable over its whole domain, the others as they are. */
  function scan(): boolean {
    let moved = false;
    for (let i = 0; i < v.length; i++) {
      const pieces = domain.domains[i] as Domain;
      const from = (pieces[0] as readonly [number, number])[0];
      const span = spans[i] as number;
      if (span === 0) continue;
      let worst = v[i] as number;
      for (let k = 0; k <= SCAN_STEPS; k++) {
        const to = nearestAllowed(domain, i, from + (k / SCAN_STEPS) * span);
        if (to === worst) continue;
        v[i] = to;
        const value = score(v);
        if (value >= best) continue;
        best = value;
        worst = to;
        moved = true;
      }
      v[i] = worst;
    }
    return moved;
  }
}

/** Scans after a search, each followed by a finer one where it found something, and their steps. */
const SCANS = 1;
const SCAN_STEPS = 8;
const SHARE_AFTER_SCAN = 0.05;

const COMPASS_ROUNDS = 60;
/** Last step as a share of the range: 1e-3 of a turn is 0.4 deg, finer than a castor can be set. */
const COMPASS_END = 1e-3;

/** The six faces of the cube of twists, each one cell. */
const FACES: readonly TwistCell[] = [0, 1, 2, 3, 4, 5].map((face) => ({
  face,
  a0: -1,
  a1: 1,
  b0: -1,
  b1: 1,
}));

interface Pending {
  readonly box: ConfigurationBox;
  readonly cell: TwistCell;
}

interface Attempt {
  readonly proven: boolean;
  readonly boxes: number;
  /** a point worse than the target, when one turned up */
  readonly counter: Float64Array | null;
}

/** Tries to prove that nothing slides at `target` times the demand with the treads' friction scaled
 * by `factor`; `refutes` says whether a configuration does slide there. */
function attempt(
  bound: HoldingBound,
  domain: ConfigurationDomain,
  holding: HoldingCase,
  target: number,
  factor: number,
  maxBoxes: number,
  refutes: (v: Float64Array) => boolean,
  effort: SearchEffort,
): Attempt {
  const { problem } = holding;
  const nv = problem.model.variableCount;
  const weights = variableWeights(problem, holding.configurations);
  const points = problem.load.kind === 'push' ? problem.load.points.length : 1;
  const v = new Float64Array(domain.domains.length + 1);
  const withShare: ConfigurationDomain = { domains: [...domain.domains, LOAD_SHARES] };
  const last = domain.domains.length;
  let boxes = 0;
  let visited = 0;
  for (let point = 0; point < points; point++) {
    const full = rootBox(withShare);
    full.lo[last] = 1;
    const stack: Pending[] = [];
    // First at the full load; where castors may lift on the way to it, every lesser load as well.
    const fallsShort = (box: ConfigurationBox, cell: TwistCell): boolean => {
      boxes += 1;
      if (points > 1 && !canBeHighest(problem, box, point)) return false;
      if (bound.boxSlack(box, cell, target, factor, point) < 0) return true;
      if ((box.lo[last] as number) < 1 || bound.holdsBelow()) return false;
      const below = { ...box, lo: box.lo.slice() };
      below.lo[last] = 0;
      if (bound.boxSlack(below, cell, target, factor, point) < 0) stack.push({ box: below, cell });
      return false;
    };
    for (const cell of FACES) if (fallsShort(full, cell)) stack.push({ box: full, cell });
    for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
      if (boxes > maxBoxes) return { proven: false, boxes, counter: null };
      visited += 1;
      if (visited % CHECK_EVERY === 0) {
        keepOn(effort);
        centre(withShare, node.box, v);
        if (refutes(v)) return { proven: false, boxes, counter: v.slice(0, last) };
      }
      const halves = cutLargest(bound, nv, fallsShort, withShare, node, weights);
      if (halves === null) {
        centre(withShare, node.box, v);
        return { proven: false, boxes, counter: refutes(v) ? v.slice(0, last) : null };
      }
      stack.push(...halves);
    }
  }
  return { proven: true, boxes, counter: null };
}

/** Any part of the target load. */
const LOAD_SHARES: Domain = [[0, 1]];

/** A configuration is tried every so many boxes: trying costs as much as a few bounds. */
const CHECK_EVERY = 8;

function canBeHighest(problem: HoldingProblem, box: ConfigurationBox, point: number): boolean {
  const { model, load } = problem;
  if (load.kind !== 'push') return true;
  const least = (i: number, sign: number): number => {
    const p = load.points[i];
    if (p === undefined) return 0;
    return pointLower(model, box.lo, box.hi, p.mover, p.at, 0, 0, sign);
  };
  const top = Math.min(load.greatestHeight, -least(point, -1));
  return load.points.every(
    (_, i) => i === point || Math.min(load.greatestHeight, least(i, 1)) <= top + HEIGHT_TIE,
  );
}

/** By what share of weight times base each variable moves the load point, or the contacts, per unit:
 * its weight in the choice of cuts. */
function variableWeights(problem: HoldingProblem, domain: ConfigurationDomain): Float64Array {
  const { model, castors, gravity, load } = problem;
  const nv = model.variableCount;
  const root = rootBox(domain);
  const weights = new Float64Array(nv + 2 + castors.length);
  const low = new Float64Array(4);
  const high = new Float64Array(4);
  momentRanges(model, root.lo, root.hi, low, high);
  const mass = 0.5 * (low[0]! + high[0]!);
  const centreAt = [1, 2, 3].map((j) => (low[j]! + high[j]!) / (low[0]! + high[0]!));
  const base = Math.sqrt(
    castors.reduce((sum, c) => sum + c.at[0] ** 2 + c.at[1] ** 2, 0) / castors.length,
  );
  const lever =
    load.kind === 'incline'
      ? (high[3]! / mass) * Math.tan(load.angle)
      : Math.min(load.fraction, load.cap / (mass * gravity)) * load.greatestHeight;
  weights[nv] = (DIRECTION_WEIGHT * lever) / base;
  weights[nv + 1 + castors.length] = lever / base;
  castors.forEach((castor, i) => {
    if (castor.fixedDirection === null) weights[nv + 1 + i] = (SWIVEL_WEIGHT * castor.trail) / base;
  });
  for (let i = 0; i < nv; i++) {
    const span = width(root, i);
    if (span === 0) continue;
    const lo = root.lo.map((a, j) => (i === j ? a : 0.5 * (a + root.hi[j]!)));
    const hi = root.hi.map((a, j) => (i === j ? a : lo[j]!));
    let sum = 0;
    for (let j = 0; j < 3; j++) {
      // range of the centre of mass along one axis, from m - c M: added weight alone moves nothing
      const c = centreAt[j]!;
      const [bx, by, bz] = [j === 0 ? 1 : 0, j === 1 ? 1 : 0, j === 2 ? 1 : 0];
      sum -=
        functionalLower(model, lo, hi, -c, bx, by, bz) +
        functionalLower(model, lo, hi, c, -bx, -by, -bz);
    }
    weights[i] = (CONFIGURATION_WEIGHT * sum) / (mass * base * span);
  }
  return weights;
}

/** The weights below were chosen by counting boxes on the examples; they affect speed alone. Slack is
 * linear in the configuration for a given twist, so it is cut late. */
const CONFIGURATION_WEIGHT = 0.3;
const DIRECTION_WEIGHT = 0.7;
/** A swivel angle only matters through products of small things: cut late. */
const SWIVEL_WEIGHT = 0.15;

type Cut =
  | { readonly kind: 'cell'; readonly axis: 'a' | 'b' }
  | { readonly kind: 'variable'; readonly index: number };

/** Cuts what moves the castors' loads or speeds most, as a share of the whole; returns the halves
 * that still fall short, null when nothing is left to cut. */
function cutLargest(
  bound: HoldingBound,
  nv: number,
  fallsShort: (box: ConfigurationBox, cell: TwistCell) => boolean,
  domain: ConfigurationDomain,
  node: Pending,
  weights: Float64Array,
): readonly Pending[] | null {
  const { box, cell } = node;
  const index = widest(box, nv, weights, (i) => bound.standsIn(cell, i));
  const size = index < 0 ? 0 : sizeOf(box, index, weights);
  const a = cell.a1 - cell.a0;
  const b = cell.b1 - cell.b0;
  const cell2 = Math.max(a, b) * TWIST_WEIGHT;
  if (size === 0 && Math.max(a, b) <= LEAST_CELL) return null;
  const cut: Cut =
    cell2 >= size ? { kind: 'cell', axis: a >= b ? 'a' : 'b' } : { kind: 'variable', index };
  return applyCut(domain, box, cell, cut).filter((half) => fallsShort(half.box, half.cell));
}

/** Weight of the twist's range against the others' shares. */
const TWIST_WEIGHT = 0.5;

function sizeOf(box: ConfigurationBox, index: number, weights: Float64Array): number {
  return width(box, index) * weights[index]!;
}

/** The variable whose range moves the load or the contacts most, -1: none is wide. */
function widest(
  box: ConfigurationBox,
  nv: number,
  weights: Float64Array,
  open: (castor: number) => boolean,
): number {
  let at = -1;
  let size = 0;
  for (let i = 0; i < box.lo.length; i++) {
    const weighed = sizeOf(box, i, weights);
    if (weighed <= size || width(box, i) <= LEAST_ANGLE) continue;
    if (i > nv && i < box.lo.length - 1 && !open(i - nv - 1)) continue;
    size = weighed;
    at = i;
  }
  return at;
}

/** rad and share of a face: nothing smaller is cut, the proof has failed by then. */
const LEAST_ANGLE = 1e-4;
const LEAST_CELL = 1e-5;

function applyCut(
  domain: ConfigurationDomain,
  box: ConfigurationBox,
  cell: TwistCell,
  cut: Cut,
): readonly Pending[] {
  if (cut.kind === 'variable') {
    const [left, right] = split(domain, box, cut.index);
    return [
      { box: left, cell },
      { box: right, cell },
    ];
  }
  const { a0, a1, b0, b1 } = cell;
  const am = 0.5 * (a0 + a1);
  const bm = 0.5 * (b0 + b1);
  const halves: readonly TwistCell[] =
    cut.axis === 'a'
      ? [
          { ...cell, a1: am },
          { ...cell, a0: am },
        ]
      : [
          { ...cell, b1: bm },
          { ...cell, b0: bm },
        ];
  return halves.map((half) => ({ box, cell: half }));
}

/** What to prove next: a share of what is asked, or of the least found. */
interface Target {
  readonly of: 'demand' | 'found';
  readonly share: number;
  readonly boxes: number;
}

/**
 * The least ratio of holding force to demand over all configurations, directions and swivels, and
 * the greatest multiple of the demand proven to slide nowhere.
 *
 * @param tipping multiple of the demand below which nothing tips, proven apart
 */
export function worstHolding(
  holding: HoldingCase,
  tipping: number,
  effort: SearchEffort,
): HoldingWorst {
  const { problem } = holding;
  const nv = problem.model.variableCount;
  const domain = holdingDomain(holding);
  const evaluator = createEvaluator(problem, 1);
  let best = searchLeast(
    domain,
    problem.castors,
    nv,
    (v) => evaluator.evaluate(v).ratio,
    effort,
    [],
    evaluator.sharpen,
  );
  const bound = createHoldingBound(problem);
  let proven = 0;
  let boxes = 0;
  // What is wanted comes first: whether that is held matters more than by how much.
  const multiples = effort.wanted > 1 ? [effort.wanted, 1] : [1];
  const targets: Target[] = [
    ...multiples.map((share): Target => ({ of: 'demand', share, boxes: effort.firstBoxes })),
    ...effort.gaps.map(({ gap, boxes }): Target => ({ of: 'found', share: 1 - gap, boxes })),
  ];
  for (let next = targets[0]; next !== undefined; next = targets[0]) {
    const { of, share, boxes: allowed } = next;
    const least = Math.min(best.score, tipping);
    const target = of === 'demand' ? share : least * share;
    const budget = proven > 0 ? allowed : effort.firstBoxes;
    if (target <= proven || target >= least || budget === 0) {
      targets.shift();
      continue;
    }
    const refutes = (v: Float64Array) => evaluator.evaluate(v).ratio < target;
    const outcome = attempt(bound, domain, holding, target, 1, budget, refutes, effort);
    boxes += outcome.boxes;
    if (outcome.counter !== null) {
      best = searchLeast(
        domain,
        problem.castors,
        nv,
        (v) => evaluator.evaluate(v).ratio,
        { ...effort, starts: 0 },
        [outcome.counter, best.variables],
        evaluator.sharpen,
      );
      continue;
    }
    if (outcome.proven) proven = target;
    else if (of === 'found') break;
    targets.shift();
    if (of === 'found' && outcome.boxes * GROWTH > (targets[0]?.boxes ?? 0)) break;
  }
  return {
    found: evaluator.evaluate(best.variables),
    proven,
    boxes,
    evaluations: evaluator.count(),
  };
}

/** The least ratio of holding force to demand found, and where every search for it ended: nothing is
 * proven. The ends are good hints for a cart that is nearly the same. */
export interface HoldingFound {
  readonly found: HoldingPoint;
  readonly ends: readonly Float64Array[];
}

/**
 * Searches without a proof.
 *
 * @param hints variables of `holdingDomain` to start from, besides the random starts
 * @throws Error when there is neither a hint nor a start
 */
export function findHolding(
  holding: HoldingCase,
  effort: Pick<SearchEffort, 'seed' | 'starts' | 'followed'>,
  hints: readonly Float64Array[],
): HoldingFound {
  const { problem } = holding;
  const evaluator = createEvaluator(problem, 1);
  const ends = searchEnds(
    holdingDomain(holding),
    problem.castors,
    problem.model.variableCount,
    (v) => evaluator.evaluate(v).ratio,
    effort,
    hints,
    evaluator.sharpen,
  );
  const best = ends.reduce((p, q) => (q.score < p.score ? q : p));
  return {
    found: evaluator.evaluate(best.variables),
    ends: ends.map(({ variables }) => variables),
  };
}

/** The least factor on every tread's friction with which every configuration holds the demand. */
export function frictionNeed(
  holding: HoldingCase,
  hint: Float64Array | null,
  effort: SearchEffort,
): FrictionNeed {
  const { problem } = holding;
  const nv = problem.model.variableCount;
  const domain = holdingDomain(holding);
  const evaluator = createEvaluator(problem, 1);
  const score = (v: Float64Array): number => -evaluator.need(v);
  const hints = hint === null ? [] : [hint];
  let best = searchLeast(domain, problem.castors, nv, score, effort, hints, evaluator.sharpen);
  if (best.score === Number.NEGATIVE_INFINITY)
    return {
      found: Number.POSITIVE_INFINITY,
      variables: best.variables,
      proven: Number.POSITIVE_INFINITY,
      boxes: 0,
    };
  const bound = createHoldingBound(problem);
  let proven = Number.POSITIVE_INFINITY;
  let boxes = 0;
  const gaps = effort.provesNeed === false ? [] : [...effort.gaps];
  for (let next = gaps[0]; next !== undefined; next = gaps[0]) {
    const factor = -best.score * (1 + next.gap);
    const refutes = (v: Float64Array) => evaluator.need(v) > factor;
    const budget = Number.isFinite(proven) ? next.boxes : effort.firstBoxes;
    const outcome = attempt(bound, domain, holding, 1, factor, budget, refutes, effort);
    boxes += outcome.boxes;
    if (outcome.counter !== null) {
      const again = { ...effort, starts: 0 };
      const from = [outcome.counter, best.variables];
      best = searchLeast(domain, problem.castors, nv, score, again, from, evaluator.sharpen);
      continue;
    }
    if (!outcome.proven) break;
    proven = factor;
    gaps.shift();
    if (outcome.boxes * GROWTH > (gaps[0]?.boxes ?? 0)) break;
  }
  return { found: -best.score, variables: best.variables, proven, boxes };
}
