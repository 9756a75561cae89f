/**
 * Question: how far can the mass, the first moments, any linear function of them, or a carried point
 * go over a whole box of configurations?
 *
 * The functional f = a M + b.m is taken down the tree of movers: each mover turns (a, b) into the
 * functional of what it carries, and every part and load adds its least contribution. Derivations
 * and what is exact when: docs/theory/mass.md.
 *
 * Symbols
 *   M      mass, kg; m = (Mx, My, Mz) first moments, kg m
 *   a, b   the functional; a in whatever the caller means by it per kg, b per kg m
 *   q      value of one mover (m, rad); e its axis (unit); o a point of the axis of a turn
 *   w      mass of a load, kg
 *
 * Every bound is widened outward by ROUNDING times the magnitude of the terms summed, which covers
 * the rounding of the (at most a few hundred) operations behind it many times over.
 *
 * Intermediate values are kept in the scratch arrays of the model: nothing is allocated, and the
 * functions must not be called on one model from inside each other.
 */

import type { Vec3 } from '../kernel/index.js';
import {
  arcTrig,
  chordOffset,
  chordSlope,
  productLower,
  productUpper,
  sinusoidLower,
  sinusoidRange,
} from '../kernel/index.js';
import type { MassModel } from './mass-model.js';
import { nodeIndex, SLIDE, TURN } from './mass-model.js';
import type { Scratch } from './mass-scratch.js';
import { ROTATION, STATE } from './mass-scratch.js';

/**
 * How the functional is known at a node: a point; a and b as c0 + c1 cos t + c2 sin t of the angle t
 * of a layer; or an interval (lower end of a, both ends of b).
 *
 * A layer is a free turn, or several free turns on each other about the same direction: the angle of
 * the first is its own, the angle of the next is the sum of both, and so on, since rotations about
 * one direction add. What a layer carries also depends on the layers below it through a alone; those
 * terms (`below`) are kept at the turn and added for every mass above.
 */
const POINT = 0;
const SINUSOID = 1;
const INTERVAL = 2;

/** Relative outward slack of every enclosure; 2^-43, about 1e-13, a thousand units of rounding. */
const ROUNDING = 2 ** -43;

/**
 * Enclosures of mass and first moments over a box, each end attained wherever
 * {@link functionalLower} is exact.
 *
 * @param lo least value of every variable
 * @param hi greatest value of every variable
 * @param outLo4 filled with the lower ends of [M, Mx, My, Mz]
 * @param outHi4 filled with the upper ends
 */
export function momentRanges(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  outLo4: Float64Array,
  outHi4: Float64Array,
): void {
  for (let i = 0; i < 4; i++) {
    const a = i === 0 ? 1 : 0;
    const bx = i === 1 ? 1 : 0;
    const by = i === 2 ? 1 : 0;
    const bz = i === 3 ? 1 : 0;
    outLo4[i] = functionalLower(model, lo, hi, a, bx, by, bz);
    outHi4[i] = -functionalLower(model, lo, hi, -a, -bx, -by, -bz);
  }
}

/**
 * Enclosure of the place of a carried point over a box. Exact with one free turn among the point's
 * carriers, interval arithmetic with more; {@link pointModel} is tighter then.
 *
 * @param mover index of the mover in the input, -1: the base
 * @param p m, in the zero drawing
 */
export function pointRange(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  mover: number,
  p: Vec3,
  outLo3: Float64Array,
  outHi3: Float64Array,
): void {
  for (let i = 0; i < 3; i++) {
    const bx = i === 0 ? 1 : 0;
    const by = i === 1 ? 1 : 0;
    const bz = i === 2 ? 1 : 0;
    outLo3[i] = pointLower(model, lo, hi, mover, p, bx, by, bz);
    outHi3[i] = -pointLower(model, lo, hi, mover, p, -bx, -by, -bz);
  }
}

/**
 * Lower bound of b.p over a box for a carried point (m, in the zero drawing).
 *
 * @param mover index of the mover in the input, -1: the base
 */
export function pointLower(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  mover: number,
  p: Vec3,
  bx: number,
  by: number,
  bz: number,
): number {
  const { parent, scratch } = model;
  const chain = scratch.chain;
  let length = 0;
  for (let node = nodeIndex(model, mover); node > 0; node = parent[node] as number) {
    chain[length++] = node;
  }
  rootState(scratch, 0, bx, by, bz);
  for (let i = length - 1; i >= 0; i--) descend(model, lo, hi, chain[i] as number);
  const node = length > 0 ? (chain[0] as number) : 0;
  const least = unitLower(model, node, p[0], p[1], p[2]);
  const slack = ROUNDING * (Math.abs(bx) + Math.abs(by) + Math.abs(bz));
  return least - slack * (model.reach + Math.hypot(p[0], p[1], p[2]) + slideReach(model, lo, hi));
}

/**
 * Rigorous lower bound of a M + b.m over a box of configurations.
 *
 * Exact (to the stated slack) when no turn is free, whatever the slides and loads do; exact with
 * free turns none of which carries another, when no load mass or slide under a free turn can be
 * better at either end of its range depending on that turn's angle; else an enclosure whose error
 * falls with the width of the box (with the square of it where only free turns on each other are the
 * reason).
 *
 * @param lo least value of every variable; loads >= 0
 * @param hi greatest value of every variable
 */
export function functionalLower(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  a: number,
  bx: number,
  by: number,
  bz: number,
): number {
  const slack = ROUNDING * magnitude(model, lo, hi, a, bx, by, bz);
  const direct = propagatedLower(model, lo, hi, a, bx, by, bz);
  if (model.scratch.intervals[0] === 0) return direct - slack;
  return Math.max(direct, meanValueLower(model, lo, hi, a, bx, by, bz)) - slack;
}

