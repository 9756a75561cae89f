/** Entries to keep: a project of the clinic's bench of carts, notes with photos, corrections, reviews. */

import type { Attachment, NewEntry, NoteBody } from '../../src/test-record/index.js';
import { contentHash } from '../../src/test-record/index.js';

export interface EntryWriter {
  readonly project: (name?: string) => NewEntry;
  /** begins a record */
  readonly note: (project: string, text: string, photos?: readonly Attachment[]) => NewEntry;
  /** follows an entry with another text */
  readonly correction: (before: NewEntry, text: string, why?: string) => NewEntry;
  readonly review: (before: NewEntry) => NewEntry;
}

const AT = '2026-11-25T09:30:00.000Z';

/** @param random in [0, 1): of the ids */
export function entryWriter(random: () => number, who = 'Ada Fell'): EntryWriter {
  const follow = (before: NewEntry, body: NewEntry['body'], why: string): NewEntry => {
    const { id: base, project, subject } = before;
    return { id: uuidOf(random), project, subject, base, who, at: AT, why, body };
  };
  const begin = (project: string | null, body: NewEntry['body']): NewEntry => {
    const id = uuidOf(random);
    return { id, project: project ?? id, subject: id, base: null, who, at: AT, why: '', body };
  };
  return {
    project: (name = 'Kit trolley, lock layout') =>
      begin(null, { kind: 'project', name, customer: 'Tarn Hollow Instruments', notes: '' }),
    note: (project, text, photos = []) =>
      begin(project, { kind: 'note', about: null, text, photos }),
    correction: (before, text, why = '') =>
      follow(before, { ...(before.body as NoteBody), text }, why),
    review: (before) => follow(before, { kind: 'review', statement: 'Looked at.' }, ''),
  };
}

/** Version 4 (RFC 9562, 5.4). */
export function uuidOf(random: () => number): string {
  const digit = () => Math.floor(16 * random()).toString(16);
  return 'xxxxxxxx-xxxx-4xxx-8xxx-xxxxxxxxxxxx'.replace(/x/g, digit);
}

export interface Photo {
  readonly bytes: Uint8Array;
  readonly attachment: Attachment;
}

/** Bytes of chance under the name of a photo. */
export function photo(random: () => number, size: number): Photo {
  const bytes = Uint8Array.from({ length: size }, () => Math.floor(256 * random()));
  const attachment = {
    hash: contentHash(bytes),
    name: 'castor.jpg',
    media: 'image/jpeg',
    bytes: size,
  };
  return { bytes, attachment };
}
