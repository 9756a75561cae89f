/** The words of a requirement set: which questions there are, which values each needs, and what a
 * value of each id may be. */

import type { Condition, Question, RequirementValue } from './requirement-set.js';

export type QuestionKind = Question['kind'];

/** Conditions without a number; the others follow from a clause's values and surfaces. */
export type PlainCondition = Extract<
  Condition['kind'],
  'mobile' | 'has castors' | 'may be pushed' | 'has locks' | 'has lifting handles'
>;

export const PLAIN_CONDITIONS = [
  'mobile',
  'has castors',
  'may be pushed',
  'has locks',
  'has lifting handles',
] as const satisfies readonly PlainCondition[];

export const BASES = ['seen', 'secondary', 'common practice', 'memory'] as const;
export const POSITIONS = ['transport', 'use', 'all'] as const;
export const SURFACES = ['foothold', 'seat', 'work surface'] as const;
export const CASTOR_TESTS = ['ratings', 'balance'] as const;

interface Limits {
  readonly least: number;
  /** false: more than `least` */
  readonly mayBeLeast: boolean;
  readonly most: number;
  readonly example: string;
}

/** Written as text with a unit. */
export interface QuantityKind extends Limits {
  readonly written: 'quantity';
  readonly dimension: Exclude<RequirementValue['dimension'], 'count'>;
}

/** Written as a bare number: a factor, or a whole number that counts. */
export interface NumberKind extends Limits {
  readonly written: 'number';
  readonly dimension: 'ratio' | 'count';
}

/** What a value of an id may be. Limits in SI. */
export type ValueKind = QuantityKind | NumberKind;

type Quantified = QuantityKind['dimension'];

function above(dimension: Quantified, least: number, most: number, example: string): QuantityKind {
  return { dimension, written: 'quantity', least, mayBeLeast: false, most, example };
}

function from(dimension: Quantified, least: number, most: number, example: string): QuantityKind {
  return { dimension, written: 'quantity', least, mayBeLeast: true, most, example };
}

function factor(most: number, example: string): NumberKind {
  return { dimension: 'ratio', written: 'number', least: 0, mayBeLeast: false, most, example };
}

function count(least: number, most: number, example: string): NumberKind {
  return { dimension: 'count', written: 'number', least, mayBeLeast: true, most, example };
}

const QUARTER_PI = Math.PI / 4;

// The limits keep out slips of unit and of decimal places; no standard comes near them.
export const VALUE_KINDS = {
  incline: above('angle', 0, QUARTER_PI, '10 deg'),
  'mark-incline': above('angle', 0, QUARTER_PI, '10 deg'),
  'weight-fraction': above('ratio', 0, 1, '15 %'),
  'force-cap': above('force', 0, 10_000, '150 N'),
  'down-fraction': above('ratio', 0, 1, '50 %'),
  'down-cap': above('force', 0, 10_000, '100 N'),
  force: above('force', 0, 10_000, '800 N'),
  'force-limit': above('force', 0, 10_000, '200 N'),
  'greatest-height': above('length', 0, 10, '1.5 m'),
  'patch-length': from('length', 0, 2, '20 cm'),
  'patch-width': from('length', 0, 2, '20 cm'),
  'foothold-patch-width': from('length', 0, 2, '5 cm'),
  'step-height': above('length', 0, 0.2, '10 mm'),
  'step-width': above('length', 0, 2, '80 mm'),
  speed: above('speed', 0, 10, '0.8 m/s'),
  'speed-tolerance': from('speed', 0, 5, '0.1 m/s'),
  passes: count(1, 1000, '10'),
  movement: above('length', 0, 1, '50 mm'),
  'floor-covering-least': from('length', 0, 0.1, '2 mm'),
  'floor-covering-most': above('length', 0, 0.1, '4 mm'),
  factor: factor(100, '4'),
  'castors-removed': count(1, 1, '1'),
  'grip-width': above('length', 0, 1, '7 cm'),
  duration: above('time', 0, 3600, '1 min'),
  'mass-at-least': from('mass', 0, 10_000, '25 kg'),
  'mass-above': from('mass', 0, 10_000, '45 kg'),
  'height-at-least': from('length', 0, 10, '1 m'),
} as const satisfies Readonly<Record<string, ValueKind>>;

export type ValueId = keyof typeof VALUE_KINDS;

export const VALUE_IDS = Object.keys(VALUE_KINDS) as readonly ValueId[];

