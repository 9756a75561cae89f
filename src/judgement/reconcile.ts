/**
 * Question: do the cart file and the sample on the scales agree, and which masses of the parts, within
 * their tolerances, make the sample that was weighed?
 *
 *   minimise  sum ((m_i - stated_i) / u_i)^2 + sum ((measured_k - model_k(m)) / s_k)^2,  |m_i - stated_i| <= a_i
 *
 * m_i masses of the parts that have a tolerance a_i; u_i the standard uncertainty it means (a / sqrt 3
 * rectangular, a / sqrt 6 triangular, a / 2 normal); k mass, x, y and height of the weighing; s_k the
 * uncertainty of the measurement and that of the model by the places of parts and loads, which are not
 * adjusted. x, y and height are ratios of sums of masses: linearised where the masses are, again and again
 * (Gauss and Newton). Parts without a tolerance are exact, loads are what the record says they were.
 * Derivation, and what the figures mean: docs/theory/judgement.md.
 */

import { inverse, Matrix } from 'ml-matrix';
import type { PosedCart } from '../analysis/index.js';
import { listed, poseCart } from '../analysis/index.js';
import type { Cart, CartEdit, Part } from '../document/index.js';
import { editCart } from '../document/index.js';
import type { Budget, Measured, WeighingResult } from '../metrology/index.js';
import { expanded } from '../metrology/index.js';
import type { WeighingBody } from '../test-record/index.js';
import { boundedLeastSquares, gramOf } from './bounded-least-squares.js';
import { standardOf } from './predicted.js';
import { poseWeighed } from './recorded-measurement.js';

export interface ReconciledPart {
  readonly name: string;
  /** kg */
  readonly stated: number;
  /** kg, half-width or expanded uncertainty as the cart states it; 0: exact, never adjusted */
  readonly tolerance: number;
  readonly adjusted: number;
  /** kg, standard uncertainty after the weighing; 0 where it is exact. Those of several parts belong
   * together: what one weighs more the others weigh less. */
  readonly u: number;
  /** it stands at the end of its tolerance */
  readonly atLimit: boolean;
}

export type WeighedQuantity = 'mass' | 'x' | 'y' | 'height';

export interface Difference {
  readonly quantity: WeighedQuantity;
  /** of the model as stated, with what its tolerances make of it */
  readonly model: Measured;
  readonly measured: Budget;
  /** measured - model */
  readonly difference: number;
  /** |difference| over the expanded uncertainties together (|E_n|): above 1 they disagree */
  readonly normalised: number;
  /** measured - adjusted model */
  readonly left: number;
}

export interface Reconciliation {
  readonly differences: readonly Difference[];
  readonly parts: readonly ReconciledPart[];
  /** sum of the squared weighted residuals, of parts and weighing, and its degrees of freedom: the number
   * of values weighed */
  readonly chiSquared: number;
  readonly degrees: number;
  /** the parts within their tolerances can make the sample that was weighed, as well as it was weighed */
  readonly fits: boolean;
  readonly remarks: readonly string[];
  readonly edits: readonly CartEdit[];
}

/**
 * @throws RangeError when the record is not of this cart (as `weighingOf` refuses it)
 */
export function reconcile(cart: Cart, body: WeighingBody, result: WeighingResult): Reconciliation {
  const weighing = weighingModel(cart, poseCart(cart, poseWeighed(cart, body)), result);
  const best = adjusted(weighing, 1);
  const closest = adjusted(weighing, HARDLY);
  const limit = chiSquaredLimit(weighing.rows.length);
  const fits = misfit(weighing, closest.masses) <= limit;
  const masses = best.masses;
  const chiSquared = misfit(weighing, masses) + priorMisfit(weighing, masses);
  const parts = partsOf(cart, weighing, masses, best.ends);
  const degrees = weighing.rows.length;
  return {
    differences: weighing.rows.map((row) => differenceOf(weighing, row, masses)),
    parts,
    chiSquared,
    degrees,
    fits,
    remarks: remarksOf({ cart, parts, chiSquared, degrees, fits, limit }, result),
    edits: parts
      .filter(({ stated, adjusted: mass }) => Math.abs(mass - stated) > SAME * stated)
      .map(({ name, adjusted: mass }): CartEdit => ({ kind: 'part mass', part: name, mass })),
  };
}

