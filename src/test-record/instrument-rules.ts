/** Rules about instruments: calibrated on the day, and of the kind that the use needs. */

import type { EntryProblem } from './entry.js';
import type { EntryBody, InstrumentBody } from './entry-body.js';
import { problemOf } from './entry-problem.js';
import type { ProjectState, RecordState } from './project-state.js';
import { recordOf } from './project-state.js';
import type { InstrumentUse } from './record-references.js';
import { usesOf } from './record-references.js';

/** The day of a time, in UTC. */
function dayOf(time: string): string {
  return time.slice(0, 10);
}

/**
 * Is the instrument past its due date on that day? On the due date itself it may still be used.
 *
 * @param due year-month-day; null: it has none
 * @param taken ISO 8601 in UTC; its day in UTC counts
 */
export function isExpired(due: string | null, taken: string): boolean {
  return due !== null && dayOf(taken) > due;
}

/**
 * What the record says of an instrument on the day it was used: it is calibrated anew now and then, and
 * what was measured before goes by the certificate of its time. Of the newest calibration that is not later
 * than that day, what was written last (a correction counts); where all are later, the newest content.
 */
export function instrumentOn(record: RecordState<InstrumentBody>, taken: string): InstrumentBody {
  const inTime = record.entries
    .flatMap(({ body }) => (body.kind === 'instrument' ? [body] : []))
    .filter(({ calibrated }) => isCalibratedBy(calibrated, taken));
  const newest = inTime
    .map(({ calibrated }) => calibrated ?? '')
    .sort()
    .at(-1);
  return inTime.findLast(({ calibrated }) => (calibrated ?? '') === newest) ?? record.content;
}

function isCalibratedBy(calibrated: string | null, taken: string): boolean {
  return calibrated === null || calibrated <= dayOf(taken);
}

/** Instruments that were used out of their calibration without a word, or for what they are not for. */
export function instrumentProblems(state: ProjectState, body: EntryBody): readonly EntryProblem[] {
  if (!('taken' in body)) return [];
  return usesOf(body).flatMap((use) => useProblems(state, use, body.taken));
}

function useProblems(
  state: ProjectState,
  { path, used }: InstrumentUse,
  taken: string,
): readonly EntryProblem[] {
  const record = recordOf(state, 'instrument', used.instrument);
  // a reference that leads nowhere is told as such
  if (record === null) return [];
  const instrument = instrumentOn(record, taken);
  const expired = calibrationProblem(instrument, used.despite, taken);
  const due = path.includes('scales') ? 'scale' : path.includes('tilt') ? 'inclinometer' : null;
  return [
    ...(expired === null
      ? []
      : [problemOf('rule', [...path, 'despite'], used.despite, expired, REASON_DUE)]),
    ...(due === null || instrument.instrument === due
      ? []
      : [
          problemOf(
            'rule',
            [...path, 'instrument'],
            instrument.name,
            `is a ${instrument.instrument}`,
            `an instrument of the kind ${due}`,
          ),
        ]),
  ];
}

const REASON_DUE = 'the reason why it was used all the same';

function calibrationProblem(
  { name, due, calibrated }: InstrumentBody,
  despite: string | null,
  taken: string,
): string | null {
  if (despite !== null) return null;
  const used = `"${name}" was used on ${dayOf(taken)}`;
  if (isExpired(due, taken)) return `is no reason, and ${used}, past its due date ${due}`;
  if (isCalibratedBy(calibrated, taken)) return null;
  return `is no reason, and ${used}, before its calibration on ${calibrated}`;
}
