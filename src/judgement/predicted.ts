/**
 * Question: how well does the model know what it predicts for a run, given the tolerances of the cart?
 *
 * A linear budget (JCGM 100:2008, 5.1) over the inputs that the cart file states a tolerance for: masses and
 * places of parts, places of loads, friction, and the castors. Masses and places act only through mass and
 * first moments of the whole cart, so four gradients serve for any number of parts:
 *
 *   dC/dm_i at r_i = g_m + g . (r_i - c)      a place that is off by d: m_i g . d
 *
 * with c the centre of mass, g_m the change with mass at c and g the change with first moment, each from a
 * small mass added at c or beside it. Nothing is said of what is not modelled. Tolerances of the test (ramp,
 * gauge, floor) belong to the measurement.
 *
 * Symbols: C capacity (rad, N, kg), m mass (kg), r, c places (m).
 */

import type { Pose, PosedCart } from '../analysis/index.js';
import { poseCart } from '../analysis/index.js';
import type {
  Cart,
  Castor,
  Friction,
  StatedUncertainty,
  ToleranceDistribution,
  Vec3,
} from '../document/index.js';
import type { Budget } from '../metrology/index.js';
import { combined, expanded, rectangular, triangular } from '../metrology/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { TestRun } from '../test-plan/index.js';
import { capacityOfRun } from '../test-plan/index.js';
import type { InputLine } from './instrument-uncertainty.js';
import { lineOf } from './instrument-uncertainty.js';

/** Standard uncertainty that a stated tolerance means (JCGM 101:2008, 6.4). */
export function standardOf(tolerance: number, distribution: ToleranceDistribution): number {
  switch (distribution) {
    case 'rectangular':
      return rectangular(tolerance);
    case 'triangular':
      return triangular(tolerance);
    case 'normal':
      return tolerance / 2;
  }
}

/** The cart with every friction as it is expected, not at the low end that a check takes. */
export function expectedCart(cart: Cart): Cart {
  const friction = cart.floor.friction.map((each) => ({ ...each, tolerance: 0 }));
  return { ...cart, floor: { ...cart.floor, friction } };
}

/** SI, of the run's capacity; Infinity: it has no limit, or none can be computed */
export type CapacityOf = (cart: Cart) => number;

export function capacityOf(set: RequirementSet, run: TestRun): CapacityOf {
  return (cart) => capacityOfRun(cart, set, run).capacity?.value ?? Number.POSITIVE_INFINITY;
}

/** A part of this mass (kg) at this place (m) in the pose that is tested. */
export function withMassAt(cart: Cart, mass: number, at: Vec3): Cart {
  const part: Cart['parts'][number] = {
    name: '(added to see what it does)',
    mass,
    massTolerance: 0,
    massDistribution: 'rectangular',
    at,
    atTolerance: 0,
    atDistribution: 'rectangular',
    on: null,
    massFrom: 'cart file',
  };
  return { ...cart, parts: [...cart.parts, part] };
}

/** What the model expects, with its uncertainty; null: it has no limit there. */
export function expectedCapacity(cart: Cart, set: RequirementSet, run: TestRun): Budget | null {
  const capacity = capacityOf(set, run);
  const expected = expectedCart(cart);
  const value = capacity(expected);
  if (!Number.isFinite(value)) return null;
  const about = { capacity, value };
  return combined(value, [
    ...massLines(expected, run.pose, about),
    ...frictionLines(cart, about),
    ...castorLines(expected, about),
  ]);
}

/** The capacity asked of the cart, and what it is as expected. */
interface About {
  readonly capacity: CapacityOf;
  readonly value: number;
}

/**
 * Change of the capacity by what is changed by `step` either way. Where one way has no limit (a line that
 * is not tipped over any more) the other way counts.
 */
function slope({ capacity, value }: About, low: Cart, high: Cart, step: number): number {
  const sides = [(capacity(high) - value) / step, (value - capacity(low)) / step];
  const finite = sides.filter(Number.isFinite);
  if (finite.length > 0) return finite.reduce((sum, side) => sum + side, 0) / finite.length;
  throw new Error(`slope: the capacity ${value} has a limit at one point only`);
}

interface Gradient {
  /** per kg at the centre of mass */
  readonly mass: number;
  /** per kg m of first moment */
  readonly moment: Vec3;
}

/** Shares of the mass of the cart, and m: enough to stand well above the holding solver's error (5e-6) and
 * small enough to be a slope: the centre of mass moves by 2 mm. */
const ADDED = 0.001;
const ADDED_AT = 2;
const HEAVIER = 0.01;

function gradientOf(cart: Cart, { mass, centreOfMass: c }: PosedCart, about: About): Gradient {
  const small = ADDED * mass;
  const along = (axis: 0 | 1 | 2): number => {
    const at = (sign: 1 | -1): Cart => {
      const place: [number, number, number] = [...c];
      place[axis] += sign * ADDED_AT;
      return withMassAt(cart, small, place);
    };
    // the added mass is in the total too: the centre of mass moves by that much less
    return slope(about, at(-1), at(1), (small * ADDED_AT) / (1 + ADDED));
  };
  const heavier = about.capacity(withMassAt(cart, HEAVIER * mass, c));
  const perKilogram = (heavier - about.value) / (HEAVIER * mass);
  if (!Number.isFinite(perKilogram)) throw new Error(`gradientOf: ${cart.name}: no limit`);
  return { mass: perKilogram, moment: [along(0), along(1), along(2)] };
}

