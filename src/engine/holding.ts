/**
 * Question: a cart stands on castors, some of them locked, and a horizontal force grows slowly from
 * nothing. At which force does it first move, and how: slide, pivot about a point, or tip?
 *
 * Assumptions: rigid cart and floor contact, isotropic Coulomb friction, rigid-plastic (limit
 * analysis with the friction sets of grip.ts), normal forces from elastic-support.ts that follow
 * the load. Range: slow loading, flat floor. A ramp at angle theta is the same problem with
 * F = W tan(theta) acting at the centre of mass: divide every force by cos(theta).
 * Source: limit surface of planar friction (Goyal, Ruina and Papadopoulos, Wear 143, 1991); the
 * bound theorems of limit analysis (any text on plasticity).
 *
 * Method: with the normal forces N(F) given, equilibrium exists at F exactly when for every planar
 * velocity (twist) friction takes at least the power the force gives. Scale the twist so that the
 * loaded point moves at unit speed along the force: F holds <=> min over y in R^2 of
 * Psi_F(y) = sum h_i(N_i(F), v_i(y)) >= F, y = (sideways speed of the point, rotation x L). Psi is
 * convex in y, concave in F while the same castors are pressed, so Newton on F comes down on the
 * first failing load from above. The inner minimum has kinks (rotation about a castor is common);
 * it is found on a smoothed problem whose gradient is a set of friction forces inside K, so every
 * result brackets itself: `force` from a twist is an upper bound, `lower` from forces that balance
 * the load to within the solver's tolerance a check from below.
 *
 * Symbols: d unit vector of the force, n = d turned by +90 deg, p the loaded point; castor grip at
 * p + xi d + eta n; velocity (1 - w eta, beta + w xi) in (d, n) per unit speed, w rotation rate.
 */

import type { SupportArrays } from './elastic-support.js';
import { applySymmetric, solveSupport } from './elastic-support.js';
import { frictionPower, frictionPowerRate, nearestGrip } from './grip.js';

/** One castor in one configuration as the friction problem sees it. SI. */
export interface Contact {
  /** where the normal force acts on the floor, m */
  readonly contact: readonly [number, number];
  /** where the horizontal force acts on the cart, m: the contact, or the stem of a castor that is
   * free to swivel and has trailed */
  readonly grip: readonly [number, number];
  /** rad, rolling direction of the wheel from x towards y */
  readonly direction: number;
  /** friction coefficient, >= 0: the disc |f| <= friction N */
  readonly friction: number;
  /** N, a further limit |f| <= reachFixed whatever the direction; left out: none */
  readonly reachFixed?: number;
  /** true: `friction` stands for rolling resistance, not for the tread on the floor, and does not
   * scale when the friction needed is sought; left out: false */
  readonly rolling?: boolean;
  /** |f along the wheel| <= alongFixed + alongPerNormal N (Infinity: the disc alone) */
  readonly alongFixed: number;
  readonly alongPerNormal: number;
  /** |f across the wheel| <= acrossFixed + acrossPerNormal N */
  readonly acrossFixed: number;
  readonly acrossPerNormal: number;
  /** vertical stiffness, N/m, > 0 */
  readonly stiffness: number;
}

/** A horizontal force that grows from 0 on a level floor. */
export interface LoadPath {
  /** N, > 0 */
  readonly weight: number;
  /** centre of mass seen from above, m */
  readonly centre: readonly [number, number];
  /** rad, of the force */
  readonly direction: number;
  /** line of action seen from above passes here, m */
  readonly point: readonly [number, number];
  /** of the force above the floor, m, >= 0 */
  readonly height: number;
}

export interface HoldingResult {
  /** slips: friction gives way first; tips: the load point reaches the rim of the contacts first;
   * unsupported: it lies outside before any force acts */
  readonly kind: 'slips' | 'tips' | 'unsupported';
  /** N: the first force at which it moves (0 when unsupported) */
  readonly force: number;
  /** N: friction forces within their sets balance this force, sideways and in yaw to about 1e-5 of the
   * weight: a check on `force`, not a rigorous bound (force - lower is the numerical gap) */
  readonly lower: number;
  /** motion at that force, cart frame, per unit speed of the point along the force (tips: zero):
   * velocity of the point and rotation rate, rad/m, counter-clockwise from above */
  readonly velocity: readonly [number, number];
  readonly rotation: number;
  /** N, normal force of each castor at that force */
  readonly normals: readonly number[];
  /** N, horizontal force of each castor on the cart at that force, cart frame */
  readonly grips: readonly (readonly [number, number])[];
  /** N, the most each castor resists along its own velocity in that motion */
  readonly limits: readonly number[];
}

