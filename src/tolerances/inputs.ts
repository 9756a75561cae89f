/** What of a cart and of its test is uncertain: every input with a tolerance, its distribution and
 * where it was stated. */

import type { Limits, Spread } from '../chance/index.js';
import { NO_LIMITS, standardOf, tCoverageFactor } from '../chance/index.js';
import type {
  Cart,
  Castor,
  StatedUncertainty,
  ToleranceDistribution,
  UncertainQuantity,
  Vec3,
} from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Dimension } from '../units/index.js';
import { STANDARD_GRAVITY } from '../units/index.js';

/** The castor's own values that the section `uncertainty` may speak of. */
export type CastorProperty = keyof Pick<
  Castor,
  'trail' | 'wheelDiameter' | 'swivelMoment' | 'rollingLength' | 'brakeTorque' | 'stiffness'
>;

export type TestCondition = 'ramp angle' | 'floor slope' | 'push force' | 'push height';

/** What an offset is added to; indices into the lists of the cart. */
export type Change =
  | { readonly kind: 'part mass'; readonly part: number }
  | { readonly kind: 'part place'; readonly part: number; readonly axis: 0 | 1 | 2 }
  | { readonly kind: 'load place'; readonly load: number; readonly axis: 0 | 1 | 2 }
  | { readonly kind: 'friction'; readonly entry: number }
  | { readonly kind: 'castor place'; readonly castor: number; readonly axis: 0 | 1 }
  | {
      readonly kind: 'castor property';
      readonly castors: readonly number[];
      readonly property: CastorProperty;
    }
  | { readonly kind: 'test'; readonly condition: TestCondition };

export interface Input {
  /** unique: 'mass of display' */
  readonly name: string;
  readonly change: Change;
  readonly spread: Spread;
  /** offsets beyond which there is no such cart or test */
  readonly limits: Limits;
  readonly dimension: Dimension;
  /** SI; null: it is an offset from what a clause asks */
  readonly nominal: number | null;
  /** SI, the tolerance as stated: half-width, or two standard uncertainties, or the half-width of the
   * 95 % interval of the mean of readings */
  readonly tolerance: number;
  readonly distribution: ToleranceDistribution | 't';
  /** standard uncertainty, SI */
  readonly standard: number;
  /** where it was stated: 'parts > display > mass tolerance' */
  readonly from: string;
}

type InputBase = Pick<Input, 'name' | 'change' | 'dimension' | 'nominal' | 'from'> & {
  readonly limits?: Limits;
};

interface Stated {
  readonly tolerance: number;
  readonly distribution: ToleranceDistribution | 't';
  readonly readings?: number | null;
}

function inputOf(base: InputBase, stated: Stated): Input {
  const { tolerance, distribution } = stated;
  const spread = spreadOf(stated);
  const limits = base.limits ?? NO_LIMITS;
  return { ...base, limits, spread, tolerance, distribution, standard: standardOf(spread) };
}

function spreadOf({ tolerance, distribution, readings }: Stated): Spread {
  switch (distribution) {
    case 'rectangular':
    case 'triangular':
      return { kind: distribution, halfWidth: tolerance };
    case 'normal':
      // an expanded uncertainty with k = 2 (JCGM 101:2008, 6.4.7 and JCGM 100:2008, 6.2)
      return { kind: 'normal', standard: tolerance / 2 };
    case 't': {
      const freedom = (readings ?? 0) - 1;
      return { kind: 't', scale: tolerance / tCoverageFactor(freedom), freedom };
    }
  }
}

/** Above zero, if only by a millionth of the value: a mass or a friction of nothing is none. */
function positive(nominal: number): Limits {
  return atLeast(nominal, 1e-6 * nominal);
}

function atLeast(nominal: number, least: number): Limits {
  return { least: least - nominal, most: Number.POSITIVE_INFINITY };
}

/** Every input with a tolerance, in the order of the cart file. */
export function inputsOf(cart: Cart, set: RequirementSet): readonly Input[] {
  return toldApart([
    ...cart.parts.flatMap(partInputs),
    ...cart.loads.flatMap(loadInputs),
    ...castorInputs(cart),
    ...cart.floor.friction.flatMap(frictionInput),
    ...testInputs(cart, set),
  ]);
}

/** A part may be called `front left castor`, as the stem is: the later one says where it was stated. */
function toldApart(inputs: readonly Input[]): readonly Input[] {
  const seen = new Set<string>();
  return inputs.map((input) => {
    const name = seen.has(input.name) ? `${input.name} (${input.from})` : input.name;
    seen.add(name);
    return { ...input, name };
  });
}

