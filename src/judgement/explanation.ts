/**
 * Question: what would have to be different about a cart for the model to give what was measured?
 *
 * One thing is changed at a time, until the capacity at this set-up is the measured one: the friction
 * coefficient (all treads alike), the height or the place of the centre of mass, the mass, the torque at
 * which the brakes slip, the moment at which castors swivel, the rolling resistance. Likeliest is what
 * needs the smallest change against what the cart states of it (its standard uncertainty), or, where
 * nothing is stated, against what carts usually differ by (common practice, no source). Capacity is taken as
 * monotone in each; where the measured value is not reached within a wide range, it explains nothing.
 */

import { poseCart, quantityText } from '../analysis/index.js';
import type { Cart, Castor, Vec3 } from '../document/index.js';
import type { Budget } from '../metrology/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { TestRun } from '../test-plan/index.js';
import type { SeenMode } from './judge-run.js';
import type { CapacityOf } from './predicted.js';
import {
  capacityOf,
  expectedCart,
  FRICTION_OF,
  frictionStandard,
  standardOf,
  withMassAt,
} from './predicted.js';

export type Cause = 'friction' | 'mass' | 'castor' | 'none';

export interface Explanation {
  readonly cause: Cause;
  /** 'a friction coefficient of 0.52 instead of 0.60 explains it' */
  readonly words: string;
  /** what would have to be what */
  readonly quantity: ExplainedQuantity | null;
  /** coefficient, m of height, m towards the side it goes to, kg, N m or m (rolling length) that would
   * explain it; null: none does */
  readonly value: number | null;
  /** what the cart states of the same; null: nothing */
  readonly stated: number | null;
  /** standard uncertainty of the value, from the measurement and the rest of the model; null: not known */
  readonly u: number | null;
}

export type ExplainedQuantity =
  | 'friction coefficient'
  | 'height of the centre of mass'
  | 'place of the centre of mass'
  | 'mass'
  | 'brake torque'
  | 'swivel moment'
  | 'rolling length';

/** Something that could be otherwise. */
interface Hypothesis {
  readonly cause: Exclude<Cause, 'none'>;
  readonly quantity: ExplainedQuantity;
  readonly stated: number | null;
  /** a usual change of it */
  readonly usual: number;
  /** what may be off by any factor is compared by the logarithm of it */
  readonly byFactor: boolean;
  readonly from: number;
  readonly to: number;
  readonly cart: (value: number) => Cart;
  readonly words: (value: number) => string;
}

/**
 * @param measured what was measured of the capacity of the run
 * @param expected what the model expects
 * @param seen how it was seen to give way; empty: not known
 * @returns likeliest first; one of cause 'none' where nothing explains it
 */
export function explanationsOf(
  cart: Cart,
  set: RequirementSet,
  run: TestRun,
  measured: Budget,
  expected: Budget,
  seen: readonly SeenMode[],
): readonly Explanation[] {
  const capacity = capacityOf(set, run);
  const found = hypothesesOf(expectedCart(cart), cart, run)
    .filter(({ cause, quantity }) => isPossible(cause, quantity, seen))
    .flatMap((hypothesis) => solved(hypothesis, capacity, measured, expected, seen) ?? [])
    .sort((a, b) => a.change - b.change)
    .map(({ explanation }) => explanation);
  if (found.length > 0) return found;
  const words =
    'nothing that was tried explains it by itself: friction, height, place and mass, brakes, castors; look at the set-up, the instrument and the way it was loaded';
  return [{ cause: 'none', quantity: null, words, value: null, stated: null, u: null }];
}

/** What only tipped shows nothing of friction or brakes. */
function isPossible(cause: Cause, quantity: ExplainedQuantity, seen: readonly SeenMode[]): boolean {
  const tipped = seen.length > 0 && seen.every((mode) => mode === 'tips');
  return !tipped || (cause !== 'friction' && quantity !== 'brake torque');
}

interface Solved {
  readonly explanation: Explanation;
  /** in usual changes */
  readonly change: number;
}

