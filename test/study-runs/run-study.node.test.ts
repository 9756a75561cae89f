/** Running a study on one machine: the same results whoever works, stops, crashes or is killed. */

import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { VariantRow } from '../../src/studies/index.js';
import {
  chosenToProve,
  evaluateBlock,
  frontOf,
  proveVariant,
  variantCount,
} from '../../src/studies/index.js';
import type { StudyProgress, StudyStore } from '../../src/study-runs/index.js';
import { openSqliteStore, runStudy } from '../../src/study-runs/index.js';
import { BUILD_PATIENCE, buildCommand } from '../cli/build-command.js';
import { seededRandom } from '../reference/random.js';
import { ballastStudy } from './ballast-study.js';
import { BUILT_WORKER, csvOf, killedRun, undisturbedCsv } from './killed-run.js';

const BALLASTS = 12;
const folder = mkdtempSync(join(tmpdir(), 'standstill-run-'));
afterAll(() => rmSync(folder, { recursive: true }));

const study = ballastStudy('Ballast of the kit trolley', BALLASTS);
let opened = 0;
function newStore(blockSize: number): Promise<StudyStore> {
  opened += 1;
  return openSqliteStore(join(folder, `${opened}.sqlite`), study, { program: 'test', blockSize });
}

const THREADS = { workerFile: BUILT_WORKER };
let expected: string;
beforeAll(async () => {
  buildCommand();
  expected = await undisturbedCsv(join(folder, 'undisturbed.sqlite'), BALLASTS);
}, BUILD_PATIENCE);

describe('a run', () => {
  test('screens, chooses and proves what a plain loop does', async () => {
    const store = await newStore(16);
    expect(await runStudy(store, { ...THREADS, workers: 2 })).toBe('done');
    const rows: VariantRow[] = [];
    for await (const row of store.rows()) rows.push(row);
    const all = evaluateBlock(study, 0, variantCount(study));
    expect(rows).toEqual(all);
    const chosen = chosenToProve(study, await frontOf(study, all));
    expect(chosen.length).toBeGreaterThan(1);
    expect(await store.front()).toEqual(chosen);
    expect(await store.proofs()).toEqual(chosen.map((index) => proveVariant(study, index)));
    await store.close();
  });

  test('gives the same bytes of CSV with 1 and with 3 threads, whatever the blocks', async () => {
    const store = await newStore(5);
    await runStudy(store, { ...THREADS, workers: 3 });
    expect(await csvOf(store)).toBe(expected);
    await store.close();
  });

  test('that has nothing left to do writes nothing', async () => {
    const store = await newStore(32);
    await runStudy(store, { ...THREADS, workers: 1 });
    const before = await csvOf(store);
    const seen: StudyProgress[] = [];
    const onProgress = (progress: StudyProgress) => void seen.push(progress);
    expect(await runStudy(store, { ...THREADS, workers: 1, onProgress })).toBe('done');
    expect(seen.map(({ phase, done }) => [phase, done])).toEqual([
      ['screening', 72],
      ['proving', 3],
    ]);
    expect(await csvOf(store)).toBe(before);
    await store.close();
  });

  test('tells how far it is, never backwards', async () => {
    const store = await newStore(8);
    const seen: StudyProgress[] = [];
    await runStudy(store, { ...THREADS, workers: 2, onProgress: (each) => void seen.push(each) });
    const screened = seen.filter(({ phase }) => phase === 'screening');
    expect(screened.map(({ done }) => done)).toEqual([0, 8, 16, 24, 32, 40, 48, 56, 64, 72]);
    expect(screened.at(-1)?.passing).toBe((await store.tally()).passing);
    expect(seen.at(-1)).toMatchObject({ phase: 'proving', done: 3, total: 3 });
    await store.close();
  });
});

test('a run stopped after every few blocks, and gone on with, gives the same bytes (seed 41)', async () => {
  const random = seededRandom(41);
  const store = await newStore(4);
  let stops = 0;
  for (let end = 'stopped'; end === 'stopped'; stops += 1) {
    const stop = new AbortController();
    let left = 1 + Math.floor(random() * 6);
    const before = await store.doneCount();
    end = await runStudy(store, {
      ...THREADS,
      workers: 2,
      stop: stop.signal,
      onProgress: () => {
        left -= 1;
        if (left === 0) stop.abort();
      },
    });
    expect(await store.doneCount()).toBeGreaterThanOrEqual(before);
  }
  expect(stops).toBeGreaterThan(3);
  expect(await csvOf(store)).toBe(expected);
  await store.close();
}, 60_000);

describe('a worker thread that crashes', () => {
  const workerFile = new URL('./crashing-worker.mjs', import.meta.url);
  afterEach(() => {
    delete process.env.CRASH_NOTES;
  });

  test('is replaced, and its block is screened again', async () => {
    process.env.CRASH_NOTES = folder;
    const store = await newStore(8);
    expect(await runStudy(store, { workers: 2, workerFile })).toBe('done');
    expect(existsSync(join(folder, 'crashed'))).toBe(true);
    expect(await csvOf(store)).toBe(expected);
    await store.close();
  }, 60_000);

  test('on the same block every time is reported, and the other blocks are kept', async () => {
    const store = await newStore(8);
    const run = runStudy(store, { workers: 2, workerFile });
    await expect(run).rejects.toThrow(
      /^variants 24 to 31 could not be screened in 3 attempts: .*exited/,
    );
    const done = await store.doneBlocks();
    expect(done).not.toContain(3);
    expect(done.length).toBeGreaterThan(0);
    expect(await runStudy(store, { ...THREADS, workers: 2 })).toBe('done');
    expect(await csvOf(store)).toBe(expected);
    await store.close();
  }, 60_000);

  test('before it starts is reported', async () => {
    const store = await newStore(8);
    const missing = new URL('./no-such-worker.mjs', import.meta.url);
    await expect(runStudy(store, { workers: 2, workerFile: missing })).rejects.toThrow(
      /worker threads do not start: .*no-such-worker/,
    );
    await store.close();
  });
});

test('a process killed at random moments loses nothing and counts nothing twice (seed 5)', async () => {
  const end = await killedRun({
    file: join(folder, 'killed.sqlite'),
    ballasts: BALLASTS,
    workers: 2,
    kills: 3,
    random: seededRandom(5),
  });
  expect(end.integrity.every((said) => said === 'ok')).toBe(true);
  expect(end.doneAtKill).toEqual(end.doneAtKill.toSorted((a, b) => a - b));
  expect(end.doneAtKill.at(-1)).toBeGreaterThan(0);
  expect(end.csv).toBe(expected);
}, 120_000);
