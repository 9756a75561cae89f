/** The study file of version 1, field by field. Keys are plain words with spaces. */

import { loadState, OUTLASTS_THE_TREAD, point } from './cart-shape.js';
import { NUMBER_LIMITS, QUANTITY_LIMITS, STUDY_LIMITS } from './limits.js';
import type { Shape } from './shape.js';
import {
  bareNumber,
  choice,
  list,
  located,
  namedEntries,
  nameText,
  object,
  optional,
  patternText,
  quantity,
  quantityOr,
  required,
  scalarOr,
  versionField,
  wholeNumber,
} from './shape.js';
import type { YamlNode } from './yaml-tree.js';

const cost = bareNumber(STUDY_LIMITS.cost);
const costOfOption = optional(cost, 'What this option costs; left out: as the factor says.');
const label = required(nameText, 'What tables call this option: unique in its factor.');

/** A value that is read when it is known what it is of. */
export interface Deferred {
  readonly node: YamlNode;
  readonly path: string;
}

function deferred(shape: Shape<unknown>): Shape<Deferred> {
  return { schema: shape.schema, due: shape.due, read: (node, path) => ({ node, path }) };
}

/** Values of one thing: a list of them, or evenly spaced ones. */
function seriesOf(value: Shape<number>) {
  const spaced = object('evenly spaced values {from, to, values}', {
    from: required(value, 'The first value.'),
    to: required(value, 'The last value.'),
    values: required(wholeNumber(STUDY_LIMITS.values), 'How many, both ends counted.'),
  });
  const listed = list(located(value), { least: 1, most: STUDY_LIMITS.values.most });
  return mapOr(spaced, listed);
}

/** One shape where a map stands, another elsewhere. */
function mapOr<A, B>(map: Shape<A>, other: Shape<B>): Shape<A | B> {
  return {
    schema: { anyOf: [map.schema, other.schema] },
    due: `${other.due}; or ${map.due}`,
    read: (node, path, log) =>
      node.kind === 'map' ? map.read(node, path, log) : other.read(node, path, log),
  };
}

export const lengthSeries = seriesOf(quantity(QUANTITY_LIMITS.slide));
export const angleSeries = seriesOf(quantity(QUANTITY_LIMITS.turn));
const massSeries = seriesOf(quantity(QUANTITY_LIMITS.loadMass));

const lockWords = choice(['none', 'wheel', 'directional', 'total']);
const brakeTorque = quantityOr(OUTLASTS_THE_TREAD, QUANTITY_LIMITS.brakeTorque);
const brakeTorqueField = optional(
  brakeTorque,
  'What a brake holds, of castors that the cart file states none for; or: outlasts the tread.',
);

export const lockSetting = scalarOr(
  lockWords,
  object('a lock {lock, brake torque, lock directions}', {
    lock: required(lockWords, 'What the lock stops.'),
    'brake torque': optional(brakeTorque, 'What the brake holds, or: outlasts the tread.'),
    'lock directions': optional(
      list(quantity(QUANTITY_LIMITS.direction), { least: 1, most: 64 }),
      'The only swivel angles at which it engages.',
    ),
  }),
);

const castorNames = optional(
  list(located(nameText), { least: 1, most: 200 }),
  'The castors it is about; left out: all.',
);

const lockLayouts = object('lock layouts {layouts}', {
  'brake torque': brakeTorqueField,
  layouts: required(
    list(
      object('a lock layout', {
        name: label,
        cost: costOfOption,
        locks: required(
          namedEntries(lockSetting.schema, 'castors with their lock each; {} for none'),
          'The lock of each castor by name; castors left out have none.',
        ),
      }),
      { least: 1, most: STUDY_LIMITS.options },
    ),
    'The layouts.',
  ),
});

const everyLock = object('every lock {locks, castors}', {
  castors: castorNames,
  locks: required(
    list(located(lockWords), { least: 1, most: 4 }),
    'The kinds that each of these castors may have; every combination is one option.',
  ),
  'brake torque': brakeTorqueField,
  'cost of a lock': optional(cost, 'Of every castor that has one.'),
});

const frictionOfTread = object('the friction of a tread', {
  tread: required(nameText, 'The tread it is for.'),
  value: required(bareNumber(NUMBER_LIMITS.friction), 'Static coefficient on the floor.'),
  tolerance: required(bareNumber(NUMBER_LIMITS.frictionTolerance), 'Half-width; below the value.'),
  basis: required(choice(['assumed', 'measured']), 'Where the value comes from.'),
});

/** What a file that a study names is called. */
function fileBeside(ending: string, example: string): Shape<string> {
  const form = `^(?![\\\\/])(?!.*(?:^|/)\\.\\.?(?:/|$))[^\\\\:]{1,200}\\.(?:${ending})$`;
  return patternText(new RegExp(form), `a file beside or below the study file, such as ${example}`);
}

export const catalogueFile = fileBeside('csv|CSV', 'castors.csv');

const catalogue = object('a castor catalogue {file, rows, castors, mass of}', {
  file: required(catalogueFile, 'The catalogue: CSV, one row a castor, units in the headings.'),
  rows: optional(
    list(located(nameText), { least: 1, most: STUDY_LIMITS.options }),
    'The rows by name; left out: all.',
  ),
  castors: castorNames,
  'mass of': optional(nameText, 'The part whose mass is that of these castors together.'),
  friction: optional(
    list(frictionOfTread, { least: 0, most: 100 }),
    'Of treads that the cart file gives none for.',
  ),
});

const outwards = object('castors moved outwards {by, castors}', {
  by: required(lengthSeries, 'How far each is moved from the middle line; negative: inwards.'),
  castors: castorNames,
});

