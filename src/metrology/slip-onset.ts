/**
 * Question: at which force does a cart that is pulled harder and harder begin to slip?
 *
 * The force rises while everything holds. Where the cart slips, the force falls behind its rise: it drops,
 * it drops and climbs again and again (stick and slip), it stays level, or it rises less steeply.
 *
 * What a trace of force alone can say. A fall while the hand still pulls is made by the floor: slip. A rise
 * that turns level or less steep is made by the floor or by the hand: a tester who holds the demanded
 * force leaves the same trace as a cart that slides evenly. Then nothing is judged; where the rise breaks is
 * given as a candidate, for the tester who saw which it was. A force that goes straight back to nothing is
 * taken for letting go. Where displacement is recorded, it decides.
 *
 * Validity: one pull, 20 samples or more, 8 of them while the force rises; the pull goes on until it slips,
 * or is let go. Method, its figures on simulated pulls with known truth, and its limits:
 * docs/theory/slip-onset.md.
 */

import type { GaugeTrace } from './gauge-file.js';
import { fitLine, mean } from './line-fit.js';
import type { Measured } from './measured.js';
import type { ChangePoint } from './onset-fit.js';
import { breakPoint, dropPoint } from './onset-window.js';
import type { Slipping } from './trace-displacement.js';
import { slippingOf } from './trace-displacement.js';
import type { PreparedTrace } from './trace-prepared.js';
import { prepare } from './trace-prepared.js';
import { indexAt, ofDisplay, slice } from './trace-samples.js';
import type { Break, Fall, Rise } from './trace-shape.js';
import { breakOf, endOfLoad, firstFall, levelStretch, rateOfRise, riseOf } from './trace-shape.js';

export interface TraceFeature {
  /** s */
  readonly time: number;
  /** N */
  readonly force: number;
}

export interface SlipOnset {
  readonly time: Measured;
  /** N, at the onset */
  readonly force: Measured;
  /** index of the sample nearest to the onset */
  readonly index: number;
  readonly method: string;
}

export interface TraceReading {
  /** the greatest force, single outliers left out */
  readonly peak: TraceFeature;
  /** the longest stretch that stays level; null: there is none */
  readonly hold: {
    /** s */
    readonly from: number;
    readonly to: number;
    /** N, mean over the stretch, with its uncertainty */
    readonly force: Measured;
  } | null;
  /** N per s while it rises */
  readonly rate: number | null;
  readonly onset:
    | { readonly kind: 'found'; readonly onset: SlipOnset }
    /** it holds to the end of the trace: no break of slope that noise does not explain */
    | { readonly kind: 'none'; readonly reason: string }
    /** too short, too coarse, not rising; or held and sliding would look alike */
    | {
        readonly kind: 'not judged';
        readonly reason: string;
        /** where the rise breaks: the onset, should it be slip; null: nothing breaks */
        readonly candidate: SlipOnset | null;
      };
  /** N, standard deviation of the noise from sample to sample */
  readonly noise: number;
  readonly remarks: readonly string[];
}

type Judgement = TraceReading['onset'];

/** samples that a trace has at least, and that its rise has */
const LEAST_SAMPLES = 20;
const LEAST_RISING = 8;

/** Pull and push: the greater way of the force counts as positive. Forces are as the gauge shows them: what
 * it shows before the pull is told, not taken off. */
export function readTrace(trace: GaugeTrace): TraceReading {
  if (trace.time.length < LEAST_SAMPLES) return tooShort(trace);
  const prepared = prepare(trace);
  const rise = riseOf(prepared.blocks, prepared.blockNoise);
  const read = {
    peak: peakOf(prepared),
    noise: prepared.noise,
    remarks: [...outlierRemarks(prepared), ...(rise === null ? [] : zeroRemarks(prepared, rise))],
  };
  if (rise === null) {
    const reason =
      'the force does not rise: it stays within its noise and the steps of the display';
    return { ...read, hold: null, rate: null, onset: notJudged(reason) };
  }
  const shape = shapeOf(prepared, rise);
  const judged = judge(prepared, shape, trace.displacement);
  return {
    ...read,
    hold: holdOf(prepared, shape),
    rate: shape.rate,
    onset: judged.onset,
    remarks: [...read.remarks, ...judged.remarks],
  };
}

