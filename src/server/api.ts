/**
 * What the page and the server say to each other, as types only. The page may not import the server, so it
 * keeps the same shapes of its own.
 *
 * Every path is below `/api`. All bodies and answers are JSON. `name` is the plain name of a cart file of the
 * folder (`CART_NAME_RULE`); a parts list may also lie below the folder (`lists/parts.csv`).
 *
 *   GET    /folder                               -> FolderAnswer
 *   GET    /cart?name=                           -> CartAnswer
 *   PUT    /cart              SaveCart           -> SavedAnswer, or 409 CartChangedAnswer
 *   GET    /parts-list?name=                     -> PartsListAnswer
 *   PUT    /parts-list        SavePartsList      -> SavedAnswer, or 409 PartsListChangedAnswer
 *   GET    /requirement-file?name=               -> TextAnswer
 *   PUT    /draft             SaveDraft          -> DraftSavedAnswer
 *   DELETE /draft?name=                          -> DraftDeletedAnswer (also when there was none)
 *   GET    /versions?name=[&parts-list=]         -> VersionsAnswer
 *   GET    /example?name=                        -> ExampleAnswer
 *
 * Whatever is not done is answered with a ProblemAnswer and a status of 400 or more.
 *
 * PUT, POST and DELETE need the header `standstill-workbench: 1`, PUT and POST also
 * `content-type: application/json` (a file of a record: its own).
 *
 * A version is the SHA-256 of a file's bytes in lower-case hex. Times are ISO 8601 in UTC. Texts are the
 * file's bytes read as UTF-8, byte order mark and line ends included: what is saved unchanged gives the
 * same bytes.
 */

import type { ProjectSummary } from '../record-store/index.js';
import type { KeptEntry, NewEntry, SubmitOutcome } from '../test-record/index.js';

export type ProblemCode =
  /** the question itself is not right: its shape, a name */
  | 'bad request'
  /** no key or an old one (the server was started again) */
  | 'no key'
  /** another host, origin or page asks, or the header of our own is missing */
  | 'not from here'
  | 'not there'
  /** a link that leads out of the folder */
  | 'outside the folder'
  | 'not an ordinary file'
  | 'not text'
  | 'read-only'
  | 'not permitted'
  | 'no space'
  | 'too large'
  /** of a body: only JSON is read */
  | 'content type'
  | 'no such method'
  /** the file is not what the change was made from; nothing was written */
  | 'changed on disk'
  /** another program saves the same file and does not come to an end */
  | 'busy'
  /** the place of the test records cannot be used (now): nothing was kept */
  | 'records'
  /** a fault of the program */
  | 'fault';

export interface ProblemAnswer {
  readonly code: ProblemCode;
  /** a sentence for the user, with the file, the place in it and what is allowed */
  readonly problem: string;
}

export interface CartEntry {
  readonly name: string;
  readonly modified: string;
  readonly bytes: number;
}

export interface FolderAnswer {
  /** the last two parts of its path, with '/' */
  readonly folder: string;
  /** tells it from every other folder: the start of the SHA-256 of its whole path, in hex */
  readonly id: string;
  readonly carts: readonly CartEntry[];
  /** plain names of YAML files that hold requirement sets */
  readonly requirementFiles: readonly string[];
  /** plain names; those below the folder are found through the carts that name them */
  readonly partsLists: readonly string[];
  readonly examples: readonly ExampleEntry[];
  readonly drafts: readonly DraftEntry[];
  /** cart files and drafts that are there and cannot be opened, and why */
  readonly unusable: readonly { readonly name: string; readonly problem: string }[];
  /** the cart file named on the command line */
  readonly opened: string | null;
  /** of the package */
  readonly version: string;
}

export interface ExampleEntry {
  readonly name: string;
  /** what the cart is called */
  readonly title: string | null;
}

export interface DraftEntry {
  readonly name: string;
  readonly saved: string;
}

export interface Draft {
  readonly text: string;
  /** version of the cart file that the text was made from; null: there was none */
  readonly base: string | null;
  readonly saved: string;
}

/** The parts list that a text names, as it is on disk. */
export interface NamedPartsList {
  readonly name: string;
  /** null: it cannot be had, and `problem` says why */
  readonly base64: string | null;
  readonly version: string | null;
  readonly problem: string | null;
}

export interface CartAnswer {
  readonly name: string;
  /** null: only a draft is there; then `version` and `modified` are null too */
  readonly text: string | null;
  readonly version: string | null;
  readonly modified: string | null;
  /** named by `text`, or by the draft where there is no text; null: none is named */
  readonly partsList: NamedPartsList | null;
  readonly draft: Draft | null;
  /** why a draft that is there cannot be read */
  readonly draftProblem: string | null;
}

export interface SaveCart {
  readonly name: string;
  readonly text: string;
  /** version that the text was made from; null: there must be no such file yet */
  readonly base: string | null;
}

export interface SavedAnswer {
  readonly version: string;
}

export interface CartChangedAnswer extends ProblemAnswer {
  readonly code: 'changed on disk';
  /** what is on disk; null: nothing is, or no text in UTF-8 */
  readonly text: string | null;
  /** null: there is no such file (any more) */
  readonly version: string | null;
}

export interface PartsListAnswer {
  readonly name: string;
  readonly base64: string;
  readonly version: string;
}

export interface SavePartsList {
  readonly name: string;
  readonly base64: string;
  readonly base: string | null;
}

export interface PartsListChangedAnswer extends ProblemAnswer {
  readonly code: 'changed on disk';
  readonly base64: string | null;
  readonly version: string | null;
}

export interface TextAnswer {
  readonly name: string;
  readonly text: string;
  readonly version: string;
}

export interface SaveDraft {
  readonly name: string;
  readonly text: string;
  readonly base: string | null;
}

export interface DraftSavedAnswer {
  readonly saved: string;
}

export interface DraftDeletedAnswer {
  readonly deleted: boolean;
}

export interface VersionsAnswer {
  /** of the cart file; null: there is none */
  readonly version: string | null;
  /** of the parts list asked about; null: there is none, or none was asked about */
  readonly partsList: string | null;
}

export interface ExampleAnswer {
  readonly name: string;
  readonly text: string;
  readonly partsList: NamedPartsList | null;
}

/*
 * Test records, below /api/records. The place is a file of the folder (made with the first entry), or what
 * the command line names.
 *
 *   GET    /records                              -> RecordsAnswer
 *   GET    /records/entries?project=&after=      -> EntriesAnswer
 *   POST   /records/entries      SubmitEntries   -> SubmittedAnswer (200 also when some were not kept)
 *   PUT    /records/file?hash=   the bytes, content-type their media -> FileKeptAnswer
 *   GET    /records/file?hash=                   -> the bytes (as an attachment that is never run)
 *   GET    /records/archive?project=             -> an archive to download
 *   GET    /records/verify?project=              -> RecordVerification
 */

export interface RecordsAnswer {
  /** without a password */
  readonly place: string;
  readonly projects: readonly ProjectSummary[];
}

export interface EntriesAnswer {
  readonly entries: readonly KeptEntry[];
}

export interface SubmitEntries {
  readonly entries: readonly NewEntry[];
}

export interface SubmittedAnswer {
  /** one an entry, in order */
  readonly outcomes: readonly SubmitOutcome[];
}

export interface FileKeptAnswer {
  readonly hash: string;
}
