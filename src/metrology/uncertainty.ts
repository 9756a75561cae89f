/**
 * Uncertainty by the GUM (JCGM 100:2008; paragraphs named here are its own).
 *
 * Assumes inputs that are independent of each other and a result that is nearly linear in them over
 * their uncertainties. Derivations and checks: docs/theory/measurement.md.
 */

import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import type { Budget, BudgetLine, Expanded, Measured } from './measured.js';

/** 95.45 %, the coverage of two standard deviations of a normal distribution (2 Phi(2) - 1): k = 2 where
 * there are degrees of freedom enough (common practice of laboratories, JCGM 100, G.6.6 and ILAC-G8). */
export const USUAL_LEVEL = 0.954499736103642;

/** From so many degrees of freedom on the t distribution is the normal one: k differs by 1 in 10^6. */
const MANY_DEGREES = 1e6;

/** Mean of repeated readings with its type A uncertainty s / sqrt(n) (4.2.3). One reading alone has no
 * statistics: u 0, dof null, s null. @throws RangeError without readings, or one that is no number */
export function meanOf(readings: readonly number[]): Measured & { readonly s: number | null } {
  const [first] = readings;
  if (first === undefined) {
    throw new RangeError('meanOf: no readings');
  }
  for (const reading of readings) {
    mustBeFinite('meanOf', 'reading', reading);
  }
  const n = readings.length;
  // about the first reading: readings that are all alike have exactly that mean
  const value = first + readings.reduce((sum, reading) => sum + (reading - first), 0) / n;
  if (n === 1) {
    return { value, u: 0, dof: null, s: null };
  }
  const squares = readings.reduce((sum, reading) => sum + (reading - value) ** 2, 0);
  const s = Math.sqrt(squares / (n - 1));
  return { value, u: s / Math.sqrt(n), dof: n - 1, s };
}

/** Half-width of an interval in which the value surely lies, all of it alike: u = a / sqrt(3) (4.3.7).
 * @throws RangeError for one below 0 or no number, as the next two */
export function rectangular(halfWidth: number): number {
  return mustBePositive('rectangular', 'half-width', halfWidth) / Math.sqrt(3);
}

/** u = a / sqrt(6) (4.3.9). */
export function triangular(halfWidth: number): number {
  return mustBePositive('triangular', 'half-width', halfWidth) / Math.sqrt(6);
}

/** A display of this resolution: u = d / sqrt(12) (F.2.2.1). */
export function ofResolution(step: number): number {
  return mustBePositive('ofResolution', 'step', step) / Math.sqrt(12);
}

/** Combines independent inputs: u^2 = sum (c_i u_i)^2 (5.1.2), dof by Welch and Satterthwaite (G.4.1),
 * not rounded; null where no line that counts has any, or above 10^6. Without lines u is 0.
 * @throws RangeError for a number that is none, a u below 0, degrees of freedom that are not above 0 */
export function combined(
  value: number,
  lines: readonly Omit<BudgetLine, 'contribution'>[],
): Budget {
  mustBeFinite('combined', 'value', value);
  const full = lines.map(withContribution);
  const u = Math.hypot(...full.map((line) => line.contribution));
  return { value, u, dof: effectiveDegrees(u, full), lines: full };
}

/** U = k u, k from the t distribution for the effective degrees of freedom (G.6.4), which need not be
 * whole; default level: `USUAL_LEVEL`. @throws RangeError for a level outside 0 to 1 */
export function expanded(measured: Measured, level: number = USUAL_LEVEL): Expanded {
  checkMeasured('expanded', measured);
  if (!(level > 0 && level < 1)) {
    throw new RangeError(`expanded: level ${level}; allowed: between 0 and 1`);
  }
  const k = coverageFactor(measured.dof, level);
  return { U: k * measured.u, k, level };
}

/** The number of standard uncertainties that a value exceeds with the chance 1 - `probability`: of the
 * normal distribution, or of t. @param probability between 0 and 1 */
export function quantileOf(dof: number | null, probability: number): number {
  // the package's t quantile is 0 from 10^20 degrees of freedom on
  return dof === null || dof > MANY_DEGREES
    ? normalQuantile(probability, 0, 1)
    : tQuantile(probability, dof);
}

/** @throws RangeError naming `by`, where the value is no number, u < 0, or dof is not above 0 */
export function checkMeasured(by: string, { value, u, dof }: Measured): void {
  mustBeFinite(by, 'value', value);
  mustBePositive(by, 'u', u);
  if (dof !== null && !(dof > 0 && Number.isFinite(dof))) {
    throw new RangeError(`${by}: degrees of freedom ${dof}; allowed: above 0, or null`);
  }
}

export function mustBeFinite(by: string, what: string, value: number): void {
  if (!Number.isFinite(value)) {
    throw new RangeError(`${by}: ${what} ${value}; allowed: a number`);
  }
}

function mustBePositive(by: string, what: string, value: number): number {
  if (!(value >= 0 && Number.isFinite(value))) {
    throw new RangeError(`${by}: ${what} ${value}; allowed: 0 or more`);
  }
  return value;
}

function withContribution(line: Omit<BudgetLine, 'contribution'>): BudgetLine {
  checkMeasured(`combined: ${line.source}`, { value: line.sensitivity, u: line.u, dof: line.dof });
  return { ...line, contribution: Math.abs(line.sensitivity) * line.u };
}

/** nu = u^4 / sum (contribution_i^4 / nu_i). The shares are taken of u first: fourth powers of forces in
 * newtons or of lengths in metres would run out of range long before the numbers do. */
function effectiveDegrees(u: number, lines: readonly BudgetLine[]): number | null {
  if (u === 0) {
    return null;
  }
  const inverse = lines.reduce(
    (sum, { contribution, dof }) => sum + (dof === null ? 0 : (contribution / u) ** 4 / dof),
    0,
  );
  return inverse * MANY_DEGREES > 1 ? 1 / inverse : null;
}

function coverageFactor(dof: number | null, level: number): number {
  // by definition of the level; the quantile would be 2 but for the last digit
  return dof === null && level === USUAL_LEVEL ? 2 : quantileOf(dof, (1 + level) / 2);
}
