/** Results in words: predicted, measured, and how far apart. */

import { amountText, quantityText } from '../../../analysis/index.js';
import type { Agreement, RunJudgement } from '../../../judgement/index.js';
import type { Budget } from '../../../metrology/index.js';
import { expanded } from '../../../metrology/index.js';
import type { TestRun } from '../../../test-plan/index.js';
import type { UnitSystem } from '../../../units/index.js';

export function predictedWords({ prediction }: TestRun, units: UnitSystem): string {
  const { capacity, verdict } = prediction;
  return capacity === null ? verdict : `${amountText(capacity, units)}, ${verdict}`;
}

type LoadDimension = 'angle' | 'force';

/** What was measured of the load: 'gave way at 8.2 deg +/- 0.2 deg', 'stood 120 N +/- 2 N'. */
export function measuredWords(run: TestRun, judgement: RunJudgement, units: UnitSystem): string {
  const { gaveWayAt, stoodAt, criteria } = judgement;
  const load: LoadDimension = run.loading.kind === 'incline' ? 'angle' : 'force';
  const parts = [
    ...(gaveWayAt === null ? [] : [`gave way at ${budgetWords(gaveWayAt, load, units)}`]),
    ...(stoodAt === null ? [] : [`stood ${budgetWords(stoodAt, load, units)}`]),
    ...criteria.flatMap(({ criterion, measured, dimension }) =>
      criterion.measure === 'load held' || measured === null || dimension === null
        ? []
        : [`${criterion.measure} ${budgetWords(measured, dimension, units)}`],
    ),
  ];
  return parts.join('; ');
}

function budgetWords(
  budget: Budget,
  dimension: Parameters<typeof quantityText>[1],
  units: UnitSystem,
): string {
  const { U } = expanded(budget);
  const value = quantityText(budget.value, dimension, units);
  return U === 0 ? value : `${value} +/- ${quantityText(roundedUp(U), dimension, units)}`;
}

/** An uncertainty has two digits at most (JCGM 100, 7.2.6); up, so that none is made smaller. */
function roundedUp(U: number): number {
  const power = 10 ** (Math.floor(Math.log10(U)) - 1);
  return Math.ceil(U / power - 1e-9) * power;
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
  const number = Number.isFinite(normalised) ? `E_n ${normalised.toFixed(1)}` : 'no uncertainty';
  return `${SAYS[says]} (${isBound ? 'at least ' : ''}${number})`;
}
