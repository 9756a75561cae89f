/** Values of a run that are compared with a greatest one: movement, force to move, load of a castor. */

import type { Dimension } from '../analysis/index.js';
import { quantityText } from '../analysis/index.js';
import type { InstrumentKind, Measure, TestRun } from '../test-plan/index.js';
import type { InstrumentBody, Movement, RunBody, RunReading, Typed } from '../test-record/index.js';
import { siOf } from '../test-record/index.js';
import type { InputLine } from './instrument-uncertainty.js';
import { instrumentsOf, uncertaintyOfReading } from './instrument-uncertainty.js';
import { DIFFERS, isAsPlanned, otherWay } from './reading-load.js';

export interface ValueRead {
  /** 1 is the first of the record */
  readonly number: number;
  readonly value: number;
  readonly lines: readonly InputLine[];
  /** loaded the way the run says */
  readonly asPlanned: boolean;
  readonly missing: string | null;
  readonly remarks: readonly string[];
}

export type ValueMeasure = Exclude<Measure, 'load held' | 'outcome'>;

interface ValueKind {
  readonly what: string;
  readonly dimension: Dimension;
  /** what measures it, the better first */
  readonly kinds: readonly [InstrumentKind, ...InstrumentKind[]];
  readonly typed: (reading: RunReading) => Typed | null;
}

const VALUES: Readonly<Record<ValueMeasure, ValueKind>> = {
  'further movement': {
    what: 'the movement',
    dimension: 'length',
    kinds: ['displacement', 'tape'],
    typed: ({ movement }) => movement?.further ?? null,
  },
  'force to move': {
    what: 'the force to move it',
    dimension: 'force',
    kinds: ['force gauge'],
    typed: ({ forceToMove }) => forceToMove,
  },
  'castor load': {
    what: 'the load of the castor',
    dimension: 'mass',
    kinds: ['scale'],
    typed: ({ castorLoad }) => castorLoad,
  },
};

export function valuesRead(
  run: TestRun,
  measure: ValueMeasure,
  record: RunBody,
  instruments: ReadonlyMap<string, InstrumentBody>,
): readonly ValueRead[] {
  const { what, dimension, kinds, typed } = VALUES[measure];
  const used = instrumentsOf(record.instruments, instruments, kinds);
  return record.readings.flatMap((reading, i) => {
    const stated = typed(reading);
    const peak = measure === 'force to move' ? (reading.trace?.peak.force ?? null) : null;
    const found = greaterOf(stated === null ? null : siOf(stated, dimension), peak, i + 1);
    if (found === null) return [];
    const { value, fromDisplay } = found;
    const read = { what, value, dimension, fromDisplay };
    const uncertainty = uncertaintyOfReading(read, used, kinds[0]);
    const asPlanned = isAsPlanned(run, reading);
    const remarks = [
      ...uncertainty.remarks,
      ...found.remarks,
      ...(measure === 'further movement' ? movementRemarks(reading, i + 1) : []),
      ...(asPlanned ? [] : [otherWay(reading, i + 1)]),
    ];
    return [{ number: i + 1, value, asPlanned, ...uncertainty, remarks }];
  });
}

/** What was written down; the peak of the file where nothing was, or where it is clearly more. */
function greaterOf(
  typed: number | null,
  peak: number | null,
  number: number,
): {
  readonly value: number;
  readonly fromDisplay: boolean;
  readonly remarks: readonly string[];
} | null {
  if (typed === null)
    return peak === null ? null : { value: peak, fromDisplay: false, remarks: [] };
  if (peak === null || peak <= typed * (1 + DIFFERS)) {
    return { value: typed, fromDisplay: true, remarks: [] };
  }
  const [said, most] = [typed, peak].map((each) => quantityText(each, 'force', 'SI'));
  const remark = `Reading ${number}: ${said} is written down and the peak of the trace is ${most}: the trace counts`;
  return { value: peak, fromDisplay: false, remarks: [remark] };
}

/** Only the further movement counts; what was taken off it has to be written down beside it. */
function movementRemarks({ movement, result }: RunReading, number: number): readonly string[] {
  if (movement === null) return [];
  const off = PARTS.filter((part) => movement[part] === null);
  const remarks: string[] = [];
  if (off.length === PARTS.length) {
    remarks.push(
      `Reading ${number}: no elastic movement, creepage or pivoting is written down: all of the movement counts as further.`,
    );
  } else if (off.length > 0) {
    remarks.push(
      `Reading ${number}: ${off.join(' and ')} not written down: it counts as part of the further movement.`,
    );
  }
  if (result === 'held' && (siOfPart(movement, 'further') ?? 0) > 0) {
    remarks.push(`Reading ${number}: it held after a further movement of ${movement.further}.`);
  }
  return remarks;
}

const PARTS = ['elastic', 'creepage', 'pivoting'] as const;

function siOfPart(movement: Movement, part: keyof Movement): number | null {
  const typed = movement[part];
  return typed === null ? null : siOf(typed, 'length');
}
