/** What a project looks like, worked out from its entries. */

import { FIRST_PREVIOUS } from './chain.js';
import type { KeptEntry, NewEntry } from './entry.js';
import type { ContentBody, ContentOf, EntryBody, RecordKind, Subject } from './entry-body.js';

export interface RecordState<C extends ContentBody = ContentBody> {
  readonly subject: Subject;
  readonly kind: C['kind'];
  /** as the newest entry with content says */
  readonly content: C;
  /** every entry of the subject, oldest first */
  readonly entries: readonly KeptEntry[];
  /** id of the newest of them: the `base` of the next */
  readonly newest: string;
  /** sequence of the newest review, which closed it; null: open. A correction leaves it closed. */
  readonly reviewedAt: number | null;
  /** entries with content after a review: corrections */
  readonly corrections: number;
  /** withdrawn, and not brought back by later content */
  readonly withdrawn: boolean;
}

export interface ProjectState {
  readonly id: string;
  /** in the order they were begun, the project itself first */
  readonly records: ReadonlyMap<Subject, RecordState>;
  /** sequence and hash of the newest entry kept */
  readonly head: { readonly sequence: number; readonly hash: string };
}

/** @throws Error when the entries do not begin with a project, are of several, skip a number, or do not
 *   follow each other in their records: the store keeps no such thing (see `verifyChain` for what was
 *   tampered with) */
export function projectState(entries: readonly KeptEntry[]): ProjectState {
  const first = entries[0];
  if (first === undefined) throw new Error('projectState: no entries');
  return withEntries(emptyState(first), entries);
}

function emptyState(first: NewEntry): ProjectState {
  if (first.body.kind !== 'project' || first.id !== first.project) {
    throw new Error(`projectState: entry ${first.id} begins no project`);
  }
  return { id: first.id, records: new Map(), head: { sequence: 0, hash: FIRST_PREVIOUS } };
}

/**
 * The state with further entries. Only the records they speak of are made anew; the list of records is
 * copied once a call.
 *
 * @param state of kept entries only, not one `withPending` has made
 * @throws Error as `projectState`
 */
export function withEntries(state: ProjectState, entries: readonly KeptEntry[]): ProjectState {
  const records = new Map(state.records);
  let { head } = state;
  for (const entry of entries) {
    if (entry.project !== state.id || entry.sequence !== head.sequence + 1) {
      throw new Error(
        `withEntries: entry ${entry.sequence} of ${entry.project} after ${head.sequence} of ${state.id}`,
      );
    }
    const next = recordAfter(records.get(entry.subject), entry);
    if (next === null) {
      throw new Error(
        `withEntries: entry ${entry.sequence} (${entry.id}) does not follow its record`,
      );
    }
    records.set(entry.subject, next);
    head = { sequence: entry.sequence, hash: entry.hash };
  }
  return { ...state, records, head };
}

/** null: the entry does not follow the record (undefined: none is there) */
function recordAfter(record: RecordState | undefined, entry: KeptEntry): RecordState | null {
  const { body } = entry;
  if (record === undefined) {
    const begins = entry.subject === entry.id && entry.base === null && isContent(body);
    return begins ? begun(entry, body) : null;
  }
  if (entry.base !== record.newest) return null;
  const entries = [...record.entries, entry];
  const next = { ...record, entries, newest: entry.id };
  if (body.kind === 'review') return { ...next, reviewedAt: entry.sequence };
  if (body.kind === 'withdrawal') return { ...next, withdrawn: true };
  if (body.kind !== record.kind) return null;
  const corrections = record.corrections + (record.reviewedAt === null ? 0 : 1);
  return { ...next, content: body, corrections, withdrawn: false };
}

function begun(entry: KeptEntry, content: ContentBody): RecordState {
  return {
    subject: entry.subject,
    kind: content.kind,
    content,
    entries: [entry],
    newest: entry.id,
    reviewedAt: null,
    corrections: 0,
    withdrawn: false,
  };
}

/** Does it say what the record holds (and does not only review or withdraw it)? */
export function isContent(body: EntryBody): body is ContentBody {
  return body.kind !== 'review' && body.kind !== 'withdrawal';
}

/**
 * Entries that are written and not yet kept, on top: as the page shows work that waits to be sent. Those
 * that do not fit (an older base) or are kept by now are left out. The head stays that of the kept
 * entries. `isPending` tells the entries on top from those kept.
 *
 * @param state null: nothing of the project is kept yet; the pending ones may begin it
 */
export function withPending(state: ProjectState, pending: readonly NewEntry[]): ProjectState;
export function withPending(
  state: ProjectState | null,
  pending: readonly NewEntry[],
): ProjectState | null;
export function withPending(
  state: ProjectState | null,
  pending: readonly NewEntry[],
): ProjectState | null {
  const first = pending.find(({ body, id, project }) => body.kind === 'project' && id === project);
  const under = state ?? (first === undefined ? null : emptyState(first));
  if (under === null) return null;
  const records = new Map(under.records);
  let sequence = under.head.sequence;
  for (const entry of pending) {
    if (entry.project !== under.id) continue;
    const waiting = {
      ...entry,
      sequence: sequence + 1,
      received: entry.at,
      previous: '',
      hash: PENDING,
    };
    const next = recordAfter(records.get(entry.subject), waiting);
    if (next === null) continue;
    records.set(entry.subject, next);
    sequence += 1;
  }
  return { ...under, records };
}

const PENDING = '';

/** Is it one that `withPending` put on top: written, not yet kept? */
export function isPending(entry: KeptEntry): boolean {
  return entry.hash === PENDING;
}

/** The entry of an id, in whichever record; null: none has it. */
export function entryOf(state: ProjectState, id: string): KeptEntry | null {
  for (const { entries } of state.records.values()) {
    const found = entries.find((entry) => entry.id === id);
    if (found !== undefined) return found;
  }
  return null;
}

/** Every entry of the project, in the order they were kept. */
export function entriesOf(state: ProjectState): readonly KeptEntry[] {
  return [...state.records.values()]
    .flatMap(({ entries }) => entries)
    .sort((a, b) => a.sequence - b.sequence);
}

/** Records of a kind, in the order they were begun; those withdrawn too. */
export function recordsOf<K extends RecordKind>(
  state: ProjectState,
  kind: K,
): readonly RecordState<ContentOf<K>>[] {
  return [...state.records.values()].filter((record) => isOfKind(record, kind));
}

/** null: there is none, or it is of another kind */
export function recordOf<K extends RecordKind>(
  state: ProjectState,
  kind: K,
  subject: Subject,
): RecordState<ContentOf<K>> | null {
  const record = state.records.get(subject);
  return record !== undefined && isOfKind(record, kind) ? record : null;
}

function isOfKind<K extends RecordKind>(
  record: RecordState,
  kind: K,
): record is RecordState<ContentOf<K>> & RecordState {
  return record.kind === kind;
}
