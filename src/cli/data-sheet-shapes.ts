/**
 * Data sheets: what is written down on a test day, as YAML that a person fills in, one sheet for one entry
 * of the record. The fields of each kind of sheet, in the order they are filled in.
 *
 * A sheet says what the entry says (`src/test-record`), in words: `forceToMove` is `force to move`, records
 * are named instead of numbered, files by their path.
 */

import { INSTRUMENT_KINDS } from '../test-plan/index.js';
import type { RecordKind } from '../test-record/index.js';

export type FieldKind =
  /** '' where nothing is written */
  | { readonly kind: 'text' }
  /** a quantity, a date or a word, as typed; null where nothing is written */
  | { readonly kind: 'value' }
  /** a plain number; `usual` where nothing is written */
  | { readonly kind: 'number'; readonly usual: number }
  /** yes or no; null where nothing is written */
  | { readonly kind: 'flag' }
  /** a time of this machine, or with its zone */
  | { readonly kind: 'time' }
  | { readonly kind: 'record'; readonly of: readonly RecordKind[]; readonly optional: boolean }
  /** an instrument that was used, and why although it had expired */
  | { readonly kind: 'used' }
  /** values by name: of movers, loads, castors */
  | { readonly kind: 'by name' }
  /** masses shown, by castor */
  | { readonly kind: 'shown' }
  /** a slip angle, or a pull and the mass pulled */
  | { readonly kind: 'slip' }
  | { readonly kind: 'group'; readonly fields: readonly Field[]; readonly optional: boolean }
  | { readonly kind: 'list'; readonly of: FieldKind }
  /** a photo or another file */
  | { readonly kind: 'file' }
  /** a force gauge's file, and the onset of slip that counts instead of the one found */
  | { readonly kind: 'trace' }
  /** a cart file, with the parts lists it names */
  | { readonly kind: 'cart file' };

export interface Field {
  /** in the entry */
  readonly key: string;
  /** in the sheet */
  readonly label: string;
  /** what goes there; '' where the label says it */
  readonly about: string;
  readonly is: FieldKind;
}

const TEXT: FieldKind = { kind: 'text' };
const VALUE: FieldKind = { kind: 'value' };
const PHOTOS: FieldKind = { kind: 'list', of: { kind: 'file' } };
const NAMES: FieldKind = { kind: 'list', of: TEXT };
const SHOWN: FieldKind = { kind: 'shown' };
const USED: FieldKind = { kind: 'used' };

function record(...of: RecordKind[]): FieldKind {
  return { kind: 'record', of, optional: false };
}

function recordIfAny(...of: RecordKind[]): FieldKind {
  return { kind: 'record', of, optional: true };
}

function list(of: FieldKind): FieldKind {
  return { kind: 'list', of };
}

function group(...fields: Field[]): FieldKind {
  return { kind: 'group', fields, optional: false };
}

function groupIfAny(...fields: Field[]): FieldKind {
  return { kind: 'group', fields, optional: true };
}