/** The functional goes down the tree; every body adds its least contribution. */
function propagatedLower(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  a: number,
  bx: number,
  by: number,
  bz: number,
): number {
  const { kind, rigid, loadNode, loadAt, moverCount, scratch } = model;
  rootState(scratch, a, bx, by, bz);
  let least =
    a * (rigid[0] as number) +
    bx * (rigid[1] as number) +
    by * (rigid[2] as number) +
    bz * (rigid[3] as number);
  for (let node = 1; node < kind.length; node++) {
    descend(model, lo, hi, node);
    least += rigidLower(model, node);
  }
  for (let load = 0; load < loadNode.length; load++) {
    const from = lo[moverCount + load] as number;
    const to = hi[moverCount + load] as number;
    if (to === 0) continue;
    const px = loadAt[3 * load] as number;
    const py = loadAt[3 * load + 1] as number;
    const pz = loadAt[3 * load + 2] as number;
    least += loadLower(model, loadNode[load] as number, from, to, px, py, pz);
  }
  for (let node = 1; node < kind.length; node++) {
    if (scratch.stateTurn[node] === node && scratch.layerUp[node] === -1) {
      least += layersLower(model, lo, hi, node);
    }
  }
  return least;
}

/**
 * Least of what was summed over the layers that start at a free turn. One layer is one sinusoid: its
 * range is exact. More are a sum of sinusoids of sums of angles: the sum of their least values, that
 * with all turns but the first in the middle, or the mean value form, whichever is greatest.
 */
function layersLower(model: MassModel, lo: Float64Array, hi: Float64Array, root: number): number {
  const { harmonic, layerTrig, layerRoot, stateTurn } = model.scratch;
  let direct = 0;
  let layers = 0;
  for (let node = root; node < model.kind.length; node++) {
    if (stateTurn[node] !== node || layerRoot[node] !== root) continue;
    const at = 3 * node;
    const c0 = harmonic[at] as number;
    const c1 = harmonic[at + 1] as number;
    const c2 = harmonic[at + 2] as number;
    direct += sinusoidLower(layerTrig, 6 * node, c0, c1, c2);
    layers++;
  }
  if (layers === 1) return direct;
  return Math.max(direct, layersAsOne(model, root), layersMeanValue(model, lo, hi, root));
}

/**
 * The layers with every turn but the first held in the middle of its range: one sinusoid of the first
 * angle, whose range is exact, less what each layer can change by the width of the other turns,
 * amplitude times angle. Sharp where only the first turn has a wide range.
 */
function layersAsOne(model: MassModel, root: number): number {
  const { harmonic, layerTrig, layerRange, layerRoot, stateTurn } = model.scratch;
  const start = layerRange[2 * root] as number;
  const end = layerRange[2 * root + 1] as number;
  let c0 = 0;
  let c1 = 0;
  let c2 = 0;
  let loss = 0;
  for (let node = root; node < model.kind.length; node++) {
    if (stateTurn[node] !== node || layerRoot[node] !== root) continue;
    const from = layerRange[2 * node] as number;
    const to = layerRange[2 * node + 1] as number;
    const ahead = 0.5 * (from - start + (to - end));
    const c = Math.cos(ahead);
    const s = Math.sin(ahead);
    const h1 = harmonic[3 * node + 1] as number;
    const h2 = harmonic[3 * node + 2] as number;
    c0 += harmonic[3 * node] as number;
    c1 += h1 * c + h2 * s;
    c2 += h2 * c - h1 * s;
    loss += Math.sqrt(h1 * h1 + h2 * h2) * 0.5 * (to - from - (end - start));
  }
  return sinusoidLower(layerTrig, 6 * root, c0, c1, c2) - loss;
}

/**
 * Mean value form of a sum of sinusoids H_T(t_T), t_T the sum of the signed angles q_k of the turns
 * on the way: H(q) >= H(c) + sum_k G_k (q_k - c_k), G_k an enclosure of the sum of the H_T' above k.
 * Each c_k is placed by {@link centredLoss}.
 */
function layersMeanValue(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  root: number,
): number {
  const { kind, variable, scratch } = model;
  const { harmonic, layerTrig, layerRoot, layerUp, layerSign, gradient, pair } = scratch;
  const { stateTurn, layerCentre } = scratch;
  for (let node = root; node < kind.length; node++) {
    gradient[2 * node] = 0;
    gradient[2 * node + 1] = 0;
  }
  for (let node = root; node < kind.length; node++) {
    if (stateTurn[node] !== node || layerRoot[node] !== root) continue;
    const c1 = harmonic[3 * node + 1] as number;
    const c2 = harmonic[3 * node + 2] as number;
    sinusoidRange(layerTrig, 6 * node, 0, c2, -c1, pair, 0);
    for (let k = node; k !== -1; k = layerUp[k] as number) {
      const forward = layerSign[k] === 1;
      const low = forward ? (pair[0] as number) : -(pair[1] as number);
      const high = forward ? (pair[1] as number) : -(pair[0] as number);
      gradient[2 * k] = (gradient[2 * k] as number) + low;
      gradient[2 * k + 1] = (gradient[2 * k + 1] as number) + high;
    }
  }
  let least = 0;
  for (let node = root; node < kind.length; node++) {
    if (stateTurn[node] !== node || layerRoot[node] !== root) continue;
    const v = variable[node] as number;
    const from = lo[v] as number;
    const to = hi[v] as number;
    const low = gradient[2 * node] as number;
    const high = gradient[2 * node + 1] as number;
    const centre = centreFor(low, high, from, to);
    least += centredLoss(low, high, from, to, centre);
    // Carriers come first, so the angle of the layer below is already there.
    const up = layerUp[node] as number;
    const angle =
      (up === -1 ? 0 : (layerCentre[up] as number)) + (layerSign[node] as number) * centre;
    layerCentre[node] = angle;
    least +=
      (harmonic[3 * node] as number) +
      (harmonic[3 * node + 1] as number) * Math.cos(angle) +
      (harmonic[3 * node + 2] as number) * Math.sin(angle);
  }
  return least;
}

