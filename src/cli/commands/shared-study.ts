/** `standstill study` with a database: the same study on any number of machines. */

import { countText } from '../../analysis/index.js';
import type { Study } from '../../studies/index.js';
import { variantCount } from '../../studies/index.js';
import type { PostgresStudies, SharedStudy, StudyNews } from '../../study-runs/index.js';
import {
  runSharedStudies,
  runSharedStudy,
  StudyStoreError,
  submitSharedStudy,
} from '../../study-runs/index.js';
import { EXIT } from '../exit-codes.js';
import { tell } from '../messages.js';
import type { Outcome } from '../outcome.js';
import { fine } from '../outcome.js';
import type { Page, PageWishes } from '../page.js';
import { makePage, messagePage } from '../page.js';
import type { RequirementWishes } from '../requirement-choice.js';
import type { Cell, Column } from '../sheet.js';
import { span, table } from '../sheet.js';
import type { DatabaseWishes } from '../study-database.js';
import { failureLines, withDatabase } from '../study-database.js';
import { loadStudy } from '../study-file.js';
import { startStudyLine } from '../study-progress.js';
import type { Surroundings } from '../surroundings.js';

export interface SubmitWishes extends DatabaseWishes {
  /** s after which the work of a machine that fell silent is handed out again */
  readonly lease?: number;
  readonly retryFailed: boolean;
}

export interface ThreadWishes {
  /** worker threads; undefined: one for every core */
  readonly workers?: number;
}

async function begin(
  studies: PostgresStudies,
  study: Study,
  { lease, retryFailed }: SubmitWishes,
  around: Surroundings,
): Promise<SharedStudy> {
  const shared = await studies.begin(study, {
    program: around.version,
    ...(lease === undefined ? {} : { lease }),
  });
  if (retryFailed) await shared.queue.forgiveFailures();
  await submitSharedStudy(shared);
  const holds = lease === undefined ? null : await shared.queue.lease();
  if (holds !== null && holds !== lease) {
    tell(around, [
      `--lease ${lease}: "${study.name}" is in the database already, with a lease of ${holds} s, which stays`,
    ]);
  }
  return shared;
}

/** Tells once that the database is away, and once that it is back. */
function awayTeller(around: Surroundings, clear: () => void): (reason: string | null) => void {
  let away = false;
  return (reason) => {
    if (away === (reason !== null)) return;
    away = reason !== null;
    clear();
    tell(around, [
      reason === null
        ? 'the database answers again'
        : `the database does not answer (${reason}): trying until it does; nothing is lost`,
    ]);
  };
}

/** What a run of any kind on shared studies needs of the terminal, for as long as it lasts. */
async function whileRunning<T>(
  wishes: ThreadWishes,
  around: Surroundings,
  run: (options: Parameters<typeof runSharedStudy>[1]) => Promise<T>,
): Promise<T> {
  const stop = new AbortController();
  const line = startStudyLine(around);
  const release = around.onStop(() => {
    line.clear();
    tell(around, ['stopping: what is in hand is given back']);
    stop.abort();
  });
  try {
    return await run({
      stop: stop.signal,
      whenIdle: 'wait',
      onProgress: line.report,
      onAway: awayTeller(around, line.clear),
      ...(wishes.workers === undefined ? {} : { workers: wishes.workers }),
    });
  } finally {
    line.clear();
    release();
  }
}

/** Puts the study in and works on it until all of it is done, by whomever. */
export async function runSharedStudyFile(
  study: Study,
  wishes: SubmitWishes & ThreadWishes,
  around: Surroundings,
  show: (shared: SharedStudy, place: string) => Promise<Outcome<number>>,
): Promise<Outcome<number>> {
  return withDatabase(wishes, around, async (studies) => {
    const shared = await begin(studies, study, wishes, around);
    const end = await whileRunning(wishes, around, (options) => runSharedStudy(shared, options));
    const shown = await show(shared, studies.place);
    if (shown.kind === 'bad input' || end.kind !== 'stuck') return shown;
    return fine(shown.value, [...shown.warnings, ...failureLines(end.failures, shared.store)]);
  });
}