function partInputs(part: Cart['parts'][number], index: number): readonly Input[] {
  const { name, mass, massTolerance, massDistribution, at, atTolerance, atDistribution } = part;
  const inputs: Input[] = [];
  if (massTolerance > 0) {
    const change = { kind: 'part mass', part: index } as const;
    const from = `parts > ${name} > mass tolerance`;
    const base = { name: `mass of ${name}`, change, dimension: 'mass', nominal: mass } as const;
    const stated = { tolerance: massTolerance, distribution: massDistribution };
    inputs.push(inputOf({ ...base, from, limits: positive(mass) }, stated));
  }
  const stated = { tolerance: atTolerance, distribution: atDistribution };
  const change = (axis: 0 | 1 | 2): Change => ({ kind: 'part place', part: index, axis });
  return [...inputs, ...placeInputs(name, at, stated, change, `parts > ${name} > at tolerance`)];
}

function loadInputs(load: Cart['loads'][number], index: number): readonly Input[] {
  const { name, at, atTolerance, atDistribution } = load;
  const stated = { tolerance: atTolerance, distribution: atDistribution };
  const change = (axis: 0 | 1 | 2): Change => ({ kind: 'load place', load: index, axis });
  return placeInputs(`load ${name}`, at, stated, change, `loads > ${name} > at tolerance`);
}

const AXES = ['forward place', 'sideways place', 'height'] as const;

/** Each coordinate by itself. Nothing lies below the floor. */
function placeInputs(
  name: string,
  at: Vec3,
  stated: Stated,
  change: (axis: 0 | 1 | 2) => Change,
  from: string,
): readonly Input[] {
  if (stated.tolerance === 0) return [];
  return ([0, 1, 2] as const).map((axis) => {
    const limits = axis === 2 ? atLeast(at[2], 0) : NO_LIMITS;
    const base = { name: `${AXES[axis]} of ${name}`, change: change(axis), from } as const;
    return inputOf({ ...base, dimension: 'length', nominal: at[axis], limits }, stated);
  });
}

/** One a tread: its castors roll on the same rubber and stand on the same floor. */
function frictionInput(entry: Cart['floor']['friction'][number], index: number): readonly Input[] {
  const { tread, value, tolerance, distribution, readings } = entry;
  if (tolerance === 0) return [];
  const base = {
    name: `friction of ${tread}`,
    change: { kind: 'friction', entry: index },
    dimension: 'ratio',
    nominal: value,
    from: `floor > friction > ${tread} > tolerance`,
    limits: positive(value),
  } as const;
  return [inputOf(base, { tolerance, distribution, readings })];
}

interface PropertyWords {
  readonly property: CastorProperty;
  readonly dimension: Dimension;
  /** least value, given the castor */
  readonly least: (castor: Castor, cart: Cart) => number;
}

/** m: the shortest trail of a castor that swivels (the limit of the cart file). */
const LEAST_TRAIL = 0.001;

const PROPERTIES: Readonly<Partial<Record<UncertainQuantity, PropertyWords>>> = {
  trail: { property: 'trail', dimension: 'length', least: () => LEAST_TRAIL },
  'wheel diameter': {
    property: 'wheelDiameter',
    dimension: 'length',
    // the floor's reaction stands inside the wheel
    least: ({ rollingLength }, { uncertainty }) =>
      2 * (rollingLength + 2 * toleranceOf(uncertainty['rolling length'], rollingLength)),
  },
  'swivel moment': { property: 'swivelMoment', dimension: 'moment', least: () => 0 },
  'rolling length': {
    property: 'rollingLength',
    dimension: 'length',
    least: ({ rollingLength }) => 1e-6 * rollingLength,
  },
  'brake torque': {
    property: 'brakeTorque',
    dimension: 'moment',
    least: ({ brakeTorque }) => 1e-6 * (brakeTorque ?? 0),
  },
  stiffness: {
    property: 'stiffness',
    dimension: 'stiffness',
    least: ({ stiffness }) => 1e-6 * stiffness,
  },
};

function toleranceOf(stated: StatedUncertainty | undefined, value: number): number {
  if (stated === undefined) return 0;
  return stated.relative ? stated.tolerance * value : stated.tolerance;
}

function castorInputs(cart: Cart): readonly Input[] {
  const { uncertainty } = cart;
  return Object.entries(uncertainty).flatMap(([key, stated]) => {
    const quantity = key as UncertainQuantity;
    if (stated === undefined) return [];
    if (quantity === 'castor places') return placesOfCastors(cart, stated);
    const words = PROPERTIES[quantity];
    return words === undefined ? [] : propertyInputs(cart, quantity, words, stated);
  });
}

/** Each stem is drilled or welded by itself. */
function placesOfCastors({ castors }: Cart, stated: StatedUncertainty): readonly Input[] {
  // the file's reader leaves room for four standard uncertainties, and no more
  const reach = 2 * stated.tolerance;
  return castors.flatMap(({ name, at }, castor) =>
    ([0, 1] as const).map((axis) =>
      inputOf(
        {
          name: `${AXES[axis]} of ${name} castor`,
          change: { kind: 'castor place', castor, axis },
          dimension: 'length',
          nominal: at[axis],
          from: 'uncertainty > castor places',
          limits: { least: -reach, most: reach },
        },
        stated,
      ),
    ),
  );
}