function notJudged(reason: string, candidate: SlipOnset | null = null): Judgement {
  return { kind: 'not judged', reason, candidate };
}

function tooShort({ time, force }: GaugeTrace): TraceReading {
  const greatest = force.reduce((p, q) => (Math.abs(q) > Math.abs(p) ? q : p), 0);
  const at = Math.max(0, force.indexOf(greatest));
  return {
    peak: { time: time[at] ?? 0, force: Math.abs(greatest) },
    hold: null,
    rate: null,
    onset: notJudged(`the trace has ${time.length} samples; ${LEAST_SAMPLES} are needed`),
    noise: 0,
    remarks: [],
  };
}

function peakOf({ samples }: PreparedTrace): TraceFeature {
  let best = 0;
  samples.value.forEach((each, i) => {
    if (each > (samples.value[best] as number)) best = i;
  });
  return { time: samples.time[best] as number, force: samples.value[best] as number };
}

function outlierRemarks({ outliers, recorded }: PreparedTrace): string[] {
  const first = outliers[0];
  if (first === undefined) return [];
  const where = `${seconds(recorded.time[first] as number)}, ${newtons(recorded.value[first] as number)}`;
  return outliers.length === 1
    ? [`One sample stands out alone (${where}); it is not used.`]
    : [`${outliers.length} samples stand out alone (the first at ${where}); they are not used.`];
}

/** share of the range from which on a zero that is off is worth a word */
const ZERO_SHARE = 0.01;

function zeroRemarks({ blockNoise }: PreparedTrace, { zero, zeroSeen, range }: Rise): string[] {
  if (!zeroSeen) return ['The trace begins under load or while it rises: its zero is not seen.'];
  if (Math.abs(zero) < Math.max(3 * blockNoise, ZERO_SHARE * range)) return [];
  return [`Before the pull the gauge shows ${newtons(zero)}; this is not taken off.`];
}

interface Shape {
  readonly rise: Rise;
  readonly fall: Fall | null;
  /** index of the last block before the load falls for good */
  readonly end: number;
  readonly rate: number;
  /** null: the rise does not break before it ends */
  readonly broken: Break | null;
}

function shapeOf({ blocks, blockNoise }: PreparedTrace, rise: Rise): Shape {
  const fall = firstFall(blocks, rise, blockNoise);
  const end = endOfLoad(blocks, rise, fall);
  const broken = breakOf(blocks, rise.from, end);
  const rate = broken === null ? rateOfRise(blocks, rise, end) : broken.slopes[0];
  return { rise, fall, end, rate, broken };
}

function holdOf(
  { blocks, blockNoise, samples, resolution }: PreparedTrace,
  shape: Shape,
): TraceReading['hold'] {
  const level = levelStretch(blocks, shape.rise, blockNoise, shape.rate);
  if (level === null) return null;
  const [from, to] = [blocks.time[level.from] as number, blocks.time[level.to] as number];
  const [a, b] = [indexAt(samples.time, from), indexAt(samples.time, to) + 1];
  return { from, to, force: meanOverTime(samples.value.subarray(a, b), resolution) };
}

/** stretches whose means are compared: neighbouring samples are not independent, these nearly are */
const BATCHES = 8;

/** Mean with its uncertainty by batch means, and the display's, which averaging does not lessen where the
 * noise is below a step. */
function meanOverTime(values: Float64Array, resolution: number): Measured {
  const size = Math.max(1, Math.floor(values.length / BATCHES));
  const means = Array.from({ length: Math.min(BATCHES, values.length) }, (_, k) =>
    mean(values.subarray(k * size, (k + 1) * size)),
  );
  const middle = mean(means);
  const spread =
    means.reduce((sum, each) => sum + (each - middle) ** 2, 0) / Math.max(1, means.length - 1);
  return {
    value: mean(values),
    u: Math.hypot(Math.sqrt(spread / means.length), ofDisplay(resolution)),
    dof: Math.max(1, means.length - 1),
  };
}

interface Judged {
  readonly onset: Judgement;
  readonly remarks: readonly string[];
}

