/** What the page knows of a test day, and what may be done. */

import type {
  Attachment,
  EntryBody,
  EntryProblem,
  ProjectState,
  Subject,
} from '../../../test-record/index.js';
import type { PendingEntry } from './local-shelf.js';
import type { ProjectSummary, Verification } from './records-api.js';

export const SECTIONS = ['Plan', 'Sample', 'Instruments', 'Runs', 'Results', 'History'] as const;
export type Section = (typeof SECTIONS)[number];

export interface TestDayState {
  /** where records are kept, in words; null: not known yet */
  readonly place: string | null;
  readonly projects: readonly ProjectSummary[];
  /** why the records cannot be had now; null: nothing known against them */
  readonly problem: string | null;
  /** the program answers; what is written meanwhile waits in this browser */
  readonly link: 'not asked yet' | 'answers' | 'away';
  /** the browser cannot keep what waits: it would be lost with the page */
  readonly atRisk: boolean;
  /** who writes; '' until it was said */
  readonly who: string;
  /** id of the project that is open */
  readonly project: string | null;
  /** as the store has it, as far as known; null: nothing of it yet */
  readonly kept: ProjectState | null;
  /** with what waits to be sent on top: what is shown */
  readonly state: ProjectState | null;
  /** of all projects, in the order written */
  readonly pending: readonly PendingEntry[];
  readonly section: Section;
  /** subject of the plan shown; null: the newest */
  readonly plan: Subject | null;
  /** id of the run shown, in that plan */
  readonly run: string | null;
}

export interface WriteWishes {
  /** the record that it goes on with; none: it begins one */
  readonly subject?: Subject;
  /** newest entry that the form was made from; default: the newest known */
  readonly base?: string;
  readonly why?: string;
}

export interface TestDayActions {
  /** reads the list of projects, takes up what waits from an earlier page, and sends it */
  readonly begin: () => Promise<void>;
  readonly lookAgain: () => Promise<void>;
  readonly open: (project: string | null) => Promise<void>;
  readonly newProject: (name: string, customer: string, notes: string) => Promise<string | null>;
  /**
   * Writes an entry: kept in the browser at once, sent as soon as the program answers.
   * @returns the record's subject; null: nobody said who writes, or there is no project, and said so
   */
  readonly write: (body: EntryBody, wishes?: WriteWishes) => Promise<Subject | null>;
  /** What the store would have against it: for the fields of a form, before it is written. */
  readonly check: (body: EntryBody, wishes?: WriteWishes) => readonly EntryProblem[];
  /** Keeps a file with its content hash; it is sent before the entry that names it. */
  readonly attach: (file: Blob, name: string) => Promise<Attachment | null>;
  /** an address to show or save it by; null: not to be had now */
  readonly fileUrl: (attachment: Pick<Attachment, 'hash' | 'media'>) => Promise<string | null>;
  readonly fileText: (hash: string) => Promise<string | null>;
  /** null: not to be had now */
  readonly fileBytes: (hash: string) => Promise<Uint8Array | null>;
  /**
   * A conflict decided: 'mine' is written after what others wrote (with why), 'theirs' stands and mine is
   * kept as a note beside it, so that nothing is lost.
   */
  readonly settle: (entry: string, which: 'mine' | 'theirs', why: string) => Promise<void>;
  /** An entry that the store refused, taken back to be written again: its content. */
  readonly takeBack: (entry: string) => Promise<EntryBody | null>;
  readonly verify: () => Promise<Verification | null>;
  readonly archiveAddress: () => string | null;
  readonly setWho: (who: string) => void;
  readonly show: (section: Section) => void;
  readonly choosePlan: (plan: Subject | null) => void;
  readonly chooseRun: (run: string | null) => void;
  /** Half-filled forms, kept at once in the browser: key such as 'run PLAN RUN'. */
  readonly draft: <T>(key: string) => T | null;
  readonly keepDraft: (key: string, value: unknown) => void;
  readonly dropDraft: (key: string) => void;
}

export type TestDay = TestDayState & TestDayActions;
