/**
 * Question: when does a straight line end, and what does it read there?
 *
 * Model, in a window about the end:
 *
 *     y(t) = a + b (t - t0) - c max(0, t - T)^p + noise,   c >= 0
 *
 * T: the change point; p = 0: a fall within one sample (stiff, light); p = 1: the slope breaks (the hand or
 * the floor changes at once); p = 2: a mass sets off under a constant lack of force, so that the force
 * falls short of its line by a square of time. a + b (T - t0) is the reading at the change.
 *
 * Estimate: each T of a grid and each p gets the likelihood of its least-squares fit; mean and variance of
 * T and of the reading are taken over all of them, so that what the data leave open, p included, is in the
 * uncertainty (a flat prior over T and p; profile likelihood in a, b, c). Outliers are taken away before.
 *
 * Noise that goes on from sample to sample (a hand that sways) is allowed for by the autocorrelation of the
 * residuals: n samples then count as n / phi.
 */

import type { LineFit } from './line-fit.js';
import { fitLineWith } from './line-fit.js';
import type { Measured } from './measured.js';
import type { Samples } from './trace-samples.js';

export interface ChangePoint {
  /** s */
  readonly time: Measured;
  /** reading there, unit of the samples */
  readonly value: Measured;
  /** residual standard deviation of the likeliest fit */
  readonly residual: number;
  /** slope of the line before, unit per s */
  readonly slope: number;
}

/** How a reading falls behind its line, from 0 at the change to 1 at the end of the window. */
const SHAPES: readonly ((share: number) => number)[] = [
  () => 1,
  (s) => s,
  (s) => s ** 2,
  (s) => s ** 3,
  (s) => (1 - Math.cos(1.6 * s)) / (1 - Math.cos(1.6)),
  (s) => (1 - Math.cos(2.4 * s)) / (1 - Math.cos(2.4)),
  (s) => (2.2 * s - Math.sin(2.2 * s)) / (2.2 - Math.sin(2.2)),
];
type Shape = (share: number) => number;

/** samples that a line needs before the change, and that the change needs after */
const LEAST_BEFORE = 3;
const LEAST_AFTER = 1;
/** parameters fitted: a, b, c, T */
const PARAMETERS = 4;

interface Fit extends LineFit {
  readonly shape: Shape;
  readonly at: number;
}

/** Least squares of a, b, c at one T and p; null where nothing falls behind the line, or the samples do
 * not tell the three apart. */
function fitAt({ time, value }: Samples, at: number, shape: Shape): Fit | null {
  const tail = (time[time.length - 1] as number) - at;
  const fit = fitLineWith(time, value, fallOf(at, tail, shape));
  return fit === null || fit.c > 0 ? null : { ...fit, shape, at };
}

function fallOf(at: number, tail: number, shape: Shape): (t: number) => number {
  return (t) => (t > at ? shape((t - at) / tail) : 0);
}

function grid(from: number, to: number, count: number): number[] {
  return Array.from({ length: count + 1 }, (_, i) => from + ((to - from) * i) / count);
}

/** A fit less likely than the best by this factor (as its logarithm) does not count. */
const NEGLIGIBLE = 14;
const COARSE = 80;
const FINE = 100;

/**
 * The change point of the samples, or null where there are too few or nothing falls behind its line.
 *
 * @param noise least standard deviation that the residuals are taken to have
 * @param from, to s: where the change may be; default: anywhere
 */
export function changePoint(
  samples: Samples,
  noise: number,
  from = Number.NEGATIVE_INFINITY,
  to = Number.POSITIVE_INFINITY,
): ChangePoint | null {
  const { time } = samples;
  const n = time.length;
  if (n < LEAST_BEFORE + LEAST_AFTER + 1) return null;
  const first = Math.max(from, time[LEAST_BEFORE - 1] as number);
  const last = Math.min(to, time[n - 1 - LEAST_AFTER] as number);
  if (!(last > first)) return null;
  const centred = centre(samples);
  const coarse = fitsOver(centred, grid(first - centred.origin, last - centred.origin, COARSE));
  const best = least(coarse);
  if (best === null) return null;
  const fine = fitsOver(centred, finePlaces(coarse, best, scaleOf(centred, best, noise)));
  const likeliest = least(fine) ?? best;
  return mixed(fine, likeliest, scaleOf(centred, likeliest, noise), centred);
}

