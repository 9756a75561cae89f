/** What a row of margin bars shows, and how it is made from a finding. */

import type { Amount, Finding, ScreenedFinding, Verdict } from '../analysis/index.js';
import { amountText, foundReserve, provenReserve, reserveText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';

/** One finding of one variant. */
export interface MarginValue {
  /** null: found, and no verdict given yet */
  readonly verdict: Verdict | null;
  readonly demand: Amount | null;
  readonly capacity: Amount | null;
  /** null: not known which way the clause limits */
  readonly sense: Finding['sense'] | null;
  /** capacity / demand of the worst found; null: not asked, or not known */
  readonly found: number | null;
  /** the reserve that nothing in the ranges is below; null: not proven (yet) */
  readonly proven: number | null;
  /** the reserve of the pose shown; null: none is shown */
  readonly posed: number | null;
}

export interface MarginRow {
  /** of the finding; unique among the rows */
  readonly id: string;
  readonly title: string;
  readonly value: MarginValue;
  /** the same finding of a second variant */
  readonly other?: MarginValue | null;
}

/** @param posed the reserve of the pose shown, if one is */
export function marginOfFinding(finding: Finding, posed: number | null = null): MarginValue {
  const { applicability, verdict, demand, capacity, sense } = finding;
  if (!applicability.applies) return { ...NOT_ASKED, sense };
  const found = foundReserve(finding);
  return { verdict, demand, capacity, sense, found, proven: provenReserve(finding), posed };
}

/** Of a finding that was searched and not proven.
 * @param posed the reserve of the pose shown, if one is */
export function marginOfScreened(
  { applies, demand, capacity, own }: ScreenedFinding,
  posed: number | null = null,
): MarginValue {
  if (!applies) return NOT_ASKED;
  return { verdict: null, demand, capacity, sense: null, found: own, proven: null, posed };
}

const NOT_ASKED: MarginValue = {
  verdict: 'not applicable',
  demand: null,
  capacity: null,
  sense: null,
  found: null,
  proven: null,
  posed: null,
};

/** '0.658'; 'unlimited'; 'not asked'; 'not known'. */
export function foundText({ verdict, found }: MarginValue): string {
  if (found === null) return verdict === 'not applicable' ? 'not asked' : 'not known';
  return reserveText(found);
}

/** 'fails: asked 94.1 N, found 62 N'; the verdict always by its word. */
export function marginWords(value: MarginValue, units: UnitSystem): string {
  const word = value.verdict ?? 'found, not proven';
  const amounts = amountWords(value, units);
  return amounts === '' ? word : `${word}: ${amounts}`;
}

function amountWords({ demand, capacity, sense, verdict }: MarginValue, units: UnitSystem): string {
  if (demand === null && capacity === null) return verdict === 'not applicable' ? '' : 'not known';
  const [asked, can] = [demand, capacity].map((amount) =>
    amount === null ? 'not known' : amountText(amount, units),
  );
  if (sense === 'at most') return `takes ${asked}, limit ${can}`;
  if (sense === 'at least') return `asked ${asked}, found ${can}`;
  return `demand ${asked}, capacity ${can}`;
}
