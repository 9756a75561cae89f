/** What the page knows, and what may be done to it. */

import type { CheckReport, Finding, HoldingRose, Pose, RoseOptions } from '../../analysis/index.js';
import type { Cart, CartEdit, FieldChange } from '../../document/index.js';
import type { RemediesReport } from '../../remedies/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import type { ToleranceResult } from '../../tolerances/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { LiveAnswer, ProofStage } from '../engine/messages.js';
import type { Draft, Folder, StoredPartsList } from './api.js';
import type { PartsListFile, Reading } from './reading.js';

/** What undo goes back over. */
export interface Sheet {
  readonly text: string;
  /** by the name that the cart file gives */
  readonly partsLists: ReadonlyMap<string, PartsListFile>;
  /** what made it so, in words: 'mass of battery' */
  readonly made: string;
}

export interface OpenFile {
  /** null: no name given yet */
  readonly name: string;
  /** of the file on disk that the sheet was made from or last saved to; null: not on disk */
  readonly version: string | null;
  /** what stands on disk, as far as known; null: nothing */
  readonly savedText: string | null;
  /** the parts list that this text names, as it stands on disk; null: it names none */
  readonly savedList: StoredPartsList | null;
  /** the text that it was opened with: of a cart never saved, only what differs from it is work */
  readonly openedAs: string;
}

export type Screen = 'start' | 'sheet' | 'compare' | 'test day';
export type SheetView = 'scene' | 'plan' | 'rose';
/** Part of the sheet that a narrow screen shows. */
export type SheetPane = 'Describe' | 'See' | 'Findings';
/** What the user asked for that wants an answer. */
export type Asking = 'save as' | 'keep variant' | 'close' | 'help';
export type Theme = 'light' | 'dark' | 'as the system';

/** What is known of a finding by a proof of the cart as it is now. */
export interface ProvenFinding {
  readonly finding: Finding;
  readonly stage: ProofStage;
}

export interface Notice {
  readonly id: number;
  readonly kind: 'said' | 'problem';
  readonly words: string;
}

/** A cart kept to compare with. */
export interface Variant {
  readonly id: number;
  readonly name: string;
  readonly text: string;
  readonly partsLists: ReadonlyMap<string, PartsListFile>;
  readonly cart: Cart;
  readonly set: RequirementSet;
  /** null: not ready */
  readonly report: CheckReport | null;
  /** null: none */
  readonly problem: string | null;
}

/** All that an answer depends on. */
export interface MadeOf extends Pick<Sheet, 'text' | 'partsLists'> {
  readonly set: RequirementSet;
}

export type TaskState<T> =
  | { readonly kind: 'idle' }
  | {
      readonly kind: 'running';
      readonly done: number;
      readonly total: number;
      readonly what: string;
    }
  | { readonly kind: 'problem'; readonly words: string }
  /** the answer is stale when the sheet is no longer what it was made of */
  | { readonly kind: 'done'; readonly result: T; readonly of: MadeOf };

export interface Recovery {
  readonly name: string;
  readonly draft: Draft;
  /** the file on disk is no longer the one that the draft was made from */
  readonly fileChanged: boolean;
}

/** Somebody else wrote the file since it was opened. */
export interface Conflict {
  /** null: the file is gone */
  readonly text: string | null;
  readonly version: string | null;
}

export interface WorkbenchState extends Sheet {
  readonly screen: Screen;
  readonly folder: Folder | null;
  /** why the folder cannot be shown; null: nothing known against it */
  readonly folderProblem: string | null;
  readonly file: OpenFile | null;
  readonly recovery: Recovery | null;
  readonly conflict: Conflict | null;
  readonly saving: boolean;
  /** unsaved work that neither the browser nor the program could keep */
  readonly atRisk: boolean;
  /** another tab has the cart open too, and keeps its own work as the draft */
  readonly elsewhere: boolean;
  readonly reading: Reading;
  /** the last cart that could be read, so that the drawings stay; `reading.cart` where that is one */
  readonly cart: Cart | null;
  /** requirement sets to choose from, and the one asked */
  readonly sets: readonly RequirementSet[];
  readonly set: RequirementSet;
  /** the cart names no set that is known: nothing is judged, and `set` is not what it asks for */
  readonly setProblem: string | null;
  /** changes of a drag that is not over, on top of the cart */
  readonly preview: readonly CartEdit[];
  /** `cart` with `preview` */
  readonly shown: Cart | null;
  readonly pose: Pose | null;
  /** counts up with every change of what is judged */
  readonly ticket: number;
  readonly live: LiveAnswer | null;
  readonly proven: ReadonlyMap<string, ProvenFinding>;
  /** ticket and stage up to which all is proven; null: nothing yet of this cart */
  readonly provenUpTo: ProofStage | null;
  readonly finding: string | null;
  readonly view: SheetView;
  readonly pane: SheetPane;
  /** section of the description that is open */
  readonly section: string;
  readonly units: UnitSystem;
  readonly theme: Theme;
  readonly notices: readonly Notice[];
  readonly variants: readonly Variant[];
  readonly remedies: TaskState<RemediesReport>;
  readonly tolerances: TaskState<ToleranceResult>;
  /** step of the guide; null: it is not open */
  readonly guide: number | null;
  /** step at which the guide was last left; null: it was never opened */
  readonly guideLeft: number | null;
  /** a dialog that is open; null: none but those about files */
  readonly asking: Asking | null;
}