function labelOf(key: string): string {
  return key.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

function field(key: string, is: FieldKind, about = '', label = labelOf(key)): Field {
  return { key, label, about, is };
}

const NOTES = field('notes', TEXT);
const PHOTO_FIELD = field('photos', PHOTOS, 'files, in this folder or by their path');
const SAMPLE = field('sample', record('sample'), 'serial or name');

const CONDITIONS = {
  taken: field('taken', { kind: 'time' }, 'when: 2026-11-25 14:30, or with its zone +01:00 or Z'),
  operator: field('operator', TEXT, 'who did it'),
  temperature: field('temperature', VALUE, 'with its unit: 21 degC'),
} as const;

const MOVEMENT = groupIfAny(
  field('elastic', VALUE, 'springs back'),
  field('creepage', VALUE),
  field('pivoting', VALUE, 'of castors that turn'),
  field('further', VALUE, 'what remains: the movement that counts'),
);

const READING = group(
  field('direction', VALUE, 'the way it was loaded, where not as the run says: 90 deg'),
  field('load', VALUE, 'the highest it stood, or at which it gave way: 10.5 deg, 34.2 lbf'),
  field('result', VALUE, 'held or gave way'),
  field('mode', VALUE, 'how it gave way: tips, slides, pivots, rolls or other'),
  field('movement', MOVEMENT, 'each with its unit: 12 mm'),
  field('forceToMove', VALUE, 'the greatest: 46 N'),
  field('castorLoad', VALUE, 'mass shown: 31.2 kg'),
  field('done', { kind: 'flag' }, 'yes or no'),
  field('trace', { kind: 'trace' }, 'file of the force gauge'),
  field('note', TEXT),
);

/** What a sheet can be. */
export type SheetKind = Exclude<RecordKind, 'plan'> | 'review' | 'withdrawal';

export interface SheetShape {
  /** what it is for, in a sentence */
  readonly about: string;
  readonly fields: readonly Field[];
}

export const SHEETS: Readonly<Record<SheetKind, SheetShape>> = {
  project: {
    about: 'The project: what it is called and for whom it is.',
    fields: [field('name', TEXT), field('customer', TEXT), NOTES],
  },
  cart: {
    about: 'A revision of the cart: its file as it is now.',
    fields: [
      field('revision', TEXT, 'what it is called: A, B, 2'),
      field('text', { kind: 'cart file' }, 'cart file, its parts list beside it', 'cart file'),
      field('follows', recordIfAny('cart'), 'the revision it was made from', 'made from'),
      field('because', list(record('run', 'diagnosis')), 'failed runs and diagnoses led to it'),
      field('change', TEXT, 'what is different'),
    ],
  },
  instrument: {
    about: 'A measuring instrument, with its calibration.',
    fields: [
      field('instrument', TEXT, INSTRUMENT_KINDS.join(', ')),
      field('name', TEXT),
      field('serial', TEXT),
      field('certificate', TEXT, 'number of the calibration certificate'),
      field('calibrated', VALUE, 'day: 2026-03-02'),
      field('due', VALUE, 'day after which it may not be used; empty: it has none'),
      field('uncertainty', VALUE, 'expanded, by its certificate, with its unit: 0.5 N'),
      field('coverage', { kind: 'number', usual: 2 }, 'coverage factor k of that uncertainty'),
      field('resolution', VALUE, '0.1 N'),
      field('from', VALUE, 'range: 0 N'),
      field('to', VALUE, '500 N'),
      NOTES,
    ],
  },
  sample: {
    about: 'The item under test.',
    fields: [
      field('name', TEXT),
      field('serial', TEXT),
      field('cart', record('cart'), 'revision that it is built to', 'revision'),
      field('condition', TEXT, 'as received: new, mended, marks'),
      field('received', VALUE, 'day: 2026-11-24'),
      PHOTO_FIELD,
      NOTES,
    ],
  },
  weighing: {
    about: 'The sample on scales, level and tilted (after the method of ISO 10392).',
    fields: [
      SAMPLE,
      CONDITIONS.taken,
      CONDITIONS.operator,
      CONDITIONS.temperature,
      field('position', TEXT, 'a position of the cart file'),
      field('movers', { kind: 'by name' }, 'how each was set'),
      field('loads', { kind: 'by name' }, 'mass of each: 0 kg where absent'),
      field(
        'swivels',
        { kind: 'by name' },
        'of castors that swivel: angle from stem to contact, from forward towards left',
      ),
      field(
        'scales',
        list(
          group(
            field('instrument', record('instrument'), 'serial or name'),
            field('despite', VALUE, 'why it was used although its calibration had expired'),
            field('castors', NAMES, 'that stood on it'),
          ),
        ),
        'one scale moved about, or one for each castor',
      ),
      field(
        'contactUncertainty',
        VALUE,
        'standard uncertainty of where a castor stands on its scale: 2 mm',
      ),
      field('repeats', list(SHOWN), 'level: mass shown under each castor'),
      field(
        'tilt',
        groupIfAny(
          field('inclinometer', USED),
          field('lifted', NAMES, 'castors that were lifted'),
          field('axisHeight', VALUE, 'height of the axis it tilts about: the wheel radius'),
          field('axisHeightUncertainty', VALUE, 'standard uncertainty of it'),
          field(
            'tilts',
            list(
              group(
                field('angle', VALUE),
                field('way', TEXT, 'up or down'),
                field('lower', SHOWN, 'mass shown under the castors that were not lifted'),
              ),
            ),
            'three or more, on the way up and down',
          ),
        ),
        'delete it where it was not tilted (no height then), and tilts that were not made',
      ),
      PHOTO_FIELD,
      NOTES,
    ],
  },
  friction: {
    about: 'Slip tests of a tread on a floor.',
    fields: [
      SAMPLE,
      field('tread', TEXT, 'as the cart file calls it'),
      field('floor', TEXT),
      CONDITIONS.taken,
      CONDITIONS.operator,
      CONDITIONS.temperature,
      field('instruments', list(USED), 'serial or name'),
      field(
        'readings',
        list({ kind: 'slip' }),
        '{slip angle: 31 deg}, or {pull: 120 N, mass: 20 kg}',
      ),
      PHOTO_FIELD,
      NOTES,
    ],
  },
  run: {
    about: 'One run of a plan, done on a sample.',
    fields: [
      field('plan', record('plan')),
      field('run', TEXT, 'id of the run in the plan'),
      SAMPLE,
      CONDITIONS.taken,
      CONDITIONS.operator,
      CONDITIONS.temperature,
      field('instruments', list(USED), 'serial or name'),
      field('readings', list(READING)),
      field('deviations', TEXT, 'what was done otherwise than planned'),
      field('retestOf', recordIfAny('run'), 'the failed run that this one repeats after a change'),
      PHOTO_FIELD,
      NOTES,
    ],
  },
  diagnosis: {
    about: 'Why a run failed, and what was decided about it.',
    fields: [
      field('run', record('run')),
      field('mechanism', TEXT, 'which mechanism, in words'),
      field('proposed', NAMES, 'what would mend it'),
      field('chosen', TEXT, 'what was chosen; empty: nothing yet'),
    ],
  },
  note: {
    about: 'A note, on the project or on a record of it.',
    fields: [
      field(
        'about',
        recordIfAny(
          'cart',
          'plan',
          'instrument',
          'sample',
          'weighing',
          'friction',
          'run',
          'diagnosis',
        ),
        'record it speaks of; empty: the project',
      ),
      field('text', TEXT),
      PHOTO_FIELD,
    ],
  },
  review: {
    about: 'A record was looked at and is closed: from here on only corrections, with a reason.',
    fields: [field('statement', TEXT, 'what was looked at, and found')],
  },
  withdrawal: {
    about: 'A record does not count any more; it stays. Needs a reason: why.',
    fields: [],
  },
};

export const SHEET_KINDS = Object.keys(SHEETS) as readonly SheetKind[];

export function isSheetKind(text: string): text is SheetKind {
  return Object.hasOwn(SHEETS, text);
}

/** First line of a sheet, with its version. */
export const SHEET_KEY = 'standstill data sheet';
export const SHEET_VERSION = '1';

/** Fields of every sheet, before those of its kind. */
export const FRAME_LABELS = [SHEET_KEY, 'kind', 'record', 'follows', 'why'] as const;
