/**
 * The holding force by linear programming: an answer to the same question as the engine's by other
 * means. Normal forces come from trying every set of standing castors; friction from an LP with
 * the disc replaced by a polygon, once inside it and once around it, so that the two answers
 * bracket the true one.
 *
 * Assumptions: rigid cart on level floor, linear unilateral springs under it, friction forces
 * anywhere in their sets (limit analysis). Between two lift-offs every normal force is affine in
 * the growing force F, so forces and F together range over a polytope: one LP maximises F there.
 * F = 0 is held by no friction at all, and each piece starts where the last one was held to its
 * end, so the first F that is not held is the first maximum short of a piece's end.
 *
 * Symbols: W weight (N), F growing force (N), N_i normal forces (N), f_i horizontal forces on the
 * cart (N), d unit direction of F. Inside the LP forces are divided by W and arms by the size of
 * the cart, because the solver's tolerances are absolute.
 */

import type { Highs, Model, ModelData } from 'highs';
import loadHighs from 'highs';
import type { ReferenceContact, ReferencePath } from './random-contacts.js';

export type { Highs } from 'highs';

/** Normal forces N_i(F) = base_i + slope_i F for F in [from, to], N. */
export interface NormalPiece {
  readonly from: number;
  readonly to: number;
  readonly base: readonly number[];
  readonly slope: readonly number[];
}

export interface NormalPieces {
  readonly pieces: readonly NormalPiece[];
  /** N: the cart tips; Infinity for a push along the floor */
  readonly tip: number;
}

export interface LpHolding {
  readonly kind: 'slips' | 'tips';
  /** N */
  readonly force: number;
  /** horizontal force of each castor at that force, N; empty when it tips */
  readonly forces: readonly (readonly [number, number])[];
  /** LPs solved */
  readonly solves: number;
}

export type Polygon = 'inscribed' | 'circumscribed';

/** Directions (rad, ascending, one turn) that cut the circle into arcs, for each castor: the corners
 * of the inscribed polygon. */
export type ConeAngles = readonly (readonly number[])[];

/** The package declares its types as those of a CommonJS module, so that the default import reads
 * as the module; at run time it is the loader. */
export const loadLpSolver = loadHighs as unknown as () => Promise<Highs>;

/** Relative slack in comparing signs of normal forces: 16 digits less the condition of the 3 x 3
 * system of contacts that are at least a few centimetres apart. */
const SIGN_SLACK = 1e-11;

interface Plane {
  readonly at0: readonly number[];
  readonly perForce: readonly number[];
}

/** Spring forces k (a + b x + c y) at every contact, with only the castors of `standing` carrying
 * the loads; null when those stand in a line. Cramer's rule on the three equations of balance. */
function springForces(
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  standing: number,
): Plane | null {
  const m = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  contacts.forEach((c, i) => {
    if ((standing & (1 << i)) === 0) return;
    const v = [1, c.contact[0], c.contact[1]];
    for (let r = 0; r < 3; r += 1) {
      for (let s = 0; s < 3; s += 1) {
        m[3 * r + s] = (m[3 * r + s] ?? 0) + c.stiffness * (v[r] ?? 0) * (v[s] ?? 0);
      }
    }
  });
  const determinant = det3(m);
  const sum = m[0] ?? 0;
  // det is of order (sum k)^3 (length)^4; below 1e-12 m^4 the contacts are in a line.
  if (!(determinant > 1e-12 * sum ** 3)) return null;
  const solve = (rhs: readonly number[]): number[] =>
    [0, 1, 2].map((column) => {
      const replaced = m.slice();
      for (let r = 0; r < 3; r += 1) replaced[3 * r + column] = rhs[r] ?? 0;
      return det3(replaced) / determinant;
    });
  const { weight, centre, height, direction } = path;
  const still = solve([weight, weight * centre[0], weight * centre[1]]);
  const moved = solve([0, height * Math.cos(direction), height * Math.sin(direction)]);
  const at = (p: readonly number[]): number[] =>
    contacts.map(
      (c) => c.stiffness * ((p[0] ?? 0) + (p[1] ?? 0) * c.contact[0] + (p[2] ?? 0) * c.contact[1]),
    );
  return { at0: at(still), perForce: at(moved) };
}