/**
 * Where to centre a mean value form in one angle with derivative in [low, high]: at the end with no
 * loss where the derivative keeps one sign, else where both ends of the derivative lose the same
 * (E. Baumann, optimal centred forms, BIT 28 (1988), from memory).
 */
function centreFor(low: number, high: number, from: number, to: number): number {
  const share = low >= 0 ? 0 : high <= 0 ? 1 : -low / (high - low);
  return Math.min(to, from + share * (to - from));
}

/** Least of g (q - centre) for g in [low, high] and q in [from, to]; at most 0. */
function centredLoss(low: number, high: number, from: number, to: number, centre: number): number {
  return Math.min(low * (to - centre), high * (from - centre), 0);
}

function rootState(scratch: Scratch, a: number, bx: number, by: number, bz: number): void {
  scratch.stateKind[0] = POINT;
  scratch.stateTurn[0] = -1;
  scratch.intervals[0] = 0;
  const state = scratch.state;
  state[0] = a;
  state[3] = bx;
  state[4] = by;
  state[5] = bz;
}

/** Works out the functional on what `node` carries from the functional at its carrier. */
function descend(model: MassModel, lo: Float64Array, hi: Float64Array, node: number): void {
  const { kind, variable, parent, scratch } = model;
  const above = parent[node] as number;
  const v = variable[node] as number;
  const from = lo[v] as number;
  const to = hi[v] as number;
  const stateKind = scratch.stateKind[above] as number;
  scratch.stateTurn[node] = scratch.stateTurn[above] as number;
  scratch.stateKind[node] = stateKind;
  scratch.skew[node] = scratch.skew[above] as number;
  if (kind[node] === SLIDE) slideState(model, node, above, stateKind, from, to);
  else if (from === to && stateKind !== INTERVAL) {
    fixedTurnState(model, node, above, stateKind, from);
  } else if (stateKind === POINT) freeTurnState(model, node, above, from, to);
  else if (stateKind === SINUSOID && layerDirection(model, node, above) !== 0) {
    furtherLayerState(model, node, above, from, to);
  } else {
    scratch.intervals[0] = 1;
    if (stateKind === SINUSOID) intervalFromSinusoid(scratch, above, node);
    else copyState(scratch.state, above, node, INTERVAL);
    intervalTurnState(model, node, from, to);
  }
}

/** a M + b.(m + M q e) = (a + q b.e) M + b.m; since M >= 0 the least q b.e is taken whatever M is. */
function slideState(
  model: MassModel,
  node: number,
  above: number,
  stateKind: number,
  from: number,
  to: number,
): void {
  const { state, stateTurn, layerTrig, pair } = model.scratch;
  const s = STATE * node;
  copyState(state, above, node, stateKind);
  const ex = model.axis[3 * node] as number;
  const ey = model.axis[3 * node + 1] as number;
  const ez = model.axis[3 * node + 2] as number;
  if (stateKind === POINT) {
    const along = dotAt(state, s + 3, ex, ey, ez);
    state[s] = (state[s] as number) + Math.min(from * along, to * along);
    return;
  }
  if (stateKind === INTERVAL) {
    const low = intervalDotLower(state, s, ex, ey, ez);
    const high = -intervalDotLower(state, s, -ex, -ey, -ez);
    const least = Math.min(from * low, from * high, to * low, to * high);
    state[s] = (state[s] as number) + least;
    return;
  }
  const c0 = dotAt(state, s + 3, ex, ey, ez);
  const c1 = dotAt(state, s + 6, ex, ey, ez);
  const c2 = dotAt(state, s + 9, ex, ey, ez);
  const at = 6 * (stateTurn[node] as number);
  if (from === to) {
    addScaled(state, s, from, 0, c0, c1, c2);
    return;
  }
  sinusoidRange(layerTrig, at, c0, c1, c2, pair, 0);
  const low = pair[0] as number;
  const high = pair[1] as number;
  const chord = chordSlope(from, to, low, high);
  addScaled(state, s, chord, chordOffset(to, low, high, chord), c0, c1, c2);
}

/** The numbers of a state that its kind uses; a loop, since copyWithin costs more than the rest. */
function copyState(state: Float64Array, above: number, node: number, stateKind: number): void {
  const count = stateKind === POINT ? 6 : stateKind === INTERVAL ? 9 : STATE;
  const s = STATE * node;
  const up = STATE * above;
  for (let i = 0; i < count; i++) state[s + i] = state[up + i] as number;
}