/** Share of the weight of the prior that still picks one of many masses that all fit; less would cost
 * digits (its inverse times rounding), more would keep a hundredth of a misfit. */
const HARDLY = 1e-4;
/** Relative: a mass that differs by rounding is the same. */
const SAME = 1e-9;

interface Row {
  readonly quantity: WeighedQuantity;
  readonly measured: Budget;
  /** standard uncertainty of measurement and of the places in the model */
  readonly s: number;
  /** the latter alone */
  readonly places: number;
  /** place of each mass along the coordinate, m; of the mass itself: 1 each */
  readonly of: readonly number[];
}

interface WeighingModel {
  /** every mass of the cart, parts then loads, kg, as stated */
  readonly stated: readonly number[];
  /** indices of the parts that have a tolerance */
  readonly loose: readonly number[];
  /** kg, of those, by index of `loose` */
  readonly u: readonly number[];
  readonly reach: readonly number[];
  readonly rows: readonly Row[];
}

function weighingModel(cart: Cart, posed: PosedCart, result: WeighingResult): WeighingModel {
  const loose = cart.parts.flatMap(({ massTolerance }, i) => (massTolerance > 0 ? [i] : []));
  const part = (i: number): Part => cart.parts[i] as Part;
  const carried = [...cart.parts, ...cart.loads];
  const places = Math.hypot(
    ...posed.masses.map(({ mass }, i) => {
      const { atTolerance = 0, atDistribution = 'rectangular' as const } = carried[i] ?? {};
      return (mass / posed.mass) * standardOf(atTolerance, atDistribution);
    }),
  );
  const row = (quantity: WeighedQuantity, measured: Budget, axis: 0 | 1 | 2 | null): Row => {
    const byPlaces = axis === null ? 0 : places;
    const of = posed.masses.map(({ at }) => (axis === null ? 1 : at[axis]));
    // U / 2: what few degrees of freedom leave open is counted
    const s = Math.max(Math.hypot(expanded(measured).U / 2, byPlaces), LEAST_S);
    return { quantity, measured, s, places: byPlaces, of };
  };
  const { mass, x, y, height } = result;
  return {
    stated: posed.masses.map((each) => each.mass),
    loose,
    u: loose.map((i) => standardOf(part(i).massTolerance, part(i).massDistribution)),
    reach: loose.map((i) => Math.min(part(i).massTolerance, LEAST_LEFT * part(i).mass)),
    rows: [
      row('mass', mass, null),
      row('x', x, 0),
      row('y', y, 1),
      ...(height === null ? [] : [row('height', height, 2)]),
    ],
  };
}

/** kg and m: nothing is weighed or measured more closely than to a micrometre or a milligram. */
const LEAST_S = 1e-6;
/** Share of its mass that a part can lose: it stays a part. */
const LEAST_LEFT = 0.999999;

function modelledAt({ quantity, of }: Row, masses: readonly number[]): number {
  const sum = of.reduce((total, each, i) => total + each * (masses[i] as number), 0);
  return quantity === 'mass' ? sum : sum / totalOf(masses);
}

function totalOf(masses: readonly number[]): number {
  return masses.reduce((sum, mass) => sum + mass, 0);
}

/** Change of the value with one mass: 1 for the mass; (x_i - x) / M for a coordinate. */
function slopesOf(row: Row, masses: readonly number[], of: readonly number[]): readonly number[] {
  if (row.quantity === 'mass') return of.map(() => 1);
  const [value, total] = [modelledAt(row, masses), totalOf(masses)];
  return of.map((i) => ((row.of[i] as number) - value) / total);
}

function residualOf(row: Row, masses: readonly number[]): number {
  return row.measured.value - modelledAt(row, masses);
}

interface Adjusted {
  readonly masses: readonly number[];
  readonly ends: readonly (-1 | 0 | 1)[];
}

/** Linear steps settle in three or four: the coordinates bend by the share of the mass that changes. */
const MOST_STEPS = 50;
/** Of a standard uncertainty: what rounding leaves of a step where a part is known a hundred times as well
 * from the scales as from its tolerance, with the weight above. */
const SETTLED = 1e-7;

