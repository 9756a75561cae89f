/** The queue of a study on a real PostgreSQL server, with workers that compute in no time at all. */

import { setTimeout as pause } from 'node:timers/promises';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { builtInSets } from '../../src/requirements/index.js';
import type { Study, VariantProof, VariantRow } from '../../src/studies/index.js';
import type { PostgresStudies, SharedStudy } from '../../src/study-runs/postgres-studies.js';
import { openPostgresStudies } from '../../src/study-runs/postgres-studies.js';
import type { StudyHands, StudyWork, WorkEnd } from '../../src/study-runs/queue-worker.js';
import { missingJobs, replenish, workOnStudy } from '../../src/study-runs/queue-worker.js';
import type { StudyJob } from '../../src/study-runs/study-queue.js';
import { simpleCart } from '../analysis/simple-cart.js';
import type { PrivatePostgres } from '../database/private-postgres.js';
import { startPrivatePostgres } from '../database/private-postgres.js';
import { ballastStudy } from './ballast-study.js';
import type { Cut } from './cut-line.js';
import { cutLine } from './cut-line.js';

const PROGRAM = '0.1.0';
const [REQUIREMENT_SET] = builtInSets;
const VARIANTS = 10;
const BLOCK_SIZE = 4;
const FRONT = [1, 5, 7];

let server: PrivatePostgres;
let studies: PostgresStudies;
beforeAll(async () => {
  server = await startPrivatePostgres();
  studies = await openPostgresStudies(await server.createDatabase('queue'));
}, 60_000);
afterAll(async () => {
  await studies?.close();
  await server?.remove();
});

function studyNamed(name: string): Study {
  if (REQUIREMENT_SET === undefined) throw new Error('there are built-in requirement sets');
  const options = Array.from({ length: VARIANTS }, (_, i) => ({
    label: `way ${i}`,
    edits: [],
    cost: i,
  }));
  const [first, ...others] = options;
  if (first === undefined) throw new Error('VARIANTS is positive');
  return {
    name,
    cart: simpleCart([0, 0, 0.5]),
    requirementSet: REQUIREMENT_SET,
    only: null,
    margin: 0,
    factors: [{ name: 'way', options: [first, ...others] }],
    aims: [{ of: 'mass', wanted: 'least' }],
    currency: 'EUR',
    proofs: FRONT.length,
  };
}

/** Numbers that a database would spoil if it could: thirds, and one without bound. */
function rowOf(index: number): VariantRow {
  return {
    index,
    mass: 50 + index / 3,
    width: 0.5,
    length: 0.1 * index,
    cost: index,
    reserve: 1 + index / 7,
    governs: 'the one',
    passes: true,
    reserves: [1 + index / 7, null, Number.POSITIVE_INFINITY],
    fault: null,
  };
}

function proofOf(index: number): VariantProof {
  const reserve = 1 + index / 7.5;
  return { index, reserve, governs: 'the one', passes: true, reserves: [reserve] };
}

function hands(changes: Partial<StudyHands> = {}): StudyHands {
  return {
    atOnce: 2,
    screenBlock: async (block) =>
      Array.from({ length: Math.min(BLOCK_SIZE, VARIANTS - block * BLOCK_SIZE) }, (_, i) =>
        rowOf(block * BLOCK_SIZE + i),
      ),
    chooseFront: async () => FRONT,
    prove: async (index) => proofOf(index),
    ...changes,
  };
}

function begin(name: string, lease = 1, from = studies): Promise<SharedStudy> {
  return from.begin(studyNamed(name), { program: PROGRAM, blockSize: BLOCK_SIZE, lease });
}

function work(study: SharedStudy, changes: Partial<StudyWork> = {}): Promise<WorkEnd> {
  return workOnStudy({
    store: study.store,
    queue: study.queue,
    hands: hands(),
    stop: new AbortController().signal,
    whenIdle: 'wait',
    ...changes,
  });
}

async function everything({ store }: SharedStudy) {
  const rows: VariantRow[] = [];
  for await (const row of store.rows()) rows.push(row);
  return {
    blocks: await store.doneBlocks(),
    rows,
    front: await store.front(),
    proofs: await store.proofs(),
  };
}

const WHOLE = {
  blocks: [0, 1, 2],
  rows: Array.from({ length: VARIANTS }, (_, index) => rowOf(index)),
  front: FRONT,
  proofs: FRONT.map(proofOf),
};

