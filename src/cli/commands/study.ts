/** `standstill study`: run, show, export, and a chosen variant as a cart file. */

import { optionsOf, variantCount, variantOf } from '../../studies/index.js';
import type { StudyStore } from '../../study-runs/index.js';
import {
  openSqliteStore,
  readSqliteStore,
  runStudy,
  StudyStoreError,
  sqliteProblem,
  VariantTaskError,
  writeStudyCsv,
} from '../../study-runs/index.js';
import type { UnitSystem } from '../../units/index.js';
import { loadCartFile } from '../cart-file.js';
import { placeProblem, writeEditedCart } from '../edited-cart-file.js';
import { EXIT } from '../exit-codes.js';
import { reasonOf } from '../files.js';
import { tell } from '../messages.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage, messagePage } from '../page.js';
import type { RequirementWishes } from '../requirement-choice.js';
import { studySheet } from '../sheets/study.js';
import type { DatabaseWishes } from '../study-database.js';
import { failureLines, withDatabase } from '../study-database.js';
import { loadStudy } from '../study-file.js';
import { studyJson } from '../study-json.js';
import { startStudyLine } from '../study-progress.js';
import { studyExitCode, studyState } from '../study-state.js';
import type { Surroundings } from '../surroundings.js';
import type { SubmitWishes, ThreadWishes } from './shared-study.js';
import { runSharedStudyFile } from './shared-study.js';

export interface StudyShowWishes extends PageWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
}

export interface StudyRunWishes extends StudyShowWishes, RequirementWishes {
  /** SQLite file of the results; made when there is none, gone on with when there is */
  readonly into: string;
  /** worker threads; undefined: one for every core */
  readonly workers?: number;
}

/** Results in an SQLite file, whose name is given, or in a database, where the study's is. */
export type ResultWishes = Partial<DatabaseWishes>;

/** Runs what is not done yet, then shows how the study stands. */
export async function runStudyFile(
  file: string,
  wishes: StudyRunWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const study = await loadStudy(file, wishes);
  if (study.kind === 'bad input') return study;
  tell(around, study.warnings);
  const { into, workers } = wishes;
  return withStore(
    into,
    () => openSqliteStore(into, study.value, { program: around.version }),
    async (store) => {
      const stop = new AbortController();
      const line = startStudyLine(around);
      const release = around.onStop(() => {
        line.clear();
        tell(around, ['stopping: what is in hand is written first; once more stops at once']);
        stop.abort();
      });
      try {
        await runStudy(store, {
          stop: stop.signal,
          onProgress: line.report,
          ...(workers === undefined ? {} : { workers }),
        });
      } catch (error) {
        if (!(error instanceof VariantTaskError)) throw error;
        line.clear();
        tell(around, [`internal error: ${error.message}`, `${into}: what is done is kept`]);
        return fine(EXIT.internal);
      } finally {
        line.clear();
        release();
      }
      return show(store, into, wishes, around);
    },
  );
}

/** The same with the results in a database, beside other machines. */
export async function runStudyInDatabase(
  file: string,
  wishes: StudyShowWishes & RequirementWishes & SubmitWishes & ThreadWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const study = await loadStudy(file, wishes);
  if (study.kind === 'bad input') return study;
  tell(around, study.warnings);
  return runSharedStudyFile(study.value, wishes, around, ({ store }, place) =>
    show(store, place, wishes, around),
  );
}

/** How a study stands, from its results alone. */
export async function showStudy(
  results: string,
  wishes: StudyShowWishes & ResultWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withResults(results, wishes, around, (store, place) => show(store, place, wishes, around));
}

async function show(
  store: StudyStore,
  place: string,
  wishes: StudyShowWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const state = await studyState(store);
  if (wishes.json) around.out(studyJson(state, around.version));
  else {
    const page = makePage(wishes, around);
    around.out(page.print(studySheet(page, { state, place, units: wishes.units })));
  }
  return fine(studyExitCode(state));
}