/** b' = R(-q) b and a' = a + (b - b').o for every coefficient of the functional. */
function fixedTurnState(
  model: MassModel,
  node: number,
  above: number,
  stateKind: number,
  q: number,
): void {
  const { state } = model.scratch;
  const s = STATE * node;
  copyState(state, above, node, stateKind);
  if (q === 0) return;
  if (stateKind === SINUSOID && layerDirection(model, node, above) === 0) {
    model.scratch.skew[node] = 1;
  }
  const ex = model.axis[3 * node] as number;
  const ey = model.axis[3 * node + 1] as number;
  const ez = model.axis[3 * node + 2] as number;
  const ox = model.origin[3 * node] as number;
  const oy = model.origin[3 * node + 1] as number;
  const oz = model.origin[3 * node + 2] as number;
  const c = Math.cos(q);
  const sine = Math.sin(q);
  const last = stateKind === SINUSOID ? 3 : 1;
  for (let j = 0; j < last; j++) {
    const at = s + 3 + 3 * j;
    const bx = state[at] as number;
    const by = state[at + 1] as number;
    const bz = state[at + 2] as number;
    const k = (ex * bx + ey * by + ez * bz) * (1 - c);
    const rx = c * bx - sine * (ey * bz - ez * by) + k * ex;
    const ry = c * by - sine * (ez * bx - ex * bz) + k * ey;
    const rz = c * bz - sine * (ex * by - ey * bx) + k * ez;
    state[s + j] = (state[s + j] as number) + (bx - rx) * ox + (by - ry) * oy + (bz - rz) * oz;
    state[at] = rx;
    state[at + 1] = ry;
    state[at + 2] = rz;
  }
}

/** R(-q) b = (e.b) e + cos q (b - (e.b) e) - sin q (e x b): a sinusoid of q from a point. */
function freeTurnState(
  model: MassModel,
  node: number,
  above: number,
  from: number,
  to: number,
): void {
  const { state } = model.scratch;
  const s = STATE * node;
  const up = STATE * above;
  const ex = model.axis[3 * node] as number;
  const ey = model.axis[3 * node + 1] as number;
  const ez = model.axis[3 * node + 2] as number;
  const ox = model.origin[3 * node] as number;
  const oy = model.origin[3 * node + 1] as number;
  const oz = model.origin[3 * node + 2] as number;
  const bx = state[up + 3] as number;
  const by = state[up + 4] as number;
  const bz = state[up + 5] as number;
  const along = ex * bx + ey * by + ez * bz;
  const cx = bx - along * ex;
  const cy = by - along * ey;
  const cz = bz - along * ez;
  const sx = ez * by - ey * bz;
  const sy = ex * bz - ez * bx;
  const sz = ey * bx - ex * by;
  const cosineAtOrigin = cx * ox + cy * oy + cz * oz;
  state[s] = (state[up] as number) + cosineAtOrigin;
  state[s + 1] = -cosineAtOrigin;
  state[s + 2] = -(sx * ox + sy * oy + sz * oz);
  state[s + 3] = along * ex;
  state[s + 4] = along * ey;
  state[s + 5] = along * ez;
  state[s + 6] = cx;
  state[s + 7] = cy;
  state[s + 8] = cz;
  state[s + 9] = sx;
  state[s + 10] = sy;
  state[s + 11] = sz;
  startLayer(model.scratch, node, -1, 1, from, to);
}

/**
 * A free turn on a layer about the layer's own direction e: R(-q) undoes q further, so b is the same
 * sinusoid of the summed angle t' = t + q, and a' = a + (b(t) - b(t')).o falls into a part of t,
 * which goes to `below`, and a part of t'.
 */
function furtherLayerState(
  model: MassModel,
  node: number,
  above: number,
  from: number,
  to: number,
): void {
  const { state, stateTurn, below, layerRange } = model.scratch;
  const s = STATE * node;
  copyState(state, above, node, SINUSOID);
  const ox = model.origin[3 * node] as number;
  const oy = model.origin[3 * node + 1] as number;
  const oz = model.origin[3 * node + 2] as number;
  const cosine = dotAt(state, s + 6, ox, oy, oz);
  const sine = dotAt(state, s + 9, ox, oy, oz);
  below[3 * node] = state[s] as number;
  below[3 * node + 1] = (state[s + 1] as number) + cosine;
  below[3 * node + 2] = (state[s + 2] as number) + sine;
  state[s] = 0;
  state[s + 1] = -cosine;
  state[s + 2] = -sine;
  const up = stateTurn[above] as number;
  const sign = layerDirection(model, node, above);
  const start = (layerRange[2 * up] as number) + (sign === 1 ? from : -to);
  const end = (layerRange[2 * up + 1] as number) + (sign === 1 ? to : -from);
  startLayer(model.scratch, node, up, sign, start, end);
}

/** +1 or -1 when the axis of a turn is the direction of the layer that carries it, or against it;
 * 0 when it is neither, or a fixed turn in between has moved the layer's direction. */
function layerDirection(model: MassModel, node: number, above: number): number {
  const { axis, scratch } = model;
  if (scratch.skew[above] === 1) return 0;
  const turn = scratch.layerRoot[scratch.stateTurn[above] as number] as number;
  const x = axis[3 * node] as number;
  const y = axis[3 * node + 1] as number;
  const z = axis[3 * node + 2] as number;
  const ux = axis[3 * turn] as number;
  const uy = axis[3 * turn + 1] as number;
  const uz = axis[3 * turn + 2] as number;
  // Exactly: a direction that is only nearly the same is treated as another one.
  if (x === ux && y === uy && z === uz) return 1;
  return x === -ux && y === -uy && z === -uz ? -1 : 0;
}

