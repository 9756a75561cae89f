/** A study whose process is killed again and again at random moments, and gone on with each time. */

import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import Database from 'libsql';
import type { Study } from '../../src/studies/index.js';
import type { StudyStore } from '../../src/study-runs/index.js';
import { openSqliteStore, runStudy, streamStudyCsv } from '../../src/study-runs/index.js';
import { ballastStudy } from './ballast-study.js';
import { TextSink } from './text-sink.js';

/** The worker thread as it is built. */
export const BUILT_WORKER = new URL('../../dist/study-runs/study-worker.js', import.meta.url);

const CHILD = fileURLToPath(new URL('./child-run.mjs', import.meta.url));

export interface KilledRun {
  readonly file: string;
  readonly ballasts: number;
  readonly workers: number;
  /** kills before the run is left alone */
  readonly kills: number;
  /** in [0, 1) */
  readonly random: () => number;
}

export interface KilledRunEnd {
  readonly csv: string;
  /** what SQLite says of the file after each kill that left one */
  readonly integrity: readonly string[];
  /** blocks done when it was killed; they never become fewer */
  readonly doneAtKill: readonly number[];
}

/** Writes that a run is let do before it is killed, at most; and then so many ms at most. */
const MOST_WRITES = 12;
const MOST_WAIT = 15;

/** The code must be built. */
export async function killedRun(run: KilledRun): Promise<KilledRunEnd> {
  writeFileSync(`${run.file}.json`, JSON.stringify(studyOf(run)));
  const integrity: string[] = [];
  const doneAtKill: number[] = [];
  for (let kill = 0; kill < run.kills; kill += 1) {
    await startedAndKilled(run);
    const state = stateOf(run.file);
    if (state === null) continue;
    integrity.push(state.integrity);
    doneAtKill.push(state.done);
  }
  await childRun(run, Number.POSITIVE_INFINITY, 0);
  const store = await openSqliteStore(run.file, studyOf(run), { program: 'test' });
  const csv = await csvOf(store);
  await store.close();
  return { csv, integrity, doneAtKill };
}

function studyOf({ ballasts }: Pick<KilledRun, 'ballasts'>): Study {
  return ballastStudy('Ballast of the kit trolley', ballasts);
}

function startedAndKilled(run: KilledRun): Promise<void> {
  const writes = Math.floor(run.random() * MOST_WRITES);
  return childRun(run, writes, run.random() * MOST_WAIT);
}

/** @throws Error when the process ends by itself with anything but success */
async function childRun({ file, workers }: KilledRun, writes: number, wait: number): Promise<void> {
  const args = [CHILD, file, `${file}.json`, String(workers)];
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  let lines = 0;
  let errors = '';
  let isKilled = false;
  child.stderr.on('data', (data) => {
    errors += String(data);
  });
  child.stdout.on('data', (data) => {
    lines += String(data).split('\n').length - 1;
    if (lines <= writes || isKilled) return;
    isKilled = true;
    void pause(wait).then(() => child.kill('SIGKILL'));
  });
  const code = await new Promise<number | null>((resolve) => child.on('close', resolve));
  if (!isKilled && code !== 0) throw new Error(`the run ended with ${code}: ${errors}`);
}

/** null: the file has no tables yet */
function stateOf(file: string): { readonly integrity: string; readonly done: number } | null {
  const database = new Database(file);
  try {
    const made = database.prepare("select 1 from sqlite_master where name = 'study_block'").get();
    if (made === undefined) return null;
    const [row] = database.pragma('integrity_check') as { readonly integrity_check: string }[];
    const { done } = database.prepare('select count(*) as done from study_block').get() as {
      readonly done: number;
    };
    return { integrity: row?.integrity_check ?? '', done };
  } finally {
    database.close();
  }
}

export async function csvOf(store: StudyStore): Promise<string> {
  const sink = new TextSink();
  await streamStudyCsv(store, sink, { variants: 'all' });
  return sink.text();
}

/** The CSV of the same study run without a disturbance, by one thread. */
export async function undisturbedCsv(file: string, ballasts: number): Promise<string> {
  const store = await openSqliteStore(file, studyOf({ ballasts }), {
    program: 'test',
    blockSize: 7,
  });
  await runStudy(store, { workers: 1, workerFile: BUILT_WORKER });
  const csv = await csvOf(store);
  await store.close();
  return csv;
}
