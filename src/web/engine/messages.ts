/** What passes between the page and its workers. */

import type {
  CheckReport,
  Finding,
  HoldingRose,
  Pose,
  RoseOptions,
  ScreenedFinding,
} from '../../analysis/index.js';
import type { Cart, CartEdit } from '../../document/index.js';
import type { RemediesReport, RemedyOptions } from '../../remedies/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import type { ToleranceOptions, ToleranceResult } from '../../tolerances/index.js';

/** A cart to judge: what is on the sheet, with the changes of a drag on top. */
export interface Question {
  /** counts up; an answer carries the number of its question */
  readonly ticket: number;
  readonly cart: Cart;
  readonly edits: readonly CartEdit[];
  readonly set: RequirementSet;
}

export interface PoseQuestion extends Question {
  /** null: the findings over all configurations only */
  readonly pose: Pose | null;
}

/** The findings as found, not proven. */
export interface LiveAnswer {
  readonly ticket: number;
  /** at the friction of the check: measured friction at the low end of its tolerance, assumed friction
   * as stated */
  readonly findings: readonly ScreenedFinding[];
  /** of the pose shown alone; null: none was asked */
  readonly atPose: readonly ScreenedFinding[] | null;
  /** ms that it took */
  readonly took: number;
}

export interface ScreeningWorker {
  /** @param atRest nothing changes for the moment: the whole search, not one that keeps up */
  readonly screen: (question: PoseQuestion, atRest: boolean) => LiveAnswer;
  /** holding by direction in the pose; null: no pose, or nothing to push on */
  readonly rose: (
    question: PoseQuestion,
    finding: string,
    castors: RoseOptions['castors'],
  ) => HoldingRose | null;
}

export type ProofStage = 'quick' | 'full';

export interface ProofWorker {
  /** Checks the cart, telling each finding as it is decided. `shared[0]` another ticket: it stops. */
  readonly prove: (
    question: Question,
    stage: ProofStage,
    shared: Int32Array,
    tell: (finding: Finding, ticket: number, stage: ProofStage) => void,
  ) => { readonly kind: 'done'; readonly report: CheckReport } | { readonly kind: 'stopped' };
}

export interface TaskWorker {
  readonly remedies: (
    cart: Cart,
    set: RequirementSet,
    options: Omit<RemedyOptions, 'onProgress'>,
    progress: (done: number, total: number, what: string) => void,
  ) => RemediesReport;
  readonly tolerances: (
    cart: Cart,
    set: RequirementSet,
    options: Omit<ToleranceOptions, 'onProgress'>,
    progress: (done: number, total: number, what: string) => void,
  ) => ToleranceResult;
  /** the full check, for a variant to compare with */
  readonly check: (cart: Cart, set: RequirementSet) => CheckReport;
}
