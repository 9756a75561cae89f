/**
 * Question: what do the instruments that were used add to the uncertainty of one reading?
 *
 * Calibration: the expanded uncertainty of the certificate over its coverage factor (JCGM 100:2008,
 * 4.3.3). Display: d / sqrt(12) (F.2.2.1). Both are type B. Nothing is taken as zero because it is not
 * stated: what is not known is said.
 */

import type { Dimension } from '../analysis/index.js';
import { quantityText } from '../analysis/index.js';
import type { BudgetLine } from '../metrology/index.js';
import { ofResolution } from '../metrology/index.js';
import type { InstrumentKind } from '../test-plan/index.js';
import type { InstrumentBody, Used } from '../test-record/index.js';
import { siOf } from '../test-record/index.js';

/** A line of a budget before it is combined. */
export type InputLine = Omit<BudgetLine, 'contribution'>;

export interface ReadingUncertainty {
  readonly lines: readonly InputLine[];
  /** why the uncertainty is not known, one sentence; null: it is known */
  readonly missing: string | null;
  /** what else a reader must know */
  readonly remarks: readonly string[];
}

export interface ReadValue {
  /** 'the angle', 'the force' */
  readonly what: string;
  /** SI */
  readonly value: number;
  readonly dimension: Dimension;
  /** false: from a file, whose steps are part of the noise that was found */
  readonly fromDisplay: boolean;
}

/** The instruments of the first of these kinds that was used at all, in the order they were named. */
export function instrumentsOf(
  used: readonly Used[],
  instruments: ReadonlyMap<string, InstrumentBody>,
  kinds: readonly InstrumentKind[],
): readonly InstrumentBody[] {
  const all = used.flatMap(({ instrument }) => instruments.get(instrument) ?? []);
  const kind = kinds.find((each) => all.some(({ instrument }) => instrument === each));
  return all.filter(({ instrument }) => instrument === kind);
}

/**
 * Of several instruments that may have been read the least certain counts: which of them it was is not
 * written down.
 *
 * @param instruments those that may have been read
 * @param kind what is missing where there is none
 */
export function uncertaintyOfReading(
  read: ReadValue,
  instruments: readonly InstrumentBody[],
  kind: InstrumentKind,
): ReadingUncertainty {
  if (instruments.length === 0) {
    const article = /^[aeiou]/.test(kind) ? 'an' : 'a';
    const missing = `No instrument that measures ${read.what} is named (${article} ${kind}): its uncertainty is not known.`;
    return { lines: [], missing, remarks: [] };
  }
  const all = instruments.map((instrument) => ofInstrument(read, instrument));
  const least = all.reduce((p, q) => (isWorse(q, p) ? q : p));
  if (all.length === 1) return least;
  const names = instruments.map(({ name }) => name).join(', ');
  const several = `Several instruments could have measured ${read.what} (${names}): the least certain counts.`;
  return { ...least, remarks: [...least.remarks, several] };
}

function isWorse(a: ReadingUncertainty, b: ReadingUncertainty): boolean {
  if ((a.missing === null) !== (b.missing === null)) return a.missing !== null;
  const variance = ({ lines }: ReadingUncertainty) => lines.reduce((sum, { u }) => sum + u * u, 0);
  return variance(a) > variance(b);
}

function ofInstrument(read: ReadValue, instrument: InstrumentBody): ReadingUncertainty {
  const { what, dimension, fromDisplay } = read;
  const who = nameOf(instrument);
  const display = fromDisplay ? displayOf(read, instrument) : { lines: [], remarks: [] };
  const unknown = (missing: string): ReadingUncertainty => ({ ...display, missing });
  const outside = rangeProblem(read, instrument);
  if (outside !== null) return unknown(outside);
  if (instrument.uncertainty === null) {
    return unknown(`The uncertainty of ${who} is not stated, so that of ${what} is not known.`);
  }
  const u = siOf(instrument.uncertainty, dimension) / instrument.coverage;
  const calibration = lineOf(`calibration of ${who}`, u);
  return { ...display, lines: [calibration, ...display.lines], missing: null };
}

/** One step of the display. */
function displayOf({ dimension }: ReadValue, instrument: InstrumentBody) {
  const who = nameOf(instrument);
  if (instrument.resolution === null) {
    const remark = `The resolution of ${who} is not stated: what it adds is not in the budget.`;
    return { lines: [], remarks: [remark] };
  }
  const u = ofResolution(siOf(instrument.resolution, dimension));
  return { lines: [lineOf(`resolution of ${who}`, u)], remarks: [] };
}

/** A certificate speaks of its range only. Nothing on a scale shows zero, which is in no range. */
function rangeProblem(
  { what, value, dimension }: ReadValue,
  instrument: InstrumentBody,
): string | null {
  const { from, to } = instrument;
  const size = Math.abs(value);
  const below = from !== null && size > 0 && size < siOf(from, dimension) * (1 - ROUNDING);
  const above = to !== null && size > siOf(to, dimension) * (1 + ROUNDING);
  if (!below && !above) return null;
  const range = [from === null ? '' : `from ${from}`, to === null ? '' : `to ${to}`]
    .join(' ')
    .trim();
  const read = quantityText(value, dimension, 'SI');
  return `${sentenceCase(what)} of ${read} lies outside the range of ${nameOf(instrument)} (${range}): its uncertainty there is not known.`;
}

/** Relative: what a change of units may cost. */
const ROUNDING = 1e-9;

export function lineOf(source: string, u: number, sensitivity = 1): InputLine {
  return { source, type: 'B', u, sensitivity, dof: null };
}

export function nameOf({ name, serial }: InstrumentBody): string {
  return serial.trim() === '' ? name : `${name} (${serial})`;
}

export function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