/** @param prior weight of the parts' tolerances against the weighing; 1: as they are */
function adjusted(model: WeighingModel, prior: number): Adjusted {
  const { stated, loose, u, reach, rows } = model;
  let found: Adjusted = { masses: stated, ends: loose.map(() => 0) };
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const { masses } = found;
    const scaled = rows.map((row) =>
      slopesOf(row, masses, loose).map((slope, j) => (slope * (u[j] as number)) / row.s),
    );
    const at = loose.map(
      (i, j) => ((masses[i] as number) - (stated[i] as number)) / (u[j] as number),
    );
    const target = rows.map(
      (row, k) =>
        residualOf(row, masses) / row.s +
        (scaled[k] as readonly number[]).reduce((sum, a, j) => sum + a * (at[j] as number), 0),
    );
    const box = reach.map((a, j) => a / (u[j] as number));
    const { z, ends } = boundedLeastSquares({ rows: scaled, target, reach: box, prior });
    found = { masses: withMasses(model, z), ends };
    if (z.every((each, j) => Math.abs(each - (at[j] as number)) < SETTLED)) return found;
  }
  throw new Error(`reconcile: not settled after ${MOST_STEPS} steps of ${loose.length} parts`);
}

function withMasses({ stated, loose, u }: WeighingModel, z: readonly number[]): readonly number[] {
  const masses = [...stated];
  loose.forEach((i, j) => {
    masses[i] = (stated[i] as number) + (u[j] as number) * (z[j] as number);
  });
  return masses;
}

function misfit({ rows }: WeighingModel, masses: readonly number[]): number {
  return rows.reduce((sum, row) => sum + (residualOf(row, masses) / row.s) ** 2, 0);
}

function priorMisfit({ stated, loose, u }: WeighingModel, masses: readonly number[]): number {
  return loose.reduce(
    (sum, i, j) => sum + (((masses[i] as number) - (stated[i] as number)) / (u[j] as number)) ** 2,
    0,
  );
}

function differenceOf(model: WeighingModel, row: Row, masses: readonly number[]): Difference {
  const { stated, loose, u } = model;
  const value = modelledAt(row, stated);
  const slopes = slopesOf(row, stated, loose);
  const own = Math.hypot(row.places, ...slopes.map((slope, j) => slope * (u[j] as number)));
  const modelled: Measured = { value, u: own, dof: null };
  const difference = row.measured.value - value;
  const together = Math.hypot(expanded(row.measured).U, expanded(modelled).U);
  return {
    quantity: row.quantity,
    model: modelled,
    measured: row.measured,
    difference,
    normalised: difference === 0 ? 0 : Math.abs(difference) / together,
    left: residualOf(row, masses),
  };
}

function partsOf(
  cart: Cart,
  model: WeighingModel,
  masses: readonly number[],
  ends: readonly number[],
): readonly ReconciledPart[] {
  const after = uncertaintiesAfter(model, masses);
  const place = new Map(model.loose.map((part, j) => [part, j]));
  return cart.parts.map(({ name, mass, massTolerance }, i) => {
    const j = place.get(i) ?? -1;
    return {
      name,
      stated: mass,
      tolerance: massTolerance,
      adjusted: masses[i] as number,
      u: j < 0 ? 0 : (after[j] as number),
      atLimit: j >= 0 && ends[j] !== 0,
    };
  });
}

/** Diagonal of (I + A'A)^-1 in units of u: 1 - a'(I + A A')^-1 a (Woodbury). Without the ends of the
 * tolerances: for a part that stands at one it is on the wide side. */
function uncertaintiesAfter(
  { rows, loose, u }: WeighingModel,
  masses: readonly number[],
): readonly number[] {
  const scaled = rows.map((row) =>
    slopesOf(row, masses, loose).map((slope, j) => (slope * (u[j] as number)) / row.s),
  );
  const known = inverse(gramOf(scaled, 1, () => true));
  return loose.map((_, j) => {
    const column = Matrix.columnVector(scaled.map((row) => row[j] as number));
    const share = column.transpose().mmul(known).mmul(column).get(0, 0);
    return (u[j] as number) * Math.sqrt(Math.max(0, 1 - share));
  });
}

/** 95 % quantiles of chi-squared for 1 to 4 degrees of freedom (any table, such as the NIST/SEMATECH
 * e-Handbook of Statistical Methods, 1.3.6.7.4; the tests have the closed forms). */
const CHI_SQUARED_95 = [3.841458821, 5.991464547, 7.814727903, 9.487729037] as const;