function startLayer(
  scratch: Scratch,
  node: number,
  up: number,
  sign: number,
  from: number,
  to: number,
): void {
  const { harmonic, layerRange, layerTrig } = scratch;
  scratch.stateKind[node] = SINUSOID;
  scratch.stateTurn[node] = node;
  scratch.layerUp[node] = up;
  scratch.layerRoot[node] = up === -1 ? node : (scratch.layerRoot[up] as number);
  scratch.layerSign[node] = sign;
  scratch.skew[node] = 0;
  harmonic[3 * node] = 0;
  harmonic[3 * node + 1] = 0;
  harmonic[3 * node + 2] = 0;
  // Kept from call to call: many functionals are asked over one box.
  if (layerRange[2 * node] === from && layerRange[2 * node + 1] === to) return;
  layerRange[2 * node] = from;
  layerRange[2 * node + 1] = to;
  arcTrig(from, to, layerTrig, 6 * node);
}

/** cos and sin of the range of a turn by itself, kept from call to call. */
function setTrig(scratch: Scratch, node: number, from: number, to: number): void {
  const { trig, trigRange } = scratch;
  if (trigRange[2 * node] === from && trigRange[2 * node + 1] === to) return;
  trigRange[2 * node] = from;
  trigRange[2 * node + 1] = to;
  scratch.rotationKnown[node] = 0;
  arcTrig(from, to, trig, 6 * node);
}

function intervalFromSinusoid(scratch: Scratch, above: number, node: number): void {
  const { state, stateTurn, stateKind, layerTrig, pair } = scratch;
  const up = STATE * above;
  const s = STATE * node;
  const at = 6 * (stateTurn[above] as number);
  let least = sinusoidLower(
    layerTrig,
    at,
    state[up] as number,
    state[up + 1] as number,
    state[up + 2] as number,
  );
  for (let i = 0; i < 3; i++) {
    const c0 = state[up + 3 + i] as number;
    const c1 = state[up + 6 + i] as number;
    const c2 = state[up + 9 + i] as number;
    sinusoidRange(layerTrig, at, c0, c1, c2, pair, 0);
    state[s + 3 + i] = pair[0] as number;
    state[s + 6 + i] = pair[1] as number;
  }
  belowRange(scratch, above, pair);
  least += pair[0] as number;
  state[s] = least;
  stateKind[node] = INTERVAL;
  stateTurn[node] = -1;
}

/** Range of the terms of the layers below the one that a node is on, into pair. */
function belowRange(scratch: Scratch, node: number, pair: Float64Array): void {
  const { stateTurn, layerUp, layerTrig, below } = scratch;
  let low = 0;
  let high = 0;
  let turn = stateTurn[node] as number;
  for (let up = layerUp[turn] as number; up !== -1; up = layerUp[up] as number) {
    const c0 = below[3 * turn] as number;
    const c1 = below[3 * turn + 1] as number;
    const c2 = below[3 * turn + 2] as number;
    sinusoidRange(layerTrig, 6 * up, c0, c1, c2, pair, 0);
    low += pair[0] as number;
    high += pair[1] as number;
    turn = up;
  }
  pair[0] = low;
  pair[1] = high;
}

/**
 * The interval functional through a turn, in place. The entries of the rotation are sinusoids of
 * its angle with exact ranges; their products with the interval b are interval products.
 */
function intervalTurnState(model: MassModel, node: number, from: number, to: number): void {
  const { state, stateKind, stateTurn, rotation } = model.scratch;
  const entries = ROTATION * node;
  const s = STATE * node;
  stateKind[node] = INTERVAL;
  stateTurn[node] = -1;
  setTrig(model.scratch, node, from, to);
  rotationRanges(model, node);
  let least = state[s] as number;
  const blx = state[s + 3] as number;
  const bly = state[s + 4] as number;
  const blz = state[s + 5] as number;
  const bhx = state[s + 6] as number;
  const bhy = state[s + 7] as number;
  const bhz = state[s + 8] as number;
  // a' = a + sum_j b_j (o - R o)_j
  for (let j = 0; j < 3; j++) {
    const low = j === 0 ? blx : j === 1 ? bly : blz;
    const high = j === 0 ? bhx : j === 1 ? bhy : bhz;
    const at = entries + 18 + 2 * j;
    least += productLower(low, high, rotation[at] as number, rotation[at + 1] as number);
  }
  state[s] = least;
  // b'_i = sum_j R_ji b_j
  for (let i = 0; i < 3; i++) {
    let low = 0;
    let high = 0;
    for (let j = 0; j < 3; j++) {
      const bl = j === 0 ? blx : j === 1 ? bly : blz;
      const bh = j === 0 ? bhx : j === 1 ? bhy : bhz;
      const rl = rotation[entries + 6 * j + 2 * i] as number;
      const rh = rotation[entries + 6 * j + 2 * i + 1] as number;
      low += productLower(bl, bh, rl, rh);
      high += productUpper(bl, bh, rl, rh);
    }
    state[s + 3 + i] = low;
    state[s + 6 + i] = high;
  }
}

/**
 * Ranges of R_ij(q) = e_i e_j + cos q (d_ij - e_i e_j) + sin q [e]_ij (nine pairs), then of the
 * components of o - R(q) o (three pairs), over the range of a turn.
 */