describe('the queue of a study', () => {
  const block: StudyJob = { kind: 'block', number: 1 };

  test('a job put in twice is there once, also while it is out', async () => {
    const { queue } = await begin('twice', 60);
    await queue.put([block, block]);
    await queue.put([block]);
    expect(await queue.take(9)).toMatchObject([{ job: block }]);
    await queue.put([block]);
    expect(await queue.take(9)).toEqual([]);
    expect(await queue.counts()).toEqual({ out: 1, waiting: 0, failed: 0 });
  });

  test('kind and number of every job come back as they were put in', async () => {
    const { queue } = await begin('numbers', 60);
    const jobs: StudyJob[] = [
      { kind: 'block', number: 0 },
      { kind: 'block', number: 2 ** 31 - 1 },
      { kind: 'front', number: 0 },
      { kind: 'proof', number: 2 ** 31 - 1 },
    ];
    await queue.put(jobs);
    const taken = await queue.take(9);
    expect(taken.map(({ job }) => job)).toEqual(expect.arrayContaining(jobs));
    expect(taken.length).toBe(jobs.length);
  });

  test('a finished job is gone, and can be put in again', async () => {
    const { queue } = await begin('finished', 60);
    await queue.put([block]);
    for (const taken of await queue.take(1)) await queue.finish(taken);
    expect(await queue.counts()).toEqual({ out: 0, waiting: 0, failed: 0 });
    await queue.put([block]);
    expect(await queue.take(1)).toMatchObject([{ job: block }]);
  });

  test('a job given back is there at once, and no attempt is lost by it', async () => {
    const { queue } = await begin('given back', 60);
    await queue.put([block]);
    const first = await queue.take(1);
    await queue.giveBack(first);
    expect(await queue.take(1)).toEqual(first);
  });

  test('a job is out for its lease, and then handed out again', async () => {
    const { queue } = await begin('lease', 1);
    await queue.put([block]);
    const [first] = await queue.take(1);
    await queue.reclaim();
    expect(await queue.take(1)).toEqual([]);
    await pause(1100);
    await queue.reclaim();
    const [second] = await queue.take(1);
    expect(second).toEqual({ ...first, attemptsLeft: (first?.attemptsLeft ?? 0) - 1 });
  });

  test('a worker that is told after its lease that its job is done does no harm', async () => {
    const { queue } = await begin('late', 1);
    await queue.put([block]);
    const [slow] = await queue.take(1);
    await pause(1100);
    await queue.reclaim();
    const [quick] = await queue.take(1);
    if (slow === undefined || quick === undefined) throw new Error('two leases');
    await queue.finish(slow);
    await queue.finish(quick);
    expect(await queue.counts()).toEqual({ out: 0, waiting: 0, failed: 0 });
  });

  test('a job that always fails ends as a failure with its last reason, and can be forgiven', async () => {
    const { queue } = await begin('always fails', 1);
    await queue.put([block]);
    let attempts = 0;
    for (;;) {
      const [taken] = await queue.take(1);
      if (taken === undefined) break;
      attempts += 1;
      await queue.fail(taken, `reason ${attempts}`);
    }
    expect(attempts).toBe(8);
    const failure = { job: block, attempts: 8, reason: 'reason 8', final: true };
    expect(await queue.failures()).toEqual([failure]);
    await queue.put([block]);
    expect(await queue.take(1)).toEqual([]);
    await queue.forgiveFailures();
    await queue.put([block]);
    expect(await queue.take(1)).toMatchObject([{ job: block, attemptsLeft: 7 }]);
  });

  test('putting in work of a study that was removed is refused, not done in silence', async () => {
    const { queue } = await begin('removed', 60);
    await queue.put([block]);
    await studies.remove('removed');
    await expect(queue.put([block])).rejects.toThrow(/was removed/);
  });

  test('a queue that was removed is made anew by what is put in', async () => {
    const { queue } = await begin('made anew', 60);
    await queue.put([block]);
    await queue.remove();
    expect(await queue.take(9)).toEqual([]);
    await Promise.all([queue.put([block]), queue.put([block])]);
    expect(await queue.take(9)).toMatchObject([{ job: block }]);
  });

  test('a failing statement is no empty queue', async () => {
    const other = await openPostgresStudies(await server.createDatabase('no_table'));
    const { queue } = await begin('no table', 60, other);
    await queue.put([block]);
    const client = new pg.Client({ connectionString: server.url('no_table') });
    await client.connect();
    await client.query('DROP TABLE standstill_queue.job');
    await client.end();
    await expect(queue.take(1)).rejects.toThrow(/standstill_queue/);
    await other.close();
  });
});

