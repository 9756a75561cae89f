/** The same study on one machine and on several: processes of the built command, and SIGKILL. */

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Study } from '../../src/studies/index.js';
import type { PostgresStudies, StudyStore } from '../../src/study-runs/index.js';
import {
  openPostgresStudies,
  openSqliteStore,
  runSharedStudies,
  runStudy,
  submitSharedStudy,
} from '../../src/study-runs/index.js';
import { BUILD_PATIENCE, buildCommand, ROOT } from '../cli/build-command.js';
import type { PrivatePostgres } from '../database/private-postgres.js';
import { startPrivatePostgres } from '../database/private-postgres.js';
import { seededRandom } from '../reference/random.js';
import { ballastStudy } from './ballast-study.js';
import { csvOf } from './killed-run.js';
import { startWorkProcess, workUnderKills } from './work-processes.js';

const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
const BLOCK_SIZE = 4;

let server: PrivatePostgres;
let url: string;
let studies: PostgresStudies;
let folder: string;
beforeAll(async () => {
  buildCommand();
  folder = mkdtempSync(join(tmpdir(), 'shared-study-'));
  server = await startPrivatePostgres();
  url = await server.createDatabase('clinic');
  studies = await openPostgresStudies(url);
}, BUILD_PATIENCE);
afterAll(async () => {
  await studies?.close();
  await server?.remove();
  rmSync(folder, { recursive: true });
});

async function results(store: StudyStore) {
  return {
    blocks: await store.doneBlocks(),
    csv: await csvOf(store),
    front: await store.front(),
    proofs: await store.proofs(),
  };
}

/** On this machine alone, into an SQLite file. */
async function locally(study: Study) {
  const file = join(folder, `${study.name}.sqlite`);
  const store = await openSqliteStore(file, study, { program: version, blockSize: BLOCK_SIZE });
  const workerFile = new URL('./source-worker.mjs', import.meta.url);
  expect(await runStudy(store, { workers: 1, workerFile })).toBe('done');
  const all = await results(store);
  await store.close();
  return all;
}

async function submitted(study: Study, lease: number) {
  const shared = await studies.begin(study, { program: version, blockSize: BLOCK_SIZE, lease });
  await submitSharedStudy(shared);
  return shared;
}

describe('a study on several machines', () => {
  test('1, 2 and 3 processes leave the same bytes, front and proofs as one machine alone', async () => {
    const expected = await locally(ballastStudy('in a file', 8));
    expect(expected.proofs.length).toBe(3);
    for (const processes of [1, 2, 3]) {
      const { store } = await submitted(ballastStudy(`by ${processes}`, 8), 300);
      const workers = Array.from({ length: processes }, () => startWorkProcess(url));
      const ends = await Promise.all(workers.map(({ ended }) => ended));
      expect(ends.map(({ code }) => code)).toEqual(workers.map(() => 0));
      expect(await results(store)).toEqual(expected);
    }
  }, 120_000);

  const KILLS = 6;
  test(`processes killed ${KILLS} times by SIGKILL (seed 11) leave every block there once, and the same bytes`, async () => {
    const expected = await locally(ballastStudy('not killed', 70));
    const { store } = await submitted(ballastStudy('killed', 70), 1);
    const { met, ends } = await workUnderKills({
      url,
      processes: 2,
      kills: KILLS,
      latest: 500,
      random: seededRandom(11),
    });
    expect(met).toBe(KILLS);
    expect(
      ends.map(({ code, err }) => ({ code, says: err.includes('"killed": complete') })),
    ).toEqual(ends.map(() => ({ code: 0, says: true })));
    expect(await results(store)).toEqual(expected);
  }, 120_000);

  test('a machine that stays works anew on a study that was removed and put in again', async () => {
    const study = ballastStudy('again', 2);
    const stop = new AbortController();
    const news: string[] = [];
    let heard = () => {};
    const running = runSharedStudies(studies, {
      program: version,
      stay: true,
      stop: stop.signal,
      workers: 1,
      workerFile: new URL('./source-worker.mjs', import.meta.url),
      onNews: (name, { kind }) => {
        if (name !== study.name) return;
        news.push(kind);
        if (kind === 'complete') heard();
      },
    });
    for (const round of [1, 2]) {
      const complete = new Promise<void>((resolve) => {
        heard = resolve;
      });
      await submitted(study, 300);
      await complete;
      await studies.remove(study.name);
      // a look of the machine at what there is
      if (round === 1) await pause(1500);
    }
    stop.abort();
    expect(await running).toBe('stopped');
    expect(news).toEqual(['begun', 'complete', 'begun', 'complete']);
  }, 60_000);

  test('a process told to stop by SIGTERM gives its work back at once, and ends', async () => {
    const { store, queue } = await submitted(ballastStudy('stopped', 100), 300);
    const stopped = startWorkProcess(url);
    await stopped.busy;
    stopped.child.kill('SIGTERM');
    const { code, err } = await stopped.ended;
    expect(err).toMatch(/stopping: what is in hand is given back/);
    expect(code).toBe(0);
    const { out, waiting, failed } = await queue.counts();
    expect({ out, failed }).toEqual({ out: 0, failed: 0 });
    expect(waiting + (await store.doneCount())).toBe(store.blockCount);
    await studies.remove('stopped');
  }, 60_000);
});
