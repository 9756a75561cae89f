/** Entries as a page writes them. */

import { createHash, randomUUID } from 'node:crypto';
import type { Attachment, EntryBody, NewEntry } from '../../src/test-record/index.js';

export function projectEntry(name = 'Lamp stand, first bench'): NewEntry {
  const id = randomUUID();
  const body = { kind: 'project', name, customer: 'Lakeside field clinic', notes: '' } as const;
  return { id, project: id, subject: id, base: null, who: 'A. Reed', at: AT, why: '', body };
}

export const AT = '2026-11-25T09:30:00.000Z';

/** One that begins a record. */
export function firstEntry(project: NewEntry, body: EntryBody): NewEntry {
  const id = randomUUID();
  return { ...project, id, subject: id, base: null, body };
}

/** One that follows another. */
export function nextEntry(before: NewEntry, body: EntryBody, why = ''): NewEntry {
  return { ...before, id: randomUUID(), base: before.id, why, body };
}

export function note(text: string, photos: readonly Attachment[] = []): EntryBody {
  return { kind: 'note', about: null, text, photos };
}

export function sha256(bytes: Uint8Array | string): string {
  return createHash('sha256').update(bytes).digest('hex');
}
