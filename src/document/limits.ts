/**
 * What a cart can plausibly be: one table, so that a slipped decimal point or a wrong unit is seen at
 * once. The limits are ours, set wide (common practice, no source): they are meant to catch slips,
 * not to judge designs.
 */

import type { Dimension } from '../units/index.js';
import type { UncertainQuantity } from './cart.js';

export interface QuantityLimit {
  readonly dimension: Dimension;
  /** SI */
  readonly least: number;
  /** SI */
  readonly most: number;
  /** true: the least value itself is not allowed */
  readonly moreThanLeast: boolean;
  /** the limits as people say them */
  readonly words: string;
  /** one value as people write it */
  readonly example: string;
}

const DEGREE = Math.PI / 180;

function limit(
  dimension: Dimension,
  least: number,
  most: number,
  words: string,
  example: string,
): QuantityLimit {
  const moreThanLeast = words.startsWith('more than');
  return { dimension, least, most, moreThanLeast, words, example };
}

export const QUANTITY_LIMITS = {
  partMass: limit('mass', 0, 5000, 'more than 0 kg, at most 5000 kg', '18.5 kg'),
  massTolerance: limit('mass', 0, 5000, 'from 0 kg to 5000 kg', '0.2 kg'),
  loadMass: limit('mass', 0, 5000, 'from 0 kg to 5000 kg', '3 kg'),
  coordinate: limit('length', -10, 10, 'from -10 m to 10 m', '120 mm'),
  lengthTolerance: limit('length', 0, 1, 'from 0 m to 1 m', '5 mm'),
  height: limit('length', 0, 10, 'from 0 m to 10 m', '100 mm'),
  extent: limit('length', 0, 10, 'more than 0 m, at most 10 m', '1.2 m'),
  slide: limit('length', -10, 10, 'from -10 m to 10 m', '400 mm'),
  turn: limit('angle', -360 * DEGREE, 360 * DEGREE, 'from -360 deg to 360 deg', '90 deg'),
  direction: limit('angle', -360 * DEGREE, 360 * DEGREE, 'from -360 deg to 360 deg', '0 deg'),
  wheelDiameter: limit('length', 0.01, 1, 'from 10 mm to 1 m', '100 mm'),
  trail: limit('length', 0, 0.5, 'from 0 mm to 500 mm', '32 mm'),
  swivelMoment: limit('moment', 0, 100, 'from 0 Nm to 100 Nm', '0.3 Nm'),
  rollingLength: limit('length', 0, 0.05, 'more than 0 mm, at most 50 mm', '2.2 mm'),
  stiffness: limit('stiffness', 1e3, 1e9, 'from 1 N/mm to 1000000 N/mm', '400 N/mm'),
  castorRating: limit('mass', 0, 5000, 'more than 0 kg, at most 5000 kg', '60 kg'),
  brakeTorque: limit('moment', 0, 1000, 'more than 0 Nm, at most 1000 Nm', '12 Nm'),
  handleRating: limit('force', 0, 1e6, 'more than 0 N, at most 1000000 N', '900 N'),
} as const;

/** Of a tolerance in the section `uncertainty`. */
export const UNCERTAINTY_LIMITS = {
  trail: limit('length', 0, 0.1, 'more than 0 mm, at most 100 mm', '1 mm'),
  'castor places': limit('length', 0, 0.1, 'more than 0 mm, at most 100 mm', '1 mm'),
  'wheel diameter': limit('length', 0, 0.1, 'more than 0 mm, at most 100 mm', '0.5 mm'),
  'swivel moment': limit('moment', 0, 100, 'more than 0 Nm, at most 100 Nm', '0.1 Nm'),
  'rolling length': limit('length', 0, 0.05, 'more than 0 mm, at most 50 mm', '0.4 mm'),
  'brake torque': limit('moment', 0, 1000, 'more than 0 Nm, at most 1000 Nm', '1 Nm'),
  stiffness: limit('stiffness', 0, 1e9, 'more than 0 N/mm, at most 1000000 N/mm', '50 N/mm'),
  'ramp angle': limit('angle', 0, 2 * DEGREE, 'more than 0 deg, at most 2 deg', '0.1 deg'),
  'floor slope': limit('angle', 0, 2 * DEGREE, 'more than 0 deg, at most 2 deg', '0.2 deg'),
  'push force': limit('force', 0, 50, 'more than 0 N, at most 50 N', '1 N'),
  'push height': limit('length', 0, 0.5, 'more than 0 mm, at most 500 mm', '5 mm'),
} as const satisfies Record<UncertainQuantity, QuantityLimit>;

/** A tolerance as a share of the value it belongs to. */
export const SHARE_LIMIT: QuantityLimit = limit(
  'ratio',
  0,
  0.9,
  'more than 0 %, at most 90 %',
  '10 %',
);

export interface NumberLimit {
  readonly least: number;
  readonly most: number;
  readonly moreThanLeast: boolean;
  readonly words: string;
}

export const NUMBER_LIMITS = {
  friction: { least: 0, most: 2, moreThanLeast: true, words: 'more than 0, at most 2' },
  frictionTolerance: { least: 0, most: 2, moreThanLeast: false, words: 'from 0 to 2' },
  readings: { least: 4, most: 1000, moreThanLeast: false, words: 'whole, from 4 to 1000' },
  axisComponent: { least: -1000, most: 1000, moreThanLeast: false, words: 'from -1000 to 1000' },
} as const satisfies Record<string, NumberLimit>;

/** How many of each a cart file may list. */
export const COUNT_LIMITS = {
  parts: 5000,
  movers: 64,
  loads: 200,
  'castor types': 100,
  castors: 200,
  friction: 100,
  outline: 1000,
  surfaces: 200,
  handles: 200,
  positions: 100,
  stops: 1000,
  'lock directions': 64,
} as const;

export const LEAST_CASTORS = 3;

/** A trail below this is no swivelling castor: the side force it passes is the swivel moment over the
 * trail. m */
export const LEAST_SWIVEL_TRAIL = 0.001;

/** Castor stems all within this of one line (or of one point) give no support. m */
export const LEAST_CASTOR_SPREAD = 0.001;

export const LONGEST_NAME = 80;
export const LONGEST_TEXT = 2000;

export function isWithin(value: number, limits: NumberLimit): boolean {
  return (
    value <= limits.most && (limits.moreThanLeast ? value > limits.least : value >= limits.least)
  );
}

/** Of a study: weeks of work for a machine, its marks of blocks a few megabytes, and every index well
 * within the 32 bits that databases keep it in. */
export const MOST_VARIANTS = 100_000_000;

export const STUDY_LIMITS = {
  factors: 20,
  options: 2000,
  cost: { least: 0, most: 1e9, moreThanLeast: false, words: 'from 0 to 1000000000' },
  values: { least: 1, most: 2000, moreThanLeast: false, words: 'whole, from 1 to 2000' },
  proofs: { least: 0, most: 1000, moreThanLeast: false, words: 'whole, from 0 to 1000' },
  margin: limit('ratio', 0, 10, 'from 0 % to 1000 %', '10 %'),
} as const;
