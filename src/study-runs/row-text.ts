/** Rows of a study between memory and the tables. */

import type { VariantProof, VariantRow } from '../studies/index.js';
import type { StudyTables, VariantTable } from './tables.js';

/** What JSON has no number for: an unlimited reserve. */
const UNLIMITED = 'unlimited';

export function reservesText(reserves: readonly (number | null)[]): string {
  return JSON.stringify(
    reserves.map((each) => (each === Number.POSITIVE_INFINITY ? UNLIMITED : each)),
  );
}

/** @throws Error when the text is not what `reservesText` writes */
export function reservesOf(text: string): readonly (number | null)[] {
  const list: unknown = JSON.parse(text);
  if (!Array.isArray(list)) throw new Error(`reservesOf: ${text}`);
  return list.map((each: unknown) => {
    if (each === UNLIMITED) return Number.POSITIVE_INFINITY;
    if (each === null || typeof each === 'number') return each;
    throw new Error(`reservesOf: ${text}`);
  });
}

export function variantRecord(study: number, row: VariantRow): VariantTable {
  const { index, passes, reserves, ...same } = row;
  return {
    ...same,
    study,
    variant: index,
    passes: passes ? 1 : 0,
    reserves: reservesText(reserves),
  };
}

export function variantRow(record: Omit<VariantTable, 'study'>): VariantRow {
  const { variant, mass, width, length, cost, reserve, governs, passes, reserves, fault } = record;
  return {
    index: variant,
    mass,
    width,
    length,
    cost,
    reserve,
    governs,
    passes: passes === 1,
    reserves: reservesOf(reserves),
    fault,
  };
}

export function proofRecord(study: number, proof: VariantProof): StudyTables['study_proof'] {
  const { index, reserve, governs, passes, reserves } = proof;
  return {
    study,
    variant: index,
    reserve,
    governs,
    passes: passes ? 1 : 0,
    reserves: reservesText(reserves),
  };
}

export function variantProof(record: StudyTables['study_proof']): VariantProof {
  const { variant, reserve, governs, passes, reserves } = record;
  return { index: variant, reserve, governs, passes: passes === 1, reserves: reservesOf(reserves) };
}