function judge(trace: PreparedTrace, shape: Shape, displacement: readonly number[] | null): Judged {
  const { blocks } = trace;
  const until = blocks.time[shape.broken?.index ?? shape.end] as number;
  const rising = countBetween(trace, blocks.time[shape.rise.from] as number, until);
  if (rising < LEAST_RISING) {
    const reason = `only ${rising} samples were taken while the force rises; ${LEAST_RISING} are needed`;
    return { onset: notJudged(reason), remarks: [] };
  }
  const slipping = displacement === null ? null : slippingIn(trace, shape, displacement);
  if (slipping !== null) return byDisplacement(trace, shape, slipping);
  const remarks =
    displacement === null ? [] : ['Too little of the rise is recorded to use the displacement.'];
  return { onset: byForce(trace, shape), remarks };
}

function countBetween({ samples }: PreparedTrace, from: number, to: number): number {
  return indexAt(samples.time, to) - indexAt(samples.time, from) + 1;
}

/** Slope after a break over that before, below which the force stays level. */
const LEVEL = 0.15;

function byForce(trace: PreparedTrace, shape: Shape): Judgement {
  const { rise, fall, end, broken } = shape;
  const time = (index: number) => trace.blocks.time[index] as number;
  const candidate =
    broken === null ? null : onsetOf(trace, breakPoint(trace, rise, broken, end), BREAK);
  if (broken !== null) return alike(broken, candidate, trace);
  if (fall?.kind === 'part') return atDrop(trace, shape, fall);
  if (fall?.kind === 'cut') {
    const reason = `the trace ends while the force falls at ${seconds(time(end))}: slip and letting go look alike`;
    return notJudged(reason, onsetOf(trace, dropPoint(trace, rise, fall), DROP));
  }
  if (fall === null)
    return { kind: 'none', reason: 'the force rises to the end of the trace without a break' };
  const reason = `the force rises without a break until it goes back to nothing at once at ${seconds(time(end))}, as when it is let go`;
  return { kind: 'none', reason };
}

const BREAK = 'break of the slope of the force';
const DROP = 'end of the straight rise before the force drops';

function isLevel({ slopes: [before, after] }: Break): boolean {
  return after < LEVEL * before;
}

function alike(broken: Break, candidate: SlipOnset | null, { blocks }: PreparedTrace): Judgement {
  const from = seconds(candidate?.time.value ?? (blocks.time[broken.index] as number));
  const reason = isLevel(broken)
    ? `the force stays level from ${from} on: a load that is held and a cart that slides evenly look alike without displacement`
    : `the force rises less steeply from ${from} on: a tester who pulls more slowly and a cart that slides look alike without displacement`;
  return notJudged(reason, candidate);
}

function atDrop(trace: PreparedTrace, shape: Shape, fall: Fall): Judgement {
  const onset = onsetOf(trace, dropPoint(trace, shape.rise, fall), DROP);
  if (onset === null) return notJudged('too few samples about the drop of the force');
  return gapAt(trace, onset) ?? { kind: 'found', onset };
}

/** An interval so many times the usual one is a gap. */
const GAP = 10;

function gapAt({ samples, interval }: PreparedTrace, onset: SlipOnset): Judgement | null {
  const { time } = samples;
  const after = Math.min(time.length - 1, Math.max(1, indexAt(time, onset.time.value)));
  const [from, to] = [time[after - 1] as number, time[after] as number];
  if (to - from <= GAP * interval) return null;
  return notJudged(
    `nothing was recorded from ${seconds(from)} to ${seconds(to)}, where it begins to slip`,
  );
}

function onsetOf(
  trace: PreparedTrace,
  change: ChangePoint | null,
  method: string,
): SlipOnset | null {
  return change === null ? null : onsetAt(trace, change, method);
}

function onsetAt(trace: PreparedTrace, change: ChangePoint, method: string): SlipOnset {
  const { interval, resolution, samples } = trace;
  const { time } = samples;
  const after = indexAt(time, change.time.value);
  const [before, next] = [Math.max(0, after - 1), Math.min(time.length - 1, after)];
  const isNext =
    (time[next] as number) - change.time.value < change.time.value - (time[before] as number);
  return {
    time: { ...change.time, u: Math.hypot(change.time.u, ofDisplay(interval)) },
    force: { ...change.value, u: Math.hypot(change.value.u, ofDisplay(resolution)) },
    index: isNext ? next : before,
    method,
  };
}