export function chiSquaredLimit(degrees: number): number {
  const limit = CHI_SQUARED_95[degrees - 1];
  if (limit === undefined) throw new RangeError(`chiSquaredLimit(${degrees}): allowed: 1 to 4`);
  return limit;
}

interface Said {
  readonly cart: Cart;
  readonly parts: readonly ReconciledPart[];
  readonly chiSquared: number;
  readonly degrees: number;
  readonly fits: boolean;
  readonly limit: number;
}

function remarksOf(
  { cart, parts, chiSquared, degrees, fits, limit }: Said,
  { height, remarks }: WeighingResult,
): readonly string[] {
  const exact = parts.filter(({ tolerance }) => tolerance === 0).map(({ name }) => name);
  const atEnd = parts.filter(({ atLimit }) => atLimit).map(({ name }) => name);
  const said: string[] = [...remarks];
  if (!fits) said.push(NO_FIT);
  else if (chiSquared > limit) {
    said.push(
      `Chi-squared is ${Number(chiSquared.toPrecision(3))} where ${Number(limit.toPrecision(3))} is exceeded once in twenty (${degrees} degrees of freedom): the masses can be so, but several parts would have to be far from what is stated.`,
    );
  }
  if (atEnd.length > 0) said.push(`At the end of their tolerance: ${named(atEnd)}.`);
  if (exact.length === parts.length) {
    said.push('No part has a mass tolerance in the cart file: nothing can be adjusted.');
  } else if (exact.length > 0) {
    said.push(`Without a mass tolerance, so taken as exact and not adjusted: ${named(exact)}.`);
  }
  if (cart.loads.length > 0) {
    said.push('The masses of the loads are taken as the record states them, as exact.');
  }
  if (height === null) said.push('The height was not measured: nothing is adjusted to it.');
  return said;
}

const NO_FIT =
  'The parts within their tolerances cannot make the sample that was weighed: a part is missing, there twice or another one, a place is wrong, or the weighing is. What is adjusted comes as near as the tolerances let it; look at the sample before the masses are taken over.';

/** Parts named in one remark. */
const NAMED = 8;

function named(names: readonly string[]): string {
  if (names.length <= NAMED) return listed(names);
  return `${names.slice(0, NAMED).join(', ')} and ${names.length - NAMED} more`;
}

/**
 * The cart as measured: adjusted masses, each with two standard uncertainties as a normal tolerance, and
 * measured friction (basis 'measured', its expanded uncertainty as a normal tolerance, so that a check takes
 * the low end).
 *
 * @param friction measured coefficient by tread
 * @throws RangeError naming tread or part, when the cart does not have it, a coefficient is not above 0, or
 *   its expanded uncertainty is not below it
 */
export function measuredCart(
  cart: Cart,
  reconciliation: Reconciliation | null,
  friction: ReadonlyMap<string, Budget>,
): Cart {
  const edited = editCart(cart, reconciliation?.edits ?? []);
  const after = new Map(reconciliation?.parts.map((part) => [part.name, part]));
  const parts = edited.parts.map((part): Part => {
    const known = after.get(part.name);
    if (known === undefined || known.tolerance === 0) return part;
    return { ...part, massTolerance: 2 * known.u, massDistribution: 'normal' };
  });
  for (const [tread, budget] of friction) checkFriction(cart, tread, budget);
  const floor = {
    ...cart.floor,
    friction: cart.floor.friction.map((each): Cart['floor']['friction'][number] => {
      const measured = friction.get(each.tread);
      if (measured === undefined) return each;
      const { value } = measured;
      const tolerance = expanded(measured).U;
      const as = { distribution: 'normal', readings: null, basis: 'measured' } as const;
      return { tread: each.tread, value, tolerance, ...as };
    }),
  };
  return { ...edited, parts, floor };
}

function checkFriction({ floor }: Cart, tread: string, budget: Budget): void {
  const treads = floor.friction.map((each) => each.tread);
  if (!treads.includes(tread)) {
    throw new RangeError(`measuredCart: no tread '${tread}'; allowed: ${treads.join(', ')}`);
  }
  const { U } = expanded(budget);
  if (budget.value > 0 && U < budget.value) return;
  const value = Number(budget.value.toPrecision(3));
  throw new RangeError(
    `measuredCart: friction of '${tread}' ${value}, U ${Number(U.toPrecision(3))}; allowed: above 0, and known to better than itself: take more readings`,
  );
}
