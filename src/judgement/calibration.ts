/** Was an instrument within its calibration when it was used, and which calibration was that? */

import type { InstrumentBody, ProjectState, Subject, Used } from '../test-record/index.js';
import { instrumentOn, isExpired, recordsOf } from '../test-record/index.js';
import { nameOf } from './instrument-uncertainty.js';

/** What a reader must know about the calibration of what was used. @param taken when it was used */
export function calibrationRemarks(
  used: readonly Used[],
  taken: string,
  instruments: ReadonlyMap<Subject, InstrumentBody>,
): readonly string[] {
  return used.flatMap((each) => calibrationRemark(each, taken, instruments));
}

function calibrationRemark(
  { instrument: subject, despite }: Used,
  taken: string,
  instruments: ReadonlyMap<Subject, InstrumentBody>,
): readonly string[] {
  const instrument = instruments.get(subject);
  if (instrument === undefined) return [`Instrument ${subject} is not in the record.`];
  const who = nameOf(instrument);
  const reason = despite === null || despite.trim() === '' ? 'no reason is stated' : despite;
  if (isExpired(instrument.due, taken)) {
    return [`${who} was used past its calibration, which was due on ${instrument.due}: ${reason}.`];
  }
  const day = taken.slice(0, 10);
  if (instrument.calibrated === null || instrument.calibrated <= day) return [];
  return [
    `The calibration of ${who} (${instrument.calibrated}) is of later than its use (${day}).`,
  ];
}

/**
 * Every instrument of the project as it was calibrated when it was used. An instrument that has been
 * calibrated anew since is judged by the calibration before; a correction of that calibration counts. Where
 * every calibration is later than the use, the newest counts, and a remark says so.
 *
 * @param taken when it was used, ISO 8601
 */
export function instrumentsAt(
  state: ProjectState,
  taken: string,
): ReadonlyMap<Subject, InstrumentBody> {
  return new Map(
    recordsOf(state, 'instrument').map((record) => [record.subject, instrumentOn(record, taken)]),
  );
}
