/** When, by whom and in which conditions something was measured, as forms have it. */

import type { Attachment, Conditions } from '../../../test-record/index.js';
import { localMoment, momentOfLocal } from '../runs/run-draft.js';

export interface ConditionsDraft {
  /** local date and time as the field has it */
  readonly taken: string;
  readonly operator: string;
  readonly temperature: string;
  readonly photos: readonly Attachment[];
  readonly notes: string;
  /** the entry that the form was made from; null: a new record */
  readonly base: string | null;
  readonly why: string;
}

/** @param now ISO 8601 */
export function newConditions(operator: string, now: string): ConditionsDraft {
  const taken = localMoment(now);
  return { taken, operator, temperature: '', photos: [], notes: '', base: null, why: '' };
}

export function conditionsDraftOf(
  { taken, operator, temperature, photos, notes }: Conditions,
  base: string,
): ConditionsDraft {
  const local = localMoment(taken);
  return { taken: local, operator, temperature: temperature ?? '', photos, notes, base, why: '' };
}

export function conditionsOf(draft: ConditionsDraft): Conditions {
  const temperature = draft.temperature.trim();
  return {
    taken: momentOfLocal(draft.taken),
    operator: draft.operator.trim(),
    temperature: temperature === '' ? null : temperature,
    photos: draft.photos,
    notes: draft.notes,
  };
}
