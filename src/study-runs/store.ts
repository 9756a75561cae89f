/**
 * Where a study keeps its results. One contract, two databases: an SQLite file for one machine,
 * PostgreSQL for many.
 *
 * Variants are screened in blocks of consecutive indices. A block's rows and the mark that it is done
 * are written in one transaction, and a block that is done stays as it is: whatever dies, nothing is
 * lost or counted twice.
 */

import type { Study, VariantProof, VariantRow } from '../studies/index.js';

/** What is written so far. */
export interface StudyTally {
  readonly rows: number;
  readonly passing: number;
  readonly faults: number;
}

export interface StudyStore {
  /** the study whose results these are */
  readonly study: Study;
  readonly blockSize: number;
  readonly blockCount: number;
  /** blocks done, ascending */
  readonly doneBlocks: () => Promise<readonly number[]>;
  readonly doneCount: () => Promise<number>;
  /** @returns false when the block was done already: nothing was written */
  readonly putBlock: (block: number, rows: readonly VariantRow[]) => Promise<boolean>;
  /** rows in the order of their index, a page at a time */
  readonly rows: (from?: number) => AsyncIterable<VariantRow>;
  readonly tally: () => Promise<StudyTally>;
  /** the variants to prove, once every block is done; @returns false when they were set already */
  readonly putFront: (indices: readonly number[]) => Promise<boolean>;
  /** null: not set yet */
  readonly front: () => Promise<readonly number[] | null>;
  /** @returns false when it was there already */
  readonly putProof: (proof: VariantProof) => Promise<boolean>;
  /** in the order of the index */
  readonly proofs: () => Promise<readonly VariantProof[]>;
  readonly close: () => Promise<void>;
}
