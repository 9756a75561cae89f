/** The cart file of version 1, field by field. Keys are plain words with spaces. */

import type { UncertainQuantity } from './cart.js';
import type { QuantityLimit } from './limits.js';
import {
  COUNT_LIMITS,
  LEAST_CASTORS,
  NUMBER_LIMITS,
  QUANTITY_LIMITS,
  SHARE_LIMIT,
  UNCERTAINTY_LIMITS,
} from './limits.js';
import type { Shape, ValueOrShare } from './shape.js';
import {
  bareNumber,
  choice,
  flag,
  freeText,
  list,
  located,
  namedEntries,
  nameText,
  object,
  optional,
  pair,
  patternText,
  quantity,
  quantityOr,
  quantityOrShare,
  required,
  scalarOr,
  triple,
  versionField,
  wholeNumber,
} from './shape.js';

const coordinate = quantity(QUANTITY_LIMITS.coordinate);
export const point = triple(coordinate, 'a point [x, y, z], each a length with its unit');
const floorPoint = pair(coordinate, 'a point [x, y], each a length with its unit');

const name = required(nameText, 'What it is called: unique among its kind, letter case ignored.');
const on = optional(nameText, 'The mover that carries it; left out: the base.');
const atTolerance = optional(
  quantity(QUANTITY_LIMITS.lengthTolerance),
  'Half-width of the interval that each coordinate lies in; left out: none stated.',
);

const distributions = choice(['rectangular', 'triangular', 'normal']);
const distribution = optional(
  distributions,
  'How the tolerance is meant: anywhere within it (rectangular, also where left out), more likely near the middle (triangular), or as two standard uncertainties (normal).',
);

const part = object(
  'a part',
  {
    name,
    mass: optional(quantity(QUANTITY_LIMITS.partMass), 'Its mass.'),
    'from list': optional(
      nameText,
      'The row of the parts list that gives its mass (times quantity).',
    ),
    'mass tolerance': optional(
      quantity(QUANTITY_LIMITS.massTolerance),
      'Half-width of the interval that the mass lies in; left out: none stated.',
    ),
    'mass tolerance distribution': distribution,
    at: optional(point, 'Its centre of mass with every mover at zero.'),
    'at tolerance': atTolerance,
    'at tolerance distribution': distribution,
    on,
  },
  {
    oneOf: {
      fields: ['mass', 'from list'],
      missing: 'missing-mass',
      allowed: `either mass (${quantity(QUANTITY_LIMITS.partMass).due}) or from list (a row of the parts list)`,
    },
  },
);

const axisWords = choice(['forward', 'back', 'left', 'right', 'up', 'down']);
const axisNumbers = triple(
  bareNumber(NUMBER_LIMITS.axisComponent),
  'a direction [x, y, z] in numbers without a unit',
);
const axis = required(
  scalarOr(axisWords, axisNumbers),
  'Its direction: a word, or [x, y, z] in numbers.',
);

const slideValue = quantity(QUANTITY_LIMITS.slide);
const turnValue = quantity(QUANTITY_LIMITS.turn);

function stopsOf(value: Shape<number>) {
  const stops = list(located(value), { least: 1, most: COUNT_LIMITS.stops });
  return optional(stops, 'The only values that it can hold; left out: any in its range.');
}

const slide = object('a slide with axis, from and to', {
  axis,
  from: required(slideValue, 'Least value.'),
  to: required(slideValue, 'Greatest value.'),
  stops: stopsOf(slideValue),
});

const turn = object('a turn with about, axis, from and to', {
  about: required(point, 'A point of the axis.'),
  axis,
  from: required(turnValue, 'Least value; positive by the right-hand rule about the axis.'),
  to: required(turnValue, 'Greatest value.'),
  stops: stopsOf(turnValue),
});

const mover = object(
  'a mover',
  {
    name,
    on,
    slide: optional(slide, 'It moves what it carries along an axis.'),
    turn: optional(turn, 'It turns what it carries about an axis.'),
  },
  {
    oneOf: {
      fields: ['slide', 'turn'],
      missing: 'missing-field',
      allowed: 'either slide: {axis, from, to} or turn: {about, axis, from, to}',
    },
  },
);

const massRange = object('a range of mass {least, most}', {
  least: required(quantity(QUANTITY_LIMITS.loadMass), 'Least mass.'),
  most: required(quantity(QUANTITY_LIMITS.loadMass), 'Greatest mass.'),
});

