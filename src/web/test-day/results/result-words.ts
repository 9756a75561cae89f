/** Results in words: predicted, measured, and how far apart. */

import { amountText } from '../../../analysis/index.js';
import type { Agreement, RunJudgement } from '../../../judgement/index.js';
import { measuredText } from '../../../metrology/index.js';
import type { TestRun } from '../../../test-plan/index.js';
import type { UnitSystem } from '../../../units/index.js';

export function predictedWords({ prediction }: TestRun, units: UnitSystem): string {
  const { capacity, verdict } = prediction;
  return capacity === null ? verdict : `${amountText(capacity, units)}, ${verdict}`;
}

type LoadDimension = 'angle' | 'force';

/** What was measured of the load: 'gave way at 8.20 ± 0.20 deg', 'stood 120.0 ± 2.0 N'. */
export function measuredWords(run: TestRun, judgement: RunJudgement, units: UnitSystem): string {
  const { gaveWayAt, stoodAt, criteria } = judgement;
  const load: LoadDimension = run.loading.kind === 'incline' ? 'angle' : 'force';
  const parts = [
    ...(gaveWayAt === null ? [] : [`gave way at ${measuredText(gaveWayAt, load, units)}`]),
    ...(stoodAt === null ? [] : [`stood ${measuredText(stoodAt, load, units)}`]),
    ...criteria.flatMap(({ criterion, measured, dimension }) =>
      criterion.measure === 'load held' || measured === null || dimension === null
        ? []
        : [`${criterion.measure} ${measuredText(measured, dimension, units)}`],
    ),
  ];
  return parts.join('; ');
}

const SAYS: Readonly<Record<Agreement['says'], string>> = {
  agree: 'agrees',
  'holds more': 'holds more than predicted',
  'holds less': 'holds less than predicted',
  'more than predicted': 'more than predicted',
  'less than predicted': 'less than predicted',
};

/** 'holds less than predicted (E_n 2.3)' */
export function agreementWords({ says, normalised, isBound }: Agreement): string {
  const number = Number.isFinite(normalised)
    ? `E_n\u00a0${normalised.toFixed(1)}`
    : 'no uncertainty';
  return `${SAYS[says]} (${isBound ? 'at least ' : ''}${number})`;
}