/** The most castors a cart may have here; scratch is allocated once for it. */
export const MAX_CASTORS = 256;

/** Contacts packed for speed. `direction` as cosine and sine. */
export interface PackedContacts extends SupportArrays {
  readonly gripX: Float64Array;
  readonly gripY: Float64Array;
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  readonly friction: Float64Array;
  readonly reachFixed: Float64Array;
  /** 1: rolling resistance, 0: tread */
  readonly rolling: Uint8Array;
  readonly alongFixed: Float64Array;
  readonly alongPerNormal: Float64Array;
  readonly acrossFixed: Float64Array;
  readonly acrossPerNormal: Float64Array;
}

export function createPackedContacts(size: number): PackedContacts {
  const column = () => new Float64Array(size);
  return {
    count: 0,
    x: column(),
    y: column(),
    stiffness: column(),
    gripX: column(),
    gripY: column(),
    cos: column(),
    sin: column(),
    friction: column(),
    reachFixed: column(),
    rolling: new Uint8Array(size),
    alongFixed: column(),
    alongPerNormal: column(),
    acrossFixed: column(),
    acrossPerNormal: column(),
  };
}

export function packContacts(contacts: readonly Contact[], out: PackedContacts): void {
  if (contacts.length > MAX_CASTORS)
    throw new Error(`packContacts: ${contacts.length} contacts, at most ${MAX_CASTORS}`);
  out.count = contacts.length;
  for (let i = 0; i < contacts.length; i++) {
    const c = contacts[i]!;
    out.x[i] = c.contact[0];
    out.y[i] = c.contact[1];
    out.stiffness[i] = c.stiffness;
    out.gripX[i] = c.grip[0];
    out.gripY[i] = c.grip[1];
    out.cos[i] = Math.cos(c.direction);
    out.sin[i] = Math.sin(c.direction);
    out.friction[i] = c.friction;
    out.reachFixed[i] = c.reachFixed ?? Number.POSITIVE_INFINITY;
    out.rolling[i] = c.rolling === true ? 1 : 0;
    out.alongFixed[i] = c.alongFixed;
    out.alongPerNormal[i] = c.alongPerNormal;
    out.acrossFixed[i] = c.acrossFixed;
    out.acrossPerNormal[i] = c.acrossPerNormal;
  }
}

/** Everything the fast path leaves behind; read it before the next call. */
export interface HoldingScratch {
  readonly active: Uint8Array;
  readonly inverse: Float64Array;
  readonly u0: Float64Array;
  readonly u1: Float64Array;
  /** normal force N = base + F * slope on the current piece */
  readonly base: Float64Array;
  readonly slope: Float64Array;
  readonly normal: Float64Array;
  readonly reach: Float64Array;
  readonly along: Float64Array;
  readonly across: Float64Array;
  readonly xi: Float64Array;
  readonly eta: Float64Array;
  /** wheel direction in the (d, n) frame */
  readonly wheelCos: Float64Array;
  readonly wheelSin: Float64Array;
  readonly point: Float64Array;
  beta: number;
  spin: number;
  force: number;
  kind: 'slips' | 'tips' | 'unsupported';
  /** true: the twist is given and kept; the force found is the one at which that motion starts */
  frozen: boolean;
}

function createScratch(): HoldingScratch {
  const column = () => new Float64Array(MAX_CASTORS);
  return {
    active: new Uint8Array(MAX_CASTORS),
    inverse: new Float64Array(6),
    u0: new Float64Array(3),
    u1: new Float64Array(3),
    base: column(),
    slope: column(),
    normal: column(),
    reach: column(),
    along: column(),
    across: column(),
    xi: column(),
    eta: column(),
    wheelCos: column(),
    wheelSin: column(),
    point: new Float64Array(8),
    beta: 0,
    spin: 0,
    force: 0,
    kind: 'slips',
    frozen: false,
  };
}

const scratch = createScratch();
const grip = new Float64Array(5);

/** Elastic creep speed (per unit speed of the loaded point) at which smoothed friction is fully
 * developed. Each stage starts from the last one's answer; the last error of the force is below
 * half of it times the friction available, i.e. 5e-6 of it. */
