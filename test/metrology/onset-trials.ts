/** Many simulated pulls of one kind read, and what came of them against the truth. */

import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import type { Measured, TraceReading } from '../../src/metrology/index.js';
import { readTrace } from '../../src/metrology/index.js';
import { seededRandom } from '../reference/random.js';
import type { Kind, Setting, SimulatedPull } from './simulated-pulls.js';
import { simulatedPull } from './simulated-pulls.js';

export interface Errors {
  readonly median: number;
  readonly p5: number;
  readonly p95: number;
  /** share of the 95 % intervals that hold the truth */
  readonly coverage: number;
  /** median of the standard uncertainty stated */
  readonly u: number;
}

export interface OnsetTrials {
  readonly pulls: number;
  readonly found: number;
  /** not judged, with a candidate */
  readonly candidate: number;
  readonly none: number;
  /** not judged, and no candidate */
  readonly unread: number;
  /** share of the true force; null: it held */
  readonly force: Errors | null;
  /** s */
  readonly time: Errors | null;
}

export type Settings = (random: () => number) => Setting;

/** 10 Hz to 2 kHz, noise of 0.02 N to 2 N, displays of 0.01 N to 1 N, some with spikes, some uneven. */
export function anySetting(displacement: Setting['displacement']): Settings {
  return (random) => ({
    rate: 10 * 200 ** random(),
    noise: 0.02 * 100 ** random(),
    step: [0.01, 0.1, 0.5, 1][Math.floor(4 * random())] ?? 0.1,
    spikes: random() < 0.3 ? 0.002 : 0,
    jitter: random() < 0.5 ? 0.4 * random() : 0,
    displacement,
  });
}

type Trial = SimulatedPull & { readonly reading: TraceReading };

export function onsetTrials(
  kind: Kind,
  settings: Settings,
  pulls: number,
  seed: number,
): OnsetTrials {
  const random = seededRandom(seed);
  const trials = Array.from({ length: pulls }, (): Trial => {
    const simulated = simulatedPull(kind, settings(random), random);
    return { ...simulated, reading: readTrace(simulated.trace) };
  });
  const count = (test: (onset: TraceReading['onset']) => boolean) =>
    trials.filter(({ reading }) => test(reading.onset)).length;
  return {
    pulls,
    found: count((onset) => onset.kind === 'found'),
    candidate: count((onset) => onset.kind === 'not judged' && onset.candidate !== null),
    none: count((onset) => onset.kind === 'none'),
    unread: count((onset) => onset.kind === 'not judged' && onset.candidate === null),
    force: errorsOf(trials, 'force'),
    time: errorsOf(trials, 'time'),
  };
}

function errorsOf(trials: readonly Trial[], of: 'force' | 'time'): Errors | null {
  const pairs = trials.flatMap(({ truth, reading: { onset } }) => {
    const read =
      onset.kind === 'found' ? onset.onset : onset.kind === 'none' ? null : onset.candidate;
    if (truth === null || read === null) return [];
    const unit = of === 'force' ? truth.force : 1;
    const { value, u, dof } = read[of];
    return [{ error: (value - truth[of]) / unit, u: u / unit, k: coverageFactor(dof) }];
  });
  if (pairs.length === 0) return null;
  const errors = pairs.map(({ error }) => error);
  return {
    median: share(errors, 0.5),
    p5: share(errors, 0.05),
    p95: share(errors, 0.95),
    coverage: pairs.filter(({ error, u, k }) => Math.abs(error) <= k * u).length / pairs.length,
    u: share(
      pairs.map(({ u }) => u),
      0.5,
    ),
  };
}

/** For 95 %, two-sided (JCGM 100:2008, table G.2). */
function coverageFactor(dof: Measured['dof']): number {
  return dof === null ? 1.96 : tQuantile(0.975, dof);
}

function share(values: readonly number[], part: number): number {
  const sorted = [...values].sort((p, q) => p - q);
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;
}
