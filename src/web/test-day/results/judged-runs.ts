/** The record of each run that stands for it. */

import type { JudgedRecord, PlannedRun } from '../../../judgement/index.js';
import type { TestRun } from '../../../test-plan/index.js';

export interface JudgedRun extends JudgedRecord {
  readonly run: TestRun;
}

/** Of each run done: the newest that failed, else the newest; as the decision of the run goes. */
export function judgedRuns(runs: readonly PlannedRun[]): readonly JudgedRun[] {
  return runs.flatMap(({ run, done }) => {
    const failed = done.findLast(({ judgement }) => judgement.decision === 'fail');
    const standing = failed ?? done.at(-1);
    return standing === undefined ? [] : [{ run, ...standing }];
  });
}
