/**
 * The units people may write, with exact factors to SI.
 *
 * Own table rather than a units library: every rule that matters here is about which unit is due
 * where (lb is a mass, lbf a force; kg is never a force) and about spellings that a library's
 * parser refuses (10°, 1 1/2 in, 32", N·m). A wrapper would have to normalise the text, find the
 * unit and judge its dimension before it could call the library, which would be left with one
 * multiplication. The tests hold this table against a published table and against such a library.
 *
 * Each factor is a quotient of two numbers a double holds exactly (except angles): 35 mm is
 * 35/1000, correctly rounded, where 35 * 0.001 would be off by one unit in the last place.
 */

export type Dimension =
  | 'length'
  | 'mass'
  | 'angle'
  | 'force'
  | 'moment'
  | 'stiffness'
  | 'speed'
  | 'energy'
  | 'ratio'
  | 'time';

/** m/s^2, standard acceleration of gravity, exact by definition (3rd CGPM, 1901). */
export const STANDARD_GRAVITY = 9.80665;

/** SI value = number * times / over. */
export interface Unit {
  /** as we write it */
  readonly symbol: string;
  readonly dimension: Dimension;
  readonly times: number;
  readonly over: number;
  /** other spellings taken, after `normaliseUnit` */
  readonly spellings: readonly string[];
}

// International yard and pound agreement of 1959, exact: 1 in = 25.4 mm, 1 ft = 12 in,
// 1 lb (avoirdupois) = 0.453 592 37 kg = 16 oz.
const INCH = [127, 5000] as const;
const FOOT = [381, 1250] as const;
const POUND = [45_359_237, 100_000_000] as const;
const OUNCE = [45_359_237, 1_600_000_000] as const;
// A gravitational unit of force is the mass times STANDARD_GRAVITY:
// 1 lbf = 45 359 237 * 980 665 / 1e13 N; a fifth of both, so that products with INCH and FOOT
// stay below 2^53 too.
const KILOGRAM_FORCE = [980_665, 100_000] as const;
const POUND_FORCE = [8_896_443_230_521, 2e12] as const;
const OUNCE_FORCE = [8_896_443_230_521, 3.2e13] as const;

type Factor = readonly [times: number, over: number];

function product(a: Factor, b: Factor): Factor {
  return [a[0] * b[0], a[1] * b[1]];
}

function quotient(a: Factor, b: Factor): Factor {
  return [a[0] * b[1], a[1] * b[0]];
}

function unit(dimension: Dimension, symbol: string, factor: Factor, ...spellings: string[]): Unit {
  return { symbol, dimension, times: factor[0], over: factor[1], spellings };
}

/** In each dimension the units we suggest, in the order we suggest them. */
export const UNITS: readonly Unit[] = [
  unit('length', 'mm', [1, 1000], 'millimetre', 'millimetres', 'millimeter', 'millimeters'),
  unit('length', 'cm', [1, 100], 'centimetre', 'centimetres', 'centimeter', 'centimeters'),
  unit('length', 'm', [1, 1], 'metre', 'metres', 'meter', 'meters'),
  unit('length', 'in', INCH, '"', 'inch', 'inches'),
  unit('length', 'ft', FOOT, "'", 'foot', 'feet'),
  unit('mass', 'kg', [1, 1], 'kgs', 'kilogram', 'kilograms', 'kilogramme', 'kilogrammes'),
  unit('mass', 'g', [1, 1000], 'gram', 'grams', 'gramme', 'grammes'),
  unit('mass', 't', [1000, 1], 'tonne', 'tonnes'),
  unit('mass', 'lb', POUND, 'lbs', 'lbm', 'pound', 'pounds'),
  unit('mass', 'oz', OUNCE, 'ounce', 'ounces'),
  unit('angle', 'deg', [Math.PI, 180], '°', 'degree', 'degrees'),
  unit('angle', 'rad', [1, 1], 'radian', 'radians'),
  unit('angle', 'mrad', [1, 1000], 'milliradian', 'milliradians'),
  unit('force', 'N', [1, 1], 'newton', 'newtons'),
  unit('force', 'kN', [1000, 1], 'kilonewton', 'kilonewtons'),
  unit('force', 'lbf', POUND_FORCE),
  unit('force', 'ozf', OUNCE_FORCE),
  unit('force', 'kgf', KILOGRAM_FORCE),
  unit('moment', 'N m', [1, 1], 'Nm'),
  unit('moment', 'N cm', [1, 100], 'Ncm'),
  unit('moment', 'N mm', [1, 1000], 'Nmm'),
  unit('moment', 'lbf in', product(POUND_FORCE, INCH), 'in lbf'),
  unit('moment', 'lbf ft', product(POUND_FORCE, FOOT), 'ft lbf'),
  unit('moment', 'ozf in', product(OUNCE_FORCE, INCH), 'in ozf'),
  unit('moment', 'kgf m', KILOGRAM_FORCE),
  unit('moment', 'kgf cm', product(KILOGRAM_FORCE, [1, 100])),
  unit('stiffness', 'N/mm', [1000, 1]),
  unit('stiffness', 'N/m', [1, 1]),
  unit('stiffness', 'kN/m', [1000, 1]),
  unit('stiffness', 'kN/mm', [1e6, 1]),
  unit('stiffness', 'lbf/in', quotient(POUND_FORCE, INCH)),
  unit('stiffness', 'lbf/ft', quotient(POUND_FORCE, FOOT)),
  unit('stiffness', 'kgf/mm', quotient(KILOGRAM_FORCE, [1, 1000])),
  unit('speed', 'm/s', [1, 1]),
  unit('speed', 'mm/s', [1, 1000]),
  unit('speed', 'km/h', [5, 18]),
  unit('speed', 'ft/s', FOOT),
  unit('speed', 'in/s', INCH),
  unit('energy', 'J', [1, 1], 'joule', 'joules'),
  unit('energy', 'kJ', [1000, 1]),
  unit('energy', 'ft lbf', product(FOOT, POUND_FORCE), 'lbf ft'),
  unit('ratio', '%', [1, 100], 'percent', 'per cent'),
  unit('time', 's', [1, 1], 'second', 'seconds'),
  unit('time', 'ms', [1, 1000], 'millisecond', 'milliseconds'),
  unit('time', 'min', [60, 1], 'minute', 'minutes'),
  unit('time', 'h', [3600, 1], 'hour', 'hours'),
];

