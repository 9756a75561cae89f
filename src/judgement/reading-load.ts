/**
 * Question: what does one reading of a run say of the load it stood, or gave way at?
 *
 * 'Held' at a load is a lower bound of the capacity: it stands at least that much. 'Gave way' at a load
 * measures the capacity. A force gauge's file is better evidence of a slip than a figure read off: where
 * it gave way, the onset in the file counts, or what the user put in its place.
 */

import type { Dimension } from '../analysis/index.js';
import { headingText, quantityText } from '../analysis/index.js';
import type { TestRun } from '../test-plan/index.js';
import type { InstrumentBody, RunBody, RunReading, TraceTaken } from '../test-record/index.js';
import { dimensionOf, loadDimension, siOf } from '../test-record/index.js';
import type { InputLine, ReadingUncertainty, ReadValue } from './instrument-uncertainty.js';
import { instrumentsOf, lineOf, uncertaintyOfReading } from './instrument-uncertainty.js';

export interface LoadRead {
  readonly kind: 'read';
  /** 1 is the first of the record */
  readonly number: number;
  readonly shows: 'held' | 'gave way';
  /** rad or N */
  readonly value: number;
  readonly lines: readonly InputLine[];
  /** of a single reading alone: the onset of slip found in its file */
  readonly ownLines: readonly InputLine[];
  /** loaded the way the run says */
  readonly asPlanned: boolean;
  readonly missing: string | null;
  readonly remarks: readonly string[];
}

/** A reading with a load or a result, and not enough to tell what it shows. */
export interface LoadUnclear {
  readonly kind: 'unclear';
  readonly number: number;
  readonly asPlanned: boolean;
  readonly because: string;
}

/** The readings that say anything of a load, in their order. */
export function loadsRead(
  run: TestRun,
  record: RunBody,
  instruments: ReadonlyMap<string, InstrumentBody>,
): readonly (LoadRead | LoadUnclear)[] {
  const dimension = loadDimension(run.loading);
  if (dimension === null) return [];
  return record.readings.flatMap((reading, i): (LoadRead | LoadUnclear)[] => {
    const found = loadOf(reading, dimension);
    if (found === null) return [];
    const [number, asPlanned] = [i + 1, isAsPlanned(run, reading)];
    if ('because' in found) return [{ kind: 'unclear', number, asPlanned, ...found }];
    const { lines, missing, remarks } = uncertaintyOfLoad(found, dimension, record, instruments);
    const height = heightOfPush(run, record, instruments, found.value);
    const away = asPlanned ? [] : [otherWay(reading, number)];
    const own = found.remarks.map((remark) => `Reading ${number}: ${remark}`);
    return [
      {
        kind: 'read',
        number,
        asPlanned,
        shows: found.shows,
        value: found.value,
        lines: [...lines, ...height.lines],
        ownLines: found.lines,
        missing,
        remarks: [...remarks, ...height.remarks, ...away, ...own],
      },
    ];
  });
}

function uncertaintyOfLoad(
  { value, fromFile }: FoundLoad,
  dimension: 'angle' | 'force',
  record: RunBody,
  instruments: ReadonlyMap<string, InstrumentBody>,
): ReadingUncertainty {
  const kind = dimension === 'angle' ? 'inclinometer' : 'force gauge';
  const what = dimension === 'angle' ? 'the angle' : 'the force';
  const used = instrumentsOf(record.instruments, instruments, [kind]);
  return uncertaintyOfReading({ what, value, dimension, fromDisplay: !fromFile }, used, kind);
}

interface FoundLoad {
  readonly shows: 'held' | 'gave way';
  readonly value: number;
  readonly fromFile: boolean;
  readonly lines: readonly InputLine[];
  readonly remarks: readonly string[];
}

/** null: nothing is said of a load */
function loadOf(
  reading: RunReading,
  dimension: 'angle' | 'force',
): FoundLoad | { readonly because: string } | null {
  const { load, result } = reading;
  const trace = dimension === 'force' ? reading.trace : null;
  if (load === null && result === null && trace === null) return null;
  if (load !== null && dimensionOf(load, [dimension]) === null) {
    return { because: `its load '${load}' is no ${dimension}` };
  }
  const typed = load === null ? null : siOf(load, dimension);
  const onset = trace === null ? null : onsetOf(trace);
  const shows = result ?? (onset === null ? null : 'gave way');
  if (shows === null) return { because: 'whether it held is not written down' };
  const beyond = trace === null ? null : beyondTrace(shows, typed, onset, trace);
  if (beyond !== null) return { because: beyond };
  if (shows === 'gave way') return gaveWay(typed, onset, dimension);
  return withSlip(held(typed, trace), onset);
}

/** What is said of a load that the file never came to; null: nothing. */
function beyondTrace(
  shows: LoadRead['shows'],
  typed: number | null,
  onset: Onset | null,
  { peak }: TraceTaken,
): string | null {
  const said = (shows === 'gave way' ? onset?.force : null) ?? typed;
  if (said === null || said <= peak.force * (1 + DIFFERS)) return null;
  const [load, most] = [said, peak.force].map((each) => quantityText(each, 'force', 'SI'));
  const what = shows === 'held' ? 'it is said to have held at' : 'it is said to have given way at';
  return `${what} ${load}, and its trace goes up to ${most} only`;
}