const load = object(
  'a load',
  {
    name,
    fluid: optional(massRange, 'Any mass from least to most.'),
    removable: optional(massRange, 'Absent, or any mass from least to most.'),
    at: required(point, 'Its centre of mass with every mover at zero.'),
    'at tolerance': atTolerance,
    'at tolerance distribution': distribution,
    on,
  },
  {
    oneOf: {
      fields: ['fluid', 'removable'],
      missing: 'missing-mass',
      allowed: 'either fluid: {least, most} or removable: {least, most}, masses with their units',
    },
  },
);

export const OUTLASTS_THE_TREAD = 'outlasts the tread';
export const NOT_STATED = 'not stated';

/** Of a castor type, and of a row of a catalogue. */
export const castorTypeFields = {
  name,
  'wheel diameter': required(quantity(QUANTITY_LIMITS.wheelDiameter), 'Diameter of the wheel.'),
  trail: optional(
    quantity(QUANTITY_LIMITS.trail),
    'How far the contact trails behind the stem; needed unless every castor of the type is fixed.',
  ),
  'swivel moment': optional(
    quantity(QUANTITY_LIMITS.swivelMoment),
    'Moment that resists swivelling; needed unless every castor of the type is fixed.',
  ),
  'rolling length': required(
    quantity(QUANTITY_LIMITS.rollingLength),
    'Rolling resistance: the rolling force is load x rolling length / wheel radius.',
  ),
  stiffness: required(
    quantity(QUANTITY_LIMITS.stiffness),
    'Vertical stiffness of castor and mount.',
  ),
  rating: required(
    quantityOr(NOT_STATED, QUANTITY_LIMITS.castorRating),
    'Load it is rated for, or: not stated.',
  ),
  tread: required(nameText, 'The tread, which floor > friction gives a value for.'),
} as const;

const castorType = object('a castor type', castorTypeFields);

const direction = quantity(QUANTITY_LIMITS.direction);

const castor = object('a castor', {
  name,
  type: required(nameText, 'One of the castor types.'),
  at: required(floorPoint, 'The stem on the floor plane; of a fixed castor, its contact.'),
  fixed: optional(direction, 'A castor that does not swivel: its rolling direction, from x to y.'),
  lock: required(choice(['none', 'wheel', 'directional', 'total']), 'What its lock stops.'),
  'brake torque': optional(
    quantityOr(OUTLASTS_THE_TREAD, QUANTITY_LIMITS.brakeTorque),
    'With a wheel or total lock: what the brake holds, or: outlasts the tread.',
  ),
  'lock directions': optional(
    list(direction, { least: 1, most: COUNT_LIMITS['lock directions'] }),
    'The only swivel angles at which a directional or total lock engages; left out: any.',
  ),
});

const friction = object('a friction value', {
  tread: required(nameText, 'The tread it is for.'),
  value: required(bareNumber(NUMBER_LIMITS.friction), 'Static coefficient on this floor.'),
  tolerance: required(bareNumber(NUMBER_LIMITS.frictionTolerance), 'Half-width; below the value.'),
  'tolerance distribution': optional(
    choice(['rectangular', 'triangular', 'normal', 't']),
    'How the tolerance is meant; t: half-width of the 95 % interval of the mean of so many readings. Left out: rectangular.',
  ),
  readings: optional(
    wholeNumber(NUMBER_LIMITS.readings),
    'With t: how many readings the value is the mean of.',
  ),
  basis: required(choice(['assumed', 'measured']), 'Where the value comes from.'),
});

const floor = object('a floor with name and friction', {
  name: required(nameText, 'What the floor is.'),
  friction: required(
    list(friction, { least: 1, most: COUNT_LIMITS.friction }),
    'One entry a tread.',
  ),
});

const box = object('a box {from, to}', {
  from: required(point, 'The corner of least x, y and z.'),
  to: required(point, 'The corner of greatest x, y and z.'),
});

const cylinder = object('an upright cylinder {base, radius, height}', {
  base: required(point, 'Centre of the lower face.'),
  radius: required(quantity(QUANTITY_LIMITS.extent), 'Radius.'),
  height: required(quantity(QUANTITY_LIMITS.extent), 'Height.'),
});

const body = object(
  'a body of the outline',
  {
    name,
    box: optional(box, 'A box with edges along the axes.'),
    cylinder: optional(cylinder, 'An upright cylinder.'),
    on,
    pushable: required(flag, 'true: a person can push here.'),
  },
  {
    oneOf: {
      fields: ['box', 'cylinder'],
      missing: 'missing-field',
      allowed: 'either box: {from, to} or cylinder: {base, radius, height}',
    },
  },
);

