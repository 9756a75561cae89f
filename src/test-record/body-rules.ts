/** What the fields of one entry have to do with each other. Asked when each of them is right by itself. */

import type { z } from 'zod';
import { partsListFileOf, readCart, sentence } from '../document/index.js';
import type { InstrumentKind } from '../test-plan/index.js';
import type { Dimension } from '../units/index.js';
import { dimensionAllowed } from '../units/index.js';
import type { CartBody, InstrumentBody, RunReading, WeighingBody } from './entry-body.js';
import { refuse } from './entry-fields.js';
import { celsiusIn, dimensionOf, kelvinsIn, siOf } from './typed-value.js';
import { isWritten } from './written.js';

/** The text of a cart that names no parts list is read as a whole; of one that does, the record has the
 * list's hash only, so that the list has to be there and no more is asked. */
export function refineCart(body: CartBody, context: z.RefinementCtx): void {
  const list = partsListFileOf(body.text);
  if (list !== null) {
    if (body.partsLists.some(({ name }) => name === list)) return;
    refuse(context, ['partsLists'], `has no file ${list}`, `the parts list that the cart names`);
    return;
  }
  const cart = readCart(body.text, body.file);
  if (cart.kind === 'ok') return;
  const problem = cart.issues.find(({ severity }) => severity === 'error');
  const remark = problem === undefined ? 'cannot be read' : `cannot be read: ${sentence(problem)}`;
  refuse(context, ['text'], remark, 'a cart file that `standstill check` takes');
}

const INSTRUMENT_DIMENSION: Readonly<Record<InstrumentKind, Dimension | 'temperature' | 'any'>> = {
  'force gauge': 'force',
  inclinometer: 'angle',
  scale: 'mass',
  tape: 'length',
  displacement: 'length',
  thermometer: 'temperature',
  timer: 'time',
  other: 'any',
};

const EVERY_DIMENSION = [
  'length',
  'mass',
  'angle',
  'force',
  'moment',
  'stiffness',
  'speed',
  'energy',
  'ratio',
  'time',
] as const satisfies readonly Dimension[];

interface Reader {
  /** in one unit; null: it is no such quantity */
  readonly value: (typed: string) => number | null;
  /** of a difference in that unit */
  readonly width: (typed: string) => number | null;
  readonly allowed: string;
}

function readerFor(dimension: Dimension): Reader {
  const value = (typed: string) =>
    dimensionOf(typed, [dimension]) === null ? null : siOf(typed, dimension);
  return { value, width: value, allowed: dimensionAllowed(dimension) };
}

const THERMOMETER: Reader = {
  value: celsiusIn,
  width: kelvinsIn,
  allowed: 'a temperature with its unit, such as 21 degC or 0.5 K',
};

/** An instrument of another kind is in the dimension of the first quantity it states. */
function readerOf(body: InstrumentBody): Reader {
  const due = INSTRUMENT_DIMENSION[body.instrument];
  if (due === 'temperature') return THERMOMETER;
  if (due !== 'any') return readerFor(due);
  const stated = [body.uncertainty, body.resolution, body.from, body.to];
  const first = stated.find((typed) => typed !== null) ?? '';
  const dimension = dimensionOf(first, EVERY_DIMENSION);
  if (dimension !== null) return readerFor(dimension);
  return celsiusIn(first) === null
    ? { ...readerFor('ratio'), allowed: 'a quantity with its unit, such as 0.5 mm' }
    : THERMOMETER;
}

export function refineInstrument(body: InstrumentBody, context: z.RefinementCtx): void {
  const reader = readerOf(body);
  const from = read('from', reader.value);
  const to = read('to', reader.value);
  const widths = [read('uncertainty', reader.width), read('resolution', reader.width)];
  if (from !== null && to !== null && to <= from) {
    refuse(context, ['to'], 'is not above the lower end', `more than ${body.from}`);
  }
  (['uncertainty', 'resolution'] as const).forEach((field, i) => {
    const width = widths[i] ?? null;
    if (width === null) return;
    const most = from === null || to === null ? Number.POSITIVE_INFINITY : Math.abs(to - from);
    if (width <= 0)
      refuse(context, [field], 'is not more than 0', `more than 0: ${reader.allowed}`);
    else if (width > most) {
      refuse(context, [field], 'is more than the whole range', 'at most the range it measures');
    }
  });
  // compared as text: year-month-day
  if (body.calibrated !== null && body.due !== null && body.due < body.calibrated) {
    refuse(context, ['due'], 'is before the calibration', `${body.calibrated} or later`);
  }

  function read(
    field: 'uncertainty' | 'resolution' | 'from' | 'to',
    reading: (typed: string) => number | null,
  ): number | null {
    const typed = body[field];
    const value = typed === null ? null : reading(typed);
    if (typed !== null && value === null) {
      const remark = `is no such quantity (the instrument is a ${body.instrument})`;
      refuse(context, [field], remark, reader.allowed);
    }
    return value;
  }
}

export function refineWeighing(body: WeighingBody, context: z.RefinementCtx): void {
  const onScales = body.scales.flatMap(({ castors }) => castors);
  const placed = new Set<string>();
  body.scales.forEach(({ castors }, i) => {
    castors.forEach((castor, j) => {
      if (placed.has(castor)) {
        refuse(context, ['scales', i, 'castors', j], 'stands on a scale already', 'each once');
      }
      placed.add(castor);
    });
  });
  // no scale at all is told as such
  if (placed.size === 0) return;
  body.repeats.forEach((shown, i) => {
    refineShown(shown, placed, ['repeats', i], context);
  });
  const { tilt } = body;
  if (tilt === null) return;
  tilt.lifted.forEach((castor, i) => {
    if (placed.has(castor)) return;
    refuse(context, ['tilt', 'lifted', i], 'stands on no scale', 'a castor that was weighed');
  });
  const lower = new Set(onScales.filter((castor) => !tilt.lifted.includes(castor)));
  if (lower.size === 0) {
    refuse(context, ['tilt', 'lifted'], 'has every castor', 'those at the lifted end only');
    return;
  }
  tilt.tilts.forEach((each, i) => {
    refineShown(each.lower, lower, ['tilt', 'tilts', i, 'lower'], context);
  });
}

/** Every castor that stands there, once. */
function refineShown(
  shown: WeighingBody['repeats'][number],
  due: ReadonlySet<string>,
  path: readonly (string | number)[],
  context: z.RefinementCtx,
): void {
  const allowed = `each of these once: ${[...due].join(', ')}`;
  const seen = new Set<string>();
  shown.forEach(({ castor }, i) => {
    if (!due.has(castor)) refuse(context, [...path, i, 'castor'], 'does not stand there', allowed);
    else if (seen.has(castor)) refuse(context, [...path, i, 'castor'], 'is read twice', allowed);
    seen.add(castor);
  });
  const left = [...due].find((castor) => !seen.has(castor));
  if (left !== undefined) refuse(context, path, `has no reading of ${left}`, allowed);
}

export function refineReading(reading: RunReading, context: z.RefinementCtx): void {
  const { result, mode, note, direction: _, ...rest } = reading;
  const isEmpty = result === null && Object.values(rest).every((each) => each === null);
  if (isEmpty && !isWritten(note)) {
    refuse(context, [], 'says nothing', 'at least one thing read, or a note');
  }
  if (mode !== null && result !== 'gave way') {
    refuse(context, ['mode'], 'goes with a cart that gave way', 'null, or the result "gave way"');
  }
}