const SMOOTHING = [1, 0.25, 0.06, 0.015, 3e-3, 3e-4, 1e-5] as const;
/** Later calls on the same castors start close by and skip the coarse stages. */
const WARM_START = 0;
const MAX_LINE_STEPS = 60;
const MAX_NEWTON = 40;
/** Newton's decrement, as a share of all the friction, that counts as the minimum: its square root
 * is the distance left, its half the error of Psi, far below the smoothing's. */
const DECREMENT = 1e-13;
/** The same for the coarser smoothings, which only lead the way. */
const COARSE_DECREMENT = 1e-7;
const MAX_FORCE_STEPS = 30;
/** Relative change of the force that ends the search: far below the smoothing error. */
const FORCE_TOLERANCE = 1e-9;
/** Relative nudge past a lift-off, so that the next set of pressed castors is met. */
const LIFT_NUDGE = 1e-9;
/** N: a castor at the very moment of lifting keeps this much, so that the rate at which its grip
 * goes is still seen. Far below any load that matters. */
const FEATHER = 1e-9;
const MAX_PIECES = 64;

/** Smoothed Psi at the scratch's point with gradient and Hessian: out = value, g0, g1, h00, h01,
 * h11, sum of forces along d, and the two sums -delta dg/d(delta) that predict the next stage. */
function smoothedPower(
  c: PackedContacts,
  delta: number,
  beta: number,
  spin: number,
  out: Float64Array,
): void {
  const s = scratch;
  let value = 0;
  let g0 = 0;
  let g1 = 0;
  let h00 = 0;
  let h01 = 0;
  let h11 = 0;
  let along = 0;
  let q0 = 0;
  let q1 = 0;
  for (let i = 0; i < c.count; i++) {
    const reach = s.reach[i]!;
    if (reach <= 0) continue;
    const xi = s.xi[i]!;
    const eta = s.eta[i]!;
    const vd = 1 - spin * eta;
    const vn = beta + spin * xi;
    const k = reach / delta;
    let fd: number;
    let fn: number;
    let ddd: number;
    let ddn: number;
    let dnn: number;
    const a = s.along[i]!;
    const b = s.across[i]!;
    if (a >= reach && b >= reach) {
      const speed = Math.sqrt(vd * vd + vn * vn);
      if (speed <= delta) {
        fd = k * vd;
        fn = k * vn;
        ddd = k;
        ddn = 0;
        dnn = k;
        value += 0.5 * k * speed * speed;
      } else {
        const ed = vd / speed;
        const en = vn / speed;
        const r = reach / speed;
        fd = reach * ed;
        fn = reach * en;
        ddd = r * en * en;
        ddn = -r * ed * en;
        dnn = r * ed * ed;
        value += reach * (speed - 0.5 * delta);
      }
    } else {
      const wc = s.wheelCos[i]!;
      const ws = s.wheelSin[i]!;
      const va = vd * wc + vn * ws;
      const vs = vn * wc - vd * ws;
      nearestGrip(reach, a, b, k * va, k * vs, grip);
      const fa = grip[0]!;
      const fs = grip[1]!;
      value += fa * va + fs * vs - (0.5 * (fa * fa + fs * fs)) / k;
      fd = fa * wc - fs * ws;
      fn = fa * ws + fs * wc;
      const daa = k * grip[2]!;
      const das = k * grip[3]!;
      const dss = k * grip[4]!;
      ddd = daa * wc * wc - 2 * das * wc * ws + dss * ws * ws;
      dnn = daa * ws * ws + 2 * das * wc * ws + dss * wc * wc;
      ddn = (daa - dss) * wc * ws + das * (wc * wc - ws * ws);
    }
    along += fd;
    const qd = ddd * vd + ddn * vn;
    const qn = ddn * vd + dnn * vn;
    q0 += qn;
    q1 += qn * xi - qd * eta;
    g0 += fn;
    g1 += fn * xi - fd * eta;
    h00 += dnn;
    h01 += dnn * xi - ddn * eta;
    h11 += dnn * xi * xi - 2 * ddn * xi * eta + ddd * eta * eta;
  }
  out[0] = value;
  out[1] = g0;
  out[2] = g1;
  out[3] = h00;
  out[4] = h01;
  out[5] = h11;
  out[6] = along;
  out[7] = q0;
  out[8] = q1;
}