export interface WorkbenchActions {
  readonly begin: () => Promise<void>;
  /** reads the list of the folder again */
  readonly lookAtFolder: () => Promise<void>;
  readonly openCart: (name: string) => Promise<void>;
  readonly openExample: (name: string) => Promise<void>;
  readonly newCart: () => Promise<void>;
  /** a file from elsewhere, as a cart of this folder that is not saved yet */
  readonly openText: (
    name: string,
    text: string,
    partsList: { readonly name: string; readonly bytes: Uint8Array } | null,
  ) => Promise<void>;
  readonly takeDraft: () => Promise<void>;
  readonly dropDraft: () => Promise<void>;
  /** throws away what was kept of a cart that is not open */
  readonly dropDraftOf: (name: string) => Promise<void>;
  /** writes unsaved work to its draft now: the page may be about to go */
  readonly keepWork: () => Promise<void>;
  readonly close: () => void;
  readonly save: () => Promise<void>;
  /** false: not saved, and said why (the name is taken) */
  readonly saveAs: (name: string) => Promise<boolean>;
  /** after a conflict: 'mine' writes over what is there now, 'theirs' takes it in (undo goes back),
   * 'later' waits for the next save or change of the file */
  readonly settle: (which: 'mine' | 'theirs' | 'later') => Promise<void>;
  /** looks whether the file on disk is another */
  readonly lookAtDisk: () => Promise<void>;
  /** Changes the text; false: refused, and said so. Ends a preview. */
  readonly change: (words: string, changes: readonly FieldChange[]) => boolean;
  /** Changes the text by edits of the cart; false: refused, and said so. Ends a preview. */
  readonly edit: (words: string, edits: readonly CartEdit[]) => boolean;
  /** replaces the whole text, such as one typed by hand */
  readonly replaceText: (words: string, text: string) => void;
  /** puts a parts list beside the cart (kept with it, written on save) and names it in the file */
  readonly attachPartsList: (name: string, bytes: Uint8Array) => Promise<boolean>;
  readonly drag: (edits: readonly CartEdit[]) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly setPose: (pose: Pose) => void;
  readonly showWorst: (finding: string) => void;
  /** Holding by direction of the cart shown in the pose shown; null: there is none. */
  readonly rose: (finding: string, castors: RoseOptions['castors']) => Promise<HoldingRose | null>;
  readonly choose: (finding: string | null) => void;
  readonly show: (view: SheetView) => void;
  readonly showPane: (pane: SheetPane) => void;
  readonly goTo: (screen: Screen) => void;
  readonly openSection: (section: string) => void;
  readonly setUnits: (units: UnitSystem) => void;
  readonly setTheme: (theme: Theme) => void;
  readonly say: (words: string, kind?: Notice['kind']) => void;
  readonly dismiss: (id: number) => void;
  readonly keepVariant: (name: string) => void;
  readonly dropVariant: (id: number) => void;
  /** another cart of the folder, or an example, as a variant against the set of the sheet; null: it
   * cannot be read, and said so */
  readonly loadVariant: (from: 'folder' | 'examples', name: string) => Promise<number | null>;
  /** checks a variant again, against the set of the sheet */
  readonly judgeVariant: (id: number) => void;
  /** puts a variant on the sheet, as one step of undo */
  readonly takeVariant: (id: number) => void;
  readonly findRemedies: (margin: number, pairs: boolean) => Promise<void>;
  readonly assessTolerances: (precision: number, seed: number) => Promise<void>;
  readonly stopTask: (which: 'remedies' | 'tolerances') => void;
  readonly setGuide: (step: number | null) => void;
  readonly ask: (what: Asking | null) => void;
}

export type Workbench = WorkbenchState & WorkbenchActions;
