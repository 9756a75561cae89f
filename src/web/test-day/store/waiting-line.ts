/** The line of what waits to be sent: what may go, what goes together, and what waits with another. */

import type { SubmitOutcome } from '../../../test-record/index.js';
import type { PendingEntry } from './local-shelf.js';

/** Entries sent in one request, and characters of their JSON: three bytes each at most, a fraction of what the
 * program takes, so that only an entry that is too large by itself is refused as such. */
const MOST_AT_ONCE = 20;
const MOST_TEXT_AT_ONCE = 1_000_000;

/** Those that are not stopped, nor follow one that is; what is in a project that is stopped waits with it. */
export function sendable(pending: readonly PendingEntry[]): readonly PendingEntry[] {
  const stopped = new Set<string>();
  return pending.filter(({ entry, since, problems }) => {
    const isHeld = stopped.has(entry.base ?? '') || stopped.has(entry.project);
    const isStopped = since !== null || problems !== null || isHeld;
    if (isStopped) stopped.add(entry.id);
    return !isStopped;
  });
}

/** What goes in one request, of the first project that does not rest. */
export function batchOf(
  pending: readonly PendingEntry[],
  resting: ReadonlySet<string>,
): readonly PendingEntry[] {
  const going = pending.filter(({ entry }) => !resting.has(entry.project));
  const ofFirst = going.filter(({ entry }) => entry.project === going[0]?.entry.project);
  let length = 0;
  const end = ofFirst.slice(0, MOST_AT_ONCE).findIndex(({ entry }, i) => {
    length += JSON.stringify(entry).length;
    return i > 0 && length > MOST_TEXT_AT_ONCE;
  });
  return ofFirst.slice(0, end < 0 ? MOST_AT_ONCE : end);
}

/** @param outcomes of those sent together */
export function followsStuck(
  { entry }: PendingEntry,
  sent: readonly PendingEntry[],
  outcomes: readonly SubmitOutcome[],
): boolean {
  const isStuck = (id: string | null): boolean => {
    const kind = outcomes[sent.findIndex((each) => each.entry.id === id)]?.kind;
    return kind === 'conflict' || kind === 'refused';
  };
  return isStuck(entry.base) || (entry.id !== entry.project && isStuck(entry.project));
}