const here = new Float64Array(9);
const there = new Float64Array(9);

/** Minimises the smoothed Psi at one smoothing from the scratch's (beta, spin), and leaves the
 * minimum there and its derivatives in `here`. */
function minimisePower(c: PackedContacts, delta: number, total: number, size: number): void {
  const s = scratch;
  const enough = (delta === SMOOTHING[SMOOTHING.length - 1] ? DECREMENT : COARSE_DECREMENT) * total;
  smoothedPower(c, delta, s.beta, s.spin, here);
  for (let step = 0; step < MAX_NEWTON; step++) {
    solveStep(here[1]!, here[2]!, total, size);
    const slope = here[1]! * stepTaken[0]! + here[2]! * stepTaken[1]!;
    if (-slope <= enough) break;
    if (!moveAlong(c, delta, slope, total)) break;
  }
}

const stepTaken = new Float64Array(2);

/** Newton step -H^-1 (g0, g1) at `here`; a little of the identity keeps flat directions (all
 * castors on a corner of K) finite. */
function solveStep(g0: number, g1: number, total: number, size: number): void {
  const h01 = here[4]! / size;
  const h11 = here[5]! / (size * size);
  const lift = 1e-10 * (here[3]! + h11) + 1e-9 * total;
  const a = here[3]! + lift;
  const b = h11 + lift;
  const det = a * b - h01 * h01;
  const g1s = g1 / size;
  stepTaken[0] = -(b * g0 - h01 * g1s) / det;
  stepTaken[1] = -(a * g1s - h01 * g0) / det / size;
}

/** Moves along the path of minima as the smoothing shrinks from `before` to `delta`: a castor the
 * cart turns about keeps its force, so its speed shrinks with delta. First order: dy/d(delta) =
 * -H^-1 dg/d(delta). */
function predictStage(before: number, delta: number, total: number, size: number): void {
  const share = (delta - before) / before;
  solveStep(-share * here[7]!, -share * here[8]!, total, size);
  scratch.beta += stepTaken[0]!;
  scratch.spin += stepTaken[1]!;
}

/** Line search on a convex function by the sign of its slope: takes the full Newton step when it
 * helps enough, else closes in on the place where the slope changes sign (a kink, mostly). Returns
 * false when no further progress is possible. */
function moveAlong(c: PackedContacts, delta: number, slope: number, total: number): boolean {
  const s = scratch;
  const startBeta = s.beta;
  const startSpin = s.spin;
  const startValue = here[0]!;
  let low = 0;
  let high = Number.POSITIVE_INFINITY;
  let t = 1;
  for (let k = 0; k < MAX_LINE_STEPS; k++) {
    const beta = startBeta + t * stepTaken[0]!;
    const spin = startSpin + t * stepTaken[1]!;
    smoothedPower(c, delta, beta, spin, there);
    const tilt = there[1]! * stepTaken[0]! + there[2]! * stepTaken[1]!;
    const lower = there[0]! <= startValue + 1e-4 * t * slope;
    if (lower && (Math.abs(tilt) <= 0.9 * -slope || k >= 6)) {
      const gain = startValue - there[0]!;
      s.beta = beta;
      s.spin = spin;
      here.set(there);
      return gain > 1e-15 * total;
    }
    if (tilt > 0) high = t;
    else low = t;
    t = high === Number.POSITIVE_INFINITY ? 2 * t : low === 0 ? 0.25 * high : 0.5 * (low + high);
  }
  return false;
}

/** Sets normal forces and limits of the castors for the force F on the current piece; returns the
 * sum of the reaches. */
function setLimits(c: PackedContacts, force: number): number {
  const s = scratch;
  let total = 0;
  for (let i = 0; i < c.count; i++) {
    const n = s.active[i] === 1 ? Math.max(FEATHER, s.base[i]! + force * s.slope[i]!) : 0;
    s.normal[i] = n;
    const reach = Math.min(c.friction[i]! * n, c.reachFixed[i]!);
    s.reach[i] = reach;
    s.along[i] = c.alongFixed[i]! + c.alongPerNormal[i]! * n;
    s.across[i] = c.acrossFixed[i]! + c.acrossPerNormal[i]! * n;
    total += reach;
  }
  return total;
}

