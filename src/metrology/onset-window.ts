/** Which samples the change point is read from. */

import { mean } from './line-fit.js';
import type { Measured } from './measured.js';
import type { ChangePoint } from './onset-fit.js';
import { changePoint } from './onset-fit.js';
import type { PreparedTrace } from './trace-prepared.js';
import type { Samples } from './trace-samples.js';
import { averaged, blockSize, indexAt, ofDisplay, slice } from './trace-samples.js';
import type { Break, Fall, Rise } from './trace-shape.js';

/** Each window before a drop is this much longer than the last. */
const LONGER = 1.35;
/** samples and s before the peak in the shortest window: a mass sets off within a quarter of the time in
 * which it would swing on its cord, some tenths of a second */
const LEAST_BEFORE = 6;
const LEAST_TIME = 0.25;
/** A line fits while its residual variance exceeds that of the noise by less than this share, and what
 * chance gives (twice the standard deviation of a variance, sqrt(2/n)). */
const STILL_A_LINE = 0.15;
/** the longest windows that fit, taken together */
const TOGETHER = 4;
/** points in a window, and s from one to the next: more only cost time */
const MOST_POINTS = 250;
const LEAST_INTERVAL = 0.002;

/**
 * The change point at a drop. A hand does not pull along a straight line for long, so the line before the
 * drop is fitted over the longest stretch along which it is one: windows grow until the residuals exceed
 * the noise (Lepski's rule). The fall is used down to its half, before it is over.
 */
export function dropPoint(trace: PreparedTrace, rise: Rise, fall: Fall): ChangePoint | null {
  const { samples, blocks } = trace;
  const { time } = samples;
  const peak = highest(samples, timeAt(blocks, fall.peak - 1), timeAt(blocks, fall.peak + 1));
  const half = indexAt(time, timeAt(blocks, fall.half));
  const to = Math.min(time.length, Math.max(half, peak + 2) + 1);
  const first = indexAt(time, timeAt(blocks, rise.from));
  const found: ChangePoint[] = [];
  const least = peak - indexAt(time, (time[peak] as number) - LEAST_TIME);
  for (
    let before = Math.max(LEAST_BEFORE, least);
    before < LONGER * (peak - first);
    before *= LONGER
  ) {
    const from = Math.max(first, Math.round(peak - before));
    const points = spaced(slice(samples, from, to));
    const noise = noiseOfMeans(trace, (to - from) / points.time.length);
    const change = changePoint(points, noise);
    if (change === null) continue;
    const excess = (change.residual / noise) ** 2 - 1;
    if (found.length > 0 && excess > STILL_A_LINE + 2 * Math.sqrt(2 / points.time.length)) break;
    found.push(change);
  }
  const change = together(found.slice(-TOGETHER));
  return change === null
    ? null
    : withShapeError(change, ROUNDING * ((time[peak] as number) - change.time.value));
}

/** A corner rounded over r s may be off by about two fifths of that, whatever shape fits best; */
const ROUNDING = 0.4;
/** and no shape of these is right to better than some ms. */
const SHAPE_ERROR = 0.003;

/** @param byRounding s */
function withShapeError(change: ChangePoint, byRounding: number): ChangePoint {
  const u = Math.hypot(byRounding, SHAPE_ERROR);
  return {
    ...change,
    time: { ...change.time, u: Math.hypot(change.time.u, u) },
    value: { ...change.value, u: Math.hypot(change.value.u, u * change.slope) },
  };
}

/** One estimate of several that are as good as each other: what they differ by is in the uncertainty. */
function together(changes: readonly ChangePoint[]): ChangePoint | null {
  const last = changes.at(-1);
  if (last === undefined) return null;
  const mixed = (of: (change: ChangePoint) => Measured): Measured => {
    const middle = mean(changes.map((change) => of(change).value));
    const variance = mean(
      changes.map((change) => of(change).u ** 2 + (of(change).value - middle) ** 2),
    );
    return { value: middle, u: Math.sqrt(variance), dof: of(last).dof };
  };
  return { ...last, time: mixed((change) => change.time), value: mixed((change) => change.value) };
}

/** s: a mass that sets off against a friction that does not fall lets the force go on rising for a while;
 * where it set off cannot be seen to better than this. */
const SETTING_OFF = 0.035;

/** The change point at a break of the rise, `end` being the last index before the load is let go: the rise
 * before it and as long a stretch after. */
export function breakPoint(
  trace: PreparedTrace,
  rise: Rise,
  broken: Break,
  end: number,
): ChangePoint | null {
  const { blocks } = trace;
  const at = timeAt(blocks, broken.index);
  const until = at + (at - timeAt(blocks, rise.from));
  const to = Math.min(end + 1, Math.max(indexAt(blocks.time, until), broken.index + 4));
  const points = slice(blocks, rise.from, to);
  const change = changePoint(points, trace.blockNoise);
  return change === null ? null : withShapeError(change, SETTING_OFF);
}

/** Means over so many samples: never better than the display. */
function noiseOfMeans({ noise, resolution }: PreparedTrace, size: number): number {
  return Math.max(noise / Math.sqrt(size), ofDisplay(resolution));
}

function spaced(samples: Samples): Samples {
  return averaged(samples, blockSize(samples, MOST_POINTS, LEAST_INTERVAL));
}

function timeAt({ time }: Samples, index: number): number {
  return time[Math.min(time.length - 1, Math.max(0, index))] as number;
}

/** Index of the greatest value from one time to another. */
function highest({ time, value }: Samples, from: number, to: number): number {
  let best = Math.min(time.length - 1, indexAt(time, from));
  for (let i = best; i < time.length && (time[i] as number) <= to; i += 1) {
    if ((value[i] as number) > (value[best] as number)) best = i;
  }
  return best;
}
