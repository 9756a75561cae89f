/**
 * Working on a study through its queue, beside any number of other workers.
 *
 * What is still to do follows from the study's store alone: the blocks that are not done; then the
 * front; then the variants of the front that are not proven. A worker with nothing to take derives it
 * anew and puts in what the queue lacks. So whoever dies, and wherever, the next idle worker goes on.
 * A job may be done twice (a worker is slow, not dead); the store takes the first result only.
 */

import { setMaxListeners } from 'node:events';
import { setTimeout as pause } from 'node:timers/promises';
import type { VariantProof, VariantRow } from '../studies/index.js';
import { marksOf } from './run-study.js';
import type { StudyStore } from './store.js';
import type { JobFailure, StudyJob, StudyQueue, TakenJob } from './study-queue.js';
import { studyTrouble } from './study-trouble.js';

/** Who computes. A computation that fails is thrown. */
export interface StudyHands {
  /** jobs under way at a time, >= 1 */
  readonly atOnce: number;
  readonly screenBlock: (block: number) => Promise<readonly VariantRow[]>;
  readonly chooseFront: () => Promise<readonly number[]>;
  readonly prove: (index: number) => Promise<VariantProof>;
}

export interface StudyWork {
  readonly store: StudyStore;
  readonly queue: StudyQueue;
  readonly hands: StudyHands;
  /** aborted: give everything back and end */
  readonly stop: AbortSignal;
  /** with nothing to take: wait for others to finish or fall silent, or end */
  readonly whenIdle: 'wait' | 'end';
  /** the database does not answer, with the reason, each time it is waited for; null: it does again */
  readonly onAway?: ((reason: string | null) => void) | undefined;
}

/** Nothing that this machine was given could be computed here: more likely its fault than the jobs'. */
export class UselessWorkerError extends Error {
  override readonly name = 'UselessWorkerError';
}

export type WorkEnd =
  | { readonly kind: 'complete' }
  /** all that is left has failed at every attempt */
  | { readonly kind: 'stuck'; readonly failures: readonly JobFailure[] }
  /** nothing to take at present: others work on what is left */
  | { readonly kind: 'idle' }
  | { readonly kind: 'stopped' };

/** Jobs that wait at most. pg-boss sorts all that wait for every one that is taken: with a million
 * variants in the queue that would take 25 ms each. */
const AHEAD = 1000;

/** Different jobs that fail one after the other, none succeeding, before a machine takes no more: it
 * would use up the attempts of every job there is. */
const BAD_LUCK = 3;

/** ms between two looks into a queue that was empty */
export const IDLE = 1000;
/** ms before the first and the last retries of a statement */
const FIRST_RETRY = 250;
const LAST_RETRY = 5000;

/**
 * Tries until the database answers.
 *
 * @throws Error with the name AbortError when told to stop, and whatever is no absence of the database
 */
export async function waitedOut<T>(
  { stop, onAway }: Pick<StudyWork, 'stop' | 'onAway'>,
  act: () => Promise<T>,
): Promise<T> {
  for (let wait = FIRST_RETRY; ; wait = Math.min(2 * wait, LAST_RETRY)) {
    try {
      const answer = await act();
      if (wait > FIRST_RETRY) onAway?.(null);
      return answer;
    } catch (error) {
      const trouble = studyTrouble(error);
      if (trouble.kind !== 'away') throw error;
      onAway?.(trouble.reason);
      await pause(wait, undefined, { signal: stop });
    }
  }
}

/** What the study still lacks, the first `most` of it; nothing: it is complete. */
export async function missingJobs(
  store: StudyStore,
  most = Number.POSITIVE_INFINITY,
): Promise<readonly StudyJob[]> {
  const front = await store.front();
  if (front !== null) {
    const proven = new Set((await store.proofs()).map(({ index }) => index));
    return front
      .filter((index) => !proven.has(index))
      .map((index): StudyJob => ({ kind: 'proof', number: index }))
      .slice(0, most);
  }
  const done = marksOf(store.blockCount, await store.doneBlocks());
  const open: StudyJob[] = [];
  for (let block = 0; block < store.blockCount && open.length < most; block += 1) {
    if (done[block] === 0) open.push({ kind: 'block', number: block });
  }
  return open.length === 0 ? [{ kind: 'front', number: 0 }] : open;
}