/** Psi without smoothing at the scratch's twist and limits, and its rate with F, into out. */
function exactPower(c: PackedContacts, out: Float64Array): void {
  const s = scratch;
  let value = 0;
  let rate = 0;
  for (let i = 0; i < c.count; i++) {
    if (s.reach[i]! <= 0) continue;
    const vd = 1 - s.spin * s.eta[i]!;
    const vn = s.beta + s.spin * s.xi[i]!;
    const wc = s.wheelCos[i]!;
    const ws = s.wheelSin[i]!;
    const va = vd * wc + vn * ws;
    const vs = vn * wc - vd * ws;
    const m = s.slope[i]!;
    const disc = s.reach[i]! < c.reachFixed[i]! ? c.friction[i]! * m : 0;
    value += frictionPower(s.reach[i]!, s.along[i]!, s.across[i]!, va, vs);
    rate += frictionPowerRate(
      s.reach[i]!,
      s.along[i]!,
      s.across[i]!,
      disc,
      c.alongPerNormal[i]! * m,
      c.acrossPerNormal[i]! * m,
      va,
      vs,
    );
  }
  out[0] = value;
  out[1] = rate;
}

const power = new Float64Array(2);

/** For the scratch's twist: the greatest force in [low, high] up to which friction takes the power.
 * `rest` is concave in the force, so Newton from either side lands at or right of the root and then
 * comes down on it: stopped after any number of steps it is an upper bound. A power that falls short while it still grows fell short from `low` on. */
function forceOfTwist(
  c: PackedContacts,
  start: number,
  low: number,
  high: number,
  steps: number,
): number {
  let force = start;
  for (let k = 0; k < steps; k++) {
    setLimits(c, force);
    exactPower(c, power);
    const rest = power[0]! - force;
    const fall = 1 - power[1]!;
    if (force === high && rest >= 0) return high;
    if (fall <= 0 && rest < 0) return low;
    const next = fall <= 0 ? high : force + rest / fall;
    if (next <= low) return low;
    if (Math.abs(next - force) <= FORCE_TOLERANCE * force) return Math.min(next, high);
    force = Math.min(next, high);
  }
  return force;
}

/** First failing force on a piece [low, high] over which the same castors stay pressed, or Infinity
 * when the whole piece holds. Force and smoothing go down together: any twist gives an upper bound
 * of the failing force, and the last stage is repeated until the force stands still. */
function firstSlip(
  c: PackedContacts,
  low: number,
  high: number,
  size: number,
  firstStage: number,
): number {
  if (scratch.frozen) return frozenSlip(c, low, high);
  let force = high === Number.POSITIVE_INFINITY ? low : high;
  let best = high;
  const last = SMOOTHING.length - 1;
  for (let k = 0; k < MAX_FORCE_STEPS; k++) {
    const stage = Math.min(firstStage + k, last);
    const delta = SMOOTHING[stage]!;
    const total = setLimits(c, force);
    if (total === 0 && high === Number.POSITIVE_INFINITY) return 0;
    if (k > 0 && stage > firstStage && firstStage + k <= last)
      predictStage(SMOOTHING[stage - 1]!, delta, total, size);
    minimisePower(c, delta, total, size);
    // The smoothed friction forces balance a force this large: the whole piece holds.
    if (force === high && here[6]! >= high && balanced(total, size))
      return Number.POSITIVE_INFINITY;
    const next = forceOfTwist(c, force, low, high, stage === last ? MAX_FORCE_STEPS : 1);
    if (stage === last) {
      if (force === high && next >= high) return Number.POSITIVE_INFINITY;
      if (Math.abs(next - force) <= FORCE_TOLERANCE * force)
        return finishSlip(c, Math.min(next, best));
      if (next <= low) return finishSlip(c, low);
    }
    best = Math.min(best, next);
    force = best;
  }
  return finishSlip(c, best);
}

function frozenSlip(c: PackedContacts, low: number, high: number): number {
  const start = high === Number.POSITIVE_INFINITY ? low : high;
  const force = forceOfTwist(c, start, low, high, MAX_FORCE_STEPS);
  return force >= high ? Number.POSITIVE_INFINITY : finishSlip(c, force);
}

/** Whether the forces at `here` are in equilibrium sideways and in yaw, to 1e-6 of the friction. */
function balanced(total: number, size: number): boolean {
  return Math.abs(here[1]!) + Math.abs(here[2]!) / size <= 1e-6 * total;
}

function finishSlip(c: PackedContacts, force: number): number {
  setLimits(c, force);
  return force;
}