export function isValueId(id: string): id is ValueId {
  return Object.hasOwn(VALUE_KINDS, id);
}

type Titles = Readonly<Partial<Record<ValueId, string>>>;

export interface QuestionWords {
  /** what is asked, in a few words */
  readonly about: string;
  readonly required: Titles;
  readonly optional: Titles;
  /** the further field that a clause with this question carries */
  readonly field: 'positions' | 'surfaces' | 'test' | null;
}

const HORIZONTAL: Titles = {
  'weight-fraction': 'horizontal force as a share of the weight',
  'force-cap': 'greatest horizontal force',
  'greatest-height': 'greatest height of the force above the floor',
};

const FLOOR_COVERING: Titles = {
  'floor-covering-least': 'least thickness of the vinyl on the hard floor',
  'floor-covering-most': 'greatest thickness of the vinyl on the hard floor',
};

const MOVEMENT: Titles = {
  movement: 'greatest movement, after the initial elastic one',
};

export const QUESTIONS: Readonly<Record<QuestionKind, QuestionWords>> = {
  overbalance: {
    about: 'whether the cart tips on an incline',
    required: { incline: 'angle of the incline' },
    optional: { 'mark-incline': 'angle up to which a cart that tips needs a marking' },
    field: 'positions',
  },
  'horizontal force': {
    about: 'whether the cart tips under a push while a low stop keeps it from sliding',
    required: HORIZONTAL,
    optional: {},
    field: null,
  },
  'downward force': {
    about: 'whether the cart tips under a downward force on a surface',
    required: {
      force: 'downward force',
      'patch-length': 'length of the area the force is spread over',
      'patch-width': 'width of the area the force is spread over',
      'greatest-height': 'greatest height of the surface above the floor',
    },
    optional: { 'foothold-patch-width': 'width of that area on a foothold' },
    field: 'surfaces',
  },
  'combined force': {
    about: 'whether the cart tips under a push and a downward force together',
    required: {
      ...HORIZONTAL,
      'down-fraction': 'downward force as a share of the weight',
      'down-cap': 'greatest downward force',
    },
    optional: {},
    field: null,
  },
  propulsion: {
    about: 'the force that moves the cart',
    required: {
      'force-limit': 'greatest force needed to move the cart',
      'greatest-height': 'height of the force above the floor, or the top if lower',
    },
    optional: { speed: 'speed of the cart', 'speed-tolerance': 'tolerance of that speed' },
    field: null,
  },
  threshold: {
    about: 'whether the cart passes over a threshold',
    required: {
      'step-height': 'height of the threshold',
      speed: 'speed of the cart',
      'speed-tolerance': 'tolerance of that speed',
    },
    optional: { 'step-width': 'width of the threshold', passes: 'number of passes' },
    field: null,
  },
  'holding on incline': {
    about: 'whether the cart with its locks on stays where it is on an incline',
    required: { incline: 'angle of the incline', ...MOVEMENT },
    optional: FLOOR_COVERING,
    field: 'positions',
  },
  'holding against push': {
    about: 'whether the cart with its locks on stays where it is under a push',
    required: { ...HORIZONTAL, ...MOVEMENT },
    optional: FLOOR_COVERING,
    field: null,
  },
  'castor load': {
    about: 'the load on each castor against its rating',
    required: { factor: 'multiple of its load that a castor is rated for' },
    optional: {},
    field: null,
  },
  'castor missing': {
    about: 'the cart with one castor left out of account',
    required: {},
    optional: { 'castors-removed': 'number of castors left out of account' },
    field: 'test',
  },
  handles: {
    about: 'the strength of the handles for lifting',
    required: { factor: 'multiple of the weight that the handles bear' },
    optional: {
      'grip-width': 'length of the handle over which the force acts',
      duration: 'time that the force acts',
    },
    field: null,
  },
};

export const QUESTION_KINDS = Object.keys(QUESTIONS) as readonly QuestionKind[];

/** Values that any clause may carry: the thresholds from which it is asked. */
export const THRESHOLDS: Titles = {
  'mass-at-least': 'asked from this mass on',
  'mass-above': 'asked above this mass',
  'height-at-least': 'asked from this height on',
};

/** Title of every value that a clause with this question may carry, in the order they are listed. */
export function titlesOf(question: QuestionKind): Titles {
  const { required, optional } = QUESTIONS[question];
  return { ...THRESHOLDS, ...required, ...optional };
}
