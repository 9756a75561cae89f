/**
 * The shape of a pull: where the force begins to rise, where it first falls back and how, where its rise
 * breaks, where it stays level. Coarse: times to about a block; `onset-fit.ts` makes them exact.
 *
 * All indices are of the blocks given. Shares and times below are ours, chosen on simulated pulls
 * (docs/theory/slip-onset.md); no published source.
 */

import type { LineFit } from './line-fit.js';
import { fitLine, fitLineWith } from './line-fit.js';
import type { Samples } from './trace-samples.js';
import { median, slice, spreadOf } from './trace-samples.js';

/** The force climbs from its zero; null: it does not climb by more than noise and display explain. */
export interface Rise {
  /** N, before the pull */
  readonly zero: number;
  /** whether the trace shows the gauge before the pull */
  readonly zeroSeen: boolean;
  /** first index at which the pull is well under way */
  readonly from: number;
  /** N, greatest force above zero */
  readonly range: number;
}

export interface Fall {
  /** index of the greatest force before it */
  readonly peak: number;
  /** index of the least force after it, before it climbs again */
  readonly trough: number;
  /** gone: back to nothing, as when somebody lets go; part: some of it stays; cut: the trace ends while it
   * falls, or too soon after to tell */
  readonly kind: 'gone' | 'part' | 'cut';
  /** index at which half of the fall is over */
  readonly half: number;
  /** N/s, over the middle of the fall, > 0 */
  readonly rate: number;
}

export interface Break {
  readonly index: number;
  /** N/s, before and after */
  readonly slopes: readonly [number, number];
}

/** Share of the range at which the pull is taken to be under way. */
const UNDER_WAY = 0.15;
/** A range below so many standard deviations of the noise is no pull. */
const NOISE_IN_RANGE = 12;

/** Before the pull the force stays within this share of the range, or so many standard deviations of the
 * noise, of its least; */
const QUIET_SHARE = 0.02;
const NOISE_IN_QUIET = 4;
/** and that for so many times longer than the rise takes to climb through it. */
const QUIET_OVER_RISE = 3;

export function riseOf({ time, value }: Samples, noise: number): Rise | null {
  const top = value.reduce((best, each, i) => (each > (value[best] as number) ? i : best), 0);
  const most = value[top] as number;
  const low = value.subarray(0, top + 1).reduce((p, q) => Math.min(p, q));
  const half = value.findIndex((each) => each >= low + 0.5 * (most - low));
  const band = Math.max(QUIET_SHARE * (most - low), NOISE_IN_QUIET * noise);
  const quiet = lastBelow(value, half, low + band);
  const rate =
    (0.5 * (most - low)) / ((time[half] as number) - (time[Math.max(0, quiet)] as number));
  const lasts = (time[Math.max(0, quiet)] as number) - (time[0] as number);
  const zeroSeen = quiet >= 2 && lasts > (QUIET_OVER_RISE * band) / rate;
  const zero = zeroSeen ? median(value.subarray(0, quiet)) : (value[0] as number);
  const range = most - zero;
  if (!(range > NOISE_IN_RANGE * noise)) return null;
  const from = lastBelow(value, half, zero + UNDER_WAY * range) + 1;
  return { zero, zeroSeen, from, range };
}

/** The last index up to `end` with a value below; -1: none. */
function lastBelow(value: Float64Array, end: number, limit: number): number {
  for (let i = Math.min(end, value.length - 1); i >= 0; i -= 1) {
    if ((value[i] as number) < limit) return i;
  }
  return -1;
}

/** A fall counts from this share of the force above zero, */
const LEAST_FALL = 0.08;
/** this share of the whole range, */
const LEAST_FALL_OF_RANGE = 0.05;
/** so many standard deviations of the noise, */
const NOISE_IN_FALL = 8;
/** and so many of the hand's sway about a smooth rise (the greatest fall of a sine is 2.8 of them). */
const SWAY_IN_FALL = 3.5;

/** Less of a fall than this share of the rate of the rise is a hand that eases off. */
const EASED = 0.7;
/** share of the force up to which the rise is taken for its rate */
const RISEN = 0.85;

