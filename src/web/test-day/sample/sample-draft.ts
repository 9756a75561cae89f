/** A sample as its form has it, and as the record keeps it. */

import type { Attachment, RecordState, SampleBody, Subject } from '../../../test-record/index.js';

export interface SampleDraft {
  readonly name: string;
  readonly serial: string;
  /** the revision it is built to; '': not chosen */
  readonly cart: Subject | '';
  readonly condition: string;
  /** ISO 8601 date; '': not said */
  readonly received: string;
  readonly photos: readonly Attachment[];
  readonly notes: string;
  /** the entry that the form was made from; null: a new sample */
  readonly base: string | null;
  readonly why: string;
}

export function newSample(cart: Subject | ''): SampleDraft {
  const nothing = { name: '', serial: '', condition: '', received: '', notes: '' };
  return { ...nothing, cart, photos: [], base: null, why: '' };
}

export function sampleDraftOf({ content, newest }: RecordState<SampleBody>): SampleDraft {
  const { kind: _, received, ...rest } = content;
  return { ...rest, received: received ?? '', base: newest, why: '' };
}

export function sampleBodyOf(draft: SampleDraft): SampleBody {
  return {
    kind: 'sample',
    name: draft.name.trim(),
    serial: draft.serial.trim(),
    cart: draft.cart,
    condition: draft.condition,
    received: draft.received === '' ? null : draft.received,
    photos: draft.photos,
    notes: draft.notes,
  };
}