/** A closer grid over the places that are likely at all. */
function finePlaces(coarse: readonly Fit[], best: Fit, scale: Scale): readonly number[] {
  const places = coarse.map(({ at }) => at);
  const [first, last] = [Math.min(...places), Math.max(...places)];
  const step = (last - first) / COARSE;
  const likely = coarse
    .filter(({ rss }) => rss - best.rss < 2 * NEGLIGIBLE * scale.variance)
    .map(({ at }) => at);
  return grid(
    Math.max(first, Math.min(...likely) - step),
    Math.min(last, Math.max(...likely) + step),
    FINE,
  );
}

/** Times and values from about their middle: sums of squares lose digits far from 0. */
interface Centred extends Samples {
  readonly origin: number;
  readonly level: number;
}

function centre({ time, value }: Samples): Centred {
  const origin = time[time.length >> 1] as number;
  const level = value[value.length >> 1] as number;
  return {
    time: time.map((t) => t - origin),
    value: value.map((each) => each - level),
    origin,
    level,
  };
}

function fitsOver(samples: Centred, places: readonly number[]): readonly Fit[] {
  return places.flatMap((at) => SHAPES.flatMap((shape) => fitAt(samples, at, shape) ?? []));
}

function least(fits: readonly Fit[]): Fit | null {
  return fits.reduce<Fit | null>((p, q) => (p === null || q.rss < p.rss ? q : p), null);
}

interface Scale {
  /** residual variance times phi: what a change of the sum of squares is measured by */
  readonly variance: number;
  readonly residual: number;
  readonly dof: number;
}

function scaleOf(samples: Centred, fit: Fit, noise: number): Scale {
  const n = samples.time.length;
  const residual = Math.sqrt(Math.max(fit.rss / Math.max(1, n - PARAMETERS), noise * noise));
  const phi = inflation(residualsOf(samples, fit));
  return {
    residual,
    variance: residual * residual * phi,
    dof: Math.max(2, n / phi - PARAMETERS),
  };
}

function residualsOf({ time, value }: Centred, { a, b, c, at, shape }: Fit): Float64Array {
  const fall = fallOf(at, (time[time.length - 1] as number) - at, shape);
  return value.map((y, i) => {
    const t = time[i] as number;
    return y - (a + b * t + c * fall(t));
  });
}

/** phi: 1 + 2 x the sum of autocorrelations up to the first that is not above what chance gives. */
function inflation(residuals: Float64Array): number {
  const n = residuals.length;
  let power = 0;
  for (const each of residuals) power += each * each;
  if (power === 0) return 1;
  let phi = 1;
  for (let lag = 1; lag < n / 3; lag += 1) {
    let sum = 0;
    for (let i = lag; i < n; i += 1)
      sum += (residuals[i] as number) * (residuals[i - lag] as number);
    const rho = sum / power;
    if (rho < 1 / Math.sqrt(n)) break;
    phi += 2 * rho;
  }
  return phi;
}

function mixed(fits: readonly Fit[], best: Fit, scale: Scale, samples: Centred): ChangePoint {
  let [total, t, tt, y, yy] = [0, 0, 0, 0, 0];
  for (const fit of fits) {
    const weight = Math.exp((best.rss - fit.rss) / (2 * scale.variance));
    const x = fit.at;
    const read = fit.a + fit.b * x;
    const spread = scale.variance * (fit.aa + 2 * fit.ab * x + fit.bb * x * x);
    total += weight;
    t += weight * x;
    tt += weight * x * x;
    y += weight * read;
    yy += weight * (read * read + spread);
  }
  const [time, value] = [t / total, y / total];
  return {
    time: {
      value: time + samples.origin,
      u: Math.sqrt(Math.max(0, tt / total - time * time)),
      dof: scale.dof,
    },
    value: {
      value: value + samples.level,
      u: Math.sqrt(Math.max(0, yy / total - value * value)),
      dof: scale.dof,
    },
    residual: scale.residual,
    slope: best.b,
  };
}