function solved(
  hypothesis: Hypothesis,
  capacity: CapacityOf,
  measured: Budget,
  expected: Budget,
  seen: readonly SeenMode[],
): Solved | null {
  const { cause, quantity, stated, usual, from, to, cart, words } = hypothesis;
  const off = (value: number): number => capacity(cart(value)) - measured.value;
  const value = stated === null ? rootOf(off, from, to) : nearestRoot(off, stated, from, to);
  if (value === null) return null;
  const step = 0.01 * Math.max(Math.abs(value), usual);
  const rate = (off(value + step) - off(value - step)) / (2 * step);
  const u = Math.hypot(measured.u, uncertaintyWithout(expected, cause)) / Math.abs(rate);
  const slid = seen.some((mode) => mode === 'slides' || mode === 'pivots' || mode === 'rolls');
  const unlikely = slid && cause === 'mass' ? SLID_BY_MASS : 1;
  const change = stated === null ? UNSTATED : unlikely * changeOf(hypothesis, value, stated);
  return {
    explanation: {
      cause,
      quantity,
      words: words(value),
      value,
      stated,
      u: Number.isFinite(u) ? u : null,
    },
    change,
  };
}

/** In usual changes. */
function changeOf({ usual, byFactor }: Hypothesis, value: number, stated: number): number {
  if (!byFactor) return Math.abs(value - stated) / usual;
  return Math.abs(Math.log(value / stated)) / (usual / stated);
}

/** In usual changes: something of which the cart states nothing at all, as brakes said to outlast the
 * tread, ranks behind a small change and before an odd one. */
const UNSTATED = 3;
/** Masses are weighed and frictions guessed: what slid did so by its mass only where little is off. */
const SLID_BY_MASS = 3;

/** Of the model without what is looked for. */
function uncertaintyWithout({ lines }: Budget, cause: Cause): number {
  const left = lines.filter(
    ({ source }) => cause !== 'friction' || !source.startsWith(FRICTION_OF),
  );
  return Math.hypot(...left.map(({ contribution }) => contribution));
}

/** Shares of the way to the ends of a range in which a root is looked for first. */
const NEARER = [0.1, 0.3, 1] as const;

/** The root nearest to where things are stated, as far as steps tell: a centre of mass moved too far back
 * tips the cart the other way, so that the ends of the range alone would show nothing. */
export function nearestRoot(
  f: (x: number) => number,
  stated: number,
  from: number,
  to: number,
): number | null {
  for (const share of NEARER) {
    for (const end of [from, to]) {
      const root = end === stated ? null : rootOf(f, stated, stated + share * (end - stated));
      if (root !== null) return root;
    }
  }
  return null;
}

/** Share of the range to which a root is found. */
const FOUND = 1e-5;
const MOST_STEPS = 60;

/** Where a monotone function crosses zero, by the secant kept in its bracket (Illinois rule: Dowell and
 * Jarratt, BIT 11, 1971), halving where an end has no limit; null: it does not. */
export function rootOf(f: (x: number) => number, from: number, to: number): number | null {
  let [a, b, fa, fb] = [from, to, f(from), f(to)];
  if (!(fa < 0 !== fb < 0)) return null;
  let kept = 0;
  for (
    let step = 0;
    step < MOST_STEPS && Math.abs(b - a) > FOUND * Math.abs(to - from);
    step += 1
  ) {
    const secant = b - (fb * (b - a)) / (fb - fa);
    const inside = secant > Math.min(a, b) && secant < Math.max(a, b);
    const x = inside && step % 4 !== 3 ? secant : 0.5 * (a + b);
    const fx = f(x);
    if (fx === 0) return x;
    if (fx < 0 === fb < 0) {
      [b, fb] = [x, fx];
      if (kept === 1) fa *= 0.5;
      kept = 1;
    } else {
      [a, fa] = [x, fx];
      if (kept === -1) fb *= 0.5;
      kept = -1;
    }
  }
  return 0.5 * (a + b);
}

function hypothesesOf(expected: Cart, cart: Cart, run: TestRun): readonly Hypothesis[] {
  return [
    ...frictionHypothesis(expected, cart),
    ...massHypotheses(expected, run),
    ...castorHypotheses(expected),
  ];
}