function det3(m: readonly number[]): number {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0, i = 0] = m;
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}

/** The forces F >= 0 for which exactly `standing` can carry: all its castors pressed, all others
 * lifted. Linear inequalities in one unknown. */
function validRange(
  plane: Plane,
  standing: number,
  weight: number,
): readonly [number, number] | null {
  let low = 0;
  let high = Number.POSITIVE_INFINITY;
  const slack = SIGN_SLACK * weight;
  for (let i = 0; i < plane.at0.length; i += 1) {
    const sign = (standing & (1 << i)) === 0 ? -1 : 1;
    const value = sign * (plane.at0[i] ?? 0);
    const slope = sign * (plane.perForce[i] ?? 0);
    if (Math.abs(slope) <= SIGN_SLACK) {
      if (value < -slack) return null;
    } else if (slope > 0) {
      low = Math.max(low, -(value + slack) / slope);
    } else {
      high = Math.min(high, (value + slack) / -slope);
    }
  }
  return low < high ? [low, high] : null;
}

/**
 * Every piece of the normal forces from F = 0 to tipping. Tries all 2^n sets of standing castors
 * (n <= 16), keeps the ranges of F in which each is consistent and chains them up from 0.
 * Throws if they leave a gap, which would be a mistake here.
 */
export function normalPieces(
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
): NormalPieces {
  const found: { range: readonly [number, number]; plane: Plane; standing: number }[] = [];
  for (let standing = 1; standing < 1 << contacts.length; standing += 1) {
    const plane = springForces(contacts, path, standing);
    const range = plane && validRange(plane, standing, path.weight);
    if (plane && range) found.push({ range, plane, standing });
  }
  const pieces: NormalPiece[] = [];
  let at = 0;
  for (;;) {
    // A step at least this long is a piece; shorter overlaps are the slack of the signs.
    const step = 1e-9 * path.weight;
    const next = found
      .filter((f) => f.range[0] <= at + step && f.range[1] > at + step)
      .sort((a, b) => b.range[1] - a.range[1])[0];
    if (!next) break;
    const stands = (i: number): boolean => (next.standing & (1 << i)) !== 0;
    pieces.push({
      from: at,
      to: next.range[1],
      base: next.plane.at0.map((value, i) => (stands(i) ? value : 0)),
      slope: next.plane.perForce.map((value, i) => (stands(i) ? value : 0)),
    });
    at = next.range[1];
    if (at === Number.POSITIVE_INFINITY) break;
  }
  if (pieces.length === 0) throw new Error('normalPieces: the cart does not stand at F = 0');
  return { pieces, tip: at };
}

/** `sides` equal steps round the circle for each castor. */
export function evenAngles(castors: number, sides: number): ConeAngles {
  const turn = Array.from({ length: sides }, (_, k) => (2 * Math.PI * k) / sides);
  return Array.from({ length: castors }, () => turn);
}

interface Facet {
  /** unit normal */
  readonly cos: number;
  readonly sin: number;
  /** limit of the force along the normal, as a fraction of mu N */
  readonly reach: number;
}

/**
 * Inscribed: the chord of each arc, cos(half the arc) from the centre. Circumscribed: the tangent at
 * the middle of each arc. Where normal forces do not change and no other limit binds, even arcs
 * make the two holding forces differ by the factor cos(pi / sides): 0.99518 for 32 sides.
 */
function facetsOf(angles: readonly number[], polygon: Polygon): Facet[] {
  return angles.map((angle, k) => {
    const next = angles[k + 1] ?? (angles[0] ?? 0) + 2 * Math.PI;
    const middle = (angle + next) / 2;
    const reach = polygon === 'inscribed' ? Math.cos((next - angle) / 2) : 1;
    return { cos: Math.cos(middle), sin: Math.sin(middle), reach };
  });
}

