/**
 * Question: does a measured value conform to a limit? Decision rules of ILAC-G8:09/2019 and JCGM 106:2012.
 *
 * The true value is taken as distributed about the measured one, normally, or by t where the degrees of
 * freedom are few; nothing was known of it before. A value on the limit is within it.
 * Derivations and checks: docs/theory/measurement.md.
 */

import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import type { Measured } from './measured.js';
import { checkMeasured, expanded, mustBeFinite, quantileOf } from './uncertainty.js';

export interface Limit {
  readonly kind: 'at least' | 'at most';
  readonly value: number;
}

/** Chosen with the plan, before anything is measured. */
export type DecisionRule =
  /** the measured value alone is compared with the limit (guard band w = 0): near the limit the chance
   * that the decision is wrong is up to one half */
  | { readonly kind: 'simple acceptance' }
  /** w = multiple x U (95.45 %, k = 2 or from t): pass inside the limit by w or more, fail outside it by w
   * or more, not decided between */
  | { readonly kind: 'guard band' /** >= 0, usually 1 */; readonly multiple: number }
  /** as simple acceptance, where the chance that the decision is wrong is at most `greatestRisk` (agreed
   * with the customer, more than 0, at most 0.5); else not decided */
  | { readonly kind: 'shared risk'; readonly greatestRisk: number };

export type Decision = 'pass' | 'fail' | 'not decided';

export interface Conformity {
  readonly decision: Decision;
  readonly limit: Limit;
  readonly measured: Measured;
  /** expanded uncertainty at 95.45 %, unit of the value */
  readonly U: number;
  readonly k: number;
  /** width of the guard band, unit of the value, >= 0 */
  readonly guard: number;
  /** the value passes up to here ('at most') or from here ('at least') */
  readonly acceptanceLimit: number;
  /** the value fails from here ('at most') or up to here ('at least'); the same as the acceptance limit
   * where nothing is left undecided: a value on it then passes */
  readonly rejectionLimit: number;
  /** chance that the true value is within the limit, as measured (JCGM 106, 7) */
  readonly probability: number;
  /** chance that the decision is wrong: 1 - probability of a pass, probability of a fail; null: not
   * decided */
  readonly risk: number | null;
}

/** Values that differ by less than this share of themselves are the same: 10 deg typed and 10 deg
 * reckoned differ by the rounding of a few conversions (1e-16 each); no instrument shows 12 digits. */
const ROUNDING = 1e-12;

/** @throws RangeError for a value or limit that is no number, u < 0, or a rule out of its range */
export function decide(measured: Measured, limit: Limit, rule: DecisionRule): Conformity {
  checkQuestion('decide', measured, limit);
  checkRule(rule);
  const { U, k } = expanded(measured);
  const guard = guardOf(rule, measured, U);
  const inward = limit.kind === 'at most' ? -1 : 1;
  const acceptanceLimit = limit.value + inward * guard;
  const rejectionLimit = limit.value - inward * guard;
  const decision = decisionOf(measured.value, inward, acceptanceLimit, rejectionLimit);
  const probability = probabilityWithin(measured, limit);
  const wrong = { pass: chanceBeyond(measured, limit), fail: probability, 'not decided': null };
  return {
    decision,
    limit,
    measured,
    U,
    k,
    guard,
    acceptanceLimit,
    rejectionLimit,
    probability,
    risk: wrong[decision],
  };
}

/** Chance that the true value is within the limit: normal distribution, or t where the degrees of freedom
 * are few (JCGM 106, 7.2 to 7.4). u = 0: 1 or 0; a value on the limit is within it.
 * @throws RangeError for a value or limit that is no number, or u < 0 */
export function probabilityWithin(measured: Measured, limit: Limit): number {
  checkQuestion('probabilityWithin', measured, limit);
  return measured.u === 0
    ? Number(insideBy(measured, limit) >= 0)
    : chanceBelow(measured.dof, insideBy(measured, limit) / measured.u);
}

