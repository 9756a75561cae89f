/**
 * Question: what are the mass and the first moments of the cart in a configuration, and where is a
 * point that a mover carries?
 *
 * Assumptions: rigid parts; masses known and not negative; the movers form a tree, each with one
 * degree of freedom. Every coordinate is measured in one frame (origin on the floor, x forward, y
 * left, z up) with every mover at zero ("the zero drawing"). Derivations: docs/theory/mass.md. Bounds over boxes: mass-bounds.ts.
 *
 * Symbols
 *   x      variables: the value of every mover (m or rad), then the mass of every load (kg), in the
 *          order in which the input lists them
 *   M      mass, kg; m = (Mx, My, Mz) first moments, kg m: M times the centre of mass
 *   q      value of one mover; e its axis (unit); o a point of the axis of a turn
 *   w      mass of a load
 *
 * The functions keep their intermediate values in scratch arrays of the model: they allocate
 * nothing and must not be called on one model from inside each other.
 */

import type { Vec3 } from '../kernel/index.js';
import type { Scratch } from './mass-scratch.js';
import { newScratch } from './mass-scratch.js';

/** One degree of freedom. A slide moves what it carries by q * axis; a turn rotates it by q by the
 * right-hand rule about the line through `origin` along `axis`. */
export interface MoverInput {
  readonly name: string;
  readonly kind: 'slide' | 'turn';
  /** name of the mover that carries it, null: the base */
  readonly on: string | null;
  /** a point of the axis of a turn, m; of no meaning for a slide */
  readonly origin: Vec3;
  /** unit vector, in the zero drawing */
  readonly axis: Vec3;
}

/** A rigid part. */
export interface MassInput {
  /** kg, >= 0 */
  readonly mass: number;
  /** centre of mass, m */
  readonly at: Vec3;
  /** name of the mover that carries it, null: the base */
  readonly on: string | null;
}

/** A load: its mass is a variable. */
export interface LoadInput {
  readonly at: Vec3;
  readonly on: string | null;
}

/** Structurally what a cart document holds. */
export interface MassModelInput {
  readonly parts: readonly MassInput[];
  readonly movers: readonly MoverInput[];
  readonly loads: readonly LoadInput[];
}

/** Node kinds: the base (node 0), then one node for every mover, carriers first. */
export const BASE = 0;
export const SLIDE = 1;
export const TURN = 2;

/** A mass model: rigid parts summed per mover, movers in an order with carriers first. */
export interface MassModel {
  readonly moverCount: number;
  readonly loadCount: number;
  /** length of x: moverCount + loadCount */
  readonly variableCount: number;
  /** kind of every node */
  readonly kind: Int8Array;
  /** node that carries it; -1 for the base */
  readonly parent: Int32Array;
  /** index in x of the node's mover; -1 for the base */
  readonly variable: Int32Array;
  /** node of every mover, in the order of the input */
  readonly nodeOf: Int32Array;
  /** three numbers a node */
  readonly axis: Float64Array;
  readonly origin: Float64Array;
  /** four numbers a node: mass and first moments of the parts on it, in the zero drawing */
  readonly rigid: Float64Array;
  /** total mass of the parts, kg */
  readonly rigidMass: number;
  /** node that carries every load */
  readonly loadNode: Int32Array;
  /** three numbers a load */
  readonly loadAt: Float64Array;
  /** m: no body is further than this from the origin, slides not counted */
  readonly reach: number;
  readonly scratch: Scratch;
}

/**
 * Sums the parts per mover and orders the movers with carriers first.
 *
 * @throws Error when a name is not a mover's, a mover is listed twice, the carriers form a cycle, a
 *   mass is negative, or a number is not finite: these are bugs here, the document layer refuses
 *   such carts with the place named.
 */