function rotationRanges(model: MassModel, node: number): void {
  const { axis, origin, scratch } = model;
  if (scratch.rotationKnown[node] === 1) return;
  scratch.rotationKnown[node] = 1;
  const { rotation, trig } = scratch;
  for (let i = 0; i < 3; i++) {
    let cosineOffset = 0;
    let sineOffset = 0;
    for (let j = 0; j < 3; j++) {
      const product = (axis[3 * node + i] as number) * (axis[3 * node + j] as number);
      const cosine = (i === j ? 1 : 0) - product;
      const sine = crossEntry(axis, node, i, j);
      const at = ROTATION * node + 6 * i + 2 * j;
      sinusoidRange(trig, 6 * node, product, cosine, sine, rotation, at);
      cosineOffset += cosine * (origin[3 * node + j] as number);
      sineOffset += sine * (origin[3 * node + j] as number);
    }
    const at = ROTATION * node + 18 + 2 * i;
    sinusoidRange(trig, 6 * node, cosineOffset, -cosineOffset, -sineOffset, rotation, at);
  }
}

/** Entry i, j of the matrix whose product with v is e x v. */
function crossEntry(axis: Float64Array, node: number, i: number, j: number): number {
  if (i === j) return 0;
  const k = 3 - i - j;
  const sign = (j - i + 3) % 3 === 1 ? -1 : 1;
  return sign * (axis[3 * node + k] as number);
}

/** Least contribution of the parts on a node, or 0 when they went into a sinusoid. */
function rigidLower(model: MassModel, node: number): number {
  const { rigid } = model;
  const mass = rigid[4 * node] as number;
  if (mass === 0) return 0;
  const mx = rigid[4 * node + 1] as number;
  const my = rigid[4 * node + 2] as number;
  const mz = rigid[4 * node + 3] as number;
  const { state, stateKind } = model.scratch;
  const s = STATE * node;
  const form = stateKind[node];
  if (form === POINT) return mass * (state[s] as number) + dotAt(state, s + 3, mx, my, mz);
  if (form === INTERVAL)
    return mass * (state[s] as number) + intervalDotLower(state, s, mx, my, mz);
  addHarmonic(
    model.scratch,
    node,
    mass,
    mass * (state[s] as number) + dotAt(state, s + 3, mx, my, mz),
    mass * (state[s + 1] as number) + dotAt(state, s + 6, mx, my, mz),
    mass * (state[s + 2] as number) + dotAt(state, s + 9, mx, my, mz),
  );
  return 0;
}

/** Least contribution of a load of mass from..to at p, or 0 when it went into a sinusoid. */
function loadLower(
  model: MassModel,
  node: number,
  from: number,
  to: number,
  px: number,
  py: number,
  pz: number,
): number {
  const { state, stateKind, stateTurn, layerTrig, pair } = model.scratch;
  const s = STATE * node;
  const form = stateKind[node];
  if (form !== SINUSOID) {
    const b =
      form === POINT ? dotAt(state, s + 3, px, py, pz) : intervalDotLower(state, s, px, py, pz);
    const each = (state[s] as number) + b;
    return Math.min(from * each, to * each);
  }
  const c0 = (state[s] as number) + dotAt(state, s + 3, px, py, pz);
  const c1 = (state[s + 1] as number) + dotAt(state, s + 6, px, py, pz);
  const c2 = (state[s + 2] as number) + dotAt(state, s + 9, px, py, pz);
  if (from === to) {
    addHarmonic(model.scratch, node, from, from * c0, from * c1, from * c2);
    return 0;
  }
  belowRange(model.scratch, node, pair);
  let low = pair[0] as number;
  let high = pair[1] as number;
  sinusoidRange(layerTrig, 6 * (stateTurn[node] as number), c0, c1, c2, pair, 0);
  low += pair[0] as number;
  high += pair[1] as number;
  const chord = chordSlope(from, to, low, high);
  addHarmonic(model.scratch, node, chord, chord * c0, chord * c1, chord * c2);
  return chordOffset(to, low, high, chord);
}

/** Least of a + b.p at a node. */
function unitLower(model: MassModel, node: number, px: number, py: number, pz: number): number {
  const { state, stateKind, stateTurn, layerTrig, pair } = model.scratch;
  const s = STATE * node;
  if (stateKind[node] !== SINUSOID) return loadLower(model, node, 1, 1, px, py, pz);
  const c0 = (state[s] as number) + dotAt(state, s + 3, px, py, pz);
  const c1 = (state[s + 1] as number) + dotAt(state, s + 6, px, py, pz);
  const c2 = (state[s + 2] as number) + dotAt(state, s + 9, px, py, pz);
  belowRange(model.scratch, node, pair);
  const least = pair[0] as number;
  return least + sinusoidLower(layerTrig, 6 * (stateTurn[node] as number), c0, c1, c2);
}

/** Adds a sinusoid to the layer of a node, and for its mass the terms of the layers below. */
function addHarmonic(
  scratch: Scratch,
  node: number,
  mass: number,
  c0: number,
  c1: number,
  c2: number,
): void {
  const { harmonic, stateTurn, layerUp, below } = scratch;
  let turn = stateTurn[node] as number;
  const at = 3 * turn;
  harmonic[at] = (harmonic[at] as number) + c0;
  harmonic[at + 1] = (harmonic[at + 1] as number) + c1;
  harmonic[at + 2] = (harmonic[at + 2] as number) + c2;
  for (let up = layerUp[turn] as number; up !== -1; up = layerUp[up] as number) {
    harmonic[3 * up] = (harmonic[3 * up] as number) + mass * (below[3 * turn] as number);
    harmonic[3 * up + 1] =
      (harmonic[3 * up + 1] as number) + mass * (below[3 * turn + 1] as number);
    harmonic[3 * up + 2] =
      (harmonic[3 * up + 2] as number) + mass * (below[3 * turn + 2] as number);
    turn = up;
  }
}

