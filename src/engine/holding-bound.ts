/**
 * Question: is there, anywhere in a box of configurations, swivel angles and force directions, a
 * motion that friction cannot stop at a given load?
 *
 * The cart holds exactly when for every planar twist tau friction takes at least the power that the
 * load gives. `boxSlack` returns a rigorous lower bound of (friction power - load power) over a box
 * of everything at once; where it is not negative, nothing in the box slides at that load.
 *
 * Derivation (docs/theory/proof.md). With p_i = a_i.u the deflection of castor i, a_i = (1, x_i,
 * y_i), N_i = k_i p_i for pressed castors, and sum N_i a_i = b (weight and its moments), any affine
 * function l gives
 *     sum h_i(N_i) - load power = l.b - load power + sum (h_i(N_i) - N_i l.a_i).
 * With l the least-squares fit of h_i / N_i over the pressed castors (weights k_i) the last sum
 * vanishes at the middle of the box and to first order for every change of the load. Then
 * l.b - load power is a linear functional of the mass moments (mass-bounds.ts); the direction of the
 * force and each castor's swivel angle are worst in closed form, with what couples them bounded by
 * products of two small things; the twist enters by the convexity of h.
 *
 * Symbols: O the mean of the stems, all places are taken from it; L the root mean square distance
 * of the stems from it; tau = (vx, vy, w), velocity at r: v + (w / L) z x r; u plane of deflection
 * at the middle of the box, |change of u_j| <= E_j; d unit vector of the force, F its size.
 */

import type { Vec3 } from '../kernel/index.js';
import { arcTrig, productLower, sinusoidRange } from '../kernel/index.js';
import type { CastorInput } from './castor.js';
import { brakeForce, canSwivel, isWheelLocked, rollingRatio } from './castor.js';
import type { ConfigurationBox } from './domain.js';
import type { SupportArrays } from './elastic-support.js';
import { applySymmetric, invertSupport, solveSupport } from './elastic-support.js';
import { frictionPower, nearestGrip } from './grip.js';
import { functionalLower, pointRange } from './mass-bounds.js';
import type { MassModel } from './mass-model.js';

/** The load whose growth is asked about. */
export type HoldingLoad =
  /** a ramp: horizontal force W tan(theta) at the centre of mass */
  | { readonly kind: 'incline' /** rad */; readonly angle: number }
  /** a push: min(fraction W, cap) at the highest of the points, no higher than greatestHeight */
  | {
      readonly kind: 'push';
      readonly fraction: number;
      /** N */
      readonly cap: number;
      /** m */
      readonly greatestHeight: number;
      readonly points: readonly PushPoint[];
    };

/** A point the push may act at: carried by a mover (index, -1: the base), zero drawing, m. */
export interface PushPoint {
  readonly mover: number;
  readonly at: Vec3;
}

export interface HoldingProblem {
  readonly model: MassModel;
  readonly castors: readonly CastorInput[];
  readonly load: HoldingLoad;
  /** m/s2 */
  readonly gravity: number;
}

/** A cell of twists: one face of the cube [-1, 1]^3, two ranges on it. */
export interface TwistCell {
  /** 0..5: component face >> 1 is +1 (even) or -1 (odd) */
  readonly face: number;
  readonly a0: number;
  readonly a1: number;
  readonly b0: number;
  readonly b1: number;
}

export interface HoldingBound {
  /** Lower bound of the slack, N at unit twist; where it is negative only its sign is meant.
   * Variables of the box: those of the mass model, then
   * the direction of the force, then one swivel angle a castor (of no meaning for a fixed castor; one
   * free to swivel trails: boxes elsewhere hold nothing), then, where there is one more, the share of
   * the target load.
   * @param target multiple of the demand at which the load is taken
   * @param factor on every tread's friction
   * @param point index of the push point (0 for an incline) */
  readonly boxSlack: (
    box: ConfigurationBox,
    cell: TwistCell,
    target: number,
    factor: number,
    point: number,
  ) => number;
  /** Whether castor i's swivel angle is open in a cell: it keeps one it was locked at, or the cart may
   * turn about its stem. */
  readonly standsIn: (cell: TwistCell, i: number) => boolean;
  /** Asked right after a boxSlack >= 0 at a single load: whether all lesser loads hold with it. */
  readonly holdsBelow: () => boolean;
}

/** Shares of doubtful castors' excess kept in the fit, tried in turn. */
const SHARES = [1, 0.5, 0] as const;
const WHOLE = [1] as const;
/** A castor counts as one the cart may turn about when its speed is below this share of how far
 * speeds range over the cell. */
const KINK_SHARE = 2;
/** More sets of pressed castors than this in one box: it is too large to be worth the work. */
const MOST_SETS = 16;
/** The enclosure's own feedback must stay below this, or it blows up beyond use. */
const LEAST_CLOSING = 0.9;
/** Speeds of a unit twist below this are rounding. */
const LEAST_SPEED = 1e-12;
/** rad, covers the rounding of an arc. */
const LEAST_ARC = 1e-12;
/** Covers the rounding of the plane many times over. */
const HAIR = 1 + 1e-9;

