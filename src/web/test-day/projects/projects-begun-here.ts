/** Projects that were begun in this browser and that the program does not have yet. */

import type { NewEntry } from '../../../test-record/index.js';
import type { ProjectSummary } from '../store/records-api.js';

/** @param pending entries that wait, in the order written @param kept those that the program has */
export function projectsBegunHere(
  pending: readonly NewEntry[],
  kept: readonly ProjectSummary[],
): readonly ProjectSummary[] {
  const known = new Set(kept.map(({ id }) => id));
  return pending.flatMap(({ id, project, body }) => {
    if (body.kind !== 'project' || id !== project || known.has(id)) return [];
    const own = pending.filter((each) => each.project === id);
    const changed = own.at(-1)?.at ?? '';
    const { name, customer } = body;
    return [{ id, name, customer, entries: own.length, changed, head: '' }];
  });
}
