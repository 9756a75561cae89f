/** What an entry can say. */

import type { CartEdit } from '../document/index.js';
import type { InstrumentKind, TestPlan } from '../test-plan/index.js';

/** A quantity as it was typed: '12.4 kg', '1/2 in', '5 deg'. */
export type Typed = string;
/** id of the first entry of a record */
export type Subject = string;

/** A file kept by its content. */
export interface Attachment {
  /** SHA-256 in lower-case hex */
  readonly hash: string;
  readonly name: string;
  /** 'image/jpeg', 'text/csv' */
  readonly media: string;
  readonly bytes: number;
}

export interface ProjectBody {
  readonly kind: 'project';
  readonly name: string;
  readonly customer: string;
  readonly notes: string;
}

/** A revision of the cart: its file as it was. */
export interface CartBody {
  readonly kind: 'cart';
  /** 'A', 'B', '2' */
  readonly revision: string;
  /** name of the cart file */
  readonly file: string;
  readonly text: string;
  /** parts lists that the file names */
  readonly partsLists: readonly Attachment[];
  /** the revision it was made from; null: the first */
  readonly follows: Subject | null;
  /** records that led to it: failed runs, diagnoses */
  readonly because: readonly Subject[];
  /** what is different, in words; '' for the first */
  readonly change: string;
  /** the changes, where they were made by the program */
  readonly edits: readonly CartEdit[];
}

export interface PlanBody {
  readonly kind: 'plan';
  readonly name: string;
  readonly cart: Subject;
  readonly plan: TestPlan;
  /** version of the program that made it */
  readonly program: string;
}

export interface InstrumentBody {
  readonly kind: 'instrument';
  readonly instrument: InstrumentKind;
  readonly name: string;
  readonly serial: string;
  /** number of the calibration certificate; '': none */
  readonly certificate: string;
  readonly calibrated: string | null;
  /** date after which it may not be used; null: it has none (a tape that is checked) */
  readonly due: string | null;
  /** expanded, by its certificate; null: not stated */
  readonly uncertainty: Typed | null;
  /** of that uncertainty */
  readonly coverage: number;
  readonly resolution: Typed | null;
  readonly from: Typed | null;
  readonly to: Typed | null;
  readonly notes: string;
}

export interface SampleBody {
  readonly kind: 'sample';
  readonly name: string;
  readonly serial: string;
  /** the revision of the cart that it is built to */
  readonly cart: Subject;
  readonly condition: string;
  readonly received: string | null;
  readonly photos: readonly Attachment[];
  readonly notes: string;
}

/** Who did it when, in which conditions, with what. */
export interface Conditions {
  /** when it was done */
  readonly taken: string;
  readonly operator: string;
  readonly temperature: Typed | null;
  readonly photos: readonly Attachment[];
  readonly notes: string;
}

/** An instrument that was used. */
export interface Used {
  readonly instrument: Subject;
  /** why it was used although its calibration had expired; null: it had not */
  readonly despite: string | null;
}

export interface ShownByScale {
  readonly castor: string;
  /** mass shown */
  readonly shown: Typed;
}

export interface WeighingBody extends Conditions {
  readonly kind: 'weighing';
  readonly sample: Subject;
  /** the state it was weighed in: position, m or rad by mover, kg by load, rad by castor (from stem to
   * contact, of those that swivel), as typed */
  readonly position: string;
  readonly movers: Readonly<Record<string, Typed>>;
  readonly loads: Readonly<Record<string, Typed>>;
  readonly swivels: Readonly<Record<string, Typed>>;
  /** one scale moved about, or one a castor */
  readonly scales: readonly (Used & { readonly castors: readonly string[] })[];
  /** standard uncertainty of where a castor stands on its scale, each coordinate */
  readonly contactUncertainty: Typed;
  readonly repeats: readonly (readonly ShownByScale[])[];
  readonly tilt: {
    readonly inclinometer: Used;
    readonly lifted: readonly string[];
    readonly axisHeight: Typed;
    readonly axisHeightUncertainty: Typed;
    readonly tilts: readonly {
      readonly angle: Typed;
      readonly way: 'up' | 'down';
      readonly lower: readonly ShownByScale[];
    }[];
  } | null;
}

