/** What a cart can do over what is asked of it. */

import type { RequirementSet } from '../requirements/index.js';
import type { Finding } from './finding.js';

/**
 * Capacity over demand: 1 is just enough. Of a demand of nothing (the centre of mass is to lie inside
 * the castors by 0 mm or more) no ratio can be had: what falls short of it has a reserve of 0, all else
 * one without limit.
 *
 * @param demand SI
 * @param capacity SI, in the same unit; a distance may be negative
 */
export function reserveOf(demand: number, capacity: number): number {
  if (demand > 0) return capacity / demand;
  return capacity < demand ? 0 : Number.POSITIVE_INFINITY;
}

/** capacity / demand; where the clause limits from above, limit / demand. 0: it fails and no ratio can
 * be had. null: not known. */
export function foundReserve({ verdict, demand, capacity }: Finding): number | null {
  if (demand !== null && capacity !== null) return reserveOf(demand.value, capacity.value);
  return verdict === 'fails' ? 0 : null;
}

/** The reserve that no configuration is below; null: not proven. The bound of a holding finding is
 * that of the multiple of what is asked, at the demand of the worst found. */
export function provenReserve({ demand, capacity, sense, proof }: Finding): number | null {
  if (demand === null || capacity === null || proof.kind !== 'proven') return null;
  const [over, under] = sense === 'at least' ? [proof.bound, demand] : [capacity, proof.bound];
  return reserveOf(under.value, over.value);
}

/** A reserve, never rounded up: what passes must read as passing, and no more. */
export function reserveText(reserve: number | null): string {
  if (reserve === null) return '-';
  if (reserve === Number.POSITIVE_INFINITY) return 'unlimited';
  const decimals = reserve >= 10 ? 1 : reserve >= 2 ? 2 : 3;
  const scale = 10 ** decimals;
  return (Math.floor(reserve * scale + 1e-6) / scale).toFixed(decimals);
}

/** A finding's reserve, or that of the clause that may be met in its place where that has more. */
export function withAlternative(
  findings: readonly Finding[],
  set: RequirementSet,
  finding: Finding,
  reserve: (finding: Finding) => number | null,
): number | null {
  const own = reserve(finding);
  const alternative = set.clauses.find(({ id }) => id === finding.id)?.alternative ?? null;
  const other = findings.find(({ id }) => id === alternative);
  if (other === undefined || !other.applicability.applies) return own;
  const instead = reserve(other);
  return instead === null ? own : Math.max(own ?? 0, instead);
}

/** A proof that shows exactly what was wanted may come back a rounding below it. */
const PROOF_ROUNDING = 1e-6;

/** Whether a reserve reaches what is asked with the margin; null, not known, does not. */
export function reaches(margin: number, reserve: number | null): boolean {
  return reserve !== null && reserve >= (1 + margin) * (1 - PROOF_ROUNDING);
}

/** Whether what is proven of a finding reaches the margin, and its verdict says that nothing else is
 * open (a rating that is not stated). */
export function isProvenTo(margin: number, { verdict }: Finding, proven: number | null): boolean {
  const decided = verdict === 'holds' || verdict === 'depends on friction';
  return decided && reaches(margin, proven);
}