const rectangle = object('a level rectangle {from, to, height}', {
  from: required(floorPoint, 'The corner of least x and y.'),
  to: required(floorPoint, 'The corner of greatest x and y.'),
  height: required(quantity(QUANTITY_LIMITS.height), 'Its height above the floor.'),
});

const surface = object(
  'a surface',
  {
    name,
    foothold: optional(rectangle, 'Someone can step on it.'),
    seat: optional(rectangle, 'Someone can sit on it.'),
    'work surface': optional(rectangle, 'Someone can lean on it.'),
    on,
  },
  {
    oneOf: {
      fields: ['foothold', 'seat', 'work surface'],
      missing: 'missing-field',
      allowed: 'one of foothold, seat, work surface, each {from, to, height}',
    },
  },
);

const pushing = object('a grip {at}', {
  at: required(point, 'Where it is gripped.'),
});

const lifting = object('a lifting grip {at, rating}', {
  at: required(point, 'Where it is gripped.'),
  rating: required(
    quantityOr(NOT_STATED, QUANTITY_LIMITS.handleRating),
    'Force it was shown to bear, or: not stated.',
  ),
});

const handle = object(
  'a handle',
  {
    name,
    pushing: optional(pushing, 'For moving the cart about.'),
    lifting: optional(lifting, 'For carrying it.'),
    on,
  },
  {
    oneOf: {
      fields: ['pushing', 'lifting'],
      missing: 'missing-field',
      allowed: 'either pushing: {at} or lifting: {at, rating}',
    },
  },
);

function rangeOf(value: Shape<number>) {
  return object('a range {from, to}', {
    from: required(value, 'Least value.'),
    to: required(value, 'Greatest value.'),
  });
}

/** The value or range of a slide in a position. */
export const slideRange = scalarOr(slideValue, rangeOf(slideValue));
/** The value or range of a turn in a position. */
export const turnRange = scalarOr(turnValue, rangeOf(turnValue));
/** The state of a load in a position. */
export const loadState = scalarOr(choice(['absent', 'full']), massRange);

const moverStates = namedEntries(
  { anyOf: [slideRange.schema, turnRange.schema] },
  'the movers with a value or {from, to} each; {} for the whole range of all',
  [slideRange, turnRange],
);

const position = object(
  'a position',
  {
    name,
    transport: optional(
      moverStates,
      'Ready to be moved about: movers by name; left out: whole range.',
    ),
    use: optional(moverStates, 'Normal use: movers by name; left out: whole range.'),
    loads: optional(
      namedEntries(loadState.schema, 'the loads with absent, full or {least, most} each', [
        loadState,
      ]),
      'Loads by name; left out: all that the load allows.',
    ),
  },
  {
    oneOf: {
      fields: ['transport', 'use'],
      missing: 'missing-field',
      allowed: 'either transport: {movers} or use: {movers}; {} for the whole range of all',
    },
  },
);

/** `{tolerance, distribution}` or `{standard uncertainty}` of a quantity. */
function uncertaintyOf(value: Shape<ValueOrShare>) {
  return object(
    'a tolerance {tolerance, distribution} or {standard uncertainty}',
    {
      tolerance: optional(value, 'How far it may be off, to either side.'),
      distribution,
      'standard uncertainty': optional(value, 'Of a normal distribution.'),
    },
    {
      oneOf: {
        fields: ['tolerance', 'standard uncertainty'],
        missing: 'missing-field',
        allowed: `either tolerance or standard uncertainty: ${value.due}`,
      },
    },
  );
}

/** A tolerance that is a plain quantity. */
function plain(limits: QuantityLimit): Shape<ValueOrShare> {
  const number = quantity(limits);
  return {
    ...number,
    read(node, path, log) {
      const value = number.read(node, path, log);
      return value === undefined ? undefined : { value, relative: false };
    },
  };
}

function ofCastors(key: UncertainQuantity, about: string) {
  const value = quantityOrShare(UNCERTAINTY_LIMITS[key], SHARE_LIMIT);
  return optional(uncertaintyOf(value), about);
}

function ofPlaces(key: UncertainQuantity, about: string) {
  return optional(uncertaintyOf(plain(UNCERTAINTY_LIMITS[key])), about);
}