interface Wording {
  /** with its article */
  readonly noun: string;
  readonly examples: string;
}

const WORDING: Readonly<Record<Dimension, Wording>> = {
  length: { noun: 'a length', examples: '320 mm or 12.5 in' },
  mass: { noun: 'a mass', examples: '18.5 kg or 40 lb' },
  angle: { noun: 'an angle', examples: '10 deg or 0.17 rad' },
  force: { noun: 'a force', examples: '150 N or 34 lbf' },
  moment: { noun: 'a moment', examples: '12 N m or 106 lbf in' },
  stiffness: { noun: 'a stiffness', examples: '400 N/mm or 2300 lbf/in' },
  speed: { noun: 'a speed', examples: '0.8 m/s or 2.6 ft/s' },
  energy: { noun: 'an energy', examples: '5 J or 3.7 ft lbf' },
  ratio: { noun: 'a share', examples: '15 %' },
  time: { noun: 'a time', examples: '60 s or 1 min' },
};

/** 'a length' */
export function dimensionNoun(dimension: Dimension): string {
  return WORDING[dimension].noun;
}

/** 'a length with its unit, such as 320 mm or 12.5 in' */
export function dimensionAllowed(dimension: Dimension): string {
  const { noun, examples } = WORDING[dimension];
  return `${noun} with its unit, such as ${examples}`;
}

/** The units of a dimension as we write them, the ones we suggest first. */
export function listUnits(dimension: Dimension): string[] {
  return UNITS.filter((u) => u.dimension === dimension).map((u) => u.symbol);
}

/** Every spelling taken for a dimension, our own symbols included. */
export function listSpellings(dimension: Dimension): string[] {
  return UNITS.filter((u) => u.dimension === dimension).flatMap((u) => [u.symbol, ...u.spellings]);
}

/**
 * One form for the many ways to type a unit: typographic primes, degree rings and product dots
 * become `"`, `'`, `°` and a space; full stops after an abbreviation go (in. lb.).
 */
export function normaliseUnit(text: string): string {
  return text
    .replace(/[\u2033\u201d\u201c]|''/g, '"')
    .replace(/[\u2032\u2019]/g, "'")
    .replace(/[\u00ba\u02da]/g, '°')
    .replace(/\s*[\u00b7\u22c5\u2219\u2022*]\s*/g, ' ')
    .replace(/(?<=[a-z])[-\u2010\u2011](?=[a-z])/gi, ' ')
    .replace(/\s*[/\u2044\u2215]\s*/g, '/')
    .replace(/\.(?=\s|\/|$)/g, '')
    .replace(/\s+/g, ' ')
    .trim();
}

const BY_SPELLING: ReadonlyMap<string, readonly Unit[]> = groupBySpelling((s) => s);
const BY_FOLDED_SPELLING: ReadonlyMap<string, readonly Unit[]> = groupBySpelling((s) =>
  s.toLowerCase(),
);

function groupBySpelling(key: (spelling: string) => string): Map<string, Unit[]> {
  const groups = new Map<string, Unit[]>();
  for (const entry of UNITS) {
    for (const spelling of new Set([entry.symbol, ...entry.spellings].map(key))) {
      groups.set(spelling, [...(groups.get(spelling) ?? []), entry]);
    }
  }
  return groups;
}

/** All units spelled so exactly (more than one: ft lbf is a moment and an energy). */
export function unitsSpelled(normalised: string): readonly Unit[] {
  return BY_SPELLING.get(normalised) ?? [];
}

// Folding the case of these would turn a nanometre into a newton metre and a knot into a kilonewton.
const NEVER_FOLDED: ReadonlySet<string> = new Set(['nm', 'kn', 'ncm', 'nmm']);

/** The same with upper and lower case taken for equal, where that cannot change the unit. */
export function unitsSpelledInAnyCase(normalised: string): readonly Unit[] {
  const folded = normalised.toLowerCase();
  const exact = unitsSpelled(normalised);
  if (exact.length > 0 || NEVER_FOLDED.has(folded.replaceAll(' ', ''))) return exact;
  return BY_FOLDED_SPELLING.get(folded) ?? [];
}