/** It may slip a little and hold again; that it did has to be seen. */
function withSlip(found: ReturnType<typeof held>, onset: Onset | null): ReturnType<typeof held> {
  if ('because' in found || onset === null) return found;
  if (onset.force + 2 * onset.u >= found.value * (1 - DIFFERS)) return found;
  const [at, load] = [onset.force, found.value].map((each) => quantityText(each, 'force', 'SI'));
  const remark = `it is said to have held at ${load}, and the onset of slip in the trace is at ${at}`;
  return { ...found, remarks: [...found.remarks, remark] };
}

interface Onset {
  readonly force: number;
  readonly u: number;
  readonly overruled: string | null;
}

/** The onset that counts: the user's, where there is one. */
function onsetOf({ onset, overruled }: TraceTaken): Onset | null {
  if (overruled !== null) return { ...overruled, overruled: overruled.reason };
  return onset === null ? null : { force: onset.force, u: onset.u, overruled: null };
}

function gaveWay(
  typed: number | null,
  onset: Onset | null,
  dimension: Dimension,
): FoundLoad | { readonly because: string } {
  if (onset === null) {
    if (typed === null) return { because: 'it gave way, and at which load is not written down' };
    return { shows: 'gave way', value: typed, fromFile: false, lines: [], remarks: [] };
  }
  const source = onset.overruled === null ? 'found in the trace' : 'as the user sees it';
  const line: InputLine = { ...lineOf(`onset of slip ${source}`, onset.u), type: 'A' };
  const text = (value: number) => quantityText(value, dimension, 'SI');
  const remarks: string[] = [];
  if (onset.overruled !== null) {
    remarks.push(
      `the onset of slip found in the trace was overruled, ${text(onset.force)} counts: ${onset.overruled}`,
    );
  }
  if (typed !== null && Math.abs(typed - onset.force) > 2 * onset.u + DIFFERS * onset.force) {
    remarks.push(
      `${text(typed)} is written down and the onset of slip in the trace is at ${text(onset.force)}: the trace counts`,
    );
  }
  return { shows: 'gave way', value: onset.force, fromFile: true, lines: [line], remarks };
}

/** Share of the force: a display and a file of the same gauge agree to better than this. */
export const DIFFERS = 0.02;

/** What is written down, else the stretch in the file that stayed level, else its peak. */
function held(
  typed: number | null,
  trace: TraceTaken | null,
): FoundLoad | { readonly because: string } {
  const found = { shows: 'held', lines: [], remarks: [] } as const;
  if (typed !== null) return { ...found, value: typed, fromFile: false };
  if (trace === null) return { because: 'it held, and which load is not written down' };
  if (trace.hold !== null) return { ...found, value: trace.hold, fromFile: true };
  const remark = 'the trace has no stretch that stays level: its peak counts as what it stood';
  return { ...found, value: trace.peak.force, fromFile: true, remarks: [remark] };
}

/** rad: a cart is set to a heading by eye (common practice, no source). */
const SET_BY_EYE = (5 * Math.PI) / 180;

function directionOf({ loading }: TestRun): number | null {
  if (loading.kind === 'incline') return loading.downhill;
  return 'direction' in loading ? loading.direction : null;
}

/** Loaded the way the run says, or the run says none. */
export function isAsPlanned(run: TestRun, { direction }: RunReading): boolean {
  const planned = directionOf(run);
  if (direction === null || planned === null) return true;
  const away = siOf(direction, 'angle') - planned;
  return Math.cos(away) >= Math.cos(SET_BY_EYE);
}

export function otherWay({ direction }: RunReading, number: number): string {
  const angle = direction === null ? 0 : siOf(direction, 'angle');
  return `Reading ${number} was loaded towards ${headingText(angle, 'SI')}, which is not the way the run says: it has to be good too, and is not compared with the prediction.`;
}

/**
 * A push that tips at F h = const needs dF = -F dh / h when it acts dh higher; one that slides it changes
 * by less. The taller is taken for both: what the gauge shows is known only as well as the height is.
 */
function heightOfPush(
  { loading }: TestRun,
  record: RunBody,
  instruments: ReadonlyMap<string, InstrumentBody>,
  force: number,
): { readonly lines: readonly InputLine[]; readonly remarks: readonly string[] } {
  if (loading.kind !== 'push' || !(loading.point[2] > 0)) return { lines: [], remarks: [] };
  const height = loading.point[2];
  const tapes = instrumentsOf(record.instruments, instruments, ['tape']);
  const what = 'the height of the push';
  const read: ReadValue = { what, value: height, dimension: 'length', fromDisplay: true };
  const { lines, missing } = uncertaintyOfReading(read, tapes, 'tape');
  if (missing !== null) return { lines: [], remarks: [`${missing} It is not in the budget.`] };
  return {
    lines: lines.map((line) => ({
      ...line,
      source: `height of the push: ${line.source}`,
      sensitivity: -force / height,
    })),
    remarks: [],
  };
}