/** The load path in numbers, for the fast entry. */
export interface PathNumbers {
  weight: number;
  centreX: number;
  centreY: number;
  directionX: number;
  directionY: number;
  pointX: number;
  pointY: number;
  height: number;
}

function placeGrips(c: PackedContacts, path: PathNumbers): number {
  const s = scratch;
  const dx = path.directionX;
  const dy = path.directionY;
  let sum = 0;
  for (let i = 0; i < c.count; i++) {
    const rx = c.gripX[i]! - path.pointX;
    const ry = c.gripY[i]! - path.pointY;
    s.xi[i] = rx * dx + ry * dy;
    s.eta[i] = ry * dx - rx * dy;
    s.wheelCos[i] = c.cos[i]! * dx + c.sin[i]! * dy;
    s.wheelSin[i] = c.sin[i]! * dx - c.cos[i]! * dy;
    sum += rx * rx + ry * ry;
  }
  return Math.sqrt(sum / c.count) || 1;
}

/** Writes base and slope of the normal forces for the pressed castors and returns the force at
 * which the set of pressed castors next changes (Infinity: never). */
function placePiece(c: PackedContacts, low: number): number {
  const s = scratch;
  let next = Number.POSITIVE_INFINITY;
  for (let i = 0; i < c.count; i++) {
    const p0 = s.u0[0]! + s.u0[1]! * c.x[i]! + s.u0[2]! * c.y[i]!;
    const p1 = s.u1[0]! + s.u1[1]! * c.x[i]! + s.u1[2]! * c.y[i]!;
    const pressed = s.active[i] === 1;
    s.base[i] = pressed ? c.stiffness[i]! * p0 : 0;
    s.slope[i] = pressed ? c.stiffness[i]! * p1 : 0;
    if (pressed ? p1 < 0 : p1 > 0) {
      const event = -p0 / p1;
      if (event > low && event < next) next = event;
    }
  }
  return next;
}

/** Fast entry: leaves kind, force, twist, normals and limits in the returned scratch. */
export function solveHolding(c: PackedContacts, path: PathNumbers): HoldingScratch {
  scratch.frozen = false;
  scratch.beta = 0;
  scratch.spin = 0;
  return followPath(c, path);
}

/** The same for one given motion: sideways speed of the point and rotation rate, per unit speed along
 * the force. The force is the one at which friction no longer takes that motion's power. */
export function forceOfMotion(
  c: PackedContacts,
  path: PathNumbers,
  beta: number,
  spin: number,
): HoldingScratch {
  scratch.frozen = true;
  scratch.beta = beta;
  scratch.spin = spin;
  return followPath(c, path);
}

function followPath(c: PackedContacts, path: PathNumbers): HoldingScratch {
  const s = scratch;
  const { weight, height } = path;
  const size = placeGrips(c, path);
  s.force = 0;
  const b1x = height * path.directionX;
  const b1y = height * path.directionY;
  let low = 0;
  let probe = 0;
  for (let piece = 0; piece < MAX_PIECES; piece++) {
    const wx = weight * path.centreX + probe * b1x;
    const wy = weight * path.centreY + probe * b1y;
    if (!solveSupport(c, weight, wx, wy, s.active, s.inverse, s.u0)) break;
    applySymmetric(s.inverse, weight, weight * path.centreX, weight * path.centreY, s.u0);
    applySymmetric(s.inverse, 0, b1x, b1y, s.u1);
    const high = placePiece(c, probe);
    const slip = firstSlip(c, low, high, size, piece > 0 ? WARM_START : 0);
    if (slip !== Number.POSITIVE_INFINITY) {
      s.kind = 'slips';
      s.force = slip;
      return s;
    }
    low = high;
    probe = high * (1 + LIFT_NUDGE) + LIFT_NUDGE * weight * 1e-3;
    setLimits(c, high);
  }
  s.kind = low === 0 ? 'unsupported' : 'tips';
  s.force = low;
  return s;
}

const packed = createPackedContacts(MAX_CASTORS);

export function pathNumbers(path: LoadPath): PathNumbers {
  return {
    weight: path.weight,
    centreX: path.centre[0],
    centreY: path.centre[1],
    directionX: Math.cos(path.direction),
    directionY: Math.sin(path.direction),
    pointX: path.point[0],
    pointY: path.point[1],
    height: path.height,
  };
}

