/** A study and its best variants as JSON, described by schema/study-1.schema.json. SI values. */

import { CAUTIONS } from '../analysis/index.js';
import type { VariantProof, VariantRow } from '../studies/index.js';
import { findingIds, optionsOf, variantCount } from '../studies/index.js';
import { jsonText } from './report-json.js';
import type { StudyState } from './study-state.js';

export const STUDY_SCHEMA = 'standstill/study-1';

/** The whole state, ending in a line feed. */
export function studyJson(state: StudyState, version: string): string {
  const { study, summary, chosen, proofs } = state;
  const { name, margin, currency, aims, factors, requirementSet } = study;
  const proofOf = new Map(proofs.map((proof) => [proof.index, proof]));
  return jsonText({
    schema: STUDY_SCHEMA,
    standstill: version,
    study: {
      name,
      cart: study.cart.name,
      requirementSet: { id: requirementSet.id, title: requirementSet.title },
      variants: variantCount(study),
      margin,
      currency,
      wanted: aims,
      findings: findingIds(study),
      factors: factors.map((factor) => ({
        name: factor.name,
        options: factor.options.map(({ label, cost }) => ({ label, cost })),
      })),
    },
    state: {
      screened: summary.rows,
      passing: summary.passing,
      faults: summary.faults,
      chosen: chosen?.length ?? null,
      proven: proofs.length,
      finished: state.finished,
    },
    front: summary.front.map((row) => variantJson(state, row, proofOf.get(row.index))),
    nearest: summary.nearest === null ? null : variantJson(state, summary.nearest, undefined),
    governing: summary.governing,
    cautions: CAUTIONS,
  });
}

function variantJson({ study }: StudyState, row: VariantRow, proof: VariantProof | undefined) {
  const { index, mass, width, length, cost, reserve, governs, reserves } = row;
  return {
    variant: index,
    options: optionsOf(study, index).map(({ label }) => label),
    mass,
    width,
    length,
    cost,
    reserve,
    governs,
    reserves,
    proof:
      proof === undefined
        ? null
        : {
            reserve: proof.reserve,
            governs: proof.governs,
            passes: proof.passes,
            reserves: proof.reserves,
          },
  };
}