function slippingIn(
  trace: PreparedTrace,
  shape: Shape,
  displacement: readonly number[],
): Slipping | null {
  const { blocks } = trace;
  const time = (index: number) => blocks.time[index] as number;
  const from = time(shape.rise.from);
  const breaks = time(Math.min(shape.broken?.index ?? shape.end, shape.fall?.peak ?? shape.end));
  // the last fifth before anything breaks is left out: slip may begin before it shows in the force
  const until = from + 0.8 * (breaks - from);
  const release = shape.fall?.kind === 'gone' ? time(shape.end) : time(blocks.time.length - 1);
  return slippingOf(trace, displacement, from, until, release);
}

function byDisplacement(trace: PreparedTrace, shape: Shape, slipping: Slipping): Judged {
  const moved = `${millimetres(slipping.slipped)} beyond what it gives elastically`;
  if (slipping.start === null) {
    const remarks =
      shape.fall?.kind === 'part' ? ['The force falls back without slip: it was eased off.'] : [];
    return {
      onset: { kind: 'none', reason: `the displacement shows no slip: ${moved} at most` },
      remarks,
    };
  }
  const { fall, broken, rise, end } = shape;
  const byForce =
    fall?.kind === 'part' && broken === null
      ? onsetOf(trace, dropPoint(trace, rise, fall), DROP)
      : broken === null
        ? null
        : onsetOf(trace, breakPoint(trace, rise, broken, end), BREAK);
  const onset = closer(byForce, slipOnset(trace, slipping.start));
  return {
    onset: gapAt(trace, onset) ?? { kind: 'found', onset },
    remarks: [`It slips ${moved}.`],
  };
}

/** Two onsets further apart than so many of their uncertainties are not the same event. */
const SAME_EVENT = 3;

/** The better known of the two where they agree; else where the displacement runs away. */
function closer(byForce: SlipOnset | null, bySlip: SlipOnset): SlipOnset {
  if (byForce === null || byForce.time.u >= bySlip.time.u) return bySlip;
  const apart = Math.abs(byForce.time.value - bySlip.time.value);
  return apart <= SAME_EVENT * Math.hypot(byForce.time.u, bySlip.time.u) ? byForce : bySlip;
}

const SLIP = 'displacement beyond what the force explains';

/** s and samples of the rise from which the force at the onset is read */
const READ_FROM = 0.1;
const READ_SAMPLES = 5;
/** s: a mass sets off slowly; where the displacement begins to run away is seen no better than this. */
const SETTING_OFF = 0.035;

/** The force of the straight line before the slip, where the slip begins. */
function slipOnset(trace: PreparedTrace, start: ChangePoint): SlipOnset {
  const { samples, noise } = trace;
  const time = { ...start.time, u: Math.hypot(start.time.u, SETTING_OFF) };
  const to = Math.max(indexAt(samples.time, time.value), READ_SAMPLES);
  const from = Math.min(to - READ_SAMPLES, indexAt(samples.time, time.value - READ_FROM));
  const part = slice(samples, Math.max(0, from), to);
  const line = fitLine(part.time, part.value);
  const residual = Math.sqrt(line.rss / Math.max(1, part.time.length - 2));
  // at the end of n points the variance of a fitted line is 4/n times that of one
  const ofLine = (2 * Math.max(noise, residual)) / Math.sqrt(part.time.length);
  const u = Math.hypot(ofLine, line.b * time.u);
  const value = { value: line.a + line.b * time.value, u, dof: start.time.dof };
  return onsetAt(trace, { ...start, time, value }, SLIP);
}

function seconds(t: number): string {
  return `${Number(t.toPrecision(4))} s`;
}

function newtons(force: number): string {
  return `${Number(force.toPrecision(4))} N`;
}

function millimetres(length: number): string {
  return `${Number((length * 1000).toPrecision(3))} mm`;
}
