/** What the proven check says of a variant. */

import type { CheckReport, Finding } from '../analysis/index.js';
import { checkCart } from '../analysis/index.js';
import type { RequirementSet } from '../requirements/index.js';
import { findingIds } from './evaluate-variant.js';
import type { Study, VariantProof } from './study.js';
import { variantCart, variantOf } from './variant.js';

/**
 * Checks a variant in full, at the low end of friction.
 *
 * @throws RangeError when the study has no such variant, or it is no cart that stands
 */
export function proveVariant(study: Study, index: number): VariantProof {
  const set = setAsked(study);
  const cart = variantCart(study, variantOf(study, index));
  const report = checkCart(cart, set, { friction: 'low', margin: study.margin });
  const wanted = new Set(findingIds(study));
  const findings = report.findings.filter(({ id }) => wanted.has(id));
  const reserves = findings.map((finding) => provenReserve(finding, report, set));
  return { index, reserves, ...least(findings, reserves, study.margin) };
}

/** The clauses of the study and those that may be met instead. */
function setAsked({ requirementSet, only }: Study): RequirementSet {
  if (only === null) return requirementSet;
  const asked = requirementSet.clauses.filter(({ id }) => only.includes(id));
  const ids = new Set(asked.flatMap(({ id, alternative }) => [id, alternative ?? id]));
  return { ...requirementSet, clauses: requirementSet.clauses.filter(({ id }) => ids.has(id)) };
}

/** Of the finding, or of the clause that may be met instead where that is greater; null: neither is
 * proven, or it does not apply. */
function provenReserve(finding: Finding, report: CheckReport, set: RequirementSet): number | null {
  const own = ownReserve(finding);
  const instead = set.clauses.find(({ id }) => id === finding.id)?.alternative ?? null;
  const other = report.findings.find(({ id }) => id === instead);
  const others = other === undefined ? null : ownReserve(other);
  if (!finding.applicability.applies) return null;
  if (own === null || others === null) return own ?? others;
  return Math.max(own, others);
}

/** Proven bound over what is asked; where the clause limits from above, the limit over the bound. */
function ownReserve({ applicability, proof, sense, demand, capacity }: Finding): number | null {
  if (!applicability.applies || proof.kind !== 'proven') return null;
  if (demand === null || capacity === null) return null;
  const [over, under] = sense === 'at least' ? [proof.bound, demand] : [capacity, proof.bound];
  return under.value === 0 ? Number.POSITIVE_INFINITY : over.value / under.value;
}

function least(
  findings: readonly Finding[],
  reserves: readonly (number | null)[],
  margin: number,
): Pick<VariantProof, 'reserve' | 'governs' | 'passes'> {
  let reserve = Number.POSITIVE_INFINITY;
  let governs = '';
  for (const [i, { id, applicability }] of findings.entries()) {
    if (!applicability.applies) continue;
    const here = reserves[i] ?? null;
    if (here === null) return { reserve: null, governs: id, passes: false };
    if (here < reserve || governs === '') {
      reserve = here;
      governs = id;
    }
  }
  if (governs === '') return { reserve: null, governs, passes: false };
  return { reserve, governs, passes: reserve >= 1 + margin };
}