/** Puts in whatever the queue lacks. @returns null: there is, or will be, something to take */
export async function replenish({
  store,
  queue,
}: Pick<StudyWork, 'store' | 'queue'>): Promise<WorkEnd | null> {
  const failures = (await queue.failures()).filter(({ final }) => final);
  const { out } = await queue.counts();
  // as many as can have failed or be out, and those that are to wait
  const missing = await missingJobs(store, failures.length + out + AHEAD);
  if (missing.length === 0) return { kind: 'complete' };
  const key = ({ kind, number }: StudyJob) => `${kind} ${number}`;
  const failed = new Set(failures.map(({ job }) => key(job)));
  const left = missing.filter((job) => !failed.has(key(job)));
  if (left.length === 0) return { kind: 'stuck', failures };
  await queue.put(left.slice(0, out + AHEAD));
  await queue.reclaim();
  return null;
}

/** Computes a job; what comes back writes the result. */
async function computed(
  { store, hands }: StudyWork,
  { kind, number }: StudyJob,
): Promise<() => Promise<boolean>> {
  switch (kind) {
    case 'block': {
      const rows = await hands.screenBlock(number);
      return () => store.putBlock(number, rows);
    }
    case 'front': {
      const front = await hands.chooseFront();
      return () => store.putFront(front);
    }
    case 'proof': {
      const proof = await hands.prove(number);
      return () => store.putProof(proof);
    }
  }
}

/**
 * @returns the reason when it could not be computed, which the queue then knows as a failed attempt
 * @throws what the database refuses
 */
async function doJob(work: StudyWork, taken: TakenJob): Promise<string | null> {
  let write: () => Promise<boolean>;
  try {
    write = await waitedOut(work, () => computed(work, taken.job));
  } catch (error) {
    if (work.stop.aborted || studyTrouble(error).kind !== 'other') throw error;
    const reason = error instanceof Error ? error.message : String(error);
    await waitedOut(work, () => work.queue.fail(taken, reason));
    return reason;
  }
  await waitedOut(work, write);
  await waitedOut(work, () => work.queue.finish(taken));
  return null;
}

/** The jobs that this worker has under way. */
interface Underway {
  readonly jobs: Map<
    string,
    {
      readonly taken: TakenJob;
      readonly done: Promise<void>;
      /** times that its lease was renewed */
      renewals: number;
    }
  >;
  /** why this worker ends */
  fault: { readonly error: unknown } | null;
  /** jobs that ended here, so far */
  ended: number;
  /** jobs that failed here since the last that did not */
  readonly failing: Set<string>;
  /** rejects when told to stop */
  readonly stopped: Promise<never>;
}

function nothingUnderway({ stop }: StudyWork): Underway {
  const stopped = new Promise<never>((_, reject) => {
    stop.addEventListener('abort', () => reject(stop.reason), { once: true });
  });
  // Not always waited for.
  stopped.catch(() => {});
  return { jobs: new Map(), fault: null, ended: 0, failing: new Set(), stopped };
}

/** @throws UselessWorkerError */
function reckon({ failing }: Underway, id: string, failure: string | null): void {
  if (failure === null) failing.clear();
  else failing.add(id);
  if (failing.size < BAD_LUCK) return;
  throw new UselessWorkerError(
    `${BAD_LUCK} pieces of work one after the other could not be computed on this machine; the last: ${failure}`,
  );
}

function begin(work: StudyWork, underway: Underway, taken: TakenJob): void {
  const { jobs } = underway;
  // Our own lease ran out and came back to us: the work goes on.
  if (jobs.has(taken.id)) return;
  const done = doJob(work, taken)
    .then((failure) => {
      jobs.delete(taken.id);
      underway.ended += 1;
      reckon(underway, taken.id, failure);
    })
    .catch((error: unknown) => {
      // What the database refused stays under way, so that it is given back at the end.
      underway.fault ??= { error };
    });
  jobs.set(taken.id, { taken, done, renewals: 0 });
}

