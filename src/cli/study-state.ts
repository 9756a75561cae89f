/** How a study stands: what the sheet and the JSON of a study are made from. */

import type { Study, StudySummary, VariantProof } from '../studies/index.js';
import { summariseStudy, variantCount } from '../studies/index.js';
import type { StudyStore } from '../study-runs/index.js';
import { EXIT } from './exit-codes.js';

export interface StudyState {
  readonly study: Study;
  readonly summary: StudySummary;
  /** the variants to prove; null: not chosen yet */
  readonly chosen: readonly number[] | null;
  readonly proofs: readonly VariantProof[];
  /** everything is screened and proven */
  readonly finished: boolean;
}

export async function studyState(store: StudyStore): Promise<StudyState> {
  const { study } = store;
  const summary = await summariseStudy(study, store.rows());
  const [chosen, proofs] = [await store.front(), await store.proofs()];
  const isScreened = summary.rows === variantCount(study);
  const finished = isScreened && chosen !== null && proofs.length === chosen.length;
  return { study, summary, chosen, proofs, finished };
}

/** 0: some variant is proven to pass. 1: all are screened, and none passes. 3: neither is known. */
export function studyExitCode({ finished, summary, proofs }: StudyState): number {
  if (!finished) return EXIT.notDecided;
  if (summary.passing === 0) return EXIT.fails;
  return proofs.some(({ passes }) => passes) ? EXIT.holds : EXIT.notDecided;
}
