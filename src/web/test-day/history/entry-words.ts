/** What an entry did, in a few words. */

import type { KeptEntry, ProjectState } from '../../../test-record/index.js';
import { isContent, subjectTitle } from '../../../test-record/index.js';

export type Deed = 'begun' | 'changed' | 'corrected' | 'reviewed and closed' | 'withdrawn';

export interface EntryWords {
  readonly deed: Deed;
  /** 'run overbalance-transport-1' */
  readonly record: string;
}

export function entryWords(state: ProjectState, entry: KeptEntry): EntryWords {
  return { deed: deedOf(state, entry), record: subjectTitle(state, entry.subject) };
}

function deedOf(state: ProjectState, { subject, sequence, base, body }: KeptEntry): Deed {
  if (body.kind === 'review') return 'reviewed and closed';
  if (body.kind === 'withdrawal') return 'withdrawn';
  if (base === null) return 'begun';
  const before = state.records.get(subject)?.entries.filter((each) => each.sequence < sequence);
  const wasClosed = before?.some((each) => !isContent(each.body)) ?? false;
  return wasClosed ? 'corrected' : 'changed';
}

/** '2026-11-25 09:30' of this place. @param at ISO 8601 in UTC */
export function momentOf(at: string): string {
  const moment = new Date(at);
  if (Number.isNaN(moment.getTime())) return at;
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())}`;
  return `${day} ${two(moment.getHours())}:${two(moment.getMinutes())}`;
}