/** Makes the bound for one problem; its scratch is its own. */
export function createHoldingBound(problem: HoldingProblem): HoldingBound {
  const { model, castors, load, gravity } = problem;
  const n = castors.length;
  const nv = model.variableCount;
  const ox = castors.reduce((sum, c) => sum + c.at[0], 0) / n;
  const oy = castors.reduce((sum, c) => sum + c.at[1], 0) / n;
  const size = Math.sqrt(
    castors.reduce((sum, c) => sum + (c.at[0] - ox) ** 2 + (c.at[1] - oy) ** 2, 0) / n,
  );
  const column = (): Float64Array => new Float64Array(n);
  const stemX = Float64Array.from(castors, (c) => c.at[0] - ox);
  const stemY = Float64Array.from(castors, (c) => c.at[1] - oy);
  const trail = Float64Array.from(castors, (c) => (c.fixedDirection === null ? c.trail : 0));
  const atStem = Uint8Array.from(castors, (c) => (canSwivel(c) ? 1 : 0));
  const locked = Uint8Array.from(castors, (c) => (isWheelLocked(c) ? 1 : 0));
  const friction = Float64Array.from(castors, (c) => c.friction);
  const rolling = Float64Array.from(castors, rollingRatio);
  const brake = Float64Array.from(castors, (c) => (isWheelLocked(c) ? brakeForce(c) : 0));
  const freeReach = Float64Array.from(castors, (c) =>
    c.trail > 0 ? c.swivelMoment / c.trail : Number.POSITIVE_INFINITY,
  );
  const fixedWheel = Uint8Array.from(castors, (c) => (c.fixedDirection === null ? 0 : 1));
  const wheelCos = Float64Array.from(castors, (c) => Math.cos(c.fixedDirection ?? 0));
  const wheelSin = Float64Array.from(castors, (c) => Math.sin(c.fixedDirection ?? 0));

  /** the support with contacts at the middles of their circles, for the enclosure */
  const coarse: SupportArrays = {
    count: n,
    x: column(),
    y: column(),
    stiffness: Float64Array.from(castors, (c) => c.stiffness),
  };
  /** the support with contacts where they are worst, for the bound */
  const fine: SupportArrays = { count: n, x: column(), y: column(), stiffness: coarse.stiffness };
  const k = coarse.stiffness;
  const cx = coarse.x;
  const cy = coarse.y;
  const fineX = fine.x;
  const fineY = fine.y;
  /** radius of the circle of the contact about its middle, m; 0: place known */
  const radius = column();
  const swivelCos = column();
  const swivelSin = column();
  const known = new Uint8Array(n);

  const active = new Uint8Array(n);
  const fitted = new Uint8Array(n);
  const inverse = new Float64Array(6);
  const fineInverse = new Float64Array(6);
  const fitInverse = new Float64Array(6);
  const u = new Float64Array(3);
  const fineU = new Float64Array(3);
  const p0 = column();
  const pLow = column();
  const pHigh = column();
  const leanX = column();
  const leanY = column();
  const arcMiddle = column();
  const arcHalf = column();
  const outX = column();
  const outY = column();
  const atEnd = column();
  /** longest chord from the worst place to another of the arc, m */
  const reachOf = column();
  const loose = new Uint8Array(n);
  const tried: number[] = [];

  // friction of each castor at the middle twist: power >= s0 + s1 N for the force held at e
  const s0 = column();
  const s1 = column();
  const speed = column();
  const ex = column();
  const ey = column();
  const reachMid = column();
  const fDev = column();
  /** 1: only the power is known, by a chord over N */
  const chord = new Uint8Array(n);
  const turned = new Uint8Array(n);
  /** part of a castor's resistance per normal force given up in the fit */
  const given = column();
  const grip = new Float64Array(5);
  const gradient = new Float64Array(3);
  const loadGradient = new Float64Array(3);
  const loadSpread = new Float64Array(3);

  // residual r = h / N - l.a: at the reference contact, and its gradient with the contact
  const ell = new Float64Array(3);
  const rAt = column();
  const rX = column();
  const rY = column();
  // castors' side of the coupling: Z = Y B (3x2)
  const Z = new Float64Array(6 * n);
  const bNorm = new Float64Array(3 * n);
  const curve = column();
  const tilt = column();

  const loadB = new Float64Array(3);
  const mLow = new Float64Array(4);
  const mHigh = new Float64Array(4);
  /** centre of mass, seen from O (height from the floor): middle and half-width, m */
  const cMid = new Float64Array(3);
  const cDev = new Float64Array(3);
  const pLo3 = new Float64Array(3);
  const pHi3 = new Float64Array(3);
  const dirArc = new Float64Array(6);
  const pair = new Float64Array(2);

  // Moment ranges are kept while the configuration part of the box stays the same.
  const seenLo = new Float64Array(nv).fill(Number.NaN);
  const seenHi = new Float64Array(nv).fill(Number.NaN);
  let seenPoint = -1;

  function sameConfiguration(lo: Float64Array, hi: Float64Array, point: number): boolean {
    if (point !== seenPoint) return false;
    for (let i = 0; i < nv; i++) if (lo[i] !== seenLo[i] || hi[i] !== seenHi[i]) return false;
    return true;
  }

  /** M and moments about O (z about the floor), and the place of the push point. */
  function rangeMoments(lo: Float64Array, hi: Float64Array, point: number): void {
    if (sameConfiguration(lo, hi, point)) return;
    for (let i = 0; i < nv; i++) {
      seenLo[i] = lo[i] as number;
      seenHi[i] = hi[i] as number;
    }
    seenPoint = point;
    mLow[0] = functionalLower(model, seenLo, seenHi, 1, 0, 0, 0);
    mHigh[0] = -functionalLower(model, seenLo, seenHi, -1, 0, 0, 0);
    mLow[1] = functionalLower(model, seenLo, seenHi, -ox, 1, 0, 0);
    mHigh[1] = -functionalLower(model, seenLo, seenHi, ox, -1, 0, 0);
    mLow[2] = functionalLower(model, seenLo, seenHi, -oy, 0, 1, 0);
    mHigh[2] = -functionalLower(model, seenLo, seenHi, oy, 0, -1, 0);
    mLow[3] = functionalLower(model, seenLo, seenHi, 0, 0, 0, 1);
    mHigh[3] = -functionalLower(model, seenLo, seenHi, 0, 0, 0, -1);
    // The centre of mass is m / M: its range comes from m - c M for a c in the middle, so that a load
    // that only adds weight does not widen it.
    for (let j = 0; j < 3; j++) {
      const c = (mLow[j + 1]! + mHigh[j + 1]!) / (mLow[0]! + mHigh[0]!);
      const [bx, by, bz] = [j === 0 ? 1 : 0, j === 1 ? 1 : 0, j === 2 ? 1 : 0];
      const a = -c - bx * ox - by * oy;
      const low = functionalLower(model, seenLo, seenHi, a, bx, by, bz);
      const high = -functionalLower(model, seenLo, seenHi, -a, -bx, -by, -bz);
      cMid[j] = c;
      cDev[j] = Math.max(-low, high, 0) / mLow[0]!;
    }
    if (load.kind === 'incline') return;
    const p = load.points[point] as PushPoint;
    pointRange(model, seenLo, seenHi, p.mover, p.at, pLo3, pHi3);
    pLo3[0] = (pLo3[0] as number) - ox;
    pHi3[0] = (pHi3[0] as number) - ox;
    pLo3[1] = (pLo3[1] as number) - oy;
    pHi3[1] = (pHi3[1] as number) - oy;
    pLo3[2] = Math.min(load.greatestHeight, pLo3[2] as number);
    pHi3[2] = Math.min(load.greatestHeight, pHi3[2] as number);
  }

  /** Where each contact may be: at one place, or within `radius` of a middle: of the stem, or, for a
   * narrow arc of swivel angles, of the middle of the arc. A castor free to swivel trails behind its
   * stem's motion: its arc is that of the directions over the cell of twists, or, where the stem may
   * stand still in the cell, the box's. Returns false when the two have nothing in common. */
  function placeContacts(
    box: ConfigurationBox,
    vx: number,
    vy: number,
    w: number,
    reachV: number,
    reachW: number,
  ): boolean {
    for (let i = 0; i < n; i++) {
      const t = trail[i]!;
      arcMiddle[i] = 0.5 * (box.lo[nv + 1 + i]! + box.hi[nv + 1 + i]!);
      arcHalf[i] = 0.5 * (box.hi[nv + 1 + i]! - box.lo[nv + 1 + i]!);
      if (atStem[i] === 1 && t > 0) {
        const x = vx - (w / size) * stemY[i]!;
        const y = vy + (w / size) * stemX[i]!;
        const v = Math.sqrt(x * x + y * y);
        const spread = reachV + (reachW / size) * Math.hypot(stemX[i]!, stemY[i]!);
        if (spread + LEAST_SPEED < v) {
          const behind = Math.atan2(-y, -x);
          const spreadAngle = Math.asin((spread + LEAST_SPEED) / v) + LEAST_ARC;
          let apart = behind - arcMiddle[i]!;
          apart -= 2 * Math.PI * Math.round(apart / (2 * Math.PI));
          if (Math.abs(apart) > spreadAngle + arcHalf[i]!) return false;
          arcMiddle[i] = behind;
          arcHalf[i] = spreadAngle;
        }
      }
      const half = arcHalf[i]!;
      known[i] = fixedWheel[i] === 1 || half === 0 ? 1 : 0;
      swivelCos[i] = fixedWheel[i] === 1 ? wheelCos[i]! : Math.cos(arcMiddle[i]!);
      swivelSin[i] = fixedWheel[i] === 1 ? wheelSin[i]! : Math.sin(arcMiddle[i]!);
      const chordToEnd = 2 * t * Math.sin(Math.min(half, Math.PI / 2) / 2);
      const narrow = t > 0 && chordToEnd < t;
      cx[i] = stemX[i]! + (narrow ? t * swivelCos[i]! : 0);
      cy[i] = stemY[i]! + (narrow ? t * swivelSin[i]! : 0);
      radius[i] = narrow ? chordToEnd : t;
    }
    return true;
  }

  /**
   * Encloses the deflections wherever in the box exactly the castors of `active` are pressed: each in
   * [pLow, pHigh], the slope of the plane within slopeSpread of that of u. Returns false when the
   * enclosure does not close. Arguments: half-widths of the load b, the greatest weight.
   *
   * With a contact at a + d, |d| <= radius, N = k (a + d).(u + e) >= 0 and sum N = W, equilibrium reads
   *     H' e = (b - b0) - sum N d - sum k (d.grad(u + e)) a,     H' = sum k a a^T at the middle,
   * and |sum N d| <= W max |d|, or sum N_max |d| once the N are enclosed. Places from the springs'
   * own centre, where H'^-1 falls apart into 1 / sum k and a 2x2 block J.
   */
  function encloseSupport(rb1: number, rb2: number, most: number): boolean {
    const s = centreSprings(coarse);
    const j11 = inverse[3]!;
    const j12 = inverse[4]!;
    const j22 = inverse[5]!;
    const spectral = 0.5 * (j11 + j22 + Math.sqrt((j11 - j22) * (j11 - j22) + 4 * j12 * j12));
    const slope = Math.sqrt(u[1]! * u[1]! + u[2]! * u[2]!);
    let own = 0;
    let farthest = 0;
    for (let i = 0; i < n; i++) {
      p0[i] = u[0]! + u[1]! * cx[i]! + u[2]! * cy[i]!;
      const x = cx[i]! - springX;
      const y = cy[i]! - springY;
      leanX[i] = j11 * x + j12 * y;
      leanY[i] = j12 * x + j22 * y;
      if (active[i] === 0) continue;
      own += k[i]! * radius[i]! * Math.hypot(leanX[i]!, leanY[i]!);
      farthest = Math.max(farthest, radius[i]!);
    }
    if (own >= LEAST_CLOSING) return false;
    const loads = Math.hypot(
      Math.abs(j11) * rb1 + Math.abs(j12) * rb2,
      Math.abs(j12) * rb1 + Math.abs(j22) * rb2,
    );
    let shift = most * farthest;
    for (let pass = 0; pass < 3; pass++) {
      slopeSpread = (loads + spectral * shift + own * slope) / (1 - own);
      let sum = 0;
      for (let i = 0; i < n; i++) {
        const spread =
          Math.abs(leanX[i]!) * rb1 +
          Math.abs(leanY[i]!) * rb2 +
          Math.hypot(leanX[i]!, leanY[i]!) * shift +
          (slope + slopeSpread) * (radius[i]! + leverSum(i, s));
        pLow[i] = p0[i]! - HAIR * spread;
        pHigh[i] = p0[i]! + HAIR * spread;
        if (active[i] === 1) sum += Math.min(most, k[i]! * Math.max(0, pHigh[i]!)) * radius[i]!;
      }
      if (sum >= 0.95 * shift) break;
      shift = sum;
    }
    return true;
  }

  /** sum over the pressed castors j of |share of castor j's misfit that reaches castor i| k radius. */
  function leverSum(i: number, s: number): number {
    let sum = 0;
    for (let j = 0; j < n; j++) {
      if (active[j] === 0 || radius[j] === 0) continue;
      const share = 1 / s + leanX[i]! * (cx[j]! - springX) + leanY[i]! * (cy[j]! - springY);
      sum += k[j]! * radius[j]! * Math.abs(share);
    }
    return sum;
  }

  let springX = 0;
  let springY = 0;
  let slopeSpread = 0;

  /** Total stiffness of the pressed castors; their centre into springX, springY. */
  function centreSprings(at: SupportArrays): number {
    let s = 0;
    let sx = 0;
    let sy = 0;
    for (let i = 0; i < n; i++) {
      if (active[i] === 0) continue;
      s += k[i]!;
      sx += k[i]! * at.x[i]!;
      sy += k[i]! * at.y[i]!;
    }
    springX = sx / s;
    springY = sy / s;
    return s;
  }

  /** For the middle twist: speeds, the chord of each castor's friction power over its range of N, and
   * the force at the middle with how far it can be from it. */
  function setFriction(
    vx: number,
    vy: number,
    w: number,
    factor: number,
    fixedFactor: number,
    most: number,
    light: number,
    closed: boolean,
  ): void {
    for (let i = 0; i < n; i++) {
      chord[i] = 0;
      turned[i] = 0;
      const lifted = closed && active[i] === 0;
      const low = closed && !lifted ? Math.min(most, Math.max(0, k[i]! * pLow[i]!)) : 0;
      const high = lifted ? 0 : closed ? Math.min(most, Math.max(0, k[i]! * pHigh[i]!)) : most;
      const mid = Math.min(high, Math.max(low, (k[i] as number) * (p0[i] as number)));
      if (usesDisc(i)) setDisc(i, vx, vy, w, factor, fixedFactor, low, high, mid, light);
      else setWheel(i, vx, vy, w, factor, fixedFactor, low, high, mid, light);
    }
  }

  /** true: the castor is bounded by a disc (free to swivel, or locked at any of an arc of angles:
   * the worst of those lies along the motion; or with a brake that outlasts the tread); false: wheel
   * direction known */
  function usesDisc(i: number): boolean {
    return atStem[i] === 1 || known[i] === 0 || brake[i] === Number.POSITIVE_INFINITY;
  }

  /** N that castor i's friction grows with N, and its cap. */
  function discSlope(i: number, factor: number): number {
    if (locked[i] === 1) return factor * (friction[i] as number);
    return Math.min(rolling[i] as number, factor * (friction[i] as number));
  }

  function discCap(i: number, fixedFactor: number): number {
    if (locked[i] === 1) return fixedFactor * (brake[i] as number);
    return atStem[i] === 1 ? fixedFactor * (freeReach[i] as number) : Number.POSITIVE_INFINITY;
  }

  function setDisc(
    i: number,
    vx: number,
    vy: number,
    w: number,
    factor: number,
    fixedFactor: number,
    low: number,
    high: number,
    mid: number,
    light: number,
  ): void {
    const slope = discSlope(i, factor);
    const cap = discCap(i, fixedFactor);
    // Over all weights of the box N goes from light * low to high; at the greatest from low to high.
    const least = light * low;
    const rLowReach = Math.min(cap, slope * low);
    const rHighReach = Math.min(cap, slope * high);
    let c1 = slope;
    let c0 = 0;
    const capped = slope * high > cap;
    if (slope * least >= cap) {
      c1 = 0;
      c0 = cap;
    } else if (capped) {
      c1 = (rHighReach - slope * least) / (high - least);
      c0 = slope * least - c1 * least;
    }
    // Direction of the force: against the motion at the middle of the circle.
    const svx = vx - (w / size) * gripY(i);
    const svy = vy + (w / size) * gripX(i);
    const v = Math.sqrt(svx * svx + svy * svy);
    ex[i] = v > 0 ? svx / v : 0;
    ey[i] = v > 0 ? svy / v : 0;
    reachMid[i] = Math.min(cap, slope * mid);
    speed[i] = v;
    s0[i] = c0;
    s1[i] = c1;
    // A capped force does not shrink with the weight as the load does.
    fDev[i] =
      Math.max(rHighReach - reachMid[i]!, reachMid[i]! - rLowReach) +
      (capped ? (1 - light) * rHighReach : 0);
  }

  function setWheel(
    i: number,
    vx: number,
    vy: number,
    w: number,
    factor: number,
    fixedFactor: number,
    low: number,
    high: number,
    mid: number,
    light: number,
  ): void {
    const dirC = swivelCos[i]!;
    const dirS = swivelSin[i]!;
    const svx = vx - (w / size) * (cy[i] as number);
    const svy = vy + (w / size) * (cx[i] as number);
    const va = svx * dirC + svy * dirS;
    const vs = svy * dirC - svx * dirS;
    const mu = factor * (friction[i] as number);
    const a0 = locked[i] === 1 ? fixedFactor * (brake[i] as number) : 0;
    const a1 = locked[i] === 1 ? 0 : (rolling[i] as number);
    const inf = Number.POSITIVE_INFINITY;
    // A force of the set at N = mid that takes the most power.
    const reach = mu * mid;
    const v = Math.sqrt(va * va + vs * vs);
    const far = v > 0 ? (1e6 * (reach + 1)) / v : 0;
    nearestGrip(reach, a0 + a1 * mid, inf, far * va, far * vs, grip);
    ex[i] = grip[0]! * dirC - grip[1]! * dirS;
    ey[i] = grip[0]! * dirS + grip[1]! * dirC;
    reachMid[i] = 1;
    speed[i] = v;
    const conical = a0 === 0 || a0 >= mu * high;
    if (conical && mid > 0) {
      // The set grows in proportion to N, and this force with it.
      ex[i] = ex[i]! / mid;
      ey[i] = ey[i]! / mid;
      reachMid[i] = mid;
      s0[i] = 0;
      s1[i] = 1;
      fDev[i] = mu * Math.max(high - mid, mid - low);
      return;
    }
    // Power is concave in N: the chord between the ends lies below it. The force is only known to be
    // somewhere in the set.
    const least = light * low;
    const hLow = frictionPower(mu * least, a0 + a1 * least, inf, va, vs);
    const hHigh = frictionPower(mu * high, a0 + a1 * high, inf, va, vs);
    chord[i] = 1;
    s1[i] = high > least ? (hHigh - hLow) / (high - least) : 0;
    s0[i] = high > least ? hLow - s1[i]! * least : hLow;
    fDev[i] = high === least ? 0 : 2 * mu * high;
  }

  /** Power of castor i's unit force at a contact seen from its stem at (gx, gy) / chord value. */
  function unitPower(i: number, vx: number, vy: number, w: number, gx: number, gy: number): number {
    if (chord[i] === 1) return 1;
    return ex[i]! * (vx - (w / size) * gy) + ey[i]! * (vy + (w / size) * gx);
  }

  /**
   * Where the cart may turn about a castor within the cell, that castor's force may have any
   * direction and size its set allows: it is chosen so that the forces balance the load in the two
   * free components of the twist as far as it can, and the slack hardly falls over the cell.
   */
  function balanceKinks(face: number, halfA: number, halfB: number): void {
    for (let round = 0; round < n; round++) {
      let k1 = -1;
      let most = 0;
      for (let i = 0; i < n; i++) {
        if (!usesDisc(i) || turned[i] === 1) continue;
        const gx = gripX(i);
        const gy = gripY(i);
        const rb = face === 2 ? 1 : Math.sqrt(gx * gx + gy * gy) / size;
        if (speed[i]! > KINK_SHARE * (halfA + halfB * rb) || reachMid[i]! <= most) continue;
        most = reachMid[i]!;
        k1 = i;
      }
      if (k1 < 0) return;
      turned[k1] = 1;
      turnForce(k1, face);
    }
  }

  function gripX(i: number): number {
    return atStem[i] === 1 ? stemX[i]! : cx[i]!;
  }

  function gripY(i: number): number {
    return atStem[i] === 1 ? stemY[i]! : cy[i]!;
  }

  /** Chooses castor i's force (within its disc) to cancel what is left of the gradient. */
  function turnForce(i: number, face: number): void {
    sumForces();
    const rx = gripX(i) / size;
    const ry = gripY(i) / size;
    // free components: f enters as (fx | fy) and (rx fy - ry fx)
    const [a0, a1] = face === 0 ? [0, 1] : [1, 0];
    const [b0, b1] = face === 2 ? [0, 1] : [-ry, rx];
    const ga = face === 0 ? gradient[1]! : gradient[0]!;
    const gb = face === 2 ? gradient[1]! : gradient[2]! / size;
    const det = a0 * b1 - a1 * b0;
    const damped = Math.abs(det) > 0.05 ? det : det >= 0 ? 0.05 : -0.05;
    let fx = ex[i]! * reachMid[i]! - (ga * b1 - a1 * gb) / damped;
    let fy = ey[i]! * reachMid[i]! - (a0 * gb - ga * b0) / damped;
    const f = Math.sqrt(fx * fx + fy * fy);
    const reach = reachMid[i]!;
    if (f > reach) {
      fx *= reach / f;
      fy *= reach / f;
    }
    ex[i] = reach > 0 ? fx / reach : 0;
    ey[i] = reach > 0 ? fy / reach : 0;
  }

  /** Gradient of (friction power - load power) with the twist, at the middle of everything. */
  function sumForces(): void {
    gradient[0] = -loadGradient[0]!;
    gradient[1] = -loadGradient[1]!;
    gradient[2] = -loadGradient[2]!;
    for (let i = 0; i < n; i++) {
      const fx = ex[i]! * reachMid[i]!;
      const fy = ey[i]! * reachMid[i]!;
      gradient[0] = gradient[0]! + fx;
      gradient[1] = gradient[1]! + fy;
      gradient[2] = gradient[2]! + gripX(i) * fy - gripY(i) * fx;
    }
  }

  /**
   * Least-squares fit l of the friction power per normal force at given contacts.
   *
   * A castor in doubt (pressed in one part of the box, lifted in another) that resists more than the
   * fit without it says makes the slack a convex function of the load, bent where it lifts. Any
   * plane between the two branches bounds both from below: `share` 1 is the fit with the castor, 0
   * the one without. Pressed, it gives up (1 - share) of its excess (its power is only lowered by
   * that, N_i being >= 0); lifted, it is counted as if it pulled, which only lowers the sum, since
   * its deflection is negative and its residual is not. Returns whether lifted castors are counted.
   */
  function fitShare(vx: number, vy: number, w: number, share: number): boolean {
    given.fill(0);
    fitted.set(active);
    fitOver(inverse, coarse, vx, vy, w);
    const withLifted = share > 0 && countLifted(vx, vy, w, share);
    if (share < 1) giveUpExcess(vx, vy, w, 1 - share);
    if (withLifted && invertSupport(coarse, fitted, fitInverse)) {
      fitOver(fitInverse, coarse, vx, vy, w);
      return true;
    }
    fitted.set(active);
    if (share < 1) fitOver(inverse, coarse, vx, vy, w);
    return false;
  }

  /** Takes lifted castors in doubt into the fit; returns whether there are any. */
  function countLifted(vx: number, vy: number, w: number, share: number): boolean {
    let any = false;
    for (let i = 0; i < n; i++) {
      if (active[i] === 1 || pHigh[i]! <= 0) continue;
      const r = residual(i, cx[i]!, cy[i]!, vx, vy, w);
      if (r <= 0) continue;
      fitted[i] = 1;
      given[i] = (1 - share) * r;
      any = true;
    }
    return any;
  }

  /** Residual over 1 - leverage is what castor i has over the fit without it. */
  function giveUpExcess(vx: number, vy: number, w: number, part: number): void {
    for (let i = 0; i < n; i++) {
      if (active[i] === 0 || pLow[i]! >= 0) continue;
      const x = cx[i]!;
      const y = cy[i]!;
      const r = residual(i, x, y, vx, vy, w);
      if (r <= 0) continue;
      const leverage =
        k[i]! *
        (inverse[0]! +
          2 * (x * inverse[1]! + y * inverse[2]!) +
          x * x * inverse[3]! +
          2 * x * y * inverse[4]! +
          y * y * inverse[5]!);
      if (leverage < 0.999) given[i] = (part * r) / (1 - leverage);
    }
  }

  function fitOver(m: Float64Array, s: SupportArrays, vx: number, vy: number, w: number): void {
    let w0 = 0;
    let w1 = 0;
    let w2 = 0;
    for (let i = 0; i < n; i++) {
      if (fitted[i] === 0) continue;
      const kw = k[i]! * rate(i, s.x[i]!, s.y[i]!, vx, vy, w);
      w0 += kw;
      w1 += kw * s.x[i]!;
      w2 += kw * s.y[i]!;
    }
    applySymmetric(m, w0, w1, w2, ell);
  }

  /** Power per normal force with the contact at (x, y), less what is given up. */
  function rate(i: number, x: number, y: number, vx: number, vy: number, w: number): number {
    const stem = atStem[i] === 1;
    return s1[i]! * unitPower(i, vx, vy, w, stem ? stemX[i]! : x, stem ? stemY[i]! : y) - given[i]!;
  }

  function residual(i: number, x: number, y: number, vx: number, vy: number, w: number): number {
    return rate(i, x, y, vx, vy, w) - ell[0]! - ell[1]! * x - ell[2]! * y;
  }

  /** r at the contacts of `s` and its gradient with the contact's place. */
  function setResiduals(s: SupportArrays, vx: number, vy: number, w: number): void {
    for (let i = 0; i < n; i++) {
      rAt[i] = residual(i, s.x[i]!, s.y[i]!, vx, vy, w);
      const turn = atStem[i] === 1 || chord[i] === 1 ? 0 : (s1[i]! * w) / size;
      rX[i] = turn * ey[i]! - ell[1]!;
      rY[i] = -turn * ex[i]! - ell[2]!;
    }
  }

  /** Turns every castor to where k p r is least to first order: contact against its gradient
   * k (p R + r grad p), as far as its arc allows. */
  function turnWorst(): void {
    for (let i = 0; i < n; i++) {
      fineX[i] = cx[i]!;
      fineY[i] = cy[i]!;
      reachOf[i] = 0;
      if (radius[i] === 0 || fitted[i] === 0) continue;
      if (loose[i] === 1) {
        reachOf[i] = radius[i]!;
        continue;
      }
      const gx = p0[i]! * rX[i]! + rAt[i]! * u[1]!;
      const gy = p0[i]! * rY[i]! + rAt[i]! * u[2]!;
      const t = trail[i]!;
      let off = Math.atan2(-gy, -gx) - arcMiddle[i]!;
      off -= 2 * Math.PI * Math.round(off / (2 * Math.PI));
      const half = arcHalf[i]!;
      const turn = Math.max(-half, Math.min(half, off));
      atEnd[i] = turn === off || half >= Math.PI ? 0 : Math.sign(turn);
      outX[i] = Math.cos(arcMiddle[i]! + turn);
      outY[i] = Math.sin(arcMiddle[i]! + turn);
      fineX[i] = stemX[i]! + t * outX[i]!;
      fineY[i] = stemY[i]! + t * outY[i]!;
      reachOf[i] = 2 * t * Math.sin(0.5 * Math.min(Math.PI, half + Math.abs(turn)));
    }
  }

  /** The constant part of the chords over N, at the least power over each circle. */
  function constantPower(vx: number, vy: number, w: number): number {
    let sum = 0;
    for (let i = 0; i < n; i++) {
      const c0 = s0[i]!;
      if (c0 === 0) continue;
      const swing = atStem[i] === 1 || chord[i] === 1 ? 0 : (Math.abs(w) / size) * radius[i]!;
      const force = Math.sqrt(ex[i]! * ex[i]! + ey[i]! * ey[i]!);
      sum += c0 * (unitPower(i, vx, vy, w, gripX(i), gripY(i)) - swing * force);
    }
    return sum;
  }

  /**
   * rest() + sum (h_i - N_i l.a_i) over the box, at least this; `rest` is asked once l stands. Contacts at (fine + eta_i), |eta_i| <= reach; with u the plane for the fine contacts and the load at hand, N_i = k (a_i + eta_i).(u + e),
   *     sum N_i r_i = sum k p_i r_i + sum G_i.eta_i + e.sum B_j eta_j + second order,
   *     G_i = k (p_i R_i + r_i grad p),  B_j = k (a_j R_j^T + r_j P),
   *     e = Y (b - b0) - sum Y A_i eta_i,  A_i = N_i P + k a_i (grad p)^T.
   * On the circle G_i.eta_i grows by |G_i| |eta_i|^2 / (2 trail) from the worst place, which outweighs
   * the products eta_i eta_j unless the trail is large against the wheelbase.
   */
  function residualLower(
    rb1: number,
    rb2: number,
    vx: number,
    vy: number,
    w: number,
    withLifted: boolean,
    most: number,
    rest: () => number,
  ): number {
    loose.fill(0);
    setResiduals(coarse, vx, vy, w);
    turnWorst();
    let best = coupledFrom(rb1, rb2, vx, vy, w, withLifted, most, rest);
    if (best >= 0) return best;
    // Castors whose place matters too little to be held at their worst are taken from the middle of
    // their circle instead: half the distance, a quarter of the products.
    let any = false;
    for (let i = 0; i < n; i++) {
      if (fitted[i] === 0 || reachOf[i] === 0 || curve[i]! > 0) continue;
      loose[i] = 1;
      any = true;
    }
    if (!any) return best;
    setResiduals(coarse, vx, vy, w);
    turnWorst();
    best = Math.max(best, coupledFrom(rb1, rb2, vx, vy, w, withLifted, most, rest));
    return best;
  }

  /** The bound with the contacts of `fine` as they stand. The coupled sum is zero at best: where the
   * rest alone falls short, the slack does. */
  function coupledFrom(
    rb1: number,
    rb2: number,
    vx: number,
    vy: number,
    w: number,
    withLifted: boolean,
    most: number,
    rest: () => number,
  ): number {
    const failed = Number.NEGATIVE_INFINITY;
    curve.fill(1);
    if (!invertSupport(fine, active, fineInverse)) return failed;
    applySymmetric(fineInverse, loadB[0]!, loadB[1]!, loadB[2]!, fineU);
    if (withLifted) {
      if (!invertSupport(fine, fitted, fitInverse)) return failed;
      fitOver(fitInverse, fine, vx, vy, w);
    } else fitOver(fineInverse, fine, vx, vy, w);
    const others = rest();
    if (others < 0) return others;
    setResiduals(fine, vx, vy, w);
    return others + Math.min(0, coupledLower(rb1, rb2, most));
  }

  /** Without an enclosure: sum N = W and N >= 0 are all that is known. */
  function openLower(vx: number, vy: number, w: number, most: number): number {
    setResiduals(coarse, vx, vy, w);
    let low = Number.POSITIVE_INFINITY;
    for (let i = 0; i < n; i++) {
      const swing = radius[i]! * Math.sqrt(rX[i]! * rX[i]! + rY[i]! * rY[i]!);
      low = Math.min(low, rAt[i]! - swing);
    }
    return Math.min(0, low) * most;
  }

  function coupledLower(rb1: number, rb2: number, most: number): number {
    const s = centreSprings(fine);
    const gx = springX;
    const gy = springY;
    const slopeX = fineU[1]!;
    const slopeY = fineU[2]!;
    const slope = Math.sqrt(slopeX * slopeX + slopeY * slopeY);
    const slopeDev = Math.hypot(u[1]! - slopeX, u[2]! - slopeY) + slopeSpread;
    const j0 = 1 / s;
    const j11 = fineInverse[3]!;
    const j12 = fineInverse[4]!;
    const j22 = fineInverse[5]!;
    let total = 0;
    for (let i = 0; i < n; i++) {
      curve[i] = 0;
      tilt[i] = 0;
      if (fitted[i] === 0) continue;
      const ki = k[i]!;
      const r = rAt[i]!;
      const Rx = rX[i]!;
      const Ry = rY[i]!;
      const R = Math.sqrt(Rx * Rx + Ry * Ry);
      const p = fineU[0]! + slopeX * fineX[i]! + slopeY * fineY[i]!;
      const reach = reachOf[i]!;
      total += ki * p * r;
      // -k p r of a lifted castor that the fit counts, p <= 0
      if (active[i] === 0)
        total +=
          ki *
          productLower(
            Math.max(0, -pHigh[i]!),
            Math.max(0, -pLow[i]!),
            r - R * reach,
            r + R * reach,
          );
      if (reach === 0) continue;
      const ax = fineX[i]! - gx;
      const ay = fineY[i]! - gy;
      const b00 = ki * Rx;
      const b01 = ki * Ry;
      const b10 = ki * (ax * Rx + r);
      const b11 = ki * ax * Ry;
      const b20 = ki * ay * Rx;
      const b21 = ki * (ay * Ry + r);
      const z = 6 * i;
      Z[z] = j0 * b00;
      Z[z + 1] = j0 * b01;
      Z[z + 2] = j11 * b10 + j12 * b20;
      Z[z + 3] = j11 * b11 + j12 * b21;
      Z[z + 4] = j12 * b10 + j22 * b20;
      Z[z + 5] = j12 * b11 + j22 * b21;
      bNorm[3 * i] = Math.sqrt(b00 * b00 + b01 * b01);
      bNorm[3 * i + 1] = Math.sqrt(b10 * b10 + b11 * b11);
      bNorm[3 * i + 2] = Math.sqrt(b20 * b20 + b21 * b21);
      const Gx = ki * (p * Rx + r * slopeX);
      const Gy = ki * (p * Ry + r * slopeY);
      // G in the circle's own axes: its inward part holds the castor at its worst, its part along the
      // circle tilts it, unless it only rises into the arc from the end at which the castor stands
      const inward = -(Gx * outX[i]! + Gy * outY[i]!);
      const along = Gy * outX[i]! - Gx * outY[i]!;
      const across = atEnd[i]! * along < 0 ? 0 : Math.abs(along);
      const free = loose[i] === 1;
      curve[i] = (free ? 0 : inward / (2 * trail[i]!)) - ki * R * (slope + slopeDev);
      tilt[i] =
        (free ? Math.sqrt(Gx * Gx + Gy * Gy) : across) +
        rb1 * Math.sqrt(Z[z + 2]! * Z[z + 2]! + Z[z + 3]! * Z[z + 3]!) +
        rb2 * Math.sqrt(Z[z + 4]! * Z[z + 4]! + Z[z + 5]! * Z[z + 5]!);
    }
    for (let i = 0; i < n; i++)
      if (active[i] === 1 && reachOf[i]! > 0) couple(i, gx, gy, 1 / s, slopeDev, most);
    for (let i = 0; i < n; i++) {
      const reach = reachOf[i]!;
      if (fitted[i] === 0 || reach === 0) continue;
      const c = curve[i]!;
      const t = tilt[i]!;
      const far = c * reach * reach - t * reach;
      if (c > 0 && t < 2 * c * reach) total -= (t * t) / (4 * c);
      else total += Math.min(0, far);
    }
    return total;
  }

  /** Takes the products of castor i's change of contact with every castor's from their curves:
   * |Q z_i z_j| <= Q (z_i^2 + z_j^2) / 2. */
  function couple(
    i: number,
    gx: number,
    gy: number,
    j0: number,
    slopeDev: number,
    most: number,
  ): void {
    const ki = k[i]!;
    const slopeX = fineU[1]!;
    const slopeY = fineU[2]!;
    const N = ki * (fineU[0]! + slopeX * fineX[i]! + slopeY * fineY[i]!);
    const low = ki * Math.max(0, pLow[i]!);
    const high = Math.min(most, ki * Math.max(0, pHigh[i]!));
    const dN = Math.max(0, high - N, N - low);
    const ax = fineX[i]! - gx;
    const ay = fineY[i]! - gy;
    const j11 = fineInverse[3]!;
    const j12 = fineInverse[4]!;
    const j22 = fineInverse[5]!;
    const spectral = 0.5 * (j11 + j22 + Math.sqrt((j11 - j22) * (j11 - j22) + 4 * j12 * j12));
    const lean = Math.hypot(j11 * ax + j12 * ay, j12 * ax + j22 * ay);
    const r0 = j0 * ki * slopeDev;
    const r12 = spectral * dN + lean * ki * slopeDev;
    for (let j = 0; j < n; j++) {
      if (fitted[j] === 0 || reachOf[j] === 0) continue;
      const z = 6 * j;
      const za = Z[z]! + ax * Z[z + 2]! + ay * Z[z + 4]!;
      const zb = Z[z + 1]! + ax * Z[z + 3]! + ay * Z[z + 5]!;
      const m00 = N * Z[z + 2]! + ki * slopeX * za;
      const m01 = N * Z[z + 3]! + ki * slopeX * zb;
      const m10 = N * Z[z + 4]! + ki * slopeY * za;
      const m11 = N * Z[z + 5]! + ki * slopeY * zb;
      const Q =
        spectralNorm(m00, m01, m10, m11) +
        r0 * bNorm[3 * j]! +
        r12 * Math.hypot(bNorm[3 * j + 1]!, bNorm[3 * j + 2]!);
      curve[i] = curve[i]! - 0.5 * Q;
      curve[j] = curve[j]! - 0.5 * Q;
    }
  }

  /** Largest singular value of a 2x2 matrix. */
  function spectralNorm(a: number, b: number, c: number, d: number): number {
    const sum = a * a + b * b + c * c + d * d;
    const det = a * d - b * c;
    return Math.sqrt(0.5 * (sum + Math.sqrt(Math.max(0, sum * sum - 4 * det * det))));
  }

  function boxSlack(
    box: ConfigurationBox,
    cell: TwistCell,
    target: number,
    factor: number,
    point: number,
  ): number {
    onlySet = -1;
    holdsNothing = false;
    rangeMoments(box.lo, box.hi, point);
    const face = cell.face >> 1;
    const sign = (cell.face & 1) === 0 ? 1 : -1;
    const am = 0.5 * (cell.a0 + cell.a1);
    const bm = 0.5 * (cell.b0 + cell.b1);
    const vx = face === 0 ? sign : am;
    const vy = face === 1 ? sign : face === 0 ? am : bm;
    const w = face === 2 ? sign : bm;
    const halfA = 0.5 * (cell.a1 - cell.a0);
    const halfB = 0.5 * (cell.b1 - cell.b0);
    const reachV = face === 1 || face === 0 ? halfA : Math.hypot(halfA, halfB);
    const reachW = face === 2 ? 0 : halfB;
    if (!placeContacts(box, vx, vy, w, reachV, reachW)) {
      holdsNothing = true;
      return Number.POSITIVE_INFINITY;
    }
    const from = box.lo[nv] as number;
    const to = box.hi[nv] as number;
    arcTrig(from, to, dirArc, 0);
    const half = Math.min(Math.PI, 0.5 * (to - from));
    const middle = 0.5 * (from + to);
    sinusoidRange(dirArc, 0, 0, 1, 0, pair, 0);
    const dxl = pair[0] as number;
    const dxh = pair[1] as number;
    sinusoidRange(dirArc, 0, 0, 0, 1, pair, 0);
    const dyl = pair[0] as number;
    const dyh = pair[1] as number;

    const g = gravity;
    const M0 = mLow[0] as number;
    const M1 = mHigh[0] as number;
    const incline = load.kind === 'incline';
    // The load may be a range: shares of the target, from the box's last variable (absent: all of it).
    const share0 = box.lo[nv + 1 + n] ?? 1;
    const share1 = box.hi[nv + 1 + n] ?? 1;
    const tangent0 = incline ? share0 * target * Math.tan(load.angle) : 0;
    const tangent = incline ? share1 * target * Math.tan(load.angle) : 0;
    // A limit that does not grow with N is worth 1/cos(theta) when everything is divided by it.
    const fixedFactor = incline ? Math.sqrt(1 + tangent0 * tangent0) : 1;
    const F0 = incline ? 0 : share0 * target * Math.min(load.fraction * g * M0, load.cap);
    const F1 = incline ? 0 : share1 * target * Math.min(load.fraction * g * M1, load.cap);
    // Everything but the constant limits grows with the weight, so the support is taken at the
    // greatest weight W1 of the box: force over weight as an interval, load point q + f h d / W1.
    const most = g * M1;
    const light = M0 / M1;
    const least1 = incline ? 0 : target * Math.min(load.fraction * g * M0, load.cap);
    const f0 = incline
      ? most * tangent0
      : share0 * target * Math.min(load.fraction * most, load.cap);
    const f1 = incline ? most * tangent : (share1 * least1) / light;
    const h0 = incline ? Math.max(0, cMid[2]! - cDev[2]!) : Math.max(0, pLo3[2]!);
    const h1 = incline ? cMid[2]! + cDev[2]! : Math.max(0, pHi3[2]!);
    const q0 = f0 * h0;
    const q1 = f1 * h1;
    // The box is enclosed from the direction that gives most power to this twist: the worst one.
    pointVelocity(incline, vx, vy, w);
    worstDirection(-pair[0]!, -pair[1]!, middle, half);
    const q = 0.5 * (q0 + q1);
    const B1 = most * cMid[0]! + q * worst.x;
    const B2 = most * cMid[1]! + q * worst.y;
    const rb1 =
      most * cDev[0]! +
      Math.max(
        q * worst.x - productLower(q0, q1, dxl, dxh),
        -productLower(q0, q1, -dxh, -dxl) - q * worst.x,
      );
    const rb2 =
      most * cDev[1]! +
      Math.max(
        q * worst.y - productLower(q0, q1, dyl, dyh),
        -productLower(q0, q1, -dyh, -dyl) - q * worst.y,
      );

    const loadX = worst.x;
    const loadY = worst.y;

    /** Slack for the set of pressed castors in `active`, whose inverse and plane are at hand. */
    const slackOfSet = (closed: boolean): number => {
      setFriction(vx, vy, w, factor, fixedFactor, most, light, closed);
      rangeLoadGradient(incline, f0, f1, loadX, loadY);
      balanceKinks(face, halfA, halfB);
      const constant = constantPower(vx, vy, w);
      const shares = closed && anyDoubt() ? SHARES : WHOLE;
      const rest = (): number => {
        const [alpha, bx, by] = [ell[0]!, ell[1]!, ell[2]!];
        const loads = incline
          ? inclineLower(vx, vy, w, tangent0, tangent, alpha, bx, by, middle, half, reachV, reachW)
          : pushLower(
              vx,
              vy,
              w,
              share1 * target,
              alpha,
              bx,
              by,
              middle,
              half,
              reachV,
              reachW,
              F0,
              F1,
            );
        rangeLoadGradient(incline, f0, f1, worst.x, worst.y);
        return constant + loads - cellLoss(cell, face);
      };
      let best = Number.NEGATIVE_INFINITY;
      for (const share of shares) {
        const withLifted = fitShare(vx, vy, w, share);
        const slack = closed
          ? residualLower(rb1, rb2, vx, vy, w, withLifted, most, rest)
          : rest() + openLower(vx, vy, w, most);
        best = Math.max(best, slack);
        if (best >= 0) break;
      }
      return best;
    };

    loadB[0] = most;
    loadB[1] = B1;
    loadB[2] = B2;
    if (!solveSupport(coarse, most, B1, B2, active, inverse, u)) {
      takeAllCastors();
      return slackOfSet(false);
    }
    let lowest = Number.POSITIVE_INFINITY;
    // Every set of pressed castors that occurs in the box: from the one at the middle, on through
    // each castor whose deflection may change sign. Along any path in the box the set changes only
    // where a deflection passes through zero, so none is missed.
    tried.length = 0;
    tried.push(setOf(active));
    for (let next = 0; next < tried.length; next++) {
      const set = tried[next]!;
      if (next > 0 && !takeSet(set, most, B1, B2)) {
        // Castors in a line: over them a cart rocks from castors on one side to castors on the other,
        // whose deflections jump. Whatever it may rock to is tried.
        for (let i = 0; i < n; i++) if (((set >> i) & 1) === 0) offerSet(set | (1 << i));
        continue;
      }
      const closed = tried.length <= MOST_SETS && encloseSupport(rb1, rb2, most);
      if (!closed) {
        takeAllCastors();
        return Math.min(lowest, slackOfSet(false));
      }
      if (!occurs()) continue;
      for (let i = 0; i < n; i++) if (pLow[i]! <= 0 && pHigh[i]! >= 0) offerSet(set ^ (1 << i));
      lowest = Math.min(lowest, slackOfSet(true));
      if (lowest < 0) return lowest;
    }
    if (tried.length === 1) onlySet = tried[0]!;
    return lowest;
  }

  /** of the last box: the one set of castors pressed in it, -1: several or none known */
  let onlySet = -1;
  /** the last box has no twist with its castors trailing as it asks */
  let holdsNothing = false;

  /**
   * After a boxSlack >= 0 at a single load: whether the same castors are pressed throughout the box at
   * that load and at none. Then every deflection, and with it every normal force, is linear in the
   * load, the slack is concave in it and not negative at both ends: nothing in the box slides at a
   * lesser load either.
   */
  function holdsBelow(): boolean {
    if (holdsNothing) return true;
    const set = onlySet;
    if (set < 0) return false;
    const most = gravity * mHigh[0]!;
    const B1 = most * cMid[0]!;
    const B2 = most * cMid[1]!;
    if (!takeSet(set, most, B1, B2)) return false;
    if (!encloseSupport(most * cDev[0]!, most * cDev[1]!, most)) return false;
    for (let i = 0; i < n; i++) if (active[i] === 1 ? pLow[i]! <= 0 : pHigh[i]! >= 0) return false;
    return true;
  }

  function setOf(marks: Uint8Array): number {
    let set = 0;
    for (let i = 0; i < n; i++) if (marks[i] === 1) set |= 1 << i;
    return set;
  }

  function offerSet(set: number): void {
    if (!tried.includes(set)) tried.push(set);
  }

  /** Makes a set current; false when its castors stand in a line (the rim of tipping). */
  function takeSet(set: number, B0: number, B1: number, B2: number): boolean {
    for (let i = 0; i < n; i++) active[i] = (set >> i) & 1;
    if (!invertSupport(coarse, active, inverse)) return false;
    applySymmetric(inverse, B0, B1, B2, u);
    return true;
  }

  /** Whether the set can be the pressed one anywhere in the box. */
  function occurs(): boolean {
    for (let i = 0; i < n; i++) if (active[i] === 1 ? pHigh[i]! < 0 : pLow[i]! > 0) return false;
    return true;
  }

  /** Whether a castor may be pressed in one part of the box and lifted in another. */
  function anyDoubt(): boolean {
    for (let i = 0; i < n; i++) if (active[i] === 1 ? pLow[i]! < 0 : pHigh[i]! > 0) return true;
    return false;
  }

  /** No enclosure: fit over all castors as if each carried by its stiffness. */
  function takeAllCastors(): void {
    active.fill(1);
    if (!solveSupport(coarse, 1, 0, 0, active, inverse, u)) {
      inverse.fill(0);
      active.fill(1);
    }
    // solveSupport may have released castors for that load; the fit only needs some plane
    for (let i = 0; i < n; i++) p0[i] = 0;
  }

  /** The direction of the arc (middle, half) with the least d.U into `worst`: its unit vector, -d.U,
   * and the longest chord from it to another direction of the arc. */
  const worst = { x: 1, y: 0, depth: 0, chord: 2 };

  function worstDirection(Ux: number, Uy: number, middle: number, half: number): void {
    const size2 = Ux * Ux + Uy * Uy;
    let off = size2 > 0 ? Math.atan2(-Uy, -Ux) - middle : 0;
    off -= 2 * Math.PI * Math.round(off / (2 * Math.PI));
    const inside = Math.abs(off) <= half;
    const turn = inside ? off : Math.sign(off) * half;
    if (inside && size2 > 0) {
      const length = Math.sqrt(size2);
      worst.x = -Ux / length;
      worst.y = -Uy / length;
    } else {
      worst.x = Math.cos(middle + turn);
      worst.y = Math.sin(middle + turn);
    }
    worst.depth = -(worst.x * Ux + worst.y * Uy);
    worst.chord = 2 * Math.sin(0.5 * Math.min(Math.PI, half + Math.abs(turn)));
  }

  /**
   * How far min d.(U + change) can be below worst.(U + change), |change| <= spread. Turning from the
   * worst direction by phi costs 2 depth sin^2(phi/2) and gains at most 2 spread sin(phi/2): at most
   * spread^2 / (2 depth) in all, and at most chord * spread.
   */
  function turningLoss(spread: number): number {
    const plain = worst.chord * spread;
    return worst.depth > 0 ? Math.min(plain, (spread * spread) / (2 * worst.depth)) : plain;
  }

  /** Velocity of the loaded point at the middle of the box (scaled by the mass for a ramp) into
   * pair. */
  function pointVelocity(incline: boolean, vx: number, vy: number, w: number): void {
    const wl = w / size;
    const x = incline ? cMid[0]! : 0.5 * (pLo3[0]! + pHi3[0]!);
    const y = incline ? cMid[1]! : 0.5 * (pLo3[1]! + pHi3[1]!);
    pair[0] = vx - wl * y;
    pair[1] = vy + wl * x;
  }

  /** l.b - load power for the ramp: linear in the moments for a fixed direction. */
  function inclineLower(
    vx: number,
    vy: number,
    w: number,
    tangent0: number,
    tangent: number,
    alpha: number,
    bx: number,
    by: number,
    middle: number,
    half: number,
    reachV: number,
    reachW: number,
  ): number {
    const g = gravity;
    const wl = w / size;
    // V / M = c_z l' - v - (w/L) z x c: the vector the direction multiplies
    const Vx = cMid[2]! * bx - vx + wl * cMid[1]!;
    const Vy = cMid[2]! * by - vy - wl * cMid[0]!;
    worstDirection(Vx, Vy, middle, half);
    const { x: dX, y: dY } = worst;
    // linear in the tangent as well: the least is at an end of its range
    const at = (slope: number): number => {
      const a = alpha - slope * (dX * vx + dY * vy);
      const cxm = bx - slope * wl * dY;
      const cym = by + slope * wl * dX;
      const czm = slope * (bx * dX + by * dY);
      // moments about O: m' = m - O M
      const a0 = a - cxm * ox - cym * oy;
      return g * functionalLower(model, seenLo, seenHi, a0, cxm, cym, czm);
    };
    const here = tangent0 === tangent ? at(tangent) : Math.min(at(tangent0), at(tangent));
    const spreadX = cDev[2]! * Math.abs(bx) + Math.abs(wl) * cDev[1]!;
    const spreadY = cDev[2]! * Math.abs(by) + Math.abs(wl) * cDev[0]!;
    const far = Math.hypot(Math.abs(cMid[0]!) + cDev[0]!, Math.abs(cMid[1]!) + cDev[1]!);
    const moved = reachV + (reachW / size) * far;
    const loss = g * tangent * mHigh[0]! * turningLoss(Math.hypot(spreadX, spreadY) + moved);
    return here - loss;
  }

  /** l.b - load power for a push. */
  function pushLower(
    vx: number,
    vy: number,
    w: number,
    target: number,
    alpha: number,
    bx: number,
    by: number,
    middle: number,
    half: number,
    reachV: number,
    reachW: number,
    F0: number,
    F1: number,
  ): number {
    if (load.kind !== 'push') return 0;
    const g = gravity;
    const wl = w / size;
    const h0 = Math.max(0, pLo3[2] as number);
    const h1 = Math.max(0, pHi3[2] as number);
    // U = h l' - v_p, v_p = v + (w/L) z x p
    const uxl =
      productLower(h0, h1, bx, bx) -
      vx +
      Math.min(wl * (pLo3[1] as number), wl * (pHi3[1] as number));
    const uxh =
      -productLower(h0, h1, -bx, -bx) -
      vx +
      Math.max(wl * (pLo3[1] as number), wl * (pHi3[1] as number));
    const uyl =
      productLower(h0, h1, by, by) -
      vy -
      Math.max(wl * (pLo3[0] as number), wl * (pHi3[0] as number));
    const uyh =
      -productLower(h0, h1, -by, -by) -
      vy -
      Math.min(wl * (pLo3[0] as number), wl * (pHi3[0] as number));
    const Ux = 0.5 * (uxl + uxh);
    const Uy = 0.5 * (uyl + uyh);
    const sx = 0.5 * (uxh - uxl);
    const sy = 0.5 * (uyh - uyl);
    worstDirection(Ux, Uy, middle, half);
    const lever = Math.hypot(Math.max(-pLo3[0]!, pHi3[0]!), Math.max(-pLo3[1]!, pHi3[1]!));
    const turning = turningLoss(Math.hypot(sx, sy) + reachV + (reachW / size) * lever);
    const placed = sx * Math.abs(worst.x) + sy * Math.abs(worst.y);
    const power = -worst.depth - turning - placed;
    // F is min(fraction W, cap): for a power < 0 each of the two alone is a lower bound, the first
    // joined to the functional so that weight and push keep their tie.
    const shift = -bx * ox - by * oy;
    const apart =
      g * functionalLower(model, seenLo, seenHi, alpha + shift, bx, by, 0) +
      (power < 0 ? F1 : F0) * power;
    if (power >= 0 || F0 >= target * load.cap) return apart;
    const tied = alpha + target * load.fraction * power;
    return Math.max(apart, g * functionalLower(model, seenLo, seenHi, tied + shift, bx, by, 0));
  }

  /** Gradient of the load power with the twist: middle into loadGradient, half-width into
   * loadSpread. */
  function rangeLoadGradient(
    incline: boolean,
    f0: number,
    f1: number,
    dX: number,
    dY: number,
  ): void {
    const force = 0.5 * (f0 + f1);
    const spread = 0.5 * (f1 - f0);
    loadGradient[0] = force * dX;
    loadGradient[1] = force * dY;
    loadSpread[0] = spread * Math.abs(dX);
    loadSpread[1] = spread * Math.abs(dY);
    // lever of the force about O
    const xl = incline ? cMid[0]! - cDev[0]! : pLo3[0]!;
    const xh = incline ? cMid[0]! + cDev[0]! : pHi3[0]!;
    const yl = incline ? cMid[1]! - cDev[1]! : pLo3[1]!;
    const yh = incline ? cMid[1]! + cDev[1]! : pHi3[1]!;
    const x0 = productLower(f0, f1, xl, xh);
    const x1 = -productLower(f0, f1, -xh, -xl);
    const y0 = productLower(f0, f1, yl, yh);
    const y1 = -productLower(f0, f1, -yh, -yl);
    loadGradient[2] = 0.5 * ((x0 + x1) * dY - (y0 + y1) * dX);
    loadSpread[2] = 0.5 * ((x1 - x0) * Math.abs(dY) + (y1 - y0) * Math.abs(dX));
  }

  /** Power that may be lost by moving the twist from the middle of its cell: convexity gives at
   * least slack + gradient.change. */
  function cellLoss(cell: TwistCell, face: number): number {
    sumForces();
    let sv = 0;
    let sw = 0;
    for (let i = 0; i < n; i++) {
      const dev = fDev[i]!;
      const size2 = ex[i]! * ex[i]! + ey[i]! * ey[i]!;
      const rx = gripX(i);
      const ry = gripY(i);
      // the force keeps its direction e over the box; only its size and its place change
      const e = chord[i] === 1 ? 1 : usesDisc(i) ? Math.sqrt(size2) : 1;
      const moved = atStem[i] === 1 ? 0 : radius[i]!;
      sv += dev * e;
      sw +=
        dev * e * (Math.sqrt(rx * rx + ry * ry) + moved) + Math.sqrt(size2) * reachMid[i]! * moved;
    }
    const gradX = Math.abs(gradient[0]!) + sv + loadSpread[0]!;
    const gradY = Math.abs(gradient[1]!) + sv + loadSpread[1]!;
    const gradW = (Math.abs(gradient[2]!) + sw + loadSpread[2]!) / size;
    const halfA = 0.5 * (cell.a1 - cell.a0);
    const halfB = 0.5 * (cell.b1 - cell.b0);
    return halfA * (face === 0 ? gradY : gradX) + halfB * (face === 2 ? gradY : gradW);
  }

  function standsIn(cell: TwistCell, i: number): boolean {
    if (atStem[i] === 0) return true;
    const face = cell.face >> 1;
    const sign = (cell.face & 1) === 0 ? 1 : -1;
    const am = 0.5 * (cell.a0 + cell.a1);
    const bm = 0.5 * (cell.b0 + cell.b1);
    const halfA = 0.5 * (cell.a1 - cell.a0);
    const halfB = 0.5 * (cell.b1 - cell.b0);
    const w = face === 2 ? sign : bm;
    const x = (face === 0 ? sign : am) - (w / size) * stemY[i]!;
    const y = (face === 1 ? sign : face === 0 ? am : bm) + (w / size) * stemX[i]!;
    const spread =
      face === 2
        ? Math.hypot(halfA, halfB)
        : halfA + (halfB / size) * Math.hypot(stemX[i]!, stemY[i]!);
    return spread + LEAST_SPEED >= Math.hypot(x, y);
  }

  return { boxSlack, standsIn, holdsBelow };
}