function massLines(cart: Cart, pose: Pose, about: About): readonly InputLine[] {
  const loose = [...cart.parts, ...cart.loads].some(
    (each) => each.atTolerance > 0 || ('massTolerance' in each && each.massTolerance > 0),
  );
  if (!loose) return [];
  const posed = poseCart(cart, pose);
  const { mass, moment } = gradientOf(cart, posed, about);
  const c = posed.centreOfMass;
  const away = (at: Vec3): number =>
    at.reduce((sum, x, k) => sum + (moment[k] ?? 0) * (x - (c[k] ?? 0)), 0);
  const masses = cart.parts.flatMap((part, i) => {
    if (part.massTolerance === 0) return [];
    const u = standardOf(part.massTolerance, part.massDistribution);
    return [lineOf(`mass of ${part.name}`, u, mass + away(posed.masses[i]?.at ?? c))];
  });
  // each coordinate by itself: three equal independent offsets act as one along the gradient
  const steepest = Math.hypot(...moment);
  const places = [...cart.parts, ...cart.loads].flatMap((each, i) => {
    const carried = posed.masses[i]?.mass ?? 0;
    if (each.atTolerance === 0 || carried === 0) return [];
    const u = standardOf(each.atTolerance, each.atDistribution);
    return [lineOf(`place of ${each.name}`, u, carried * steepest)];
  });
  return [...masses, ...places];
}

/** Standard uncertainty of a stated friction; of a mean of readings by t (JCGM 100, 4.2 and G.3.2). */
export function frictionStandard({ tolerance, distribution, readings }: Friction): number {
  if (distribution !== 't') return standardOf(tolerance, distribution);
  const freedom = (readings ?? 2) - 1;
  return tolerance / expanded({ value: 0, u: 1, dof: freedom }, 0.95).U;
}

function frictionLines(cart: Cart, about: About): readonly InputLine[] {
  const treads = new Set(cart.castors.map(({ tread }) => tread));
  return cart.floor.friction.flatMap((friction) => {
    if (friction.tolerance === 0 || !treads.has(friction.tread)) return [];
    const u = Math.min(frictionStandard(friction), 0.9 * friction.value);
    const at = (value: number): Cart => {
      const changed = { ...friction, value };
      const all = cart.floor.friction.map((each) => (each === friction ? changed : each));
      return expectedCart({ ...cart, floor: { ...cart.floor, friction: all } });
    };
    const { value, tread, distribution, readings } = friction;
    const sensitivity = slope(about, at(value - u), at(value + u), u);
    const dof = distribution === 't' && readings !== null ? readings - 1 : null;
    return [{ ...lineOf(`${FRICTION_OF}${tread}`, u, sensitivity), dof }];
  });
}

/** How the budget names friction: who looks for a coefficient leaves these lines out. */
export const FRICTION_OF = 'friction of ';

type CastorValue = 'trail' | 'swivelMoment' | 'rollingLength' | 'brakeTorque' | 'stiffness';

const CASTOR_VALUES: readonly (readonly [
  'trail' | 'swivel moment' | 'rolling length' | 'brake torque' | 'stiffness',
  CastorValue,
])[] = [
  ['trail', 'trail'],
  ['swivel moment', 'swivelMoment'],
  ['rolling length', 'rollingLength'],
  ['brake torque', 'brakeTorque'],
  ['stiffness', 'stiffness'],
];

/** One batch: all castors are off by the same, their places one by one. */
function castorLines(cart: Cart, about: About): readonly InputLine[] {
  const values = CASTOR_VALUES.flatMap(([quantity, key]) => {
    const stated = cart.uncertainty[quantity];
    return stated === undefined ? [] : castorValueLine(cart, about, stated, quantity, key);
  });
  const places = cart.uncertainty['castor places'];
  return places === undefined ? values : [...values, ...castorPlaceLines(cart, about, places)];
}

function castorValueLine(
  cart: Cart,
  about: About,
  { tolerance, relative, distribution }: StatedUncertainty,
  quantity: string,
  key: CastorValue,
): readonly InputLine[] {
  const u = standardOf(tolerance, distribution);
  const applies = (castor: Castor): boolean =>
    (castor[key] ?? 0) > 0 && (key !== 'trail' || castor.fixedDirection === null);
  if (!cart.castors.some(applies)) return [];
  const at = (sign: 1 | -1): Cart => ({
    ...cart,
    castors: cart.castors.map((castor) => {
      const value = castor[key];
      if (value === null || !applies(castor)) return castor;
      return { ...castor, [key]: value + sign * u * (relative ? value : 1) };
    }),
  });
  return [lineOf(`${quantity} of the castors`, u, slope(about, at(-1), at(1), u))];
}

function castorPlaceLines(
  cart: Cart,
  about: About,
  { tolerance, distribution }: StatedUncertainty,
): readonly InputLine[] {
  const u = standardOf(tolerance, distribution);
  return cart.castors.map(({ name }, i) => {
    const along = ([0, 1] as const).map((axis) => {
      const at = (sign: 1 | -1): Cart => ({
        ...cart,
        castors: cart.castors.map((castor, j) => {
          if (j !== i) return castor;
          const place: [number, number] = [...castor.at];
          place[axis] += sign * u;
          return { ...castor, at: place };
        }),
      });
      return slope(about, at(-1), at(1), u);
    });
    return lineOf(`place of castor ${name}`, u, Math.hypot(...along));
  });
}
