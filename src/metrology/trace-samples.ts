/** Samples of a trace made ready to be read: signed, freed of single outliers, averaged in blocks; and
 * their noise. */

/** Samples side by side, by ascending time. */
export interface Samples {
  /** s */
  readonly time: Float64Array;
  /** N, or m */
  readonly value: Float64Array;
}

export function samplesOf(time: readonly number[], value: readonly number[]): Samples {
  return { time: Float64Array.from(time), value: Float64Array.from(value) };
}

export function slice({ time, value }: Samples, from: number, to: number): Samples {
  return { time: time.subarray(from, to), value: value.subarray(from, to) };
}

/** The index of the first time that is not before `t`; the length where there is none. */
export function indexAt(time: Float64Array, t: number): number {
  let [low, high] = [0, time.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((time[middle] as number) < t) low = middle + 1;
    else high = middle;
  }
  return low;
}

export function quantile(values: ArrayLike<number>, share: number): number {
  if (values.length === 0) return 0;
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] as number;
}

export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5);
}

/** Standard deviation of normal values over their median distance from 0: 1 / Phi^-1(0.75). */
const SPREAD_OF_MEDIAN = 1.4826;

/** Robust standard deviation about 0. */
export function spreadOf(residuals: ArrayLike<number>): number {
  return SPREAD_OF_MEDIAN * median(Float64Array.from(residuals, Math.abs));
}

/** The variance of v[i-1] - 2 v[i] + v[i+1] over that of v, for independent noise: 1 + 4 + 1. */
const SECOND_DIFFERENCE = 6;

/** The step between neighbours on the display: the least difference that is not rounding; 0: only one
 * value. */
export function resolutionOf({ value }: Samples): number {
  const sorted = Float64Array.from(value).sort();
  const least = sorted[0] ?? 0;
  const range = (sorted[sorted.length - 1] ?? 0) - least;
  let step = Number.POSITIVE_INFINITY;
  for (let i = 1; i < sorted.length; i += 1) {
    const difference = (sorted[i] as number) - (sorted[i - 1] as number);
    // sums of decimal steps are off by rounding
    if (difference > 1e-9 * range && difference < step) step = difference;
  }
  return Number.isFinite(step) ? step : 0;
}

/** A display of step d is off by at most d/2, all alike: d / sqrt(12) (JCGM 100, F.2.2.1). */
export function ofDisplay(step: number): number {
  return step / Math.sqrt(12);
}

/**
 * Standard deviation of the noise from sample to sample, which slopes do not enter: from second
 * differences, by their median, so that slips and spikes do not enter either. At least what the
 * resolution of the display brings.
 */
export function noiseOf({ value }: Samples, resolution: number): number {
  const differences = new Float64Array(Math.max(0, value.length - 2));
  for (let i = 0; i < differences.length; i += 1) {
    differences[i] = (value[i] as number) - 2 * (value[i + 1] as number) + (value[i + 2] as number);
  }
  const spread = spreadOf(differences) / Math.sqrt(SECOND_DIFFERENCE);
  return Math.max(spread, ofDisplay(resolution));
}

/** Samples to each side from which the usual step is taken */
const AROUND = 20;
/** and that a suspected outlier is held against. */
const NEIGHBOURS = 3;
/** samples at either end that are not suspected: a fall that has just begun looks like an outlier */
const AT_ENDS = 2;
/** A sample that stands out of its neighbours by so many of the usual steps about it is one that no pull
 * makes: the steps of a slip go on, or are many. */
const STANDS_OUT = 6;

/**
 * The samples without single outliers, each replaced by the middle of its neighbours; and where they
 * were. A sample is one when it lies beyond all but one of its three neighbours on either side (that one may
 * be an outlier too) by far more than neighbours usually differ there.
 */
export function withoutOutliers(
  samples: Samples,
  noise: number,
): { readonly samples: Samples; readonly outliers: readonly number[] } {
  const { time, value } = samples;
  const cleaned = Float64Array.from(value);
  const outliers: number[] = [];
  for (let i = AT_ENDS; i < value.length - AT_ENDS; i += 1) {
    const excess = excessOf(value, i);
    if (excess <= STANDS_OUT * noise || excess <= STANDS_OUT * usualStep(value, i)) continue;
    outliers.push(i);
    cleaned[i] = median(neighboursOf(value, i));
  }
  return { samples: { time, value: cleaned }, outliers };
}

function neighboursOf(value: Float64Array, i: number): Float64Array {
  const from = Math.max(0, i - NEIGHBOURS);
  const to = Math.min(value.length, i + NEIGHBOURS + 1);
  return value.subarray(from, to).filter((_, j) => from + j !== i);
}

/** How far a sample lies outside of the range of its neighbours, the furthest of them left out; 0 inside. */
function excessOf(value: Float64Array, i: number): number {
  const from = Math.max(0, i - NEIGHBOURS);
  const to = Math.min(value.length - 1, i + NEIGHBOURS);
  let low = Number.POSITIVE_INFINITY;
  let lower = low;
  let high = Number.NEGATIVE_INFINITY;
  let higher = high;
  for (let j = from; j <= to; j += 1) {
    if (j === i) continue;
    const each = value[j] as number;
    if (each > higher) {
      high = higher;
      higher = each;
    } else if (each > high) high = each;
    if (each < lower) {
      low = lower;
      lower = each;
    } else if (each < low) low = each;
  }
  return Math.max(0, (value[i] as number) - high, low - (value[i] as number));
}

/** share of the steps that are usual: a fall and an outlier may both be near */
const USUAL = 0.65;

/** A great, still usual step from sample to sample about one of them. */
function usualStep(value: Float64Array, i: number): number {
  const from = Math.max(1, i - AROUND);
  const to = Math.min(value.length - 1, i + AROUND);
  const steps = new Float64Array(Math.max(0, to - from + 1));
  for (let j = from; j <= to; j += 1) {
    steps[j - from] = Math.abs((value[j] as number) - (value[j - 1] as number));
  }
  return quantile(steps, USUAL);
}

/** Means over blocks of `size` samples; the last block may be smaller, but for one below half. */
export function averaged({ time, value }: Samples, size: number): Samples {
  if (size <= 1) return { time, value };
  const count = Math.max(1, Math.round(time.length / size));
  const means = { time: new Float64Array(count), value: new Float64Array(count) };
  for (let k = 0; k < count; k += 1) {
    const [from, to] = [k * size, k === count - 1 ? time.length : (k + 1) * size];
    let [t, v] = [0, 0];
    for (let i = from; i < to; i += 1) {
      t += time[i] as number;
      v += value[i] as number;
    }
    means.time[k] = t / (to - from);
    means.value[k] = v / (to - from);
  }
  return means;
}

/** How many samples to average so that at most `most` are left, each over `least` s or more. */
export function blockSize({ time }: Samples, most: number, least: number): number {
  const n = time.length;
  const lasts = (time[n - 1] as number) - (time[0] as number);
  const interval = lasts / Math.max(1, n - 1);
  const bySize = Math.ceil(n / most);
  const byTime = interval > 0 ? Math.floor(least / interval) : 1;
  return Math.max(1, bySize, byTime);
}