/**
 * The first force at which the cart moves.
 * @throws RangeError when a number is not finite, the weight not positive or fewer than 3 contacts
 * are given (a bug of the caller: the document layer has refused such carts).
 */
export function holdingForce(contacts: readonly Contact[], path: LoadPath): HoldingResult {
  packContacts(contacts, packed);
  const numbers = pathNumbers(path);
  refuseBadNumbers(packed, numbers);
  return describeHolding(packed, numbers, solveHolding(packed, numbers));
}

function refuseBadNumbers(c: PackedContacts, path: PathNumbers): void {
  if (c.count < 3) throw new RangeError(`holdingForce: ${c.count} contacts, at least 3`);
  if (!(path.weight > 0)) throw new RangeError(`holdingForce: weight ${path.weight}`);
  // One sum over everything that must be finite: a NaN or an Infinity among them shows in it.
  let sum = path.weight + path.centreX + path.centreY + path.directionX + path.pointX;
  sum += path.pointY + path.height;
  for (let i = 0; i < c.count; i++) {
    sum += c.x[i]! + c.y[i]! + c.gripX[i]! + c.gripY[i]! + c.cos[i]! + c.friction[i]!;
    sum += c.stiffness[i]! + c.alongPerNormal[i]! + c.acrossPerNormal[i]!;
    if (!(c.stiffness[i]! > 0)) throw new RangeError(`holdingForce: contact ${i} has no stiffness`);
  }
  if (!Number.isFinite(sum)) throw new RangeError(`holdingForce: ${notFinite(c, path)}`);
}

/** The first number that is not finite, by its place. */
function notFinite(c: PackedContacts, path: PathNumbers): string {
  for (const [name, value] of Object.entries(path))
    if (!Number.isFinite(value)) return `${name} = ${value}`;
  const { x, y, gripX, gripY, cos, friction, stiffness, alongPerNormal, acrossPerNormal } = c;
  const fields = { x, y, gripX, gripY, cos, friction, stiffness, alongPerNormal, acrossPerNormal };
  for (const [name, column] of Object.entries(fields))
    for (let i = 0; i < c.count; i++)
      if (!Number.isFinite(column[i])) return `contact ${i}, ${name} = ${column[i]}`;
  return 'a sum of its numbers is not finite';
}

/** Turns the scratch of a solved path into a result in the cart frame. */
export function describeHolding(
  c: PackedContacts,
  path: PathNumbers,
  s: HoldingScratch,
): HoldingResult {
  const dx = path.directionX;
  const dy = path.directionY;
  const slips = s.kind === 'slips';
  const normals = Array.from({ length: c.count }, (_, i) => s.normal[i]!);
  const grips: [number, number][] = [];
  const limits: number[] = [];
  let along = 0;
  for (let i = 0; i < c.count; i++) {
    const vd = 1 - s.spin * s.eta[i]!;
    const vn = s.beta + s.spin * s.xi[i]!;
    const va = vd * s.wheelCos[i]! + vn * s.wheelSin[i]!;
    const vs = vn * s.wheelCos[i]! - vd * s.wheelSin[i]!;
    const reach = s.reach[i]!;
    const k = reach / SMOOTHING[SMOOTHING.length - 1]!;
    nearestGrip(reach, s.along[i]!, s.across[i]!, k * va, k * vs, grip);
    const fd = grip[0]! * s.wheelCos[i]! - grip[1]! * s.wheelSin[i]!;
    const fn = grip[0]! * s.wheelSin[i]! + grip[1]! * s.wheelCos[i]!;
    along += fd;
    grips.push([-(fd * dx - fn * dy), -(fd * dy + fn * dx)]);
    const speed = Math.hypot(va, vs);
    limits.push(
      speed > 0 ? frictionPower(reach, s.along[i]!, s.across[i]!, va, vs) / speed : reach,
    );
  }
  return {
    kind: s.kind,
    force: s.force,
    lower: slips ? Math.min(along, s.force) : s.force,
    velocity: slips ? [dx - s.beta * dy, dy + s.beta * dx] : [0, 0],
    rotation: slips ? s.spin : 0,
    normals,
    grips,
    limits,
  };
}

/** Least factor on every friction coefficient with which the cart holds the force `demand` all
 * along its path; Infinity when no factor does (brakes, free castors or tipping decide). */
export function frictionFactorNeeded(c: PackedContacts, path: PathNumbers, demand: number): number {
  scratch.frozen = false;
  scratch.beta = 0;
  scratch.spin = 0;
  return followFactor(c, path, demand);
}