interface Row {
  readonly columns: readonly number[];
  readonly values: readonly number[];
  readonly least: number;
  readonly most: number;
}

interface Scale {
  readonly weight: number;
  readonly origin: readonly [number, number];
  readonly arm: number;
}

function scaleOf(contacts: readonly ReferenceContact[], path: ReferencePath): Scale {
  const n = contacts.length;
  const x = contacts.reduce((sum, c) => sum + c.grip[0], 0) / n;
  const y = contacts.reduce((sum, c) => sum + c.grip[1], 0) / n;
  const arms = contacts.map((c) => Math.hypot(c.grip[0] - x, c.grip[1] - y));
  return { weight: path.weight, origin: [x, y], arm: Math.max(...arms) };
}

/** Columns: f_x and f_y of each castor, then F (all over W). */
function balanceRows(
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  scale: Scale,
): Row[] {
  const n = contacts.length;
  const dx = Math.cos(path.direction);
  const dy = Math.sin(path.direction);
  const each = <T>(make: (i: number) => T): T[] => Array.from({ length: n }, (_, i) => make(i));
  const yawColumns = contacts.flatMap((_, i) => [2 * i, 2 * i + 1]);
  const yawValues = contacts.flatMap((c) => [
    -(c.grip[1] - scale.origin[1]) / scale.arm,
    (c.grip[0] - scale.origin[0]) / scale.arm,
  ]);
  const moment =
    ((path.point[0] - scale.origin[0]) * dy - (path.point[1] - scale.origin[1]) * dx) / scale.arm;
  const zero = { least: 0, most: 0 };
  return [
    { columns: [...each((i) => 2 * i), 2 * n], values: [...each(() => 1), dx], ...zero },
    { columns: [...each((i) => 2 * i + 1), 2 * n], values: [...each(() => 1), dy], ...zero },
    { columns: [...yawColumns, 2 * n], values: [...yawValues, moment], ...zero },
  ];
}

/** Limits of castor i: direction . f <= fixed + perNormal * (base + slope F), as rows in f and F. */
function limitRows(
  contact: ReferenceContact,
  i: number,
  columnOfForce: number,
  piece: NormalPiece,
  weight: number,
  facets: readonly Facet[],
): Row[] {
  const base = (piece.base[i] ?? 0) / weight;
  const slope = piece.slope[i] ?? 0;
  const columns = [2 * i, 2 * i + 1, columnOfForce];
  const row = (cos: number, sin: number, fixed: number, perNormal: number): Row => ({
    columns,
    values: [cos, sin, -perNormal * slope],
    least: Number.NEGATIVE_INFINITY,
    most: fixed / weight + perNormal * base,
  });
  const rows = facets.map((f) => row(f.cos, f.sin, 0, contact.friction * f.reach));
  const limit = (cos: number, sin: number, fixed: number, perNormal: number): void => {
    if (fixed === Number.POSITIVE_INFINITY || perNormal === Number.POSITIVE_INFINITY) return;
    rows.push(row(cos, sin, fixed, perNormal), row(-cos, -sin, fixed, perNormal));
  };
  const cos = Math.cos(contact.direction);
  const sin = Math.sin(contact.direction);
  limit(cos, sin, contact.alongFixed, contact.alongPerNormal);
  limit(-sin, cos, contact.acrossFixed, contact.acrossPerNormal);
  return rows;
}

/** Rows packed one after the other, as the solver takes them. */
function packed(rows: readonly Row[], numCols: number) {
  const entries = rows.reduce((sum, row) => sum + row.columns.length, 0);
  const starts = new Int32Array(rows.length + 1);
  const indices = new Int32Array(entries);
  const values = new Float64Array(entries);
  const rowLower = new Float64Array(rows.length);
  const rowUpper = new Float64Array(rows.length);
  let at = 0;
  rows.forEach((row, r) => {
    indices.set(row.columns, at);
    values.set(row.values, at);
    at += row.columns.length;
    starts[r + 1] = at;
    rowLower[r] = row.least;
    rowUpper[r] = row.most;
  });
  const numRows = rows.length;
  const matrix = { format: 'csr', numRows, numCols, starts, indices, values } as const;
  return { numCols, numRows, rowLower, rowUpper, matrix };
}

