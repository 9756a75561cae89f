/** The place where test records are kept: an SQLite file, or a PostgreSQL database for a team. */

import type {
  ChainReport,
  KeptEntry,
  KnownHead,
  NewEntry,
  SubmitOutcome,
} from '../test-record/index.js';

export interface ProjectSummary {
  readonly id: string;
  readonly name: string;
  readonly customer: string;
  readonly entries: number;
  /** of the newest entry, the store's clock */
  readonly changed: string;
  readonly head: string;
}

export interface KeptFile {
  readonly hash: string;
  readonly media: string;
  readonly bytes: Uint8Array;
}

export interface RecordVerification {
  readonly chain: ChainReport;
  /** files that entries name and that are missing or not what their hash says */
  readonly files: { readonly whole: number; readonly broken: readonly string[] };
}

/** All is thrown as RecordStoreError, but for faults of the program. */
export interface RecordStore {
  /** without a password */
  readonly place: string;
  readonly kind: 'SQLite' | 'PostgreSQL';
  /** in the order of their names */
  readonly projects: () => Promise<readonly ProjectSummary[]>;
  /** in order, those after a sequence (0: all), `most` of them at most; empty where there is no such project */
  readonly entries: (
    project: string,
    after?: number,
    most?: number,
  ) => Promise<readonly KeptEntry[]>;
  /**
   * Each on its own and in order: one refused does not undo those before. What is answered as kept is on
   * the disk. Where it throws (the database went away), some may have been kept: sending all again is
   * right, and those are then answered as `already`.
   */
  readonly submit: (entries: readonly NewEntry[]) => Promise<readonly SubmitOutcome[]>;
  /** @returns its hash; the same bytes again are kept once, with the media they first came with */
  readonly putFile: (bytes: Uint8Array, media: string) => Promise<string>;
  readonly file: (hash: string) => Promise<KeptFile | null>;
  /** of these, those that are not there */
  readonly missingFiles: (hashes: readonly string[]) => Promise<readonly string[]>;
  /** hashes of the files kept, ascending, those after a hash ('': from the first), `most` at most */
  readonly fileHashes: (after: string, most: number) => Promise<readonly string[]>;
  /** @param knownHead noted down before: the chain has to go through it */
  readonly verify: (project: string, knownHead?: KnownHead) => Promise<RecordVerification>;
  /**
   * Takes over the entries of a project that were kept elsewhere, as they are, from the first on and all in
   * one transaction. Where the project is there already, one of the two has to be the beginning of the other.
   * Files first, by `putFile`. What gives the entries must not ask this store for anything meanwhile.
   *
   * @returns how many were new
   */
  readonly adopt: (project: string, entries: AsyncIterable<KeptEntry>) => Promise<number>;
  readonly close: () => Promise<void>;
}

export interface RecordStoreOptions {
  /** ISO 8601 in UTC; the store's clock */
  readonly now: () => string;
  /** ms to wait for another process that writes, or a server that is away; default 10 s */
  readonly patience?: number;
}

export type RecordStoreProblem =
  | 'cannot be opened'
  | 'not a database'
  | 'not ours'
  | 'too new'
  | 'migration failed'
  | 'locked'
  /** it does not answer, and may again */
  | 'away'
  | 'no project'
  /** a row or file is not what was kept: somebody, or the disk, changed it */
  | 'broken record'
  /** too large, or of a kind that a record does not take */
  | 'file refused'
  | 'not an archive'
  | 'broken archive'
  /** the project in the archive and the one here went different ways */
  | 'other project';

/** Why a place or archive cannot be used; the message names the place and what is allowed. */
export class RecordStoreError extends Error {
  override readonly name = 'RecordStoreError';
  readonly problem: RecordStoreProblem;

  constructor(problem: RecordStoreProblem, message: string, options?: ErrorOptions) {
    super(message, options);
    this.problem = problem;
  }
}
