/** What a body names besides itself: other records, instruments, files. */

import type { EntryProblem } from './entry.js';
import type { Attachment, EntryBody, RecordKind, Subject, Used } from './entry-body.js';

type Path = EntryProblem['path'];

export interface Reference {
  readonly path: Path;
  readonly subject: Subject;
  /** what it may be; null: any record */
  readonly kinds: readonly RecordKind[] | null;
}

/** What may lead to a new revision of the cart. */
const REASONS: readonly RecordKind[] = ['run', 'diagnosis', 'weighing', 'friction', 'note'];

/** In the order of the fields. */
export function referencesOf(body: EntryBody): readonly Reference[] {
  return [...recordsNamed(body), ...usesOf(body).map(instrumentNamed)];
}

function recordsNamed(body: EntryBody): readonly Reference[] {
  switch (body.kind) {
    case 'cart':
      return [
        ...reference('follows', body.follows, ['cart']),
        ...body.because.flatMap((each, i) => reference(['because', i], each, REASONS)),
      ];
    case 'plan':
    case 'sample':
      return reference('cart', body.cart, ['cart']);
    case 'weighing':
    case 'friction':
      return reference('sample', body.sample, ['sample']);
    case 'run':
      return [
        ...reference('plan', body.plan, ['plan']),
        ...reference('sample', body.sample, ['sample']),
        ...reference('retestOf', body.retestOf, ['run']),
      ];
    case 'diagnosis':
      return reference('run', body.run, ['run']);
    case 'note':
      return reference('about', body.about, null);
    default:
      return [];
  }
}

function reference(
  field: string | Path,
  subject: Subject | null,
  kinds: readonly RecordKind[] | null,
): readonly Reference[] {
  if (subject === null) return [];
  const path = ['body', ...(typeof field === 'string' ? [field] : field)];
  return [{ path, subject, kinds }];
}

function instrumentNamed({ path, used }: InstrumentUse): Reference {
  return { path: [...path, 'instrument'], subject: used.instrument, kinds: ['instrument'] };
}

export interface InstrumentUse {
  readonly path: Path;
  readonly used: Used;
}

export function usesOf(body: EntryBody): readonly InstrumentUse[] {
  if (body.kind === 'friction' || body.kind === 'run') {
    return body.instruments.map((used, i) => ({ path: ['body', 'instruments', i], used }));
  }
  if (body.kind !== 'weighing') return [];
  const scales = body.scales.map((used, i) => ({ path: ['body', 'scales', i], used }));
  if (body.tilt === null) return scales;
  return [...scales, { path: ['body', 'tilt', 'inclinometer'], used: body.tilt.inclinometer }];
}

/** The files that a body names, in the order of its fields. */
export function filesOf(body: EntryBody): readonly Attachment[] {
  const photos = 'photos' in body ? body.photos : [];
  if (body.kind === 'cart') return body.partsLists;
  if (body.kind !== 'run') return photos;
  return [...photos, ...body.readings.flatMap(({ trace }) => trace?.file ?? [])];
}
