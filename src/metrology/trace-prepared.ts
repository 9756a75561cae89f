/** A trace made ready to be read: force with the greater way positive, outliers taken out, noise known;
 * and the same in blocks, for its shape. */

import type { GaugeTrace } from './gauge-file.js';
import type { Samples } from './trace-samples.js';
import {
  averaged,
  blockSize,
  median,
  noiseOf,
  resolutionOf,
  samplesOf,
  withoutOutliers,
} from './trace-samples.js';

export interface PreparedTrace {
  /** every sample, outliers replaced */
  readonly samples: Samples;
  /** as recorded, but for the sign */
  readonly recorded: Samples;
  /** indices */
  readonly outliers: readonly number[];
  /** 1, or -1: the greater way is negative in the file */
  readonly sign: 1 | -1;
  /** N, of the display */
  readonly resolution: number;
  /** N, from sample to sample */
  readonly noise: number;
  readonly blocks: Samples;
  /** N, from block to block */
  readonly blockNoise: number;
  /** s, usual from sample to sample */
  readonly interval: number;
}

/** The shape is looked for in so many blocks at most, */
const MOST_BLOCKS = 800;
/** s, that are at least so long: no cart sets off faster than it can be seen in these. */
const LEAST_BLOCK = 0.01;

/** @param trace two samples or more */
export function prepare(trace: GaugeTrace): PreparedTrace {
  const given = samplesOf(trace.time, trace.force);
  const resolution = resolutionOf(given);
  const noise = noiseOf(given, resolution);
  const { samples: cleaned, outliers } = withoutOutliers(given, noise);
  const sign = signOf(cleaned.value);
  const signed = (value: Float64Array) => value.map((each) => sign * each);
  const samples = { time: given.time, value: signed(cleaned.value) };
  const blocks = averaged(samples, blockSize(samples, MOST_BLOCKS, LEAST_BLOCK));
  const intervals = given.time.subarray(1).map((t, i) => t - (given.time[i] as number));
  return {
    samples,
    recorded: { time: given.time, value: signed(given.value) },
    outliers,
    sign,
    resolution,
    noise,
    blocks,
    blockNoise: noiseOf(blocks, resolution),
    interval: median(intervals),
  };
}

/** samples at the start that tell where the gauge stood */
const AT_START = 5;

/** The way in which the force goes further from where it starts. */
function signOf(value: Float64Array): 1 | -1 {
  const start = median(value.subarray(0, AT_START));
  let [low, high] = [start, start];
  for (const each of value) {
    if (each < low) low = each;
    if (each > high) high = each;
  }
  return high - start >= start - low ? 1 : -1;
}
