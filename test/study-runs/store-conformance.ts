/** What every store of a study must do, whichever database is behind it. */

import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Study, VariantProof, VariantRow } from '../../src/studies/index.js';
import { evaluateBlock, variantCount } from '../../src/studies/index.js';
import { blockSpan } from '../../src/study-runs/run-study.js';
import type { StudyStore } from '../../src/study-runs/store.js';
import { ballastStudy } from './ballast-study.js';

export interface StoreFactory {
  /** the same place every time within one test; a new one for every test */
  readonly open: (study: Study, blockSize: number) => Promise<StudyStore>;
  /** called after every test, stores closed */
  readonly clean: () => Promise<void>;
}

/** Doubles that a database could bend, and what it must not confuse with nothing. */
const HARD_ROWS: readonly VariantRow[] = [
  hardRow(0, { mass: 0.1 + 0.2, width: 5e-324, length: Number.MAX_VALUE, cost: 0 }),
  hardRow(1, { cost: null, reserve: Number.POSITIVE_INFINITY, passes: true }),
  hardRow(2, { reserves: [null, Number.POSITIVE_INFINITY, 1 / 3, Number.MIN_VALUE] }),
  hardRow(3, { reserve: null, governs: '', fault: 'it\'s "broken"; -- \u{1F4A5}\n\\' }),
];

function hardRow(index: number, changes: Partial<VariantRow>): VariantRow {
  return {
    index,
    mass: 1,
    width: 1,
    length: 1,
    cost: 1,
    reserve: 1,
    governs: "'; drop table study; --",
    passes: false,
    reserves: [1],
    fault: null,
    ...changes,
  };
}

async function collected(rows: AsyncIterable<VariantRow>): Promise<VariantRow[]> {
  const all: VariantRow[] = [];
  for await (const row of rows) all.push(row);
  return all;
}

function rowsOfBlock(store: StudyStore, block: number): readonly VariantRow[] {
  const { from, count } = blockSpan(store, block);
  return evaluateBlock(store.study, from, count);
}

/** @param name of the database, for the tests' names */
export function storeConformance(name: string, factory: () => Promise<StoreFactory>): void {
  describe(`a study in ${name}`, () => {
    let place: StoreFactory;
    let store: StudyStore;
    const study = ballastStudy('Ballast of the kit trolley', 5);
    const reopened = async (blockSize = 8): Promise<StudyStore> => {
      await store.close();
      store = await place.open(study, blockSize);
      return store;
    };
    beforeEach(async () => {
      place = await factory();
      store = await place.open(study, 8);
    });
    afterEach(async () => {
      await store.close();
      await place.clean();
    });

    test('begins with nothing done, and gives the study back as it was', async () => {
      expect(store.study).toEqual(study);
      expect([store.blockSize, store.blockCount]).toEqual([8, 4]);
      expect(await store.doneBlocks()).toEqual([]);
      expect(await store.doneCount()).toBe(0);
      expect(await store.tally()).toEqual({ rows: 0, passing: 0, faults: 0 });
      expect(await store.front()).toBeNull();
      expect(await store.proofs()).toEqual([]);
      expect(await collected(store.rows())).toEqual([]);
    });

    test('keeps blocks in whatever order they come, and gives rows by their index', async () => {
      for (const block of [2, 0, 3, 1]) {
        expect(await store.putBlock(block, rowsOfBlock(store, block))).toBe(true);
      }
      expect(await store.doneBlocks()).toEqual([0, 1, 2, 3]);
      const all = evaluateBlock(study, 0, variantCount(study));
      expect(await collected(store.rows())).toEqual(all);
      expect(await collected(store.rows(27))).toEqual(all.slice(27));
      expect(await store.tally()).toEqual({
        rows: 30,
        passing: all.filter(({ passes }) => passes).length,
        faults: 0,
      });
    });

    test('writes a block once, and leaves it as it is after that', async () => {
      const rows = rowsOfBlock(store, 1);
      const others = rows.map((row) => ({ ...row, mass: row.mass + 1 }));
      expect(await store.putBlock(1, rows)).toBe(true);
      expect(await store.putBlock(1, others)).toBe(false);
      expect(await collected(store.rows())).toEqual(rows);
      const twice = [store.putBlock(2, rowsOfBlock(store, 2)), store.putBlock(2, others)];
      expect((await Promise.all(twice)).filter(Boolean)).toHaveLength(1);
      expect(await store.doneCount()).toBe(2);
    });

    test('writes nothing of a block whose rows cannot be written', async () => {
      const rows = rowsOfBlock(store, 0);
      const twiceTheFirst = [...rows, rows[0] as VariantRow];
      await expect(store.putBlock(0, twiceTheFirst)).rejects.toThrow();
      expect(await store.doneBlocks()).toEqual([]);
      expect(await collected(store.rows())).toEqual([]);
      expect(await store.putBlock(0, rows)).toBe(true);
    });

    test('refuses a block that the study does not have', async () => {
      for (const block of [-1, 4, 0.5]) {
        await expect(store.putBlock(block, [])).rejects.toThrow(RangeError);
      }
    });

    test('keeps every double bit for bit, unlimited reserves, nulls and any text', async () => {
      await store.putBlock(0, HARD_ROWS);
      const kept = await collected((await reopened()).rows());
      expect(kept).toStrictEqual(HARD_ROWS);
      expect(await store.tally()).toEqual({ rows: 4, passing: 1, faults: 1 });
    });

    test('is as it was when it is opened again, with the block size it began with', async () => {
      const rows = rowsOfBlock(store, 3);
      await store.putBlock(3, rows);
      await store.putFront([24, 29]);
      const again = await reopened(5);
      expect([again.blockSize, again.blockCount]).toEqual([8, 4]);
      expect(await again.doneBlocks()).toEqual([3]);
      expect(await collected(again.rows())).toEqual(rows);
      expect(await again.front()).toEqual([24, 29]);
    });

    test('sets the variants to prove once', async () => {
      expect(await store.putFront([])).toBe(true);
      expect(await store.putFront([1])).toBe(false);
      expect(await store.front()).toEqual([]);
    });

    test('keeps a proof once, by index', async () => {
      const proof = (index: number, reserve: number | null): VariantProof => ({
        index,
        reserve,
        governs: 'threshold',
        passes: reserve !== null,
        reserves: [reserve, null, Number.POSITIVE_INFINITY],
      });
      expect(await store.putProof(proof(7, 1.25))).toBe(true);
      expect(await store.putProof(proof(2, null))).toBe(true);
      expect(await store.putProof(proof(7, 9))).toBe(false);
      expect(await (await reopened()).proofs()).toEqual([proof(2, null), proof(7, 1.25)]);
    });
  });
}
