/** What a proven check says of the goal, finding by finding. */

import type { Finding } from '../analysis/index.js';
import {
  foundReserve,
  isProvenTo,
  provenReserve,
  reaches,
  withAlternative,
} from '../analysis/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Governing } from './remedy.js';

export interface Lack {
  readonly id: string;
  readonly title: string;
  readonly found: number | null;
  readonly proven: number | null;
  readonly reason: string;
}

/** Why a finding is not shown to reach 1 + margin; null: it is, or it is not judged and does not fail. */
export function lackOf(
  finding: Finding,
  findings: readonly Finding[],
  set: RequirementSet,
  margin: number,
  notJudged: ReadonlySet<string>,
): Lack | null {
  const { id, title, applicability, verdict, because } = finding;
  if (!applicability.applies || (notJudged.has(id) && verdict !== 'fails')) return null;
  const found = withAlternative(findings, set, finding, foundReserve);
  const proven = withAlternative(findings, set, finding, provenReserve);
  if (isProvenTo(margin, finding, proven)) return null;
  const own = reaches(margin, proven) || (verdict === 'fails' && found === 0);
  const reason = own ? because.replace(/\.$/, '') : lackWords(found, proven);
  return { id, title, found, proven, reason };
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
