/** What the measured values change in the predictions of a plan, run by run. */

import { amountText } from '../../../analysis/index.js';
import type { Prediction, TestRun } from '../../../test-plan/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { predictedWords } from '../results/result-words.js';

export interface PredictionChange {
  readonly run: TestRun;
  /** as the plan was made */
  readonly planned: Prediction;
  readonly measured: Prediction;
  /** what is asked of the measured cart; '' where nothing is stated */
  readonly asked: string;
  readonly plannedWords: string;
  readonly measuredWords: string;
  readonly isChanged: boolean;
}

/** @param again one a run, in its order */
export function predictionChanges(
  runs: readonly TestRun[],
  again: readonly Prediction[],
  units: UnitSystem,
): readonly PredictionChange[] {
  return runs.flatMap((run, i) => {
    const measured = again[i];
    if (measured === undefined) return [];
    const planned = run.prediction;
    return [
      {
        ...{ run, planned, measured },
        asked: measured.demand === null ? '' : amountText(measured.demand, units),
        plannedWords: predictedWords(run, units),
        measuredWords: predictedWords({ ...run, prediction: measured }, units),
        isChanged: planned.verdict !== measured.verdict,
      },
    ];
  });
}

/** 'The verdict changes in 2 of 14 runs.' */
export function changeCountWords(changes: readonly PredictionChange[]): string {
  const changed = changes.filter(({ isChanged }) => isChanged).length;
  const runs = changes.length === 1 ? '1 run' : `${changes.length} runs`;
  return changed === 0
    ? `No verdict changes in ${runs}.`
    : `The predicted verdict changes in ${changed} of ${runs}.`;
}
