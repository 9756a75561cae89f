/**
 * What the browser itself keeps of a test day: entries that wait to be sent, files that go with them, and
 * the entries of projects as last seen, so that a page without its server still shows them.
 */

import type { IDBPDatabase } from 'idb';
import { openDB } from 'idb';
import type { EntryProblem, KeptEntry, NewEntry } from '../../../test-record/index.js';

/** An entry written here and not yet kept by the store. */
export interface PendingEntry {
  readonly entry: NewEntry;
  /** counts up: the order they were written in */
  readonly order: number;
  /** what others wrote to the record meanwhile: it waits for a decision; null: none known */
  readonly since: readonly KeptEntry[] | null;
  /** why the store does not take it; null: nothing known against it */
  readonly problems: readonly EntryProblem[] | null;
}

export interface LocalFile {
  readonly hash: string;
  readonly media: string;
  readonly blob: Blob;
}

export interface LocalShelf {
  readonly pending: () => Promise<readonly PendingEntry[]>;
  readonly putPending: (pending: PendingEntry) => Promise<void>;
  readonly dropPending: (ids: readonly string[]) => Promise<void>;
  readonly putFile: (file: LocalFile) => Promise<void>;
  readonly file: (hash: string) => Promise<LocalFile | null>;
  readonly dropFiles: (hashes: readonly string[]) => Promise<void>;
  readonly fileHashes: () => Promise<readonly string[]>;
  /** entries of a project as last seen */
  readonly seen: (project: string) => Promise<readonly KeptEntry[]>;
  readonly see: (entries: readonly KeptEntry[]) => Promise<void>;
}

const FORM = 1;

/** One a folder: another folder's records are others. */
export function indexedShelf(folder: string): LocalShelf {
  let opened: Promise<IDBPDatabase> | null = null;
  const db = (): Promise<IDBPDatabase> => {
    opened ??= openDB(`standstill records ${folder}`, FORM, {
      upgrade(made) {
        made.createObjectStore('pending', { keyPath: 'entry.id' });
        made.createObjectStore('files', { keyPath: 'hash' });
        made.createObjectStore('seen', { keyPath: ['project', 'sequence'] });
      },
      terminated: forget,
    }).catch((error: unknown) => {
      forget();
      throw error;
    });
    return opened;
  };
  // what failed, or was ended by the browser, is tried anew by whoever asks next
  const forget = (): void => {
    opened = null;
  };
  return {
    pending: async () => {
      const all = (await (await db()).getAll('pending')) as PendingEntry[];
      return all.sort((a, b) => a.order - b.order);
    },
    // strict: it is on the disk before it counts as kept
    putPending: async (pending) => {
      const change = (await db()).transaction('pending', 'readwrite', { durability: 'strict' });
      await change.store.put(pending);
      await change.done;
    },
    dropPending: async (ids) => {
      const change = (await db()).transaction('pending', 'readwrite', { durability: 'strict' });
      await Promise.all(ids.map((id) => change.store.delete(id)));
      await change.done;
    },
    putFile: async (file) => {
      const change = (await db()).transaction('files', 'readwrite', { durability: 'strict' });
      await change.store.put(file);
      await change.done;
    },
    file: async (hash) => ((await (await db()).get('files', hash)) as LocalFile) ?? null,
    dropFiles: async (hashes) => {
      const change = (await db()).transaction('files', 'readwrite');
      await Promise.all(hashes.map((hash) => change.store.delete(hash)));
      await change.done;
    },
    fileHashes: async () => (await (await db()).getAllKeys('files')) as string[],
    seen: async (project) => {
      const range = IDBKeyRange.bound([project, 0], [project, Number.MAX_SAFE_INTEGER]);
      return (await (await db()).getAll('seen', range)) as KeptEntry[];
    },
    see: async (entries) => {
      const change = (await db()).transaction('seen', 'readwrite');
      await Promise.all(entries.map((entry) => change.store.put(entry)));
      await change.done;
    },
  };
}