const figure = (value: number): string => value.toFixed(2);

function frictionHypothesis(expected: Cart, cart: Cart): readonly Hypothesis[] {
  const treads = new Set(cart.castors.map(({ tread }) => tread));
  const frictions = cart.floor.friction.filter(({ tread }) => treads.has(tread));
  const [first] = frictions;
  if (first === undefined) return [];
  const same = frictions.every(({ value }) => value === first.value);
  const stated = frictions.reduce((sum, { value }) => sum + value, 0) / frictions.length;
  // what was measured is known as well as it says; what was assumed, no better than such guesses are
  const within = Math.max(
    ...frictions.map((each) =>
      each.basis === 'measured' && each.tolerance > 0
        ? frictionStandard(each)
        : Math.max(frictionStandard(each), USUAL_FRICTION),
    ),
  );
  const range = (value: number): string => {
    if (!same || first.tolerance === 0) return '';
    const inside = Math.abs(value - first.value) <= first.tolerance;
    return `, ${inside ? 'within' : 'outside'} its stated ${figure(first.value - first.tolerance)} to ${figure(first.value + first.tolerance)}`;
  };
  return [
    {
      cause: 'friction',
      quantity: 'friction coefficient',
      stated,
      usual: within,
      byFactor: false,
      from: 0.01,
      to: 3,
      cart: (value) => withFriction(expected, value),
      words: (value) =>
        `a friction coefficient of ${figure(value)} instead of ${figure(stated)}${same ? '' : ' on average'} explains it${range(value)}`,
    },
  ];
}

/** Of a coefficient that is assumed, or without a tolerance. */
const USUAL_FRICTION = 0.1;
/** m: a centre of mass is known to this where no tolerance is stated. */
const USUAL_HEIGHT = 0.01;
const USUAL_PLACE = 0.005;
/** Share of the mass. */
const USUAL_MASS = 0.02;
/** Share of what a castor states of its brake, swivel moment or rolling length. */
const USUAL_CASTOR = 0.3;

function withFriction(cart: Cart, value: number): Cart {
  const friction = cart.floor.friction.map((each) => ({ ...each, value, tolerance: 0 }));
  return { ...cart, floor: { ...cart.floor, friction } };
}

/** The share of the mass that moves the centre of mass: so light that it weighs nothing. */
const LIGHT = 1e-6;

function massHypotheses(cart: Cart, run: TestRun): readonly Hypothesis[] {
  const { mass, centreOfMass: c } = poseCart(cart, run.pose);
  const moved = (by: Vec3): Cart =>
    withMassAt(cart, LIGHT * mass, c.map((x, k) => x + (by[k] ?? 0) / LIGHT) as unknown as Vec3);
  const parts = cart.parts.reduce((sum, part) => sum + part.mass, 0);
  const known = centreUncertainty(cart, mass);
  const length = (value: number) => quantityText(Math.abs(value), 'length', 'SI');
  const way = wayOf(run);
  const [ux, uy] = [Math.cos(way ?? 0), Math.sin(way ?? 0)];
  const height: Hypothesis = {
    cause: 'mass',
    quantity: 'height of the centre of mass',
    stated: c[2],
    usual: Math.max(known, USUAL_HEIGHT),
    byFactor: false,
    from: 0.5 * c[2],
    to: 1.5 * c[2],
    cart: (value) => moved([0, 0, value - c[2]]),
    words: (value) =>
      `a centre of mass ${length(value - c[2])} ${value > c[2] ? 'higher' : 'lower'}, ${length(value)} above the floor instead of ${length(c[2])}, explains it`,
  };
  const place: Hypothesis = {
    cause: 'mass',
    quantity: 'place of the centre of mass',
    stated: 0,
    usual: Math.max(known, USUAL_PLACE),
    byFactor: false,
    from: -0.2,
    to: 0.2,
    cart: (value) => moved([value * ux, value * uy, 0]),
    words: (value) =>
      `a centre of mass (or a tipping line) ${length(value)} ${value > 0 ? 'nearer to' : 'farther from'} the side it goes to explains it`,
  };
  const heavier: Hypothesis = {
    cause: 'mass',
    quantity: 'mass',
    stated: mass,
    usual: Math.max(massUncertainty(cart), USUAL_MASS * mass),
    byFactor: false,
    from: mass - 0.5 * parts,
    to: mass + parts,
    // the loads are what they are: every part in proportion
    cart: (value) => withPartsScaled(cart, (value - mass + parts) / parts),
    words: (value) =>
      `a mass of ${quantityText(value, 'mass', 'SI')} instead of ${quantityText(mass, 'mass', 'SI')} explains it`,
  };
  return way === null ? [heavier] : [height, place, heavier];
}