export function buildMassModel(input: MassModelInput): MassModel {
  const moverCount = input.movers.length;
  const loadCount = input.loads.length;
  const order = carriersFirst(input.movers);
  const nodes = moverCount + 1;
  const nodeOf = new Int32Array(moverCount);
  order.forEach((mover, position) => {
    nodeOf[mover] = position + 1;
  });
  const indexOf = new Map(input.movers.map((mover, index) => [mover.name, index]));
  const nodeNamed = (name: string | null): number =>
    name === null ? 0 : (nodeOf[indexOf.get(name) ?? fail(`no mover named ${name}`)] as number);

  const kind = new Int8Array(nodes);
  const parent = new Int32Array(nodes).fill(-1);
  const variable = new Int32Array(nodes).fill(-1);
  const axis = new Float64Array(3 * nodes);
  const origin = new Float64Array(3 * nodes);
  const rigid = new Float64Array(4 * nodes);
  let reach = 0;
  input.movers.forEach((mover, index) => {
    const node = nodeOf[index] as number;
    kind[node] = mover.kind === 'slide' ? SLIDE : TURN;
    parent[node] = nodeNamed(mover.on);
    variable[node] = index;
    axis.set(unitAxis(mover), 3 * node);
    if (mover.kind === 'turn') {
      origin.set(finite(mover.origin, `origin of mover ${mover.name}`), 3 * node);
      // A turn takes a point no further from the origin of coordinates than twice the distance of
      // its axis point beyond where the point was: |o + R(p - o)| <= |p| + 2 |o|.
      reach += 2 * Math.hypot(...mover.origin);
    }
  });

  let farthest = 0;
  let rigidMass = 0;
  for (const part of input.parts) {
    if (!(part.mass >= 0) || !Number.isFinite(part.mass)) fail(`mass ${part.mass} of a part`);
    const [px, py, pz] = finite(part.at, 'centre of mass of a part');
    const at = 4 * nodeNamed(part.on);
    rigid[at] = (rigid[at] as number) + part.mass;
    rigid[at + 1] = (rigid[at + 1] as number) + part.mass * px;
    rigid[at + 2] = (rigid[at + 2] as number) + part.mass * py;
    rigid[at + 3] = (rigid[at + 3] as number) + part.mass * pz;
    rigidMass += part.mass;
    farthest = Math.max(farthest, Math.hypot(px, py, pz));
  }
  const loadNode = new Int32Array(loadCount);
  const loadAt = new Float64Array(3 * loadCount);
  input.loads.forEach((load, index) => {
    loadNode[index] = nodeNamed(load.on);
    loadAt.set(finite(load.at, 'centre of mass of a load'), 3 * index);
    farthest = Math.max(farthest, Math.hypot(...load.at));
  });

  return {
    moverCount,
    loadCount,
    variableCount: moverCount + loadCount,
    kind,
    parent,
    variable,
    nodeOf,
    axis,
    origin,
    rigid,
    rigidMass,
    loadNode,
    loadAt,
    reach: reach + farthest,
    scratch: newScratch(nodes, moverCount + loadCount),
  };
}

/**
 * The model of a single point carried by a mover: the same variables, one part of 1 kg at `p`.
 * Its moments are [1, x, y, z] of the point, its moment ranges those of the point.
 *
 * @param mover index of the mover in the input, -1: the base
 * @param p m, in the zero drawing
 */
export function pointModel(model: MassModel, mover: number, p: Vec3): MassModel {
  const node = nodeIndex(model, mover);
  const rigid = new Float64Array(model.rigid.length);
  rigid.set([1, ...finite(p, 'point')], 4 * node);
  return {
    ...model,
    rigid,
    rigidMass: 1,
    loadCount: 0,
    loadNode: new Int32Array(0),
    loadAt: new Float64Array(0),
    reach: model.reach + Math.hypot(...p),
    scratch: newScratch(model.kind.length, model.variableCount),
  };
}

/**
 * The same model with a further rigid mass on a mover (a foothold force P is a mass P / g there).
 *
 * @param mover index of the mover in the input, -1: the base
 * @param mass kg, >= 0
 * @param p m, in the zero drawing
 */