describe('what is missing of a study', () => {
  test('blocks, then the front, then the proofs, then nothing', async () => {
    const { store } = await begin('missing');
    const kinds = async () =>
      (await missingJobs(store)).map(({ kind, number }) => `${kind} ${number}`);
    expect(await kinds()).toEqual(['block 0', 'block 1', 'block 2']);
    const { screenBlock } = hands();
    for (const block of [1, 0]) await store.putBlock(block, await screenBlock(block));
    expect(await kinds()).toEqual(['block 2']);
    await store.putBlock(2, await screenBlock(2));
    expect(await kinds()).toEqual(['front 0']);
    await store.putFront(FRONT);
    await store.putProof(proofOf(5));
    expect(await kinds()).toEqual(['proof 1', 'proof 7']);
    for (const index of [1, 7]) await store.putProof(proofOf(index));
    expect(await kinds()).toEqual([]);
  });

  test('of a great study no more than 1000 blocks wait, however many are out', async () => {
    const study = await studies.begin(ballastStudy('great', 300), {
      program: PROGRAM,
      blockSize: 1,
    });
    await replenish(study);
    expect(await study.queue.counts()).toEqual({ out: 0, waiting: 1000, failed: 0 });
    await study.queue.take(700);
    await replenish(study);
    expect(await study.queue.counts()).toEqual({ out: 700, waiting: 1000, failed: 0 });
    await study.queue.take(1000);
    await replenish(study);
    expect(await study.queue.counts()).toEqual({ out: 1700, waiting: 100, failed: 0 });
  });

  test('a front of nothing completes the study', async () => {
    const study = await begin('none passes');
    const end = await work(study, { hands: hands({ chooseFront: async () => [] }) });
    expect(end).toEqual({ kind: 'complete' });
    expect(await study.store.front()).toEqual([]);
  });
});

describe('working on a study', () => {
  test('one worker, and each of three at the same time, leave the same', async () => {
    const [one, three] = [await begin('by one'), await begin('by three')];
    expect(await work(one)).toEqual({ kind: 'complete' });
    const ends = await Promise.all([work(three), work(three), work(three)]);
    expect(ends).toEqual(Array.from(ends, () => ({ kind: 'complete' })));
    expect(await everything(one)).toEqual(WHOLE);
    expect(await everything(three)).toEqual(WHOLE);
  });

  test('of two that set the front the first one counts, and both go on with it', async () => {
    const study = await begin('two fronts');
    const { store } = study;
    const { screenBlock } = hands();
    for (const block of [0, 1, 2]) await store.putBlock(block, await screenBlock(block));
    const set = await Promise.all([
      ...[store.putFront([1]), store.putFront([2]), store.putFront([3]), store.putFront([4])],
    ]);
    expect(set.filter(Boolean)).toEqual([true]);
    expect(await store.front()).toEqual([set.indexOf(true) + 1]);
    expect(await work(study)).toEqual({ kind: 'complete' });
    expect((await store.proofs()).map(({ index }) => index)).toEqual([set.indexOf(true) + 1]);
  });

  test('a stop gives the work back at once: the next worker need not wait for the lease', async () => {
    const study = await begin('stopped', 300);
    const stop = new AbortController();
    let begun = 0;
    const never = hands({
      screenBlock: () => {
        begun += 1;
        if (begun === 2) stop.abort();
        return new Promise(() => {});
      },
    });
    expect(await work(study, { hands: never, stop: stop.signal })).toEqual({ kind: 'stopped' });
    expect(await study.queue.counts()).toEqual({ out: 0, waiting: 3, failed: 0 });
    expect(await work(study)).toEqual({ kind: 'complete' });
    expect(await everything(study)).toEqual(WHOLE);
  });

  test('work that takes longer than its lease is not handed out again meanwhile', async () => {
    const study = await begin('slow', 1);
    const { screenBlock } = hands();
    let begun = 0;
    const slow = hands({
      atOnce: WHOLE.blocks.length,
      screenBlock: async (block) => {
        begun += 1;
        await pause(2500);
        return screenBlock(block);
      },
    });
    const done = work(study, { hands: slow });
    await pause(1800);
    // an idle worker asks for what is over its lease
    await study.queue.reclaim();
    expect(await study.queue.take(9)).toEqual([]);
    expect(await done).toEqual({ kind: 'complete' });
    expect(begun).toBe(WHOLE.blocks.length);
    expect(await everything(study)).toEqual(WHOLE);
  });

  test('without work to take it ends when asked to, and says so', async () => {
    const study = await begin('idle', 300);
    await replenish(study);
    await study.queue.take(3);
    expect(await work(study, { whenIdle: 'end' })).toEqual({ kind: 'idle' });
  });

  test('a block that cannot be computed ends in a stated failure; all others are done', async () => {
    // a lease that no busy machine outlasts: what is told is the failure, not a silence
    const study = await begin('one fails', 60);
    const { screenBlock } = hands();
    const failing = hands({
      screenBlock: async (block) => {
        if (block === 1) throw new Error('no such castor');
        return screenBlock(block);
      },
    });
    const failures = [
      {
        job: { kind: 'block', number: 1 },
        attempts: 8,
        reason: 'no such castor',
        final: true,
      },
    ];
    expect(await work(study, { hands: failing })).toEqual({ kind: 'stuck', failures });
    expect(await study.store.doneBlocks()).toEqual([0, 2]);
    await study.queue.forgiveFailures();
    expect(await work(study)).toEqual({ kind: 'complete' });
    expect(await everything(study)).toEqual(WHOLE);
  });

  test('a machine that can compute nothing takes no more before it has used up every attempt', async () => {
    const study = await begin('useless', 60);
    const useless = hands({
      atOnce: 1,
      screenBlock: async () => {
        throw new Error('threads do not start');
      },
    });
    await expect(work(study, { hands: useless })).rejects.toThrow(
      /3 pieces of work .* threads do not start/,
    );
    expect((await study.queue.failures()).every(({ final }) => !final)).toBe(true);
    expect(await work(study)).toEqual({ kind: 'complete' });
    expect(await everything(study)).toEqual(WHOLE);
  });

  test('a study removed meanwhile is said to be, not waited for', async () => {
    const study = await begin('removed meanwhile');
    const removing = hands({
      chooseFront: async () => {
        await studies.remove('removed meanwhile');
        return FRONT;
      },
    });
    await expect(work(study, { hands: removing })).rejects.toThrow(/violates foreign key/);
    await expect(work(study)).rejects.toThrow(/was removed/);
  });
});