/** One for all castors that are alike: they come from one batch, and what is off is off in all. Were
 * each taken by itself, their errors would average out and the cart would look better known. */
function propertyInputs(
  cart: Cart,
  quantity: UncertainQuantity,
  { property, dimension, least }: PropertyWords,
  stated: StatedUncertainty,
): readonly Input[] {
  const groups = new Map<string, number[]>();
  cart.castors.forEach((castor, index) => {
    // none: a brake that outlasts the tread, the trail of a fixed castor
    if (!castor[property]) return;
    const key = typeKey(castor, property);
    groups.set(key, [...(groups.get(key) ?? []), index]);
  });
  return [...groups.values()].flatMap((castors) => {
    const first = cart.castors[castors[0] ?? -1];
    if (first === undefined) return [];
    const nominal = first[property] ?? 0;
    const tolerance = toleranceOf(stated, nominal);
    const base = {
      name: `${quantity} of ${groupName(cart, castors)}`,
      change: { kind: 'castor property', castors, property },
      dimension,
      nominal,
      from: `uncertainty > ${quantity}`,
      limits: atLeast(nominal, least(first, cart)),
    } as const;
    return [inputOf(base, { tolerance, distribution: stated.distribution })];
  });
}

/** Castors of one type are alike in all that the type brings. */
function typeKey(castor: Castor, property: CastorProperty): string {
  const { wheelDiameter, trail, swivelMoment, rollingLength, rating, stiffness, tread } = castor;
  const type = { wheelDiameter, trail, swivelMoment, rollingLength, rating, stiffness, tread };
  return JSON.stringify({ ...type, own: castor[property] });
}

/** Names listed before the rest is only counted. */
const MOST_NAMES = 3;

function groupName({ castors }: Cart, group: readonly number[]): string {
  if (group.length === castors.length) return 'all castors';
  const swivelling = castors.filter(({ fixedDirection }) => fixedDirection === null);
  const members = group.flatMap((index) => castors[index] ?? []);
  const swivels = members.every(({ fixedDirection }) => fixedDirection === null);
  if (swivels && members.length === swivelling.length) return 'all swivelling castors';
  if (!swivels && members.length === castors.length - swivelling.length) return 'all fixed castors';
  const names = members.map(({ name }) => name);
  const [last] = names.slice(-1);
  if (names.length === 1) return `${last} castor`;
  if (names.length <= MOST_NAMES) return `${names.slice(0, -1).join(', ')} and ${last} castors`;
  return `${names.slice(0, MOST_NAMES - 1).join(', ')} and ${names.length - MOST_NAMES + 1} more castors`;
}

const CONDITIONS: Readonly<Record<TestCondition, Dimension>> = {
  'ramp angle': 'angle',
  'floor slope': 'angle',
  'push force': 'force',
  'push height': 'length',
};

/** A test that asks for less than a tenth of what it should is none. */
const LEAST_ASKED = 0.1;

/** Offsets beyond which a condition makes no sense. */
function conditionLimits(condition: TestCondition, cart: Cart, set: RequirementSet): Limits {
  switch (condition) {
    case 'floor slope':
      return NO_LIMITS;
    case 'push height':
      // the top of a body, which carries the push, stays above its bottom
      return atLeast(Math.min(...cart.outline.map(heightOf)), 1e-6);
    case 'ramp angle':
      return scaledLimits(valuesOf(set, 'incline'));
    case 'push force':
      return scaledLimits(pushesAsked(cart, set));
  }
}

function scaledLimits(asked: readonly number[]): Limits {
  const least = Math.min(...asked);
  return Number.isFinite(least) ? atLeast(least, LEAST_ASKED * least) : NO_LIMITS;
}

function heightOf({ shape }: Cart['outline'][number]): number {
  return shape.kind === 'box' ? shape.to[2] - shape.from[2] : shape.height;
}

function valuesOf(set: RequirementSet, id: string): readonly number[] {
  return set.clauses.flatMap(({ values }) =>
    values.flatMap((value) => (value.id === id ? [value.value] : [])),
  );
}

/** N: no load makes the cart lighter than its parts. */
function pushesAsked({ parts }: Cart, set: RequirementSet): readonly number[] {
  const weight = STANDARD_GRAVITY * parts.reduce((sum, { mass }) => sum + mass, 0);
  const fractions = valuesOf(set, 'weight-fraction').map((fraction) => fraction * weight);
  return [...fractions, ...valuesOf(set, 'force-cap')];
}

function testInputs(cart: Cart, set: RequirementSet): readonly Input[] {
  const { uncertainty } = cart;
  return Object.entries(CONDITIONS).flatMap(([key, dimension]) => {
    const condition = key as TestCondition;
    const stated = uncertainty[condition];
    if (stated === undefined) return [];
    const base = {
      name: condition,
      change: { kind: 'test', condition },
      dimension,
      nominal: null,
      from: `uncertainty > ${condition}`,
      limits: conditionLimits(condition, cart, set),
    } as const;
    return [inputOf(base, stated)];
  });
}