/** N/s over the middle of the rise up to a peak. */
export function rateOfRise(samples: Samples, rise: Rise, peak: number): number {
  const limit = rise.zero + RISEN * ((samples.value[peak] as number) - rise.zero);
  let to = rise.from;
  while (to < peak && (samples.value[to] as number) < limit) to += 1;
  const part = slice(samples, rise.from, Math.max(to, rise.from + 2));
  return Math.max(fitLine(part.time, part.value).b, Number.MIN_VALUE);
}

/** The first fall from `from` on that neither noise nor a swaying hand explains. */
export function firstFall(samples: Samples, rise: Rise, noise: number): Fall | null {
  let least = 0;
  let start = rise.from;
  for (;;) {
    const fall = fallFrom(samples, rise, Math.max(least, NOISE_IN_FALL * noise), start);
    if (fall === null) return null;
    const sway = SWAY_IN_FALL * swayOf(samples, rise.from, fall.peak);
    const depth = (samples.value[fall.peak] as number) - (samples.value[fall.trough] as number);
    const eased = fall.kind !== 'gone' && fall.rate < EASED * rateOfRise(samples, rise, fall.peak);
    if (depth >= sway && !eased) return fall;
    start = fall.trough;
    if (!eased) least = sway;
  }
}

/** Standard deviation about a parabola: what a hand does beside pulling harder. */
function swayOf(samples: Samples, from: number, to: number): number {
  if (to - from < 6) return 0;
  const { time, value } = centred(samples, from, to);
  const fit = parabola(time, value);
  if (fit === null) return 0;
  return spreadOf(value.map((y, i) => y - bent(fit, time[i] as number)));
}

function bent({ a, b, c }: LineFit, t: number): number {
  return a + b * t + c * t * t;
}

/** share of the force within which a fall has not begun */
const NOT_YET = 0.08;

/** The last index before the load falls for good. */
export function endOfLoad({ value }: Samples, rise: Rise, fall: Fall | null): number {
  if (fall === null) return value.length - 1;
  if (fall.kind !== 'gone') return fall.peak;
  const force = (value[fall.peak] as number) - rise.zero;
  return lastAbove(value, fall.peak, fall.trough, rise.zero + (1 - NOT_YET) * force);
}

function fallFrom(samples: Samples, rise: Rise, least: number, start: number): Fall | null {
  const { value } = samples;
  let peak = start;
  for (let i = start; i < value.length; i += 1) {
    const each = value[i] as number;
    const top = value[peak] as number;
    if (each > top) {
      peak = i;
      continue;
    }
    const due = Math.max(least, LEAST_FALL * (top - rise.zero), LEAST_FALL_OF_RANGE * rise.range);
    if (top - each > due) return fallAt(samples, rise, peak, due);
  }
  return null;
}

/** Below this share of the force at the peak the load is gone, */
const GONE = 0.2;
/** unless it climbs again by this one: a stiff cord swings through on a slip. */
const LOADED_AGAIN = 0.1;

function fallAt(samples: Samples, rise: Rise, peak: number, due: number): Fall {
  const { time, value } = samples;
  const top = value[peak] as number;
  const trough = troughAfter(value, peak, due);
  const stays = stayAfter(samples, rise, peak, trough);
  const bottom = stays ?? (value[trough] as number);
  const at = (part: number) => firstBelow(value, peak, top - part * (top - bottom));
  const [early, half, late] = [at(0.2), at(0.5), at(0.8)];
  const lasts = Math.max(
    (time[late] as number) - (time[early] as number),
    (time[half] as number) - (time[half - 1] as number),
  );
  const kind = stays === null ? kindOfFall(samples, rise, peak, trough, due) : 'part';
  return { peak, trough, kind, half, rate: (0.6 * (top - bottom)) / lasts };
}

/** A fall is over where the force climbs by this share of it again. */
const TURNED = 0.3;

