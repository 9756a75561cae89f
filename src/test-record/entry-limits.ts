/**
 * What can be written into the record: one table, so that a slipped decimal point or a wrong unit is seen
 * at once. The limits are ours, set wide (common practice, no source): they are meant to catch slips, not
 * to judge tests.
 */

import type { Dimension } from '../units/index.js';

export interface TypedLimit {
  readonly dimension: Dimension;
  /** SI */
  readonly least: number;
  /** SI */
  readonly most: number;
  /** true: the least value itself is not allowed */
  readonly above: boolean;
  /** the limits as people say them */
  readonly words: string;
  readonly example: string;
}

const DEGREE = Math.PI / 180;

function limit(
  dimension: Dimension,
  [least, most]: readonly [number, number],
  words: string,
  example: string,
): TypedLimit {
  return { dimension, least, most, above: words.startsWith('more than'), words, example };
}

// Masses as in a cart file; forces up to about the weight of the heaviest cart.
export const TYPED_LIMITS = {
  shown: limit('mass', [0, 5000], 'from 0 kg to 5000 kg', '18.5 kg'),
  slidingMass: limit('mass', [0, 5000], 'more than 0 kg, at most 5000 kg', '42 kg'),
  slide: limit('length', [-10, 10], 'from -10 m to 10 m', '320 mm'),
  turn: limit('angle', [-360 * DEGREE, 360 * DEGREE], 'from -360 deg to 360 deg', '90 deg'),
  placeUncertainty: limit('length', [0, 0.1], 'from 0 mm to 100 mm', '1 mm'),
  axisHeight: limit('length', [0, 1], 'more than 0 mm, at most 1 m', '50 mm'),
  tilt: limit('angle', [0, 45 * DEGREE], 'more than 0 deg, at most 45 deg', '8 deg'),
  slipAngle: limit('angle', [0, 60 * DEGREE], 'more than 0 deg, at most 60 deg', '28 deg'),
  pull: limit('force', [0, 50_000], 'more than 0 N, at most 50000 N', '120 N'),
  force: limit('force', [0, 50_000], 'from 0 N to 50000 N', '150 N'),
  incline: limit('angle', [0, 90 * DEGREE], 'from 0 deg to 90 deg', '10 deg'),
  movement: limit('length', [0, 10], 'from 0 mm to 10 m', '12 mm'),
} as const satisfies Readonly<Record<string, TypedLimit>>;

export function isWithinTyped(value: number, { least, most, above }: TypedLimit): boolean {
  return value <= most && (above ? value > least : value >= least);
}

/** degC of the air where a cart is tested */
export const TEMPERATURE_LIMIT = {
  least: -40,
  most: 60,
  words: 'from -40 degC to 60 degC',
} as const;

/** s and N in what was read from a gauge's file: a day, and the greatest force above */
export const TRACE_LIMITS = { time: 86_400, force: 50_000 } as const;

/** Coverage factor of a calibration certificate: 1 states a standard uncertainty, 2 is usual. */
export const COVERAGE_LIMITS = { least: 1, most: 5 } as const;

/** Characters. */
export const TEXT_LIMITS = {
  /** of a person, a project, a sample, a file */
  line: 200,
  why: 2000,
  /** notes, and what else may have several lines */
  notes: 10_000,
} as const;

/** How many of each an entry may have. */
export const LIST_LIMITS = {
  photos: 50,
  'parts lists': 10,
  records: 200,
  edits: 500,
  instruments: 50,
  castors: 200,
  movers: 200,
  loads: 200,
  repeats: 100,
  tilts: 100,
  readings: 500,
  remedies: 100,
  runs: 2000,
  clauses: 500,
  lines: 200,
} as const;

/** Bytes of one attachment; larger ones are refused before they are read. */
export const MOST_ATTACHMENT_BYTES = 50 * 1024 * 1024;

export const PHOTO_MEDIA = ['image/jpeg', 'image/png', 'image/webp'] as const;
export const TABLE_MEDIA = [
  'text/csv',
  'text/plain',
  'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
] as const;
/** What an attachment may be at all. */
export const ATTACHMENT_MEDIA = [
  ...PHOTO_MEDIA,
  ...TABLE_MEDIA,
  'application/yaml',
  'application/pdf',
] as const;