export interface FrictionBody extends Conditions {
  readonly kind: 'friction';
  readonly sample: Subject;
  readonly tread: string;
  readonly floor: string;
  readonly instruments: readonly Used[];
  readonly readings: readonly (
    | { readonly kind: 'slip angle'; readonly angle: Typed }
    | { readonly kind: 'pull'; readonly force: Typed; readonly mass: Typed }
  )[];
}

/** Movement of the point watched, split as the clause counts it. */
export interface Movement {
  readonly elastic: Typed | null;
  readonly creepage: Typed | null;
  readonly pivoting: Typed | null;
  /** what remains: the movement that counts */
  readonly further: Typed | null;
}

/** What was read from a force gauge's file. */
export interface TraceTaken {
  readonly file: Attachment;
  /** as the program found them, N and s in SI; null: not found */
  readonly peak: { readonly time: number; readonly force: number };
  readonly hold: number | null;
  readonly onset: {
    readonly time: number;
    readonly force: number;
    /** standard uncertainty, N */
    readonly u: number;
    /** standard uncertainty, s */
    readonly timeU: number;
  } | null;
  /** the onset that counts where the user does not agree with the one found; null: agreed */
  readonly overruled: {
    readonly time: number;
    readonly force: number;
    readonly u: number;
    readonly reason: string;
  } | null;
}

export interface RunReading {
  /** the way it was loaded where not as the run says; null: as the run says */
  readonly direction: Typed | null;
  /** the highest load it stood, or the load at which it gave way */
  readonly load: Typed | null;
  readonly result: 'held' | 'gave way' | null;
  /** how it gave way; null: it did not */
  readonly mode: 'tips' | 'slides' | 'pivots' | 'rolls' | 'other' | null;
  readonly movement: Movement | null;
  readonly forceToMove: Typed | null;
  readonly castorLoad: Typed | null;
  /** of criteria that are done or not */
  readonly done: boolean | null;
  readonly trace: TraceTaken | null;
  readonly note: string;
}

/** One run of a plan, done on a sample. */
export interface RunBody extends Conditions {
  readonly kind: 'run';
  readonly plan: Subject;
  /** id of the run in the plan */
  readonly run: string;
  readonly sample: Subject;
  readonly instruments: readonly Used[];
  readonly readings: readonly RunReading[];
  /** what was done otherwise than planned; '': nothing */
  readonly deviations: string;
  /** the failed run that this one repeats after a change; null: none */
  readonly retestOf: Subject | null;
}

/** Why a run failed and what was decided about it. */
export interface DiagnosisBody {
  readonly kind: 'diagnosis';
  readonly run: Subject;
  /** which mechanism, in words */
  readonly mechanism: string;
  /** the remedies shown, in words */
  readonly proposed: readonly string[];
  /** what was chosen; '': nothing yet */
  readonly chosen: string;
  readonly edits: readonly CartEdit[];
}

/** The record was looked at and is closed: from here on only corrections, each with its reason. */
export interface ReviewBody {
  readonly kind: 'review';
  readonly statement: string;
}

/** The record does not count any more; it stays. */
export interface WithdrawalBody {
  readonly kind: 'withdrawal';
}

export interface NoteBody {
  readonly kind: 'note';
  /** null: the project */
  readonly about: Subject | null;
  readonly text: string;
  /** photos, and other files: the certificate of an instrument */
  readonly photos: readonly Attachment[];
}

/** What begins a record, and replaces its content later. */
export type ContentBody =
  | ProjectBody
  | CartBody
  | PlanBody
  | InstrumentBody
  | SampleBody
  | WeighingBody
  | FrictionBody
  | RunBody
  | DiagnosisBody
  | NoteBody;
export type RecordKind = ContentBody['kind'];
export type EntryBody = ContentBody | ReviewBody | WithdrawalBody;
export type ContentOf<K extends RecordKind> = Extract<ContentBody, { readonly kind: K }>;