function troughAfter(value: Float64Array, peak: number, due: number): number {
  const top = value[peak] as number;
  let trough = peak;
  for (let i = peak; i < value.length; i += 1) {
    const [each, least] = [value[i] as number, value[trough] as number];
    if (each < least) trough = i;
    else if (each - least > Math.max(due / 2, TURNED * (top - least))) break;
  }
  return trough;
}

/** Of a fall that does not stay on a level. */
function kindOfFall(
  { time, value }: Samples,
  rise: Rise,
  peak: number,
  trough: number,
  due: number,
): Fall['kind'] {
  const force = (value[peak] as number) - rise.zero;
  const left = (value[trough] as number) - rise.zero;
  const climbs = recovers(value, trough);
  if (left < GONE * force && climbs <= Math.max(LOADED_AGAIN * force, due / 2)) return 'gone';
  const ends = (time[value.length - 1] as number) - (time[trough] as number);
  return ends < LEAST_STAY && climbs < due / 2 ? 'cut' : 'part';
}

/** How far it climbs again, for two blocks at least: one may hold an outlier. */
function recovers(value: Float64Array, trough: number): number {
  const least = value[trough] as number;
  let most = least;
  for (let i = trough + 1; i < value.length; i += 1) {
    const both = Math.min(value[i - 1] as number, value[i] as number);
    if (both > most) most = both;
  }
  return most - least;
}

function firstBelow(value: Float64Array, from: number, limit: number): number {
  for (let i = from; i < value.length; i += 1) if ((value[i] as number) <= limit) return i;
  return value.length - 1;
}

/** The last index before `to` with a value of at least the limit; `from` where there is none. */
function lastAbove(value: Float64Array, from: number, to: number, limit: number): number {
  for (let i = to; i > from; i -= 1) if ((value[i] as number) >= limit) return i;
  return from;
}

/** s and share of the whole fall that a level on the way down lasts to count as one */
const LEAST_STAY = 0.15;
const LEAST_STAY_SHARE = 0.3;
/** share of the force that is left on it, */
const LEAST_STAY_FORCE = 0.15;
/** and within which it is one level */
const STAY_BAND = 0.15;
/** blocks at least */
const STAY_BLOCKS = 3;

/** above this share it is not on its way down yet */
const NEAR_PEAK = 0.92;

/** N: the level on which a fall that ends in nothing stays for a while: a cart that slid before it was let
 * go; null: it falls straight through. */
function stayAfter(
  { time, value }: Samples,
  rise: Rise,
  peak: number,
  trough: number,
): number | null {
  const force = (value[peak] as number) - rise.zero;
  if ((value[trough] as number) - rise.zero >= GONE * force) return null;
  const start = lastAbove(value, peak, trough, rise.zero + NEAR_PEAK * force);
  const whole = (time[trough] as number) - (time[start] as number);
  const due = Math.max(LEAST_STAY, LEAST_STAY_SHARE * whole);
  let from = start;
  for (let to = from; to < trough; to += 1) {
    if ((value[to] as number) < rise.zero + LEAST_STAY_FORCE * force) return null;
    while ((value[from] as number) - (value[to] as number) > STAY_BAND * force) from += 1;
    const lasts = (time[to] as number) - (time[from] as number);
    if (lasts >= due && to - from + 1 >= STAY_BLOCKS) return median(value.subarray(from, to + 1));
  }
  return null;
}

/** Share of the squares about a straight line that a broken one must do away with, */
const BETTER_THAN_LINE = 0.5;
/** and of those about a parabola: a rise that bends evenly is no break. */
const BETTER_THAN_PARABOLA = 0.8;
/** The slope after a break over that before. */
export const LESS_STEEP = 0.55;
/** blocks on either side, */
const LEAST_SIDE = 4;
/** and s and share of the whole that the lesser slope lasts. */
const LEAST_LASTING = 0.4;
const LEAST_LASTING_SHARE = 0.12;

/** Where the rise from `from` to `to` breaks into a lesser slope; null: it does not, or no more than it
 * sways or bends. */