/** The LP of one piece: maximise F / W. */
export function pieceModel(
  highs: Highs,
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  piece: NormalPiece,
  angles: ConeAngles,
  polygon: Polygon,
): ModelData {
  const n = contacts.length;
  const scale = scaleOf(contacts, path);
  const rows = balanceRows(contacts, path, scale);
  const facetsByAngles = new Map<readonly number[], Facet[]>();
  contacts.forEach((contact, i) => {
    const around = angles[i] ?? [];
    const facets = facetsByAngles.get(around) ?? facetsOf(around, polygon);
    facetsByAngles.set(around, facets);
    rows.push(...limitRows(contact, i, 2 * n, piece, scale.weight, facets));
  });
  const infinite = Array.from({ length: 2 * n }, () => highs.infinity);
  return {
    ...packed(rows, 2 * n + 1),
    sense: highs.constants.objectiveSense.maximize,
    colCost: [...infinite.map(() => 0), 1],
    colLower: [...infinite.map((v) => -v), piece.from / scale.weight],
    colUpper: [...infinite, Math.min(piece.to / scale.weight, highs.infinity)],
  };
}

/** Below this share of W short of a piece's end the piece counts as held to its end: two orders
 * above the feasibility tolerance asked of the solver. */
const END_SLACK = 1e-8;

type SolvePiece = (piece: NormalPiece) => {
  readonly force: number;
  readonly columns: Float64Array;
};

/** Piece after piece until one is not held to its end. */
function climb(
  contacts: readonly ReferenceContact[],
  weight: number,
  normals: NormalPieces,
  solvePiece: SolvePiece,
): LpHolding {
  let solves = 0;
  for (const piece of normals.pieces) {
    const { force, columns } = solvePiece(piece);
    solves += 1;
    if (force >= piece.to - END_SLACK * weight) continue;
    const forces = contacts.map(
      (_, i) => [weight * (columns[2 * i] ?? 0), weight * (columns[2 * i + 1] ?? 0)] as const,
    );
    return { kind: 'slips', force, forces, solves };
  }
  return { kind: 'tips', force: normals.tip, forces: [], solves };
}

function runModel(highs: Highs, model: Model, weight: number, forceColumn: number) {
  model.run();
  const status = model.getModelStatus();
  if (status !== highs.constants.modelStatus.optimal) {
    throw new Error(`holding LP ended with model status ${status}`);
  }
  const columns = model.getSolution().colValue;
  return { force: weight * (columns[forceColumn] ?? 0), columns };
}

/** Tight tolerances of the reference runs: the least that the solver takes. `small_matrix_value`
 * at its least too, or small slopes would be dropped. */
const EXACT_OPTIONS = {
  output_flag: false,
  primal_feasibility_tolerance: 1e-10,
  dual_feasibility_tolerance: 1e-10,
  small_matrix_value: 1e-12,
};

/** The holding force with the given polygons, solved to the solver's tightest tolerances. */
export function lpHolding(
  highs: Highs,
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  angles: ConeAngles,
  polygon: Polygon,
  normals: NormalPieces = normalPieces(contacts, path),
): LpHolding {
  return climb(contacts, path.weight, normals, (piece) =>
    highs.withModel((model) => {
      model.options.set(EXACT_OPTIONS);
      model.passModel(pieceModel(highs, contacts, path, piece, angles, polygon));
      return runModel(highs, model, path.weight, 2 * contacts.length);
    }),
  );
}

export interface LpBracket {
  /** N: held for certain (polygon inside the disc) */
  readonly low: LpHolding;
  /** N: not held beyond for certain (polygon around the disc) */
  readonly high: LpHolding;
}

