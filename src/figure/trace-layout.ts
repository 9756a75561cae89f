/** Where a trace of a force gauge is drawn: axes at round numbers, few enough points. */

import { scaleLinear } from 'd3-scale';
import type { GaugeTrace } from '../metrology/index.js';
import type { UnitSystem } from '../units/index.js';
import type { Point } from './picture.js';
import { unitInSi } from './round-length.js';

export interface Axis {
  /** of a value in SI, px */
  readonly at: (value: number) => number;
  readonly ticks: readonly { readonly at: number; readonly text: string }[];
  /** 'N', 'lbf', 's', 'mm' */
  readonly unit: string;
}

export interface TraceLayout {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly time: Axis;
  readonly force: Axis;
  /** the trace, through at most two points a column of pixels */
  readonly curve: readonly Point[];
  /** null: the file has none */
  readonly displacement: {
    readonly top: number;
    readonly bottom: number;
    readonly axis: Axis;
    readonly curve: readonly Point[];
  } | null;
}

export interface TraceBox {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** px: between force and displacement, and the height of the latter */
const GAP = 26;
const DISPLACEMENT_HEIGHT = 64;
/** share of the greatest force beyond it, for the mark of the peak and its word */
const PEAK_ROOM = 0.12;
const TIME_TICKS = 8;
const FORCE_TICKS = 6;
const DISPLACEMENT_TICKS = 2;

export function traceLayout(trace: GaugeTrace, units: UnitSystem, box: TraceBox): TraceLayout {
  const { left, right, top } = box;
  const below = trace.displacement === null ? 0 : GAP + DISPLACEMENT_HEIGHT;
  const bottom = box.bottom - below;
  const { time: times } = trace;
  const span: readonly [number, number] = [times[0] ?? 0, times.at(-1) ?? 1];
  const time = axisOf(span, [left, right], 's', 1, TIME_TICKS, false);
  const name = units === 'US' ? 'lbf' : 'N';
  const [least, most] = rangeOf(trace.force);
  const room = PEAK_ROOM * Math.max(most, -least, 0);
  const force = axisOf(
    most >= -least ? [Math.min(0, least), most + room] : [least - room, Math.max(0, most)],
    [bottom, top],
    name,
    unitInSi(name, 'force'),
    FORCE_TICKS,
    true,
  );
  const curve = thinned(times, trace.force, time.at, force.at);
  return {
    left,
    right,
    top,
    bottom,
    time,
    force,
    curve,
    displacement: displacementOf(trace, units, { ...box, top: bottom + GAP }, time),
  };
}

function displacementOf(
  { time: times, displacement }: GaugeTrace,
  units: UnitSystem,
  { top, bottom }: TraceBox,
  time: Axis,
): TraceLayout['displacement'] {
  if (displacement === null) return null;
  const name = units === 'US' ? 'in' : 'mm';
  const unit = unitInSi(name, 'length');
  const axis = axisOf(rangeOf(displacement), [bottom, top], name, unit, DISPLACEMENT_TICKS, true);
  return { top, bottom, axis, curve: thinned(times, displacement, time.at, axis.at) };
}

function rangeOf(values: readonly number[]): readonly [number, number] {
  return values.reduce<readonly [number, number]>(
    ([least, most], value) => [Math.min(least, value), Math.max(most, value)],
    [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  );
}

/** @param unit in SI */
function axisOf(
  [from, to]: readonly [number, number],
  pixels: readonly [number, number],
  name: string,
  unit: number,
  count: number,
  isNice: boolean,
): Axis {
  // a value that never changes has room above it all the same
  const end = to > from ? to : from + unit;
  const scale = scaleLinear()
    .domain([from / unit, end / unit])
    .range(pixels);
  if (isNice) scale.nice(count);
  const format = scale.tickFormat(count);
  return {
    at: (value) => scale(value / unit),
    unit: name,
    ticks: scale.ticks(count).map((tick) => ({ at: scale(tick), text: format(tick) })),
  };
}

/** Of every column of pixels its least and greatest, in the order they come: what is seen stays. */
function thinned(
  times: readonly number[],
  values: readonly number[],
  x: (time: number) => number,
  y: (value: number) => number,
): readonly Point[] {
  const points: Point[] = [];
  for (let i = 0; i < times.length; ) {
    const column = Math.floor(x(times[i] ?? 0));
    let [low, high] = [i, i];
    let next = i;
    for (; next < times.length && Math.floor(x(times[next] ?? 0)) === column; next += 1) {
      if ((values[next] ?? 0) < (values[low] ?? 0)) low = next;
      if ((values[next] ?? 0) > (values[high] ?? 0)) high = next;
    }
    const kept = low === high ? [low] : [Math.min(low, high), Math.max(low, high)];
    for (const k of kept) points.push([x(times[k] ?? 0), y(values[k] ?? 0)]);
    i = Math.max(next, i + 1);
  }
  return points;
}
