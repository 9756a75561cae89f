/** What runs in a worker thread. The study comes as text and is read once a thread. */

import { workerData } from 'node:worker_threads';
import type { Study, VariantProof, VariantRow } from '../studies/index.js';
import { evaluateBlock, proveVariant } from '../studies/index.js';

const study: Study = JSON.parse(workerData as string);

export function screen(span: {
  readonly from: number;
  readonly count: number;
}): readonly VariantRow[] {
  return evaluateBlock(study, span.from, span.count);
}

export function prove(index: number): VariantProof {
  return proveVariant(study, index);
}