function addScaled(
  state: Float64Array,
  s: number,
  scale: number,
  offset: number,
  c0: number,
  c1: number,
  c2: number,
): void {
  state[s] = (state[s] as number) + scale * c0 + offset;
  state[s + 1] = (state[s + 1] as number) + scale * c1;
  state[s + 2] = (state[s + 2] as number) + scale * c2;
}

function dotAt(values: Float64Array, at: number, x: number, y: number, z: number): number {
  return (
    (values[at] as number) * x + (values[at + 1] as number) * y + (values[at + 2] as number) * z
  );
}

/** Lower end of b.v for an interval state. */
function intervalDotLower(state: Float64Array, s: number, x: number, y: number, z: number): number {
  return (
    (x > 0 ? (state[s + 3] as number) : (state[s + 6] as number)) * x +
    (y > 0 ? (state[s + 4] as number) : (state[s + 7] as number)) * y +
    (z > 0 ? (state[s + 5] as number) : (state[s + 8] as number)) * z
  );
}

function isFreeTurn(model: MassModel, lo: Float64Array, hi: Float64Array, node: number): boolean {
  if (model.kind[node] !== TURN) return false;
  const v = model.variable[node] as number;
  return (lo[v] as number) < (hi[v] as number);
}

/**
 * Mean value form in the angles of the free turns, for free turns on each other about different
 * directions: f(q) >= f(c) + sum_k G_k (q_k - c_k) with G_k an enclosure of the derivative over the
 * box. Loads and slides keep their exact least values at the angles c, and G_k covers every load and
 * slide, so the bound holds for each of them.
 */
function meanValueLower(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  a: number,
  bx: number,
  by: number,
  bz: number,
): number {
  const { kind, variable, scratch } = model;
  const { centreLo, centreHi, gradient } = scratch;
  subtreeRanges(model, lo, hi);
  let loss = 0;
  // A box may hold further variables, of those who ask: they are not the model's.
  for (let v = 0; v < model.variableCount; v++) {
    centreLo[v] = lo[v] as number;
    centreHi[v] = hi[v] as number;
  }
  // The states left by propagatedLower hold the functional at every carrier; they are needed for
  // the derivatives before the next pass overwrites them.
  for (let node = 1; node < kind.length; node++) {
    if (isFreeTurn(model, lo, hi, node)) turnDerivative(model, node);
  }
  for (let node = 1; node < kind.length; node++) {
    if (!isFreeTurn(model, lo, hi, node)) continue;
    const v = variable[node] as number;
    const from = lo[v] as number;
    const to = hi[v] as number;
    const low = gradient[2 * node] as number;
    const high = gradient[2 * node + 1] as number;
    const centre = centreFor(low, high, from, to);
    centreLo[v] = centre;
    centreHi[v] = centre;
    loss += centredLoss(low, high, from, to, centre);
  }
  return propagatedLower(model, centreLo, centreHi, a, bx, by, bz) + loss;
}

/**
 * Range of df/dq of a turn into gradient: f depends on q through b.R(q)(m - M o), whose derivative
 * is b.(e x v) = (b x e).v with v = R(m - M o), the moment about the axis point after the turn.
 */
function turnDerivative(model: MassModel, node: number): void {
  const { axis, parent, scratch } = model;
  const { ranges, gradient, pair } = scratch;
  const above = parent[node] as number;
  let low = 0;
  let high = 0;
  for (let i = 0; i < 3; i++) {
    const j = (i + 1) % 3;
    const k = (i + 2) % 3;
    // (b x e)_i = b_j e_k - b_k e_j
    const ek = axis[3 * node + k] as number;
    const ej = axis[3 * node + j] as number;
    stateDotRange(scratch, above, j, ek, k, -ej, pair);
    const vl = ranges[8 * node + 2 + 2 * i] as number;
    const vh = ranges[8 * node + 3 + 2 * i] as number;
    low += productLower(pair[0] as number, pair[1] as number, vl, vh);
    high += productUpper(pair[0] as number, pair[1] as number, vl, vh);
  }
  gradient[2 * node] = low;
  gradient[2 * node + 1] = high;
}

/** Range of b_j u + b_k w at a node into pair. */
function stateDotRange(
  scratch: Scratch,
  node: number,
  j: number,
  u: number,
  k: number,
  w: number,
  pair: Float64Array,
): void {
  const { state, stateKind, stateTurn, layerTrig } = scratch;
  const s = STATE * node;
  if (stateKind[node] === SINUSOID) {
    const c0 = (state[s + 3 + j] as number) * u + (state[s + 3 + k] as number) * w;
    const c1 = (state[s + 6 + j] as number) * u + (state[s + 6 + k] as number) * w;
    const c2 = (state[s + 9 + j] as number) * u + (state[s + 9 + k] as number) * w;
    const at = 6 * (stateTurn[node] as number);
    sinusoidRange(layerTrig, at, c0, c1, c2, pair, 0);
    return;
  }
  const spread = stateKind[node] === INTERVAL ? 3 : 0;
  const jl = (state[s + 3 + j] as number) * u;
  const jh = (state[s + 3 + spread + j] as number) * u;
  const kl = (state[s + 3 + k] as number) * w;
  const kh = (state[s + 3 + spread + k] as number) * w;
  pair[0] = Math.min(jl, jh) + Math.min(kl, kh);
  pair[1] = Math.max(jl, jh) + Math.max(kl, kh);
}

/**
 * Ranges of mass and moment of what every node carries, leaves first, by interval arithmetic. For a
 * turn the moments kept are those about its axis point, after the turn.
 */
