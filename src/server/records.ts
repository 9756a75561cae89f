/** The place of the test records, opened when it is first asked about and made with the first that is kept. */

import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { RecordStore, RecordStoreError } from '../record-store/index.js';
import { placeOf } from './folder-files.js';
import { oneAtATime } from './one-at-a-time.js';
import { Problem, problemOf, systemCodeOf } from './problem.js';

/** In the folder of the cart files, where the command line names no other place. */
export const USUAL_RECORDS = 'test-records.sqlite';

export interface Held {
  readonly store: RecordStore;
  /** what goes wrong with it, in words without the path of the folder */
  readonly told: (error: unknown) => unknown;
  /** it may be closed from now on */
  readonly release: () => void;
}

export interface Records {
  /** as it may be shown before it is opened */
  readonly shown: string;
  /** null: nothing was kept there yet. @throws Problem */
  readonly hold: () => Promise<Held | null>;
  /** makes what is not there yet. @throws Problem */
  readonly holdOrMake: () => Promise<Held>;
  /** what is held is waited for */
  readonly close: () => Promise<void>;
}

interface Opened {
  readonly store: RecordStore;
  /** tells the file from another one under the same name */
  readonly identity: string | null;
  readonly uses: Set<Promise<void>>;
}

/**
 * @param folder without links in it
 * @param named file or database on the command line; null: the usual file of the folder
 */
export function recordsAt(folder: string, named: string | null): Records {
  const shown = named ?? USUAL_RECORDS;
  const isFile = named === null || !/^postgres(ql)?:\/\//.test(named);
  const place = async (): Promise<string> => named ?? (await placeOf(folder, USUAL_RECORDS));
  const identity = async (): Promise<string | null> =>
    isFile ? identityOf(await place(), shown) : '';
  const told = (error: unknown): unknown => recordsProblem(error, folder);
  let opened: Opened | null = null;

  /** A file that was removed or replaced is let go: what is written to it would be lost. */
  const upToDate = async (isToBeMade: boolean): Promise<Opened | null> => {
    const there = await identity();
    if (opened !== null && opened.identity === there) return opened;
    const before = opened;
    opened = null;
    // first: SQLite knows the files beside it by its name, which is another file's now. What ends it badly
    // has ended it: its file is gone.
    if (before !== null) await closed(before).catch(() => {});
    if (there === null && !isToBeMade) return null;
    // loaded when it is needed: databases take a while
    const { openRecords } = await import('../record-store/index.js');
    const store = await openRecords(await place(), { now: () => new Date().toISOString() });
    opened = { store, identity: await identity(), uses: new Set() };
    return opened;
  };
  const held = async (isToBeMade: boolean): Promise<Held | null> => {
    try {
      // keys of others are paths of files
      return await oneAtATime(`records ${shown}`, async () => {
        const now = await upToDate(isToBeMade);
        return now && use(now, told);
      });
    } catch (error) {
      throw told(error);
    }
  };
  return {
    shown,
    hold: () => held(false),
    holdOrMake: async () => {
      const made = await held(true);
      if (made === null) throw new Error(`recordsAt: ${shown} was not made`);
      return made;
    },
    close: async () => {
      const last = opened;
      opened = null;
      if (last !== null) await closed(last);
    },
  };
}

async function identityOf(path: string, shown: string): Promise<string | null> {
  try {
    const { dev, ino } = await stat(path, { bigint: true });
    return `${dev} ${ino}`;
  } catch (error) {
    if (systemCodeOf(error) === 'ENOENT') return null;
    throw problemOf(error, shown);
  }
}

function use({ store, uses }: Opened, told: Held['told']): Held {
  let release = (): void => {};
  const used = new Promise<void>((resolve) => {
    release = resolve;
  });
  uses.add(used);
  void used.then(() => uses.delete(used));
  return { store, told, release };
}

async function closed({ store, uses }: Opened): Promise<void> {
  await Promise.all(uses);
  await store.close();
}

/** By its name: where it is thrown its class is loaded, here it may not be. */
function isOfStore(error: unknown): error is RecordStoreError {
  return error instanceof Error && error.name === 'RecordStoreError';
}

/**
 * What is wrong with the place in words; anything else is passed on as it is.
 *
 * @param folder files in it are called by their names
 */
export function recordsProblem(error: unknown, folder: string): unknown {
  if (!isOfStore(error)) return error;
  const words = error.message.replaceAll(join(folder, '/'), '');
  switch (error.problem) {
    case 'locked':
      return new Problem('busy', words);
    case 'no project':
      return new Problem('not there', words);
    case 'file refused':
      return new Problem('bad request', words);
    default:
      return new Problem('records', words);
  }
}
