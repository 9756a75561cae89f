/** The page's side of the workers: the newest question wins, and an old answer is told from a new one. */

import type { Remote } from 'comlink';
import { proxy, wrap } from 'comlink';
import type { CheckReport, Finding, HoldingRose, RoseOptions } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import type { RemediesReport, RemedyOptions } from '../../remedies/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import type { ToleranceOptions, ToleranceResult } from '../../tolerances/index.js';
import type {
  LiveAnswer,
  PoseQuestion,
  ProofStage,
  ProofWorker,
  ScreeningWorker,
  TaskWorker,
} from './messages.js';
import type { Progress, Task } from './task.js';
import { startTask } from './task.js';

export interface ProofNews {
  readonly ticket: number;
  readonly stage: ProofStage;
  readonly finding: Finding;
}

export interface ProofEnd {
  readonly ticket: number;
  readonly stage: ProofStage;
  readonly report: CheckReport;
}

export interface EngineListener {
  readonly live: (answer: LiveAnswer) => void;
  readonly proof: (news: ProofNews) => void;
  readonly proofEnd: (end: ProofEnd) => void;
  /** a fault of the program: what was asked cannot be answered */
  readonly fault: (message: string) => void;
}

export interface Engine {
  readonly listen: (listener: EngineListener) => void;
  /** Judges the cart; while `dragging` the closest proof waits. */
  readonly ask: (question: PoseQuestion, dragging: boolean) => void;
  /** Judges another pose of the same cart: the proof goes on. */
  readonly askPose: (question: PoseQuestion) => void;
  /** Holding by direction in the pose of the question; null: no pose, or nothing to push on. */
  readonly rose: (
    question: PoseQuestion,
    finding: string,
    castors: RoseOptions['castors'],
  ) => Promise<HoldingRose | null>;
  readonly remedies: (
    cart: Cart,
    set: RequirementSet,
    options: Omit<RemedyOptions, 'onProgress'>,
    progress: Progress,
  ) => Task<RemediesReport>;
  readonly tolerances: (
    cart: Cart,
    set: RequirementSet,
    options: Omit<ToleranceOptions, 'onProgress'>,
    progress: Progress,
  ) => Task<ToleranceResult>;
  readonly check: (cart: Cart, set: RequirementSet) => Task<CheckReport>;
}

/** Tells the browser's own timeline how long an answer took, for whoever measures (npm run bench). */
function measured(name: string, start: number): void {
  // only the last of each is kept: nobody may be looking
  performance.clearMeasures(name);
  performance.measure(name, { start, end: performance.now() });
}

/** ms between two proofs of a drag: what draws and what searches need the processor more. */
const BREATH = 150;
/** ms without a change before the closest proof and the whole search are begun. */
const SETTLED = 400;