/** The same for one given motion, as in forceOfMotion. */
export function factorOfMotion(
  c: PackedContacts,
  path: PathNumbers,
  demand: number,
  beta: number,
  spin: number,
): number {
  scratch.frozen = true;
  scratch.beta = beta;
  scratch.spin = spin;
  return followFactor(c, path, demand);
}

/** The motion left by the last solved path: beta and spin of the scratch. */
export function lastMotion(): HoldingScratch {
  return scratch;
}

function followFactor(c: PackedContacts, path: PathNumbers, demand: number): number {
  const s = scratch;
  const size = placeGrips(c, path);
  const b1x = path.height * path.directionX;
  const b1y = path.height * path.directionY;
  let probe = 0;
  let factor = 0;
  for (let piece = 0; piece < MAX_PIECES; piece++) {
    const wx = path.weight * path.centreX + probe * b1x;
    const wy = path.weight * path.centreY + probe * b1y;
    if (!solveSupport(c, path.weight, wx, wy, s.active, s.inverse, s.u0))
      return Number.POSITIVE_INFINITY;
    applySymmetric(
      s.inverse,
      path.weight,
      path.weight * path.centreX,
      path.weight * path.centreY,
      s.u0,
    );
    applySymmetric(s.inverse, 0, b1x, b1y, s.u1);
    const high = Math.min(demand, placePiece(c, probe));
    factor = factorAt(c, high, size, factor, piece > 0);
    if (high >= demand || factor === Number.POSITIVE_INFINITY) return factor;
    probe = high * (1 + LIFT_NUDGE) + LIFT_NUDGE * path.weight * 1e-3;
  }
  return Number.POSITIVE_INFINITY;
}

/** No tread on a floor reaches a friction coefficient of 10; a need beyond it means that friction
 * is not what is missing. */
const MOST_FRICTION = 10;

function factorAt(
  c: PackedContacts,
  force: number,
  size: number,
  least: number,
  warm: boolean,
): number {
  const s = scratch;
  let factor = least > 0 ? least : 1e-3;
  const last = SMOOTHING.length - 1;
  const first = warm ? WARM_START : 0;
  for (let k = 0; k < 100; k++) {
    setLimits(c, force);
    let total = 0;
    let greatest = 0;
    for (let i = 0; i < c.count; i++) {
      if (c.rolling[i] === 0) {
        s.reach[i] = Math.min(c.friction[i]! * factor * s.normal[i]!, c.reachFixed[i]!);
        greatest = Math.max(greatest, c.friction[i]! * factor);
      }
      total += s.reach[i]!;
    }
    if (greatest > MOST_FRICTION || total === 0) return Number.POSITIVE_INFINITY;
    const stage = s.frozen ? last : Math.min(first + k, last);
    if (!s.frozen) {
      if (k > 0 && first + k <= last)
        predictStage(SMOOTHING[stage - 1]!, SMOOTHING[stage]!, total, size);
      minimisePower(c, SMOOTHING[stage]!, total, size);
    }
    // Concave in the factor: the tangent at a failing factor meets the demand below the true root.
    let value = 0;
    let rate = 0;
    for (let i = 0; i < c.count; i++) {
      if (s.reach[i]! <= 0) continue;
      const vd = 1 - s.spin * s.eta[i]!;
      const vn = s.beta + s.spin * s.xi[i]!;
      const va = vd * s.wheelCos[i]! + vn * s.wheelSin[i]!;
      const vs = vn * s.wheelCos[i]! - vd * s.wheelSin[i]!;
      const grows = c.rolling[i] === 0 && s.reach[i]! < c.reachFixed[i]!;
      const disc = grows ? c.friction[i]! * s.normal[i]! : 0;
      value += frictionPower(s.reach[i]!, s.along[i]!, s.across[i]!, va, vs);
      rate += frictionPowerRate(s.reach[i]!, s.along[i]!, s.across[i]!, disc, 0, 0, va, vs);
    }
    const missing = force - value;
    if (missing <= 1e-9 * force) {
      if (stage === last) return factor;
      continue;
    }
    if (rate <= 0) return Number.POSITIVE_INFINITY;
    const next = factor + missing / rate;
    if (stage === last && next - factor <= 1e-10 * factor) return next;
    factor = next;
  }
  return factor;
}
