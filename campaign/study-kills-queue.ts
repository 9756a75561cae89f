// Kills the machines that work on a shared study (SIGKILL to processes of the built command) and the
// database server (immediate shutdown) at random moments, study after study, and asks each time for
// every block once and for the bytes that one machine alone writes. The exit code is 1 when anything
// is at fault.
//   node --import tsx campaign/study-kills-queue.ts [KILLS] [SEED]
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import type { Study } from '../src/studies/index.js';
import type { StudyStore } from '../src/study-runs/index.js';
import {
  openPostgresStudies,
  openSqliteStore,
  runStudy,
  submitSharedStudy,
} from '../src/study-runs/index.js';
import { buildCommand, ROOT } from '../test/cli/build-command.js';
import { startPrivatePostgres } from '../test/database/private-postgres.js';
import { seededRandom } from '../test/reference/random.js';
import { ballastStudy } from '../test/study-runs/ballast-study.js';
import { csvOf } from '../test/study-runs/killed-run.js';
import { workUnderKills } from '../test/study-runs/work-processes.js';

const DEFAULT_KILLS = 120;
const DEFAULT_SEED = 1;
/** 3,000 variants, some 15 s of work: a study outlives many machines. */
const BALLASTS = 500;
const BLOCK_SIZE = 8;
const PROCESSES = 3;
/** s, short: a killed machine's work is to be handed out again while others are killed */
const LEASE = 2;
/** ms after it has begun to work at which a machine is killed at the latest */
const LATEST = 1500;
/** ms between two deaths of the server, at least and at most */
const CRASH_EVERY = [3000, 9000] as const;

const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
const folder = mkdtempSync(join(tmpdir(), 'study-kills-'));

async function written(store: StudyStore) {
  return JSON.stringify([await csvOf(store), await store.front(), await store.proofs()]);
}

async function alone(study: Study): Promise<string> {
  const options = { program: version, blockSize: BLOCK_SIZE };
  const store = await openSqliteStore(join(folder, 'alone.sqlite'), study, options);
  const workerFile = new URL('../test/study-runs/source-worker.mjs', import.meta.url);
  await runStudy(store, { workerFile });
  const all = await written(store);
  await store.close();
  return all;
}

/** Every block once, every variant once, in order, and the bytes of one machine alone. */
async function faultsOf(store: StudyStore, expected: string): Promise<string[]> {
  const faults: string[] = [];
  const blocks = await store.doneBlocks();
  const { rows } = await store.tally();
  if (blocks.length !== store.blockCount)
    faults.push(`${blocks.length} of ${store.blockCount} blocks`);
  if (new Set(blocks).size !== blocks.length) faults.push('a block is there twice');
  if (rows !== BALLASTS * 6) faults.push(`${rows} of ${BALLASTS * 6} variants`);
  if ((await written(store)) !== expected)
    faults.push('the results differ from those of one machine');
  return faults;
}

async function main(kills: number, seed: number): Promise<number> {
  buildCommand();
  const random = seededRandom(seed);
  const expected = await alone(ballastStudy('alone', BALLASTS));
  const server = await startPrivatePostgres({ durable: true });
  const url = await server.createDatabase('kills');
  let [met, crashes, rounds, failed] = [0, 0, 0, 0];
  let running = true;
  const crashing = (async () => {
    while (running) {
      const [least, most] = CRASH_EVERY;
      await pause(least + (most - least) * random());
      if (!running) return;
      await server.crash();
      await pause(500 * random());
      await server.start();
      crashes += 1;
    }
  })();
  const patiently = async <T>(act: () => Promise<T>): Promise<T> => {
    for (;;) {
      try {
        return await act();
      } catch {
        await pause(300);
      }
    }
  };
  while (met < kills) {
    rounds += 1;
    const name = `round ${rounds}`;
    const studies = await patiently(() => openPostgresStudies(url));
    const options = { program: version, blockSize: BLOCK_SIZE, lease: LEASE };
    const shared = await patiently(() => studies.begin(ballastStudy(name, BALLASTS), options));
    await patiently(() => submitSharedStudy(shared));
    for (let complete = false; !complete; ) {
      const left = kills - met;
      const killing = { url, processes: PROCESSES, kills: left, latest: LATEST, random };
      const done = await workUnderKills(killing);
      met += done.met;
      // One that starts while the server is down ends with an error, as it should; others go on.
      complete = (await patiently(() => submitSharedStudy(shared)))?.kind === 'complete';
    }
    const faults = await patiently(() => faultsOf(shared.store, expected));
    if (faults.length > 0) failed += 1;
    console.log(
      `${name}: ${met} kills, ${crashes} deaths of the server so far; ${faults.join('; ') || 'all there, once, same bytes'}`,
    );
    await studies.close();
  }
  running = false;
  await crashing;
  await server.remove();
  console.log(
    `seed ${seed}: ${met} SIGKILLs of machines at work, ${crashes} deaths of the server, ${rounds} studies of ${BALLASTS * 6} variants in blocks of ${BLOCK_SIZE}, ${failed} at fault`,
  );
  return failed === 0 ? 0 : 1;
}

const [kills = DEFAULT_KILLS, seed = DEFAULT_SEED] = process.argv.slice(2).map(Number);
try {
  process.exitCode = await main(kills, seed);
} finally {
  rmSync(folder, { recursive: true });
}