/** Truth lies in [low.force, high.force] up to the solver's tolerance. */
export function lpBracket(
  highs: Highs,
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  angles: ConeAngles = evenAngles(contacts.length, 32),
  normals: NormalPieces = normalPieces(contacts, path),
): LpBracket {
  return {
    low: lpHolding(highs, contacts, path, angles, 'inscribed', normals),
    high: lpHolding(highs, contacts, path, angles, 'circumscribed', normals),
  };
}

/** Adds corners about the directions that the forces of the two answers took. */
function refined(angles: ConeAngles, bracket: LpBracket, step: number): ConeAngles {
  const turn = 2 * Math.PI;
  return angles.map((list, i) => {
    const all = [...list];
    for (const { forces } of [bracket.low, bracket.high]) {
      const force = forces[i];
      if (!force) continue;
      const middle = Math.atan2(force[1], force[0]);
      for (let k = -8; k <= 8; k += 1) all.push((((middle + k * step) % turn) + turn) % turn);
    }
    all.sort((a, b) => a - b);
    // Corners closer than 1e-6 of a step differ by rounding only.
    return all.filter((angle, k) => k === 0 || angle - (all[k - 1] ?? 0) > 1e-6 * step);
  });
}

/**
 * The bracket with 32 sides, then narrowed: the polygons get finer, up to five times by a factor
 * of eight, about the directions in use until the bracket is narrower than `width` (share of the
 * weight). It stays a bracket whatever the directions are.
 */
export function sharpBracket(
  highs: Highs,
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  width = 1e-8,
): { readonly coarse: LpBracket; readonly sharp: LpBracket } {
  const normals = normalPieces(contacts, path);
  let angles = evenAngles(contacts.length, 32);
  const coarse = lpBracket(highs, contacts, path, angles, normals);
  let sharp = coarse;
  let step = (2 * Math.PI) / 32;
  for (let round = 0; round < 5; round += 1) {
    if (sharp.high.force - sharp.low.force <= width * path.weight) break;
    step /= 8;
    angles = refined(angles, sharp, step);
    sharp = lpBracket(highs, contacts, path, angles, normals);
  }
  return { coarse, sharp };
}

/** One holding force with the solver asked afresh for every piece, 32-sided cones. */
export type FreshSolve = (
  contacts: readonly ReferenceContact[],
  path: ReferencePath,
  normals: NormalPieces,
) => number;

/** What a fresh solve is: the model handed over as LP text, as arrays with the solver's own defaults,
 * or as arrays without presolve, which suits LPs as small as these best. */
export type FreshWay = 'text' | 'arrays' | 'arrays without presolve';

export function freshSolver(highs: Highs, polygon: Polygon, way: FreshWay): FreshSolve {
  return (contacts, path, normals) => {
    const angles = evenAngles(contacts.length, 32);
    const forceColumn = 2 * contacts.length;
    return climb(contacts, path.weight, normals, (piece) => {
      const data = pieceModel(highs, contacts, path, piece, angles, polygon);
      if (way === 'text') return solveText(highs, data, path.weight);
      return highs.withModel((model) => {
        model.options.set({ output_flag: false, presolve: way === 'arrays' ? 'choose' : 'off' });
        model.passModel(data);
        return runModel(highs, model, path.weight, forceColumn);
      });
    }).force;
  };
}

function solveText(highs: Highs, data: ModelData, weight: number): ReturnType<SolvePiece> {
  const solution = highs.solve(lpText(data), { output_flag: false });
  if (solution.Status !== 'Optimal') throw new Error(`holding LP ended ${solution.Status}`);
  const columns = Float64Array.from({ length: data.numCols }, (_, j) => {
    const column = solution.Columns[`c${j}`];
    return column && 'Primal' in column ? (column.Primal ?? 0) : 0;
  });
  return { force: weight * (columns[data.numCols - 1] ?? 0), columns };
}