export function withMass(model: MassModel, mover: number, mass: number, p: Vec3): MassModel {
  if (!(mass >= 0) || !Number.isFinite(mass)) fail(`added mass ${mass}`);
  const at = 4 * nodeIndex(model, mover);
  const [px, py, pz] = finite(p, 'point of an added mass');
  const rigid = Float64Array.from(model.rigid);
  rigid[at] = (rigid[at] as number) + mass;
  rigid[at + 1] = (rigid[at + 1] as number) + mass * px;
  rigid[at + 2] = (rigid[at + 2] as number) + mass * py;
  rigid[at + 3] = (rigid[at + 3] as number) + mass * pz;
  return {
    ...model,
    rigid,
    rigidMass: model.rigidMass + mass,
    reach: model.reach + Math.hypot(...p),
    scratch: newScratch(model.kind.length, model.variableCount),
  };
}

/**
 * The same model with a further load at the end of x (a downward force P is a load of P / g).
 *
 * @param mover index of the mover in the input, -1: the base
 * @param p m, in the zero drawing
 */
export function withLoad(model: MassModel, mover: number, p: Vec3): MassModel {
  const loadCount = model.loadCount + 1;
  return {
    ...model,
    loadCount,
    variableCount: model.moverCount + loadCount,
    loadNode: Int32Array.of(...model.loadNode, nodeIndex(model, mover)),
    loadAt: Float64Array.of(...model.loadAt, ...finite(p, 'point of an added load')),
    reach: model.reach + Math.hypot(...p),
    scratch: newScratch(model.kind.length, model.moverCount + loadCount),
  };
}

/** For every variable: true for a turn, in whose value moments are sinusoids; false for slides and
 * loads, in each of which alone they are linear. */
export function curvedVariables(model: MassModel): boolean[] {
  const curved = new Array<boolean>(model.variableCount).fill(false);
  for (let mover = 0; mover < model.moverCount; mover++) {
    curved[mover] = model.kind[model.nodeOf[mover] as number] === TURN;
  }
  return curved;
}

/**
 * Mass and first moments in one configuration.
 *
 * @param x variables: mover values (m, rad), then load masses (kg)
 * @param out4 filled with [M, Mx, My, Mz], kg and kg m
 */
export function momentsAt(model: MassModel, x: Float64Array, out4: Float64Array): void {
  const { kind, parent, variable, axis, origin, loadNode, loadAt, moverCount } = model;
  const sums = model.scratch.sums;
  const rigid = model.rigid;
  for (let i = 0; i < sums.length; i++) sums[i] = rigid[i] as number;
  for (let load = 0; load < loadNode.length; load++) {
    const w = x[moverCount + load] as number;
    const at = 4 * (loadNode[load] as number);
    sums[at] = (sums[at] as number) + w;
    sums[at + 1] = (sums[at + 1] as number) + w * (loadAt[3 * load] as number);
    sums[at + 2] = (sums[at + 2] as number) + w * (loadAt[3 * load + 1] as number);
    sums[at + 3] = (sums[at + 3] as number) + w * (loadAt[3 * load + 2] as number);
  }
  // Leaves first: what a mover carries is summed in the mover's own frame, moved by the mover, and
  // added to its carrier.
  for (let node = kind.length - 1; node > 0; node--) {
    const at = 4 * node;
    const q = x[variable[node] as number] as number;
    const ex = axis[3 * node] as number;
    const ey = axis[3 * node + 1] as number;
    const ez = axis[3 * node + 2] as number;
    const mass = sums[at] as number;
    let mx = sums[at + 1] as number;
    let my = sums[at + 2] as number;
    let mz = sums[at + 3] as number;
    if (kind[node] === SLIDE) {
      mx += mass * q * ex;
      my += mass * q * ey;
      mz += mass * q * ez;
    } else {
      // Rotation of v = m - M o: v cos q + (e x v) sin q + e (e.v) (1 - cos q).
      const ox = mass * (origin[3 * node] as number);
      const oy = mass * (origin[3 * node + 1] as number);
      const oz = mass * (origin[3 * node + 2] as number);
      const vx = mx - ox;
      const vy = my - oy;
      const vz = mz - oz;
      const c = Math.cos(q);
      const s = Math.sin(q);
      const k = (ex * vx + ey * vy + ez * vz) * (1 - c);
      mx = ox + c * vx + s * (ey * vz - ez * vy) + k * ex;
      my = oy + c * vy + s * (ez * vx - ex * vz) + k * ey;
      mz = oz + c * vz + s * (ex * vy - ey * vx) + k * ez;
    }
    const up = 4 * (parent[node] as number);
    sums[up] = (sums[up] as number) + mass;
    sums[up + 1] = (sums[up + 1] as number) + mx;
    sums[up + 2] = (sums[up + 2] as number) + my;
    sums[up + 3] = (sums[up + 3] as number) + mz;
  }
  out4[0] = sums[0] as number;
  out4[1] = sums[1] as number;
  out4[2] = sums[2] as number;
  out4[3] = sums[3] as number;
}

