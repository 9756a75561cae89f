/** What is missing or wrong in a form, with the places as the form calls them. */

import type { EntryProblem } from '../../../test-record/index.js';
import { placeWords } from '../../../test-record/index.js';
import { withoutPlace } from '../form/use-form.js';
import type { FrictionDraft } from './friction-draft.js';
import { keptReadings } from './friction-draft.js';
import type { WeighingDraft } from './weighing-draft.js';
import { keptRepeats, keptTilts, lowerOf, weighingBodyOf } from './weighing-draft.js';

/** What the form calls a place of the body; null: it has no name of its own */
export type PlaceOf = (path: EntryProblem['path']) => string | null;

/** An empty field is not wrong, only not filled in yet. */
export function problemWords({ path, actual, message }: EntryProblem, placeOf: PlaceOf): string {
  const own = path[0] === 'body' ? path.slice(1) : path;
  const named = placeOf(own);
  const place = named ?? placeWords(own);
  if (actual === '""') return `${place}: not filled in yet`;
  if (actual === 'a list of 0') return `${place}: none yet`;
  return named === null ? message : `${named}: ${withoutPlace(message)}`;
}

const SAMPLE_PLACES: Readonly<Record<string, string>> = {
  name: 'Name',
  cart: 'Built to revision',
};

export const samplePlace: PlaceOf = ([field]) => SAMPLE_PLACES[String(field)] ?? null;

const CONDITIONS: Readonly<Record<string, string>> = {
  operator: 'Operator',
  taken: 'Done at',
  temperature: 'Temperature',
};

const WEIGHING_PLACES: Readonly<Record<string, string>> = {
  ...CONDITIONS,
  contactUncertainty: 'Standard uncertainty of where a castor stands',
  repeats: 'Level weighings filled in',
};

const TILT_PLACES: Readonly<Record<string, string>> = {
  inclinometer: 'Inclinometer',
  lifted: 'Castors lifted onto blocks',
  axisHeight: 'Height of the axles',
  axisHeightUncertainty: 'Standard uncertainty of that height',
  tilts: 'Tilts filled in',
};

/** @param castors of the cart, in its order */
export function weighingPlace(draft: WeighingDraft, castors: readonly string[]): PlaceOf {
  const repeats = keptRepeats(draft);
  const tilts = keptTilts(draft, castors);
  const lower = lowerOf(draft, castors);
  return ([field, ...rest]) => {
    if (field === 'repeats' && rest.length > 0) return cell('Weighing', repeats, castors, rest);
    if (field === 'scales') return scalePlace(draft, castors, rest[0]);
    if (field !== 'tilt') return WEIGHING_PLACES[String(field)] ?? null;
    const [part, row, what, castor] = rest;
    if (part !== 'tilts' || row === undefined) return TILT_PLACES[String(part)] ?? null;
    if (what !== 'lower') return `Tilt ${numberOf(tilts, row)}, ${what ?? 'all of it'}`;
    return cell('Tilt', tilts, lower, castor === undefined ? [row] : [row, castor]);
  };
}

function cell(
  noun: string,
  kept: readonly number[],
  names: readonly string[],
  [row, column]: readonly (string | number)[],
): string {
  const name = names[Number(column)];
  return `${noun} ${numberOf(kept, row)}${name === undefined ? '' : `, ${name}`}`;
}

/** Of the row in the form, from 1. */
function numberOf(kept: readonly number[], row: string | number | undefined): number {
  return (kept[Number(row)] ?? Number(row)) + 1;
}

function scalePlace(
  draft: WeighingDraft,
  castors: readonly string[],
  index: string | number | undefined,
): string {
  const scale = weighingBodyOf(draft, '', castors).scales[Number(index)];
  return scale === undefined ? 'Scales' : `Scale under ${scale.castors.join(', ')}`;
}

const FRICTION_PLACES: Readonly<Record<string, string>> = {
  ...CONDITIONS,
  tread: 'Tread',
  floor: 'Floor',
  readings: 'Readings filled in',
};

export function frictionPlace(draft: FrictionDraft): PlaceOf {
  const kept = keptReadings(draft);
  return ([field, row, what]) => {
    if (field !== 'readings' || row === undefined) return FRICTION_PLACES[String(field)] ?? null;
    return `Reading ${numberOf(kept, row)}${what === undefined ? '' : `, ${what}`}`;
  };
}