const ballast = object('ballast {name, mass, at, on}', {
  name: optional(nameText, 'What the part is called; left out: ballast.'),
  mass: required(massSeries, 'Its mass; 0 kg: there is none.'),
  at: required(point, 'Its centre of mass with every mover at zero.'),
  on: optional(nameText, 'The mover that carries it; left out: the base.'),
  'cost per kg': optional(cost, 'Left out: as the factor says.'),
});

const payload = object('a payload', {
  name: label,
  cost: costOfOption,
  parts: optional(
    namedEntries(quantity(QUANTITY_LIMITS.partMass).schema, 'parts with their mass each'),
    'Masses of parts by name.',
  ),
  loads: optional(
    namedEntries(loadState.schema, 'loads with absent, full or {least, most} each'),
    'States of loads by name, in every position.',
  ),
});

const moverSeries = deferred(lengthSeries);
const limit = object(
  'a limit {mover, position, at most}',
  {
    mover: required(nameText, 'The mover that is limited.'),
    position: optional(nameText, 'The position it is limited in; left out: all.'),
    'at most': optional(moverSeries, 'Greatest values that are tried.'),
    'at least': optional(moverSeries, 'Least values that are tried.'),
  },
  {
    oneOf: {
      fields: ['at most', 'at least'],
      missing: 'missing-field',
      allowed: 'either at most: [...] or at least: [...]',
    },
  },
);

const signs = object('signs on the cart', {
  name: label,
  cost: costOfOption,
  signs: required(
    list(choice(['no pushing', 'no sitting', 'no stepping']), { least: 0, most: 3 }),
    'Added to those that the cart file has.',
  ),
});

const floor = object('friction of treads', {
  name: label,
  cost: costOfOption,
  friction: required(list(frictionOfTread, { least: 1, most: 100 }), 'One entry a tread.'),
});

const KINDS = [
  'lock layouts',
  'every lock',
  'castor catalogue',
  'widen',
  'lengthen',
  'ballast',
  'payloads',
  'limit',
  'markings',
  'friction',
] as const;

const options = { least: 1, most: STUDY_LIMITS.options };

const factor = object(
  'a factor',
  {
    name: required(nameText, 'What varies: unique in the study.'),
    cost: optional(cost, 'Of every option that states none itself.'),
    'lock layouts': optional(lockLayouts, 'Which castors lock, layout by layout.'),
    'every lock': optional(everyLock, 'Every lock of these kinds on these castors.'),
    'castor catalogue': optional(catalogue, 'Castors from a catalogue.'),
    widen: optional(outwards, 'Castors moved outwards across the cart (y).'),
    lengthen: optional(outwards, 'Castors moved outwards along the cart (x).'),
    ballast: optional(ballast, 'A part added.'),
    payloads: optional(list(payload, options), 'Sets of masses and loads.'),
    limit: optional(limit, 'How far a mover may go.'),
    markings: optional(list(signs, options), 'Signs fixed to the cart.'),
    friction: optional(list(floor, options), 'Friction of treads.'),
  },
  {
    oneOf: {
      fields: KINDS,
      missing: 'missing-field',
      allowed: `one of ${KINDS.join(', ')}`,
    },
  },
);

const AIMS = [
  'least mass',
  'least width',
  'least length',
  'least cost',
  'greatest margin',
  'greatest width',
  'greatest length',
] as const;

/** The key by which a file says that it is a study file, and of which version. */
export const STUDY_VERSION_KEY = 'standstill study';
export const STUDY_VERSION = 1;

export const studyShape = object('a study', {
  [STUDY_VERSION_KEY]: required(versionField(STUDY_VERSION), 'Version of the study file.'),
  name: required(nameText, 'What the study is called.'),
  cart: required(fileBeside('yaml|yml', 'trolley.cart.yaml'), 'The cart that varies.'),
  requirements: optional(
    patternText(/^[a-z0-9][a-z0-9.-]{0,79}$/, 'the id of a requirement set'),
    'The set to check against; left out: the one that the cart file names.',
  ),
  findings: optional(
    list(located(nameText), { least: 1, most: 1000 }),
    'Ids of the findings looked at; left out: all.',
  ),
  margin: required(
    quantity(STUDY_LIMITS.margin),
    'What every finding must have on top of what is asked, as a share of it.',
  ),
  vary: required(list(factor, { least: 1, most: STUDY_LIMITS.factors }), 'What varies.'),
  wanted: required(
    list(located(choice(AIMS)), { least: 1, most: AIMS.length }),
    'What makes one variant that passes better than another.',
  ),
  currency: optional(nameText, 'Of all costs.'),
  proofs: required(wholeNumber(STUDY_LIMITS.proofs), 'Of how many variants at most is proven.'),
});

type DraftOf<S> = S extends Shape<infer T> ? T : never;

export type StudyDraft = DraftOf<typeof studyShape>;
export type FactorDraft = DraftOf<typeof factor>;
export type SeriesDraft = DraftOf<typeof lengthSeries>;
export type LockSetting = DraftOf<typeof lockSetting>;
export type LockLayoutsDraft = DraftOf<typeof lockLayouts>;
export type EveryLockDraft = DraftOf<typeof everyLock>;
export type CatalogueDraft = DraftOf<typeof catalogue>;
export type OutwardsDraft = DraftOf<typeof outwards>;
export type BallastDraft = DraftOf<typeof ballast>;
export type PayloadDraft = DraftOf<typeof payload>;
export type LimitDraft = DraftOf<typeof limit>;
export type SignsDraft = DraftOf<typeof signs>;
export type FloorFrictionDraft = DraftOf<typeof floor>;
export type TreadFrictionDraft = DraftOf<typeof frictionOfTread>;