/** Renewals in each lease, so that one that is late does no harm. */
const RENEWALS_A_LEASE = 3;
/** A piece of work that has not ended after this many may hang: somebody else is to try it. */
const MOST_RENEWALS = 60;

/** Keeps what is under way from being handed out again while it takes longer than its lease. Ends with
 * `stop`. A renewal that the database does not answer is one less; the lease has room for it. */
async function keepLeases({ queue, stop }: StudyWork, { jobs }: Underway): Promise<void> {
  while (!stop.aborted) {
    const lease = await queue.lease().catch(() => null);
    const every = lease === null ? IDLE : (lease * 1000) / RENEWALS_A_LEASE;
    await pause(every, undefined, { signal: stop }).catch(() => {});
    const held = [...jobs.values()].filter(({ renewals }) => renewals < MOST_RENEWALS);
    if (stop.aborted || held.length === 0) continue;
    for (const each of held) each.renewals += 1;
    await queue.renew(held.map(({ taken }) => taken)).catch(() => {});
  }
}

/** @returns whether there was anything to take */
async function takeMore(work: StudyWork, underway: Underway): Promise<boolean> {
  const room = work.hands.atOnce - underway.jobs.size;
  const taken = await waitedOut(work, () => work.queue.take(room));
  for (const each of taken) begin(work, underway, each);
  return taken.length > 0;
}

/** A job under way ends, or we are told to stop, or so many ms have gone by. */
async function somethingHappens({ jobs, stopped }: Underway, patience?: number): Promise<void> {
  const over = new AbortController();
  const waits = [stopped, ...[...jobs.values()].map(({ done }) => done)];
  if (patience !== undefined) {
    waits.push(pause(patience, undefined, { signal: over.signal }).catch(() => {}));
  }
  // A timer left behind would keep the process alive.
  await Promise.race(waits).finally(() => over.abort());
}

async function worked(work: StudyWork, underway: Underway): Promise<WorkEnd> {
  while (underway.fault === null) {
    work.stop.throwIfAborted();
    if (underway.jobs.size >= work.hands.atOnce) {
      await somethingHappens(underway);
      continue;
    }
    const { ended } = underway;
    if (await takeMore(work, underway)) continue;
    const end = await waitedOut(work, () => replenish(work));
    if (end !== null && underway.jobs.size === 0) return end;
    if (end === null && (await takeMore(work, underway))) continue;
    // Meanwhile the last block may have been written, or the last proof.
    if (underway.ended > ended) continue;
    if (work.whenIdle === 'end' && underway.jobs.size === 0) return { kind: 'idle' };
    await somethingHappens(underway, IDLE);
  }
  throw underway.fault.error;
}

/**
 * Works until the study is complete or stuck, or told to stop. What is under way at any other end is
 * given back.
 *
 * @throws UselessWorkerError, and what the database refuses
 */
export async function workOnStudy(work: StudyWork): Promise<WorkEnd> {
  // Ends with the work, so that nothing waits for the database any longer than we do.
  const over = new AbortController();
  // Every job under way may listen to it.
  setMaxListeners(0, over.signal);
  const stop = () => over.abort(work.stop.reason);
  if (work.stop.aborted) stop();
  work.stop.addEventListener('abort', stop);
  const ours = { ...work, stop: over.signal };
  const underway = nothingUnderway(ours);
  const keeping = keepLeases(ours, underway);
  try {
    const end = await worked(ours, underway);
    if (end.kind === 'complete') await waitedOut(ours, work.queue.remove);
    return end;
  } catch (error) {
    const open = [...underway.jobs.values()].map(({ taken }) => taken);
    // Without the database nothing can be given back; then the lease does it.
    if (open.length > 0) await work.queue.giveBack(open).catch(() => {});
    if (work.stop.aborted) return { kind: 'stopped' };
    throw error;
  } finally {
    work.stop.removeEventListener('abort', stop);
    over.abort();
    await keeping;
  }
}