describe('a machine that dies', () => {
  /** Acts on the database over a line that is cut. @returns messages sent */
  async function cutShort(
    database: string,
    cut: Cut,
    act: (own: PostgresStudies, stop: AbortSignal) => Promise<unknown>,
  ): Promise<number> {
    const line = await cutLine(server.port, cut);
    const stop = new AbortController();
    void line.dead.then(() => stop.abort());
    const url = server.url(database).replace(`:${server.port}/`, `:${line.port}/`);
    let own: PostgresStudies | null = null;
    try {
      own = await openPostgresStudies(url);
      await act(own, stop.signal);
    } catch {
      // It is dead.
    }
    await own?.close().catch(() => {});
    await line.close();
    return line.sent();
  }

  const NEVER: Cut = { at: Number.POSITIVE_INFINITY, message: 'lost' };
  /** Every so many messages in this test, since each takes a study of its own. */
  const EVERY = 8;

  test(`between two of its statements (every ${EVERY}th, lost or unanswered in turn) is survived by the study`, async () => {
    const dying = (name: string, cut: Cut) =>
      cutShort('queue', cut, async (own, stop) => work(await begin(name, 1, own), { stop }));
    const messages = await dying('not cut', NEVER);
    expect(messages).toBeGreaterThan(30);
    const studiesCut: SharedStudy[] = [];
    for (let at = 1; at <= messages; at += EVERY) {
      const cut: Cut = { at, message: at % (2 * EVERY) === 1 ? 'lost' : 'unanswered' };
      const name = `cut at ${at}, ${cut.message}`;
      await dying(name, cut);
      studiesCut.push(await begin(name));
    }
    await Promise.all(
      studiesCut.map(async (study) => {
        const { name } = study.store.study;
        expect(await work(study), name).toEqual({ kind: 'complete' });
        expect(await everything(study), name).toEqual(WHOLE);
      }),
    );
  }, 60_000);

  test('while it makes the tables leaves a database that the next one can use', async () => {
    const url = await server.createDatabase('fresh');
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    const opening = (cut: Cut) => cutShort('fresh', cut, async () => {});
    const messages = await opening(NEVER);
    expect(messages).toBeGreaterThan(15);
    for (let at = 1; at <= messages; at += 2) {
      await client.query('DROP SCHEMA IF EXISTS standstill, standstill_queue CASCADE');
      await opening({ at, message: at % 4 === 1 ? 'lost' : 'unanswered' });
      const own = await openPostgresStudies(url);
      expect(await own.list(), `cut at ${at}`).toEqual([]);
      const study = await begin('first', 1, own);
      await replenish(study);
      expect(await study.queue.counts(), `cut at ${at}`).toMatchObject({ waiting: 3 });
      await own.close();
    }
    await client.end();
  }, 60_000);
});