export interface StudyExportWishes {
  /** file to write */
  readonly csv: string;
  readonly front: boolean;
}

export async function exportStudy(
  results: string,
  { csv, front, ...wishes }: StudyExportWishes & ResultWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withResults(results, wishes, around, async (store) => {
    try {
      const count = await writeStudyCsv(store, csv, { variants: front ? 'front' : 'all' });
      say(around, `${csv} written: ${count} variant${count === 1 ? '' : 's'}`);
    } catch (error) {
      if (!isFileProblem(error)) throw error;
      return bad(`${csv}: cannot be written: ${reasonOf(error)}`);
    }
    return fine(EXIT.holds);
  });
}

export interface StudyVariantWishes {
  /** the cart file that the study varies */
  readonly cart: string;
  /** cart file to write */
  readonly into: string;
}

/** A variant as a cart file: the study's own cart file with the changes made in it. */
export async function writeVariant(
  results: string,
  index: number,
  { cart: cartFile, into, ...wishes }: StudyVariantWishes & ResultWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withResults(results, wishes, around, async ({ study }) => {
    const count = variantCount(study);
    if (index >= count) {
      return bad(`${results} INDEX: ${index} is not a variant; allowed: 0 to ${count - 1}`);
    }
    const parts = await loadCartFile(cartFile);
    if (parts.kind === 'bad input') return parts;
    if (JSON.stringify(parts.value.cart) !== JSON.stringify(study.cart)) {
      return bad(
        `${cartFile}: is not the cart of this study as it was when the study was begun; allowed: the file of "${study.cart.name}", unchanged`,
      );
    }
    const problem = await placeProblem(cartFile, parts.value, into);
    if (problem !== null) return bad(problem);
    const changes = { edits: variantOf(study, index).edits, called: `variant ${index}` };
    const written = await writeEditedCart(cartFile, parts.value, changes, into);
    if (written.kind === 'bad input') return written;
    const labels = optionsOf(study, index).map(
      ({ label }, i) => `${study.factors[i]?.name}: ${label}`,
    );
    say(around, `${into} written (${labels.join('; ')}). Check it: standstill check ${into}`);
    return fine(EXIT.holds, [...parts.warnings, ...written.warnings]);
  });
}

function say(around: Surroundings, text: string): void {
  around.out(`${messagePage(around).show(text)}\n`);
}

/** What a connection to a database fails in is no file. */
const OF_CONNECTIONS: readonly unknown[] = ['connect', 'read', 'getaddrinfo'];

function isFileProblem(error: unknown): boolean {
  return error instanceof Error && 'syscall' in error && !OF_CONNECTIONS.includes(error.syscall);
}

/** Results that are there, in a file or in a database; what of them failed there is told besides. */
function withResults(
  results: string,
  { database }: ResultWishes,
  around: Surroundings,
  use: (store: StudyStore, place: string) => Promise<Outcome<number>>,
): Promise<Outcome<number>> {
  if (database === undefined) {
    return withStore(
      results,
      () => readSqliteStore(results),
      (store) => use(store, results),
    );
  }
  return withDatabase({ database }, around, async (studies) => {
    const { store, queue } = await studies.find(results);
    const used = await use(store, studies.place);
    if (used.kind === 'bad input') return used;
    return fine(used.value, [...used.warnings, ...failureLines(await queue.failures(), store)]);
  });
}

/** Closes the store whatever happens; what is wrong with it is bad input. */
async function withStore(
  file: string,
  open: () => Promise<StudyStore>,
  use: (store: StudyStore) => Promise<Outcome<number>>,
): Promise<Outcome<number>> {
  try {
    const store = await open();
    try {
      return await use(store);
    } finally {
      await store.close();
    }
  } catch (error) {
    const problem = sqliteProblem(file, error);
    if (problem instanceof StudyStoreError) return bad(problem.message);
    throw error;
  }
}
