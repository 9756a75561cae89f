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
import { loadDimension } from '../../../test-record/index.js';
import type { UnitSystem } from '../../../units/index.js';
import type { ForceUnit, LengthUnit, MassUnit } from '../form/typed-number.js';
import {
  FORCE_UNITS,
  LENGTH_UNITS,
  MASS_UNITS,
  unitOf,
  withoutUnit,
  withUnit,
} from '../form/typed-number.js';

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

/** Of bare numbers. */
export interface RunUnits {
  readonly force: ForceUnit;
  readonly length: LengthUnit;
  readonly mass: MassUnit;
}

export const ANGLE_UNIT = 'deg';

export interface RunDraft {
  readonly units: RunUnits;
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

export function isEmpty(reading: ReadingDraft): boolean {
  return Object.values(reading).every((each) => each === null || each === '');
}

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
  readonly units: RunUnits;
  readonly sample: Subject | '';
  readonly operator: string;
  /** local, as the field has it */
  readonly now: string;
  readonly instruments: readonly Used[];
  readonly retestOf: Subject | '';
}

export function newDraft({
  run,
  units,
  sample,
  operator,
  now,
  instruments,
  retestOf,
}: Beginning): RunDraft {
  return {
    units,
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
export function draftOf({ content, newest }: RecordState<RunBody>, run: TestRun): RunDraft {
  const units = unitsOf(content.readings);
  return {
    units,
    sample: content.sample,
    taken: localMoment(content.taken),
    operator: content.operator,
    temperature: content.temperature ?? '',
    instruments: content.instruments,
    readings: content.readings.map((reading) => readingDraft(reading, loadUnit(run, units), units)),
    photos: content.photos,
    notes: content.notes,
    deviations: content.deviations,
    retestOf: content.retestOf ?? '',
    base: newest,
    why: '',
  };
}

/** What a record was written in: it is corrected in the same. */
function unitsOf(readings: readonly RunReading[]): RunUnits {
  const all = (select: (reading: RunReading) => readonly (Typed | null)[]): readonly Typed[] =>
    readings.flatMap((reading) => select(reading).flatMap((each) => each ?? []));
  const forces = all(({ load, forceToMove }) => [load, forceToMove]);
  const lengths = all(({ movement }) => (movement === null ? [] : Object.values(movement)));
  const masses = all(({ castorLoad }) => [castorLoad]);
  return {
    force: unitOf(forces, FORCE_UNITS, 'force'),
    length: unitOf(lengths, LENGTH_UNITS, 'length'),
    mass: unitOf(masses, MASS_UNITS, 'mass'),
  };
}

/** What the page shows numbers in is what is likely read off. */
export function usualUnits(system: UnitSystem): RunUnits {
  return system === 'US'
    ? { force: 'lbf', length: 'in', mass: 'lb' }
    : { force: 'N', length: 'mm', mass: 'kg' };
}

/** Of a bare number that is the load of a run. */
export function loadUnit({ loading }: TestRun, units: RunUnits): string {
  return loadDimension(loading) === 'angle' ? ANGLE_UNIT : units.force;
}

function readingDraft(reading: RunReading, load: string, units: RunUnits): ReadingDraft {
  const { movement, done } = reading;
  const bare = (typed: Typed | null | undefined, unit: string): string =>
    withoutUnit(typed ?? '', unit);
  return {
    direction: bare(reading.direction, ANGLE_UNIT),
    load: bare(reading.load, load),
    result: reading.result ?? '',
    mode: reading.mode ?? '',
    elastic: bare(movement?.elastic, units.length),
    creepage: bare(movement?.creepage, units.length),
    pivoting: bare(movement?.pivoting, units.length),
    further: bare(movement?.further, units.length),
    forceToMove: bare(reading.forceToMove, units.force),
    castorLoad: bare(reading.castorLoad, units.mass),
    done: done === null ? '' : done ? 'yes' : 'no',
    trace: reading.trace,
    note: reading.note,
  };
}

/** @param plan record of the plan that holds the run */
export function bodyOf(draft: RunDraft, plan: Subject, run: TestRun): RunBody {
  const load = loadUnit(run, draft.units);
  return {
    kind: 'run',
    plan,
    run: run.id,
    sample: draft.sample,
    taken: momentOfLocal(draft.taken),
    operator: draft.operator.trim(),
    temperature: typed(draft.temperature),
    instruments: draft.instruments,
    readings: draft.readings.map((reading) => readingOf(reading, load, draft.units)),
    photos: draft.photos,
    notes: draft.notes,
    deviations: draft.deviations,
    retestOf: draft.retestOf === '' ? null : draft.retestOf,
  };
}

function readingOf(draft: ReadingDraft, load: string, units: RunUnits): RunReading {
  return {
    direction: quantity(draft.direction, ANGLE_UNIT),
    load: quantity(draft.load, load),
    result: draft.result === '' ? null : draft.result,
    // how it gave way is nothing to say of what held
    mode: draft.result === 'gave way' && draft.mode !== '' ? draft.mode : null,
    movement: movementOf(draft, units.length),
    forceToMove: quantity(draft.forceToMove, units.force),
    castorLoad: quantity(draft.castorLoad, units.mass),
    done: draft.done === '' ? null : draft.done === 'yes',
    trace: draft.trace,
    note: draft.note,
  };
}

function movementOf(draft: ReadingDraft, unit: string): Movement | null {
  const movement = {
    elastic: quantity(draft.elastic, unit),
    creepage: quantity(draft.creepage, unit),
    pivoting: quantity(draft.pivoting, unit),
    further: quantity(draft.further, unit),
  };
  return Object.values(movement).every((each) => each === null) ? null : movement;
}

function quantity(text: string, unit: string): Typed | null {
  return typed(withUnit(text, unit));
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