export function breakOf(samples: Samples, from: number, to: number): Break | null {
  const { time, value } = centred(samples, from, to);
  const n = time.length;
  if (n < 2 * LEAST_SIDE) return null;
  let best: { readonly k: number; readonly fit: LineFit } | null = null;
  const ends = time[n - 1] as number;
  const due = Math.max(LEAST_LASTING, LEAST_LASTING_SHARE * (ends - (time[0] as number)));
  for (let k = LEAST_SIDE; k < n - LEAST_SIDE && ends - (time[k] as number) >= due; k += 1) {
    const at = time[k] as number;
    const fit = fitLineWith(time, value, (t) => Math.max(0, t - at));
    if (fit !== null && (best === null || fit.rss < best.fit.rss)) best = { k, fit };
  }
  if (best === null) return null;
  const { fit, k } = best;
  const isBreak =
    fit.rss < BETTER_THAN_LINE * fitLine(time, value).rss &&
    fit.rss < BETTER_THAN_PARABOLA * (parabola(time, value)?.rss ?? 0) &&
    fit.b > 0 &&
    fit.b + fit.c < LESS_STEEP * fit.b;
  return isBreak ? { index: from + k, slopes: [fit.b, fit.b + fit.c] } : null;
}

function parabola(time: Float64Array, value: Float64Array): LineFit | null {
  return fitLineWith(time, value, (t) => t * t);
}

/** From one index to another, both kept, times and values from their middle. */
function centred({ time, value }: Samples, from: number, to: number): Samples {
  const middle = (from + to) >> 1;
  return {
    time: time.subarray(from, to + 1).map((t) => t - (time[middle] as number)),
    value: value.subarray(from, to + 1).map((v) => v - (value[middle] as number)),
  };
}

/** A level stretch stays within this share of the greatest force, */
const LEVEL_BAND = 0.06;
/** lasts so long, s, */
const LEAST_LEVEL = 0.5;
/** so many times longer than the rise takes to climb through the band, */
const LEVEL_OVER_RISE = 2.5;
/** and is at least this share of the greatest force. */
const LEAST_LEVEL_FORCE = 0.3;

/** The longest stretch that stays level under load, from and to an index; null: none. */
export function levelStretch(
  { time, value }: Samples,
  rise: Rise,
  noise: number,
  rate: number,
): { readonly from: number; readonly to: number } | null {
  const band = Math.max(LEVEL_BAND * rise.range, NOISE_IN_FALL * noise);
  const least = rise.zero + LEAST_LEVEL_FORCE * rise.range;
  const due = Math.max(LEAST_LEVEL, (LEVEL_OVER_RISE * band) / rate);
  const [highs, lows]: [number[], number[]] = [[], []];
  let longest: { from: number; to: number } | null = null;
  let from = rise.from;
  const lasts = (a: number, b: number) => (time[b] as number) - (time[a] as number);
  for (let i = rise.from; i < value.length; i += 1) {
    const each = value[i] as number;
    if (each < least) {
      [highs.length, lows.length, from] = [0, 0, i + 1];
      continue;
    }
    while (highs.length > 0 && (value[highs.at(-1) as number] as number) <= each) highs.pop();
    while (lows.length > 0 && (value[lows.at(-1) as number] as number) >= each) lows.pop();
    highs.push(i);
    lows.push(i);
    while ((value[highs[0] as number] as number) - (value[lows[0] as number] as number) > band) {
      from += 1;
      if ((highs[0] as number) < from) highs.shift();
      if ((lows[0] as number) < from) lows.shift();
    }
    if (
      lasts(from, i) >= due &&
      (longest === null || lasts(from, i) > lasts(longest.from, longest.to))
    ) {
      longest = { from, to: i };
    }
  }
  return longest === null ? null : trimmed(value, longest.from, longest.to, band / 4);
}

/** Without what leads up to the level and away from it: both ends lie close to its middle. */
function trimmed(
  value: Float64Array,
  first: number,
  last: number,
  close: number,
): { readonly from: number; readonly to: number } {
  const middle = median(value.subarray(first, last + 1));
  const isClose = (i: number) => Math.abs((value[i] as number) - middle) <= close;
  let [from, to] = [first, last];
  while (from < to && !isClose(from)) from += 1;
  while (to > from && !isClose(to)) to -= 1;
  return { from, to };
}