/** One sentence that says what the rule does, for a plan and a report. */
export function ruleWords(rule: DecisionRule): string {
  checkRule(rule);
  switch (rule.kind) {
    case 'simple acceptance':
      return 'Simple acceptance: a measured value within the limit or on it passes, any other fails; the measurement uncertainty is stated but not counted, so that near the limit the chance of a wrong decision is up to 50 %.';
    case 'guard band':
      return rule.multiple === 0
        ? 'Guard band of width 0: a measured value within the limit or on it passes, any other fails, and near the limit the chance of a wrong decision is up to 50 %.'
        : `Guard band of ${widthWords(rule.multiple)} (U: expanded uncertainty, coverage 95.45 %): a measured value inside the limit by that much or more passes, outside it by that much or more fails, and between the two it is not decided; the chance of a wrong decision is at most ${percent(riskAtGuard(rule.multiple))} where k is 2.`;
    case 'shared risk':
      return `Shared risk: a measured value within the limit passes and any other fails, where the chance that this is wrong is at most ${percent(rule.greatestRisk)}; else it is not decided.`;
  }
}

function checkQuestion(by: string, measured: Measured, limit: Limit): void {
  checkMeasured(by, measured);
  mustBeFinite(by, 'limit', limit.value);
}

function checkRule(rule: DecisionRule): void {
  if (rule.kind === 'guard band' && !(rule.multiple >= 0 && Number.isFinite(rule.multiple))) {
    throw new RangeError(`guard band of ${rule.multiple} x U; allowed: 0 or more`);
  }
  if (rule.kind === 'shared risk' && !(rule.greatestRisk > 0 && rule.greatestRisk <= 0.5)) {
    throw new RangeError(
      `shared risk of at most ${rule.greatestRisk}; allowed: more than 0, at most 0.5`,
    );
  }
}

function guardOf(rule: DecisionRule, { u, dof }: Measured, U: number): number {
  switch (rule.kind) {
    case 'simple acceptance':
      return 0;
    case 'guard band':
      return rule.multiple * U;
    case 'shared risk':
      // at the acceptance limit the chance of being wrong is F(-w / u), which is to be the greatest risk
      return rule.greatestRisk === 0.5 ? 0 : u * quantileOf(dof, 1 - rule.greatestRisk);
  }
}

/** @param inward -1: smaller values are within the limit; 1: greater ones are */
function decisionOf(value: number, inward: number, accept: number, reject: number): Decision {
  if (inward * distance(value, accept) >= 0) {
    return 'pass';
  }
  return inward * distance(value, reject) <= 0 ? 'fail' : 'not decided';
}

/** value - bound, 0 where they differ by rounding only */
function distance(value: number, bound: number): number {
  const difference = value - bound;
  return Math.abs(difference) <= ROUNDING * Math.max(Math.abs(value), Math.abs(bound))
    ? 0
    : difference;
}

/** By how much the value is within the limit; below 0: outside. */
function insideBy({ value }: Measured, limit: Limit): number {
  return limit.kind === 'at most' ? distance(limit.value, value) : distance(value, limit.value);
}

/** Chance that the true value is not within the limit; the far tail itself, not 1 less the rest. */
function chanceBeyond(measured: Measured, limit: Limit): number {
  return measured.u === 0
    ? Number(insideBy(measured, limit) < 0)
    : chanceBelow(measured.dof, -insideBy(measured, limit) / measured.u);
}

function chanceBelow(dof: number | null, z: number): number {
  return dof === null ? normalCdf(z, 0, 1) : tCdf(z, dof);
}

/** One-sided chance of being wrong a guard band inside the limit, k = 2: 2.28 % for one U. */
function riskAtGuard(multiple: number): number {
  return normalCdf(-2 * multiple, 0, 1);
}

function widthWords(multiple: number): string {
  return multiple === 1 ? 'U' : `${multiple} U`;
}

function percent(share: number): string {
  return `${Number((100 * share).toPrecision(3))} %`;
}
