/** A run as it is being recorded: what the form holds, and the body that it makes. */

import type { TestPlan, TestRun } from '../../../test-plan/index.js';
import type {
  Attachment,
  InstrumentBody,
  Movement,
  RecordState,
  RunBody,
  RunReading,
  Subject,
  TraceTaken,
  Typed,
  Used,
} from '../../../test-record/index.js';

/** Texts as typed; '' is nothing. */
export interface ReadingDraft {
  readonly direction: string;
  readonly load: string;
  readonly result: 'held' | 'gave way' | '';
  readonly mode: NonNullable<RunReading['mode']> | '';
  readonly elastic: string;
  readonly creepage: string;
  readonly pivoting: string;
  readonly further: string;
  readonly forceToMove: string;
  readonly castorLoad: string;
  readonly done: 'yes' | 'no' | '';
  readonly trace: TraceTaken | null;
  readonly note: string;
}

export interface RunDraft {
  readonly sample: Subject | '';
  /** local date and time as the field has it: '2026-11-25T09:30' */
  readonly taken: string;
  readonly operator: string;
  readonly temperature: string;
  readonly instruments: readonly Used[];
  readonly readings: readonly ReadingDraft[];
  readonly photos: readonly Attachment[];
  readonly notes: string;
  readonly deviations: string;
  readonly retestOf: Subject | '';
  /** where an earlier record is corrected: the entry that the form was made from */
  readonly base: string | null;
  readonly why: string;
}

export const NO_READING: ReadingDraft = {
  direction: '',
  load: '',
  result: '',
  mode: '',
  elastic: '',
  creepage: '',
  pivoting: '',
  further: '',
  forceToMove: '',
  castorLoad: '',
  done: '',
  trace: null,
  note: '',
};

/** What a reading of the run has to say. */
export interface Asked {
  readonly load: boolean;
  readonly movement: boolean;
  readonly forceToMove: boolean;
  readonly castorLoad: boolean;
  readonly done: boolean;
  /** a force gauge's file tells something */
  readonly trace: boolean;
}

export function askedOf(run: TestRun): Asked {
  const asks = (measure: TestRun['criteria'][number]['measure']): boolean =>
    run.criteria.some((each) => each.measure === measure);
  const { kind } = run.loading;
  return {
    load: asks('load held'),
    movement: asks('further movement'),
    forceToMove: asks('force to move'),
    castorLoad: asks('castor load'),
    done: asks('outcome'),
    trace: kind === 'push' || kind === 'press' || kind === 'propulsion' || kind === 'lifting',
  };
}

export interface Beginning {
  readonly run: TestRun;
  readonly sample: Subject | '';
  readonly operator: string;
  /** local, as the field has it */
  readonly now: string;
  readonly instruments: readonly Used[];
  readonly retestOf: Subject | '';
}

export function newDraft({
  run,
  sample,
  operator,
  now,
  instruments,
  retestOf,
}: Beginning): RunDraft {
  return {
    sample,
    taken: now,
    operator,
    temperature: '',
    instruments,
    readings: Array.from({ length: run.repeats }, () => NO_READING),
    photos: [],
    notes: '',
    deviations: '',
    retestOf,
    base: null,
    why: '',
  };
}

/** An earlier record, to be corrected. */
export function draftOf({ content, newest }: RecordState<RunBody>): RunDraft {
  return {
    sample: content.sample,
    taken: localMoment(content.taken),
    operator: content.operator,
    temperature: content.temperature ?? '',
    instruments: content.instruments,
    readings: content.readings.map(readingDraft),
    photos: content.photos,
    notes: content.notes,
    deviations: content.deviations,
    retestOf: content.retestOf ?? '',
    base: newest,
    why: '',
  };
}

function readingDraft(reading: RunReading): ReadingDraft {
  const { movement, done } = reading;
  return {
    direction: reading.direction ?? '',
    load: reading.load ?? '',
    result: reading.result ?? '',
    mode: reading.mode ?? '',
    elastic: movement?.elastic ?? '',
    creepage: movement?.creepage ?? '',
    pivoting: movement?.pivoting ?? '',
    further: movement?.further ?? '',
    forceToMove: reading.forceToMove ?? '',
    castorLoad: reading.castorLoad ?? '',
    done: done === null ? '' : done ? 'yes' : 'no',
    trace: reading.trace,
    note: reading.note,
  };
}

/** @param plan record of the plan that holds the run */
export function bodyOf(draft: RunDraft, plan: Subject, run: string): RunBody {
  return {
    kind: 'run',
    plan,
    run,
    sample: draft.sample,
    taken: momentOfLocal(draft.taken),
    operator: draft.operator.trim(),
    temperature: typed(draft.temperature),
    instruments: draft.instruments,
    readings: draft.readings.map(readingOf),
    photos: draft.photos,
    notes: draft.notes,
    deviations: draft.deviations,
    retestOf: draft.retestOf === '' ? null : draft.retestOf,
  };
}

function readingOf(draft: ReadingDraft): RunReading {
  return {
    direction: typed(draft.direction),
    load: typed(draft.load),
    result: draft.result === '' ? null : draft.result,
    // how it gave way is nothing to say of what held
    mode: draft.result === 'gave way' && draft.mode !== '' ? draft.mode : null,
    movement: movementOf(draft),
    forceToMove: typed(draft.forceToMove),
    castorLoad: typed(draft.castorLoad),
    done: draft.done === '' ? null : draft.done === 'yes',
    trace: draft.trace,
    note: draft.note,
  };
}

function movementOf({ elastic, creepage, pivoting, further }: ReadingDraft): Movement | null {
  const movement = {
    elastic: typed(elastic),
    creepage: typed(creepage),
    pivoting: typed(pivoting),
    further: typed(further),
  };
  return Object.values(movement).every((each) => each === null) ? null : movement;
}

function typed(text: string): Typed | null {
  return text.trim() === '' ? null : text.trim();
}

/** '2026-11-25T09:30' of this place. @param at ISO 8601 in UTC */
export function localMoment(at: string): string {
  const moment = new Date(at);
  const local = new Date(moment.getTime() - moment.getTimezoneOffset() * 60_000);
  return local.toISOString().slice(0, 16);
}

/** ISO 8601 in UTC; the text as it is where it is no moment, so that the check names it */
export function momentOfLocal(local: string): string {
  const moment = new Date(local);
  return Number.isNaN(moment.getTime()) ? local : moment.toISOString();
}

/** Instruments that a run needs and the project has: one of each kind, those in date first.
 * @param today ISO 8601 date */
export function suggestedInstruments(
  plan: TestPlan,
  run: string,
  instruments: readonly RecordState<InstrumentBody>[],
  today: string,
): readonly Used[] {
  const kinds = new Set(
    plan.equipment
      .filter(({ instrument, runs }) => instrument !== null && runs.includes(run))
      .map(({ instrument }) => instrument),
  );
  const usable = instruments.filter(({ withdrawn }) => !withdrawn);
  const inDate = ({ content: { due } }: RecordState<InstrumentBody>): boolean =>
    due === null || due >= today;
  return [...kinds].flatMap((kind) => {
    const ofKind = usable.filter(({ content }) => content.instrument === kind);
    const chosen = ofKind.find(inDate) ?? ofKind[0];
    return chosen === undefined ? [] : [{ instrument: chosen.subject, despite: null }];
  });
}
