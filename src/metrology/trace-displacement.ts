/**
 * Question: does the displacement go on where the force does not?
 *
 * While everything holds, cart, cord and gauge give elastically: the displacement follows the force,
 * u = u0 + F / k. What is left, s = u - u0 - F / k, is slip: for the travel of a test stand as for a
 * displacement of the cart itself. k is fitted over the rise, below where anything breaks.
 */

import { fitLine } from './line-fit.js';
import type { ChangePoint } from './onset-fit.js';
import { changePoint } from './onset-fit.js';
import type { PreparedTrace } from './trace-prepared.js';
import {
  averaged,
  blockSize,
  indexAt,
  noiseOf,
  ofDisplay,
  resolutionOf,
  samplesOf,
  slice,
  spreadOf,
  withoutOutliers,
} from './trace-samples.js';

export interface Slipping {
  /** m, how far it slipped before the load was let go */
  readonly slipped: number;
  /** m: what counts as slip: more than noise, display and elasticity leave open */
  readonly least: number;
  /** where it begins; null: it does not slip, or too few samples tell */
  readonly start: ChangePoint | null;
}

/** m: less is creepage of a tread rather than slip of a cart (ours, no source). */
const LEAST_SLIP = 0.0005;
/** share of the elastic travel that a spring which is not quite one may be off by */
const ELASTIC_ERROR = 0.1;
const NOISE_IN_SLIP = 8;

/**
 * @param displacement m, a value a sample
 * @param from, until s: the rise that is surely elastic
 * @param end s: when the load is let go
 * @returns null where the rise holds too few samples
 */
export function slippingOf(
  trace: PreparedTrace,
  displacement: readonly number[],
  from: number,
  until: number,
  end: number,
): Slipping | null {
  const { time } = trace.samples;
  const given = samplesOf([...time], displacement);
  const resolution = resolutionOf(given);
  const clean = withoutOutliers(given, noiseOf(given, resolution)).samples;
  const [a, b, e] = [indexAt(time, from), indexAt(time, until), indexAt(time, end)];
  if (b - a < 5) return null;
  const force = trace.samples.value;
  const elastic = fitLine(force.subarray(a, b), clean.value.subarray(a, b));
  const way =
    Math.sign((clean.value[Math.min(e, time.length - 1)] as number) - (clean.value[a] as number)) ||
    1;
  const left = clean.value.map((u, i) => way * (u - elastic.a - elastic.b * (force[i] as number)));
  const noise = Math.max(spreadOf(left.subarray(a, b)), ofDisplay(resolution));
  const range = Math.abs(elastic.b) * ((force[b - 1] as number) - (force[a] as number));
  const least = Math.max(LEAST_SLIP, ELASTIC_ERROR * range, NOISE_IN_SLIP * noise);
  const slipped = averaged(
    { time: time.subarray(a, e), value: left.subarray(a, e) },
    3,
  ).value.reduce((most, each) => Math.max(most, each), 0);
  if (slipped <= least) return { slipped, least, start: null };
  const past = firstPast(left, a, e, least);
  const whole = slice({ time, value: left.map((s) => -s) }, a, Math.min(e, past + 1));
  const size = blockSize(whole, 250, 0.002);
  return { slipped, least, start: changePoint(averaged(whole, size), noise / Math.sqrt(size)) };
}

/** The first sample from which on the slip stays past its least for three samples. */
function firstPast(left: Float64Array, from: number, to: number, least: number): number {
  let run = 0;
  for (let i = from; i < to; i += 1) {
    run = (left[i] as number) > least ? run + 1 : 0;
    if (run === 3) return i;
  }
  return to - 1;
}