function subtreeRanges(model: MassModel, lo: Float64Array, hi: Float64Array): void {
  const { kind, rigid, loadNode, loadAt, moverCount, scratch } = model;
  const ranges = scratch.ranges;
  for (let node = 0; node < kind.length; node++) {
    for (let i = 0; i < 4; i++) {
      ranges[8 * node + 2 * i] = rigid[4 * node + i] as number;
      ranges[8 * node + 2 * i + 1] = rigid[4 * node + i] as number;
    }
  }
  for (let load = 0; load < loadNode.length; load++) {
    const from = lo[moverCount + load] as number;
    const to = hi[moverCount + load] as number;
    const at = 8 * (loadNode[load] as number);
    for (let i = 0; i < 4; i++) {
      const p = i === 0 ? 1 : (loadAt[3 * load + i - 1] as number);
      ranges[at + 2 * i] = (ranges[at + 2 * i] as number) + Math.min(from * p, to * p);
      ranges[at + 2 * i + 1] = (ranges[at + 2 * i + 1] as number) + Math.max(from * p, to * p);
    }
  }
  for (let node = kind.length - 1; node > 0; node--) {
    if (kind[node] === SLIDE) slideRanges(model, lo, hi, node);
    else turnRanges(model, lo, hi, node);
  }
}

/** Adds m + M q e of a slide's load to its carrier. */
function slideRanges(model: MassModel, lo: Float64Array, hi: Float64Array, node: number): void {
  const { axis, variable, parent, scratch } = model;
  const ranges = scratch.ranges;
  const at = 8 * node;
  const up = 8 * (parent[node] as number);
  const from = lo[variable[node] as number] as number;
  const to = hi[variable[node] as number] as number;
  const massLow = ranges[at] as number;
  const massHigh = ranges[at + 1] as number;
  const low = productLower(massLow, massHigh, from, to);
  const high = productUpper(massLow, massHigh, from, to);
  ranges[up] = (ranges[up] as number) + massLow;
  ranges[up + 1] = (ranges[up + 1] as number) + massHigh;
  for (let i = 0; i < 3; i++) {
    const e = axis[3 * node + i] as number;
    const l = (ranges[at + 2 + 2 * i] as number) + Math.min(low * e, high * e);
    const h = (ranges[at + 3 + 2 * i] as number) + Math.max(low * e, high * e);
    ranges[up + 2 + 2 * i] = (ranges[up + 2 + 2 * i] as number) + l;
    ranges[up + 3 + 2 * i] = (ranges[up + 3 + 2 * i] as number) + h;
  }
}

/** Turns what a turn carries about its axis point, keeps that, and adds M o + it to the carrier. */
function turnRanges(model: MassModel, lo: Float64Array, hi: Float64Array, node: number): void {
  const { origin, variable, parent, scratch } = model;
  const { ranges, rotation, turnedLow: low, turnedHigh: high } = scratch;
  const entries = ROTATION * node;
  const at = 8 * node;
  const up = 8 * (parent[node] as number);
  const massLow = ranges[at] as number;
  const massHigh = ranges[at + 1] as number;
  const v = variable[node] as number;
  setTrig(scratch, node, lo[v] as number, hi[v] as number);
  rotationRanges(model, node);
  low.fill(0);
  high.fill(0);
  for (let j = 0; j < 3; j++) {
    const o = origin[3 * node + j] as number;
    const vl = (ranges[at + 2 + 2 * j] as number) - Math.max(massLow * o, massHigh * o);
    const vh = (ranges[at + 3 + 2 * j] as number) - Math.min(massLow * o, massHigh * o);
    for (let i = 0; i < 3; i++) {
      const rl = rotation[entries + 6 * i + 2 * j] as number;
      const rh = rotation[entries + 6 * i + 2 * j + 1] as number;
      low[i] = (low[i] as number) + productLower(rl, rh, vl, vh);
      high[i] = (high[i] as number) + productUpper(rl, rh, vl, vh);
    }
  }
  ranges[up] = (ranges[up] as number) + massLow;
  ranges[up + 1] = (ranges[up + 1] as number) + massHigh;
  for (let i = 0; i < 3; i++) {
    const o = origin[3 * node + i] as number;
    const l = low[i] as number;
    const h = high[i] as number;
    ranges[at + 2 + 2 * i] = l;
    ranges[at + 3 + 2 * i] = h;
    ranges[up + 2 + 2 * i] =
      (ranges[up + 2 + 2 * i] as number) + l + Math.min(massLow * o, massHigh * o);
    ranges[up + 3 + 2 * i] =
      (ranges[up + 3 + 2 * i] as number) + h + Math.max(massLow * o, massHigh * o);
  }
}

/** Size of the terms that a functional sums over a box, for the rounding slack. */
function magnitude(
  model: MassModel,
  lo: Float64Array,
  hi: Float64Array,
  a: number,
  bx: number,
  by: number,
  bz: number,
): number {
  let mass = model.rigidMass;
  for (let load = 0; load < model.loadNode.length; load++) {
    mass += hi[model.moverCount + load] as number;
  }
  const reach = model.reach + slideReach(model, lo, hi);
  return mass * (Math.abs(a) + (Math.abs(bx) + Math.abs(by) + Math.abs(bz)) * reach);
}

function slideReach(model: MassModel, lo: Float64Array, hi: Float64Array): number {
  const { kind, variable } = model;
  let reach = 0;
  for (let node = 1; node < kind.length; node++) {
    if (kind[node] !== SLIDE) continue;
    const v = variable[node] as number;
    reach += Math.max(Math.abs(lo[v] as number), Math.abs(hi[v] as number));
  }
  return reach;
}
