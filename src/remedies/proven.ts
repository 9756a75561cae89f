/** What a proven check says of the goal, finding by finding. */

import type { Finding } from '../analysis/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Governing } from './remedy.js';

/** capacity / demand; where the clause limits from above, limit / demand. null: not known. */
export function foundReserve({ demand, capacity }: Finding): number | null {
  if (demand === null || capacity === null) return null;
  return demand.value === 0 ? Number.POSITIVE_INFINITY : capacity.value / demand.value;
}

/** The reserve that no configuration is below; null: not proven. The bound of a holding finding is
 * that of the multiple of what is asked, at the demand of the worst found. */
export function provenReserve({ demand, capacity, sense, proof }: Finding): number | null {
  if (demand === null || capacity === null || proof.kind !== 'proven') return null;
  const [over, under] = sense === 'at least' ? [proof.bound, demand] : [capacity, proof.bound];
  return under.value === 0 ? Number.POSITIVE_INFINITY : over.value / under.value;
}

/** A finding, or the clause that may be met in its place where that has more. */
export function withAlternative(
  findings: readonly Finding[],
  set: RequirementSet,
  finding: Finding,
  reserveOf: (finding: Finding) => number | null,
): number | null {
  const own = reserveOf(finding);
  const alternative = set.clauses.find(({ id }) => id === finding.id)?.alternative ?? null;
  const other = findings.find(({ id }) => id === alternative);
  if (other === undefined || !other.applicability.applies) return own;
  const instead = reserveOf(other);
  return instead === null ? own : Math.max(own ?? 0, instead);
}

/** A proof that shows exactly what was wanted may come back a rounding below it. */
const PROOF_ROUNDING = 1e-6;

export interface Lack {
  readonly id: string;
  readonly title: string;
  readonly found: number | null;
  readonly proven: number | null;
  readonly reason: string;
}

/** Why a finding is not shown to reach 1 + margin; null: it is, or it is not judged. */
export function lackOf(
  finding: Finding,
  findings: readonly Finding[],
  set: RequirementSet,
  margin: number,
  notJudged: ReadonlySet<string>,
): Lack | null {
  const { id, title, applicability, verdict, because } = finding;
  if (!applicability.applies || notJudged.has(id)) return null;
  const found = withAlternative(findings, set, finding, foundReserve);
  const proven = withAlternative(findings, set, finding, provenReserve);
  const shown = proven !== null && proven >= (1 + margin) * (1 - PROOF_ROUNDING);
  const decided = verdict === 'holds' || verdict === 'depends on friction';
  if (shown && decided) return null;
  return { id, title, found, proven, reason: shown ? because : lackWords(found, proven) };
}

function lackWords(found: number | null, proven: number | null): string {
  if (found === null) return 'it cannot be computed';
  const reserve = `found reserve ${figure(found)}`;
  return proven === null || proven === 0
    ? `${reserve}, and no bound within the effort`
    : `${reserve}, proven only ${figure(proven)}`;
}

function figure(value: number): string {
  return (Math.floor(value * 1000) / 1000).toFixed(3);
}

/** The applicable finding with the least reserve. */
export function governingOf(findings: readonly Finding[], set: RequirementSet): Governing | null {
  let least: Governing | null = null;
  for (const finding of findings) {
    if (!finding.applicability.applies) continue;
    const reserve = withAlternative(findings, set, finding, foundReserve);
    if (reserve === null || reserve >= (least?.reserve ?? Number.POSITIVE_INFINITY)) continue;
    const { id, title, mode, because } = finding;
    least = { id, title, reserve, mode, because };
  }
  return least;
}
