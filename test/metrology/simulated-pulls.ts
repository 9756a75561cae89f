/** Simulated pulls of every kind, as gauges of many rates and noises record them, with the truth beside. */

import type { GaugeTrace } from '../../src/metrology/index.js';
import type { Hand, PulledCart } from '../reference/pulled-cart.js';
import { pull, record } from '../reference/pulled-cart.js';

export const SLIP_KINDS = ['drop', 'stick and slip', 'level', 'less steep'] as const;
export const HELD_KINDS = ['held', 'let go at once', 'rises to the end'] as const;
export const KINDS = [...SLIP_KINDS, ...HELD_KINDS] as const;
export type Kind = (typeof KINDS)[number];

export interface Setting {
  /** Hz */
  readonly rate: number;
  /** N */
  readonly noise: number;
  /** N */
  readonly step: number;
  readonly spikes: number;
  readonly jitter: number;
  readonly displacement: 'hand' | 'cart' | null;
}

export interface SimulatedPull {
  readonly trace: GaugeTrace;
  /** s of the trace, N of the gauge (with its zero, or mirrored); null: it held */
  readonly truth: { readonly time: number; readonly force: number } | null;
}

export function simulatedPull(kind: Kind, setting: Setting, random: () => number): SimulatedPull {
  const within = (low: number, high: number) => low + (high - low) * random();
  const holds = within(60, 250);
  const cart = cartOf(kind, holds, within);
  const hand = handOf(kind, holds, within);
  const pulled = pull(cart, hand);
  const zero = random() < 0.5 ? 0 : within(-4, 4);
  const drift = within(-0.1, 0.1);
  const { rate, noise, step, spikes, jitter } = setting;
  const displacement =
    setting.displacement === null ? null : { of: setting.displacement, noise: 5e-5, step: 1e-5 };
  const seen = record(
    pulled,
    { rate, noise, step, spikes, jitter, zero, drift, displacement },
    random,
  );
  const sign = random() < 0.5 ? 1 : -1;
  const truth =
    pulled.slip === null
      ? null
      : {
          time: pulled.slip.time - seen.start,
          force: pulled.slip.force + zero + drift * pulled.slip.time,
        };
  return {
    trace: traceOf(
      seen.time,
      seen.force.map((each) => sign * each),
      seen.displacement,
    ),
    truth,
  };
}

type Within = (low: number, high: number) => number;

function cartOf(kind: Kind, holds: number, within: Within): PulledCart {
  const plain = {
    mass: within(20, 90),
    stiffness: within(2000, 12000),
    staticForce: holds,
    hardening: 0,
    viscous: 0,
  };
  switch (kind) {
    case 'drop':
      return { ...plain, kineticForce: holds * within(0.6, 0.9), viscous: within(100, 400) };
    case 'stick and slip':
      return { ...plain, stiffness: within(6000, 20000), kineticForce: holds * within(0.6, 0.85) };
    case 'level':
      return { ...plain, kineticForce: holds, viscous: within(20, 80) };
    case 'less steep':
      return {
        ...plain,
        kineticForce: holds,
        hardening: plain.stiffness * within(0.15, 0.6),
        viscous: 50,
      };
    default:
      return { ...plain, staticForce: 2 * holds, kineticForce: holds };
  }
}

function handOf(kind: Kind, holds: number, within: Within): Hand {
  const slips = SLIP_KINDS.some((each) => each === kind);
  const wobble = [within(0.8, 2), within(2, 4), within(4, 8)].map((hertz) => ({
    share: within(0.05, 0.3),
    hertz,
    phase: within(0, 2 * Math.PI),
  }));
  return {
    idle: within(0, 1.5),
    rate: within(10, 50),
    wobble,
    demand: slips ? null : holds,
    overshoot: kind === 'held' ? within(0, 0.06) : 0,
    sway: holds * within(0.001, 0.006),
    after: slips
      ? within(1.5, 4)
      : kind === 'held'
        ? within(1.5, 6)
        : kind === 'let go at once'
          ? 0.02
          : 0,
    release: kind === 'rises to the end' ? 0 : within(0.05, 0.4),
    rest: within(0, 0.8),
  };
}

export function traceOf(
  time: readonly number[],
  force: readonly number[],
  displacement: readonly number[] | null = null,
): GaugeTrace {
  const headings = {
    time: 'Time (s)',
    force: 'Force (N)',
    displacement: displacement === null ? null : 'Travel (m)',
  };
  return { time, force, displacement, headings, preamble: [], separator: ',', decimal: '.' };
}