/**
 * Where a point carried by a mover is in one configuration.
 *
 * @param mover index of the mover in the input, -1: the base
 * @param p m, in the zero drawing
 * @param out3 filled with the point, m
 */
export function pointAt(
  model: MassModel,
  x: Float64Array,
  mover: number,
  p: Vec3,
  out3: Float64Array,
): void {
  const { kind, parent, variable, axis, origin } = model;
  let [px, py, pz] = p;
  for (let node = nodeIndex(model, mover); node > 0; node = parent[node] as number) {
    const q = x[variable[node] as number] as number;
    const ex = axis[3 * node] as number;
    const ey = axis[3 * node + 1] as number;
    const ez = axis[3 * node + 2] as number;
    if (kind[node] === SLIDE) {
      px += q * ex;
      py += q * ey;
      pz += q * ez;
      continue;
    }
    const ox = origin[3 * node] as number;
    const oy = origin[3 * node + 1] as number;
    const oz = origin[3 * node + 2] as number;
    const vx = px - ox;
    const vy = py - oy;
    const vz = pz - oz;
    const c = Math.cos(q);
    const s = Math.sin(q);
    const k = (ex * vx + ey * vy + ez * vz) * (1 - c);
    px = ox + c * vx + s * (ey * vz - ez * vy) + k * ex;
    py = oy + c * vy + s * (ez * vx - ex * vz) + k * ey;
    pz = oz + c * vz + s * (ex * vy - ey * vx) + k * ez;
  }
  out3[0] = px;
  out3[1] = py;
  out3[2] = pz;
}

/** Indices of the movers with every carrier before what it carries. */
function carriersFirst(movers: readonly MoverInput[]): number[] {
  const indexOf = new Map<string, number>();
  movers.forEach((mover, index) => {
    if (indexOf.has(mover.name)) fail(`two movers named ${mover.name}`);
    indexOf.set(mover.name, index);
  });
  const order: number[] = [];
  const mark = new Int8Array(movers.length);
  const visit = (index: number): void => {
    if (mark[index] === 2) return;
    const mover = movers[index] as MoverInput;
    if (mark[index] === 1) fail(`mover ${mover.name} is carried by itself`);
    mark[index] = 1;
    if (mover.on !== null) visit(indexOf.get(mover.on) ?? fail(`no mover named ${mover.on}`));
    mark[index] = 2;
    order.push(index);
  };
  for (let index = 0; index < movers.length; index++) visit(index);
  return order;
}

function unitAxis(mover: MoverInput): Vec3 {
  const [x, y, z] = finite(mover.axis, `axis of mover ${mover.name}`);
  const length = Math.hypot(x, y, z);
  if (!(length > 0)) fail(`axis of mover ${mover.name} has no length`);
  // A unit vector read from text is a unit only to rounding; the model needs it to the last digit.
  return [x / length, y / length, z / length];
}

/** Node of a mover of the input; -1: the base. */
export function nodeIndex(model: MassModel, mover: number): number {
  if (mover === -1) return BASE;
  return model.nodeOf[mover] ?? fail(`no mover with index ${mover}`);
}

function finite(v: Vec3, what: string): Vec3 {
  if (!v.every(Number.isFinite)) fail(`${what} is [${v.join(', ')}]`);
  return v;
}

function fail(message: string): never {
  throw new Error(`mass model: ${message}`);
}
