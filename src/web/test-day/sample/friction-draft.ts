/** A friction test as it is being recorded: what the form holds, and the body that it makes. */

import type { FrictionBody, RecordState, Subject, Used } from '../../../test-record/index.js';
import type { ForceUnit, MassUnit } from '../form/typed-number.js';
import { FORCE_UNITS, MASS_UNITS, unitOf, withoutUnit, withUnit } from '../form/typed-number.js';
import type { ConditionsDraft } from './conditions-draft.js';
import { conditionsDraftOf, conditionsOf } from './conditions-draft.js';

export interface SlipRow {
  readonly kind: 'slip angle' | 'pull';
  readonly angle: string;
  readonly force: string;
  readonly mass: string;
}

/** Texts as typed; '' is nothing. */
export interface FrictionDraft extends ConditionsDraft {
  readonly tread: string;
  readonly floor: string;
  readonly instruments: readonly Used[];
  readonly forceUnit: ForceUnit;
  readonly massUnit: MassUnit;
  readonly readings: readonly SlipRow[];
}

const ANGLE_UNIT = 'deg';

export function slipRow(kind: SlipRow['kind']): SlipRow {
  return { kind, angle: '', force: '', mass: '' };
}

/** The next of the same kind; the mass that slides stays the same. */
export function nextRow(rows: readonly SlipRow[]): SlipRow {
  const last = rows.at(-1);
  return { ...slipRow(last?.kind ?? 'slip angle'), mass: last?.mass ?? '' };
}

export function frictionDraftOf({ content, newest }: RecordState<FrictionBody>): FrictionDraft {
  const { tread, floor, instruments, readings } = content;
  const pulls = readings.flatMap((each) => (each.kind === 'pull' ? [each] : []));
  const forces = pulls.map(({ force }) => force);
  const masses = pulls.map(({ mass }) => mass);
  const forceUnit = unitOf(forces, FORCE_UNITS, 'force');
  const massUnit = unitOf(masses, MASS_UNITS, 'mass');
  return {
    ...conditionsDraftOf(content, newest),
    ...{ tread, floor, instruments, forceUnit, massUnit },
    readings: readings.map((each) =>
      each.kind === 'slip angle'
        ? { ...slipRow(each.kind), angle: withoutUnit(each.angle, ANGLE_UNIT) }
        : {
            ...slipRow(each.kind),
            force: withoutUnit(each.force, forceUnit),
            mass: withoutUnit(each.mass, massUnit),
          },
    ),
  };
}

/** Rows in which nothing was typed are no readings and left out. */
export function frictionBodyOf(draft: FrictionDraft, sample: Subject): FrictionBody {
  return {
    kind: 'friction',
    sample,
    tread: draft.tread,
    floor: draft.floor.trim(),
    instruments: draft.instruments,
    readings: keptReadings(draft).flatMap((i) => {
      const row = draft.readings[i];
      return row === undefined ? [] : [readingOf(row, draft)];
    }),
    ...conditionsOf(draft),
  };
}

function readingOf(
  { kind, angle, force, mass }: SlipRow,
  { forceUnit, massUnit }: FrictionDraft,
): FrictionBody['readings'][number] {
  return kind === 'slip angle'
    ? { kind, angle: withUnit(angle, ANGLE_UNIT) }
    : { kind, force: withUnit(force, forceUnit), mass: withUnit(mass, massUnit) };
}

/** Rows in which something was read: what a problem's `readings 2` is of. The mass alone is carried over
 * from the row before, and reads nothing. */
export function keptReadings({ readings }: FrictionDraft): readonly number[] {
  return readings.flatMap(({ kind, angle, force }, i) =>
    (kind === 'slip angle' ? angle : force).trim() === '' ? [] : [i],
  );
}

/** The rows that are filled in to their end. */
export function filledInSlips(draft: FrictionDraft): FrictionDraft {
  return {
    ...draft,
    readings: draft.readings.filter(({ kind, angle, force, mass }) =>
      kind === 'slip angle' ? angle.trim() !== '' : force.trim() !== '' && mass.trim() !== '',
    ),
  };
}
