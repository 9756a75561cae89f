/** What the page asks of the server about test records. */

import type { KeptEntry, NewEntry, SubmitOutcome } from '../../../test-record/index.js';

export interface ProjectSummary {
  readonly id: string;
  readonly name: string;
  readonly customer: string;
  readonly entries: number;
  /** ISO 8601, the store's clock */
  readonly changed: string;
  readonly head: string;
}

export interface Records {
  /** without a password */
  readonly place: string;
  readonly projects: readonly ProjectSummary[];
}

export interface Verification {
  readonly chain:
    | { readonly kind: 'whole'; readonly entries: number; readonly head: string }
    | { readonly kind: 'broken'; readonly sequence: number; readonly reason: string };
  readonly files: { readonly whole: number; readonly broken: readonly string[] };
}

/** Every call throws an ApiError for what the server refuses or where it does not answer. */
export interface RecordsApi {
  readonly records: () => Promise<Records>;
  readonly entries: (project: string, after: number) => Promise<readonly KeptEntry[]>;
  readonly submit: (entries: readonly NewEntry[]) => Promise<readonly SubmitOutcome[]>;
  readonly putFile: (hash: string, bytes: Blob, media: string) => Promise<void>;
  /** null: it is not there */
  readonly file: (hash: string) => Promise<Blob | null>;
  readonly verify: (project: string) => Promise<Verification>;
  /** address to download the whole project from */
  readonly archiveAddress: (project: string) => string;
}