function withPartsScaled(cart: Cart, by: number): Cart {
  return { ...cart, parts: cart.parts.map((part) => ({ ...part, mass: part.mass * by })) };
}

/** rad, cart frame: the way the load moves the cart; null: it has none */
function wayOf({ loading }: TestRun): number | null {
  if (loading.kind === 'incline') return loading.downhill;
  return loading.kind === 'push' ? loading.direction : null;
}

function massUncertainty({ parts }: Cart): number {
  return Math.hypot(...parts.map((part) => standardOf(part.massTolerance, part.massDistribution)));
}

/** m: of each coordinate of the centre of mass, from the places of parts alone */
function centreUncertainty({ parts }: Cart, mass: number): number {
  return Math.hypot(
    ...parts.map((part) => (part.mass * standardOf(part.atTolerance, part.atDistribution)) / mass),
  );
}

const isLocked = ({ lock }: Castor): boolean => lock === 'wheel' || lock === 'total';

function castorHypotheses(cart: Cart): readonly Hypothesis[] {
  const locked = cart.castors.filter(isLocked);
  const torques = locked.flatMap(({ brakeTorque }) => brakeTorque ?? []);
  const moment = (value: number) => quantityText(value, 'moment', 'SI');
  const brakes: Hypothesis[] =
    locked.length === 0
      ? []
      : [
          {
            cause: 'castor',
            quantity: 'brake torque',
            stated: torques.length === locked.length ? Math.min(...torques) : null,
            usual: USUAL_CASTOR * Math.min(...(torques.length > 0 ? torques : [1])),
            byFactor: true,
            from: 0.05,
            to: 200,
            cart: (value) => withCastors(cart, isLocked, { brakeTorque: value }),
            words: (value) =>
              torques.length === 0
                ? `brakes that slip at ${moment(value)} explain it, where the cart says that they outlast the tread`
                : `brakes that slip at ${moment(value)} instead of ${moment(Math.min(...torques))} explain it`,
          },
        ];
  return [
    ...brakes,
    ...scaled(cart, 'swivelMoment', 'swivel moment', 'moment', 20),
    ...scaled(cart, 'rollingLength', 'rolling length', 'length', 5),
  ];
}

/** All castors off by the same share. */
function scaled(
  cart: Cart,
  key: 'swivelMoment' | 'rollingLength',
  quantity: 'swivel moment' | 'rolling length',
  dimension: 'moment' | 'length',
  most: number,
): readonly Hypothesis[] {
  const stated = Math.max(...cart.castors.map((castor) => castor[key]));
  if (!(stated > 0)) return [];
  const text = (value: number) => quantityText(value, dimension, 'SI');
  return [
    {
      cause: 'castor',
      quantity,
      stated,
      usual: USUAL_CASTOR * stated,
      byFactor: true,
      from: 0.05 * stated,
      to: most * stated,
      cart: (value) => ({
        ...cart,
        castors: cart.castors.map((castor) => ({
          ...castor,
          [key]: (castor[key] * value) / stated,
        })),
      }),
      words: (value) =>
        `castors with a ${quantity} of ${text(value)} instead of ${text(stated)} explain it`,
    },
  ];
}

function withCastors(
  cart: Cart,
  which: (castor: Castor) => boolean,
  change: Partial<Castor>,
): Cart {
  return {
    ...cart,
    castors: cart.castors.map((castor) => (which(castor) ? { ...castor, ...change } : castor)),
  };
}