/** The model in the LP format. Every column but the last is free. */
function lpText(data: ModelData): string {
  const last = data.numCols - 1;
  const lines = ['Maximize', `obj: c${last}`, 'Subject To'];
  for (let r = 0; r < data.numRows; r += 1) {
    const terms: string[] = [];
    for (let k = data.matrix.starts[r] ?? 0; k < (data.matrix.starts[r + 1] ?? 0); k += 1) {
      const value = data.matrix.values[k] ?? 0;
      terms.push(`${value < 0 ? '-' : '+'} ${Math.abs(value)} c${data.matrix.indices[k]}`);
    }
    const most = data.rowUpper[r] ?? 0;
    lines.push(`r${r}: ${terms.join(' ')} ${data.rowLower[r] === most ? '=' : '<='} ${most}`);
  }
  lines.push('Bounds');
  for (let j = 0; j < last; j += 1) lines.push(`c${j} free`);
  const upper = data.colUpper[last] ?? 0;
  // 1e20 is the solver's own infinity.
  lines.push(`${data.colLower[last]} <= c${last}${upper < 1e20 ? ` <= ${upper}` : ''}`, 'End');
  return lines.join('\n');
}

/** A solver kept alive for one cart: other headings, points, heights and centres of mass change
 * only a few coefficients, and each solve starts from the last basis. */
export interface WarmSolver {
  readonly solve: (path: ReferencePath, normals: NormalPieces) => number;
  readonly dispose: () => void;
}

/**
 * Columns: f_x, f_y of each castor, N_i, then F (over the weight). With N_i as columns the many
 * cone rows never change: a new path changes three coefficients of F in the balance, and n slopes
 * and n right-hand sides in the rows N_i - slope_i F = base_i.
 */
export function warmSolver(
  highs: Highs,
  contacts: readonly ReferenceContact[],
  first: ReferencePath,
  polygon: Polygon,
): WarmSolver {
  const n = contacts.length;
  const scale = scaleOf(contacts, first);
  const rows: Row[] = balanceRows(contacts, first, scale).map((row) => ({
    ...row,
    columns: row.columns.map((column) => (column === 2 * n ? 3 * n : column)),
  }));
  contacts.forEach((_, i) => {
    rows.push({ columns: [2 * n + i, 3 * n], values: [1, 0], least: 0, most: 0 });
  });
  const facets = facetsOf(evenAngles(1, 32)[0] ?? [], polygon);
  contacts.forEach((contact, i) => {
    // A piece of base 0 and slope 1 puts the factor of N_i where that of F would stand.
    const unit = { from: 0, to: 0, base: [], slope: contacts.map(() => 1) };
    rows.push(...limitRows(contact, i, 2 * n + i, unit, scale.weight, facets));
  });
  const infinite = Array.from({ length: 2 * n }, () => highs.infinity);
  const model = highs.createModel();
  model.options.set({ output_flag: false });
  model.passModel({
    ...packed(rows, 3 * n + 1),
    sense: highs.constants.objectiveSense.maximize,
    colCost: [...Array.from({ length: 3 * n }, () => 0), 1],
    colLower: [...infinite.map((v) => -v), ...contacts.map(() => 0), 0],
    colUpper: [...infinite, ...contacts.map(() => highs.infinity), highs.infinity],
  });
  const loadRows = { kind: 'range', from: 3, to: 2 + n } as const;
  const solvePiece = (): SolvePiece => (piece) => {
    const base = piece.base.map((value) => value / scale.weight);
    piece.slope.forEach((slope, i) => {
      model.changeCoefficient(3 + i, 3 * n, -slope);
    });
    model.changeRowsBounds(loadRows, base, base);
    model.changeColBounds(
      3 * n,
      piece.from / scale.weight,
      Math.min(piece.to / scale.weight, highs.infinity),
    );
    return runModel(highs, model, scale.weight, 3 * n);
  };
  return {
    solve: (path, normals) => {
      if (path.weight !== scale.weight) throw new Error('warmSolver: the weight must not change');
      balanceRows(contacts, path, scale).forEach((row, r) => {
        model.changeCoefficient(r, 3 * n, row.values[row.values.length - 1] ?? 0);
      });
      return climb(contacts, path.weight, normals, solvePiece()).force;
    },
    dispose: () => model.dispose(),
  };
}