/** Puts the study in, for others to work on. */
export async function submitStudy(
  file: string,
  wishes: SubmitWishes & RequirementWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const study = await loadStudy(file, wishes);
  if (study.kind === 'bad input') return study;
  return withDatabase(wishes, around, async (studies) => {
    const { kept } = await begin(studies, study.value, wishes, around);
    const { name } = kept.study;
    const count = variantCount(kept.study);
    const variants = `${countText(count)} variant${count === 1 ? '' : 's'}`;
    const text = `"${name}" with ${variants} is in ${studies.place}; machines work on it with: standstill study work --database`;
    around.out(`${messagePage(around).show(text)}\n`);
    return fine(EXIT.holds, study.warnings);
  });
}

export interface WorkWishes extends DatabaseWishes, ThreadWishes {
  /** waits for further studies when none needs work */
  readonly stay: boolean;
}

/** Works on every study of the database until none needs it. */
export async function workOnStudies(
  wishes: WorkWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withDatabase(wishes, around, async (studies) => {
    let stuck = false;
    const end = await whileRunning(wishes, around, (options) =>
      runSharedStudies(studies, {
        ...options,
        program: around.version,
        stay: wishes.stay,
        onNews: (name, news) => {
          stuck ||= news.kind === 'stuck';
          tell(around, newsLines(name, news, around.version));
        },
      }),
    );
    if (end === 'done') tell(around, ['no study needs work any more']);
    return fine(stuck ? EXIT.notDecided : EXIT.holds);
  });
}

function newsLines(name: string, news: StudyNews, version: string): string[] {
  switch (news.kind) {
    case 'begun':
      return [`"${name}": working on it`];
    case 'complete':
      return [`"${name}": complete`];
    case 'removed':
      return [`"${name}": was removed`];
    case 'other program':
      return [
        `"${name}": left alone: it was begun by standstill ${news.program}, and this is ${version}`,
      ];
    case 'stuck':
      return [`"${name}": cannot be completed; standstill study show --database tells what failed`];
  }
}

/** Every study of the database, and how far it is. */
export async function listStudies(
  wishes: DatabaseWishes & PageWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withDatabase(wishes, around, async (studies) => {
    const page = makePage(wishes, around);
    const rows: Cell[][] = [];
    for (const { name } of await studies.list()) {
      const study = await foundStill(studies, name);
      if (study !== null) rows.push(await listRow(page, study));
    }
    if (rows.length > 0) around.out(page.print(table(page, LIST_COLUMNS, rows, 0)));
    else tell(around, [`${studies.place}: holds no study yet`]);
    return fine(EXIT.holds);
  });
}

/** null: it was removed since it was listed */
async function foundStill(studies: PostgresStudies, name: string): Promise<SharedStudy | null> {
  try {
    return await studies.find(name);
  } catch (error) {
    if (error instanceof StudyStoreError && error.problem === 'no study') return null;
    throw error;
  }
}

const LIST_COLUMNS: readonly Column[] = [
  { heading: 'study', align: 'left' },
  { heading: 'state', align: 'left' },
  { heading: 'screened', align: 'right' },
  { heading: 'proven', align: 'right' },
  { heading: 'in hand', align: 'right' },
  { heading: 'failed', align: 'right' },
];

async function listRow(page: Page, { kept, store, queue }: SharedStudy): Promise<Cell[]> {
  const { rows } = await store.tally();
  const [front, proofs] = [await store.front(), await store.proofs()];
  const { out, failed } = await queue.counts();
  const complete = front !== null && front.length === proofs.length;
  const total = variantCount(kept.study);
  return [
    kept.study.name,
    complete ? 'complete' : failed > 0 ? 'failing' : 'under way',
    rows === total ? countText(rows) : `${countText(rows)} of ${countText(total)}`,
    front === null ? '-' : `${proofs.length} of ${front.length}`,
    countText(out),
    countText(failed),
  ].map((text) => [span(page, text)]);
}

/** Deletes a study and all its results. */
export async function removeStudy(
  name: string,
  wishes: DatabaseWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withDatabase(wishes, around, async (studies) => {
    await studies.remove(name);
    around.out(`${messagePage(around).show(`"${name}" and its results are removed`)}\n`);
    return fine(EXIT.holds);
  });
}
