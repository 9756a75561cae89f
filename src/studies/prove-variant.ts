/** What the proven check says of a variant. */

import type { Finding } from '../analysis/index.js';
import { checkCart, isProvenTo, provenReserve, withAlternative } from '../analysis/index.js';
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
  const reserves = findings.map((finding) =>
    finding.applicability.applies
      ? withAlternative(report.findings, set, finding, provenReserve)
      : null,
  );
  return { index, reserves, ...least(findings, reserves, study.margin) };
}

/** The clauses of the study and those that may be met instead. */
function setAsked({ requirementSet, only }: Study): RequirementSet {
  if (only === null) return requirementSet;
  const asked = requirementSet.clauses.filter(({ id }) => only.includes(id));
  const ids = new Set(asked.flatMap(({ id, alternative }) => [id, alternative ?? id]));
  return { ...requirementSet, clauses: requirementSet.clauses.filter(({ id }) => ids.has(id)) };
}

function least(
  findings: readonly Finding[],
  reserves: readonly (number | null)[],
  margin: number,
): Pick<VariantProof, 'reserve' | 'governs' | 'passes'> {
  let reserve = Number.POSITIVE_INFINITY;
  let governs = '';
  let passes = true;
  for (const [i, finding] of findings.entries()) {
    if (!finding.applicability.applies) continue;
    const here = reserves[i] ?? null;
    // what is open on other grounds, such as a rating that is not stated, is not proven either
    if (here === null || finding.verdict === 'not decided') {
      return { reserve: null, governs: finding.id, passes: false };
    }
    passes &&= isProvenTo(margin, finding, here);
    if (here < reserve || governs === '') {
      reserve = here;
      governs = finding.id;
    }
  }
  if (governs === '') return { reserve: null, governs, passes: false };
  return { reserve, governs, passes };
}