export function createEngine(): Engine {
  const screener = new Worker(new URL('./screening-worker.ts', import.meta.url), {
    type: 'module',
  });
  const prover = new Worker(new URL('./proof-worker.ts', import.meta.url), { type: 'module' });
  const screening = wrap<ScreeningWorker>(screener);
  const proving = wrap<ProofWorker>(prover);
  // Shared memory lets a proof be stopped while it runs; without it a proof runs to its end.
  const shared =
    typeof SharedArrayBuffer === 'function'
      ? new Int32Array(new SharedArrayBuffer(4))
      : new Int32Array(1);
  let listener: EngineListener | null = null;
  const fault = (error: unknown): void =>
    listener?.fault(error instanceof Error ? error.message : String(error));
  // outside a question: it could not start, or has come to its end
  for (const worker of [screener, prover]) {
    worker.onerror = ({ message }) =>
      fault(message || 'a worker of the page does not run; load the page again');
  }

  const asked = new WeakMap<PoseQuestion, number>();
  let nextScreen: PoseQuestion | null = null;
  /** asked once more, for the whole search */
  let resting: PoseQuestion | null = null;
  let restTimer: ReturnType<typeof setTimeout> | undefined;
  let screens = false;
  async function screenOn(): Promise<void> {
    if (screens) return;
    screens = true;
    for (let question = nextScreen; question !== null; question = nextScreen) {
      nextScreen = null;
      try {
        const answer = await screening.screen(question, question === resting);
        listener?.live(answer);
        if (question !== resting)
          measured('standstill: found', asked.get(question) ?? performance.now());
      } catch (error) {
        // what was asked meanwhile is answered all the same
        fault(error);
      }
    }
    screens = false;
  }

  function screenAtRest(question: PoseQuestion): void {
    clearTimeout(restTimer);
    restTimer = setTimeout(() => {
      resting = question;
      nextScreen = question;
      void screenOn();
    }, SETTLED);
  }

  let nextProof: PoseQuestion | null = null;
  let proves: ProofStage | null = null;
  let latest: PoseQuestion | null = null;
  let settledTimer: ReturnType<typeof setTimeout> | undefined;
  let proofTimer: ReturnType<typeof setTimeout> | undefined;
  let quickEnded = Number.NEGATIVE_INFINITY;
  let drags = false;

  const tell = proxy((finding: Finding, ticket: number, stage: ProofStage): void => {
    listener?.proof({ finding, ticket, stage });
  });

  async function prove(question: PoseQuestion, stage: ProofStage): Promise<void> {
    proves = stage;
    Atomics.store(shared, 0, question.ticket);
    try {
      const { pose: _, ...cartAsked } = question;
      const end = await proving.prove(cartAsked, stage, shared, tell);
      if (end.kind === 'done') {
        listener?.proofEnd({ ticket: question.ticket, stage, report: end.report });
        measured(`standstill: ${stage} proof`, asked.get(question) ?? performance.now());
      }
    } catch (error) {
      fault(error);
    } finally {
      proves = null;
    }
    if (stage === 'quick') quickEnded = performance.now();
    const waiting = nextProof;
    nextProof = null;
    if (waiting !== null) proveSoon(waiting, drags);
  }

  /** The quick proof of a moment ago is let end while the next waits: begun again at every frame of a
   * drag, none would ever end. The closest proof gives way at once. */
  function proveSoon(question: PoseQuestion, dragging: boolean): void {
    clearTimeout(proofTimer);
    if (proves !== null) {
      nextProof = question;
      if (proves === 'full') Atomics.store(shared, 0, question.ticket);
      return;
    }
    const wait = dragging ? quickEnded + BREATH - performance.now() : 0;
    if (wait > 0) proofTimer = setTimeout(() => proveSoon(question, false), wait);
    else void prove(question, 'quick');
  }

  function proveClosely(): void {
    if (latest === null) return;
    if (proves !== null || nextProof !== null) {
      settledTimer = setTimeout(proveClosely, SETTLED);
      return;
    }
    void prove(latest, 'full');
  }

  function task<T>(start: (worker: Remote<TaskWorker>) => Promise<unknown>): Task<T> {
    const worker = new Worker(new URL('./task-worker.ts', import.meta.url), { type: 'module' });
    return startTask<TaskWorker, T>(worker, start);
  }

  return {
    listen(to) {
      listener = to;
    },
    ask(question, dragging) {
      asked.set(question, performance.now());
      latest = question;
      nextScreen = question;
      drags = dragging;
      void screenOn();
      proveSoon(question, dragging);
      clearTimeout(settledTimer);
      clearTimeout(restTimer);
      if (dragging) return;
      settledTimer = setTimeout(proveClosely, SETTLED);
      screenAtRest(question);
    },
    askPose(question) {
      asked.set(question, performance.now());
      nextScreen = question;
      void screenOn();
      if (question.edits.length === 0) screenAtRest(question);
    },
    rose: (question, finding, castors) => screening.rose(question, finding, castors),
    remedies: (cart, set, options, progress) =>
      task((worker) => worker.remedies(cart, set, options, proxy(progress))),
    tolerances: (cart, set, options, progress) =>
      task((worker) => worker.tolerances(cart, set, options, proxy(progress))),
    check: (cart, set) => task((worker) => worker.check(cart, set)),
  };
}