const uncertainty = object('a map of tolerances by quantity', {
  trail: ofCastors('trail', 'Of the castors that swivel, alike for all of a type.'),
  'castor places': ofPlaces('castor places', 'Each coordinate of each stem, each by itself.'),
  'wheel diameter': ofCastors('wheel diameter', 'Of the wheels, alike for all of a type.'),
  'swivel moment': ofCastors('swivel moment', 'Alike for all castors of a type.'),
  'rolling length': ofCastors('rolling length', 'Alike for all castors of a type.'),
  'brake torque': ofCastors('brake torque', 'Alike for all castors of a type.'),
  stiffness: ofCastors('stiffness', 'Alike for all castors of a type.'),
  'ramp angle': ofPlaces('ramp angle', 'The ramp of a test, off the angle asked.'),
  'floor slope': ofPlaces('floor slope', 'The level floor of a push test, off level.'),
  'push force': ofPlaces('push force', 'The force of a push test, off the force asked.'),
  'push height': ofPlaces('push height', 'The height of a push test, off the height asked.'),
});

const PARTS_LIST_FILE =
  /^(?![\\/])(?!.*(?:^|\/)\.\.?(?:\/|$))[^\\:]{1,200}\.(?:csv|CSV|xlsx|XLSX)$/;

/** What the field `parts list` may say. */
export const partsListFile = patternText(
  PARTS_LIST_FILE,
  'a .csv or .xlsx file beside or below the cart file, such as parts.csv',
);

/** The key by which a file says that it is a cart file, and of which version. */
export const VERSION_KEY = 'standstill';
export const CURRENT_VERSION = 1;

export const cartShape = object('a cart', {
  [VERSION_KEY]: required(versionField(CURRENT_VERSION), 'Version of the cart file.'),
  name: required(nameText, 'What the cart is called.'),
  description: optional(freeText, 'What it is for.'),
  mobility: required(
    choice(['mobile', 'stationary']),
    'mobile: moved on its own wheels between periods of use.',
  ),
  requirements: optional(
    patternText(
      /^[a-z0-9][a-z0-9.-]{0,79}$/,
      'the id of a requirement set, such as iec-60601-1-3.2',
    ),
    'The requirement set to check against.',
  ),
  'parts list': optional(partsListFile, 'File that gives masses to parts with "from list".'),
  parts: required(list(part, { least: 1, most: COUNT_LIMITS.parts }), 'What is always there.'),
  movers: optional(
    list(mover, { least: 0, most: COUNT_LIMITS.movers }),
    'What moves: slides and turns.',
  ),
  loads: optional(list(load, { least: 0, most: COUNT_LIMITS.loads }), 'What comes and goes.'),
  'castor types': required(
    list(castorType, { least: 1, most: COUNT_LIMITS['castor types'] }),
    'The kinds of castor.',
  ),
  castors: required(
    list(castor, { least: LEAST_CASTORS, most: COUNT_LIMITS.castors }),
    'The castors, three or more.',
  ),
  floor: required(floor, 'The floor and the friction of each tread on it.'),
  outline: required(
    list(body, { least: 1, most: COUNT_LIMITS.outline }),
    'Boxes and upright cylinders: how high it is and where it can be pushed.',
  ),
  surfaces: optional(
    list(surface, { least: 0, most: COUNT_LIMITS.surfaces }),
    'Surfaces that a person may step, sit or lean on.',
  ),
  handles: optional(list(handle, { least: 0, most: COUNT_LIMITS.handles }), 'Handles.'),
  markings: optional(
    list(located(choice(['no pushing', 'no sitting', 'no stepping'])), { least: 0, most: 3 }),
    'Signs fixed to the cart.',
  ),
  positions: required(
    list(position, { least: 1, most: COUNT_LIMITS.positions }),
    'At least one for transport and one for use.',
  ),
  uncertainty: optional(
    uncertainty,
    'Tolerances of the castors and of the test, which stand beside no value; left out: none stated.',
  ),
});

type DraftOf<S> = S extends Shape<infer T> ? T : never;

export type CartDraft = DraftOf<typeof cartShape>;
export type PartDraft = DraftOf<typeof part>;
export type MoverDraft = DraftOf<typeof mover>;
export type SlideDraft = DraftOf<typeof slide>;
export type TurnDraft = DraftOf<typeof turn>;
export type LoadDraft = DraftOf<typeof load>;
export type CastorTypeDraft = DraftOf<typeof castorType>;
export type CastorDraft = DraftOf<typeof castor>;
export type FloorDraft = DraftOf<typeof floor>;
export type FrictionDraft = DraftOf<typeof friction>;
export type BodyDraft = DraftOf<typeof body>;
export type SurfaceDraft = DraftOf<typeof surface>;
export type RectangleDraft = DraftOf<typeof rectangle>;
export type HandleDraft = DraftOf<typeof handle>;
export type PositionDraft = DraftOf<typeof position>;
export type UncertaintyDraft = DraftOf<typeof uncertainty>;
export type AxisWord = DraftOf<typeof axisWords>;
