/**
 * A cart pulled by hand over dry friction, with the instant and the force of its first slip known.
 *
 * A block of mass m on a floor that takes Fs before it slips and Fk once it does, pulled through a spring
 * (gauge, cord and arm) whose far end the hand moves:
 *
 *     m x'' = F - Fk - h x - c x'   while it slides,   F = k (hand - x)
 *
 * It slips where F reaches Fs, and sticks again where its speed comes to zero while F is below Fs. This is
 * the usual textbook model of stick and slip (a mass on a moving belt). h > 0 makes the floor give more
 * resistance the further it slides, c the faster: the force then goes on rising, less steeply.
 *
 * SI. Integrated in steps of 0.1 ms by the semi-implicit Euler method; the instant of the slip is found
 * between two steps by a straight line.
 */

export interface PulledCart {
  /** kg */
  readonly mass: number;
  /** N/m, of gauge, cord and arm */
  readonly stiffness: number;
  /** N */
  readonly staticForce: number;
  /** N */
  readonly kineticForce: number;
  /** N/m, more resistance the further it slides */
  readonly hardening: number;
  /** N s/m */
  readonly viscous: number;
}

/** How the hand moves: the speed it aims at, and what it wobbles about it. */
export interface Hand {
  /** s of nothing before the pull */
  readonly idle: number;
  /** N/s: speed times stiffness */
  readonly rate: number;
  /** share of the speed at which it wobbles, by frequency in Hz and phase in rad */
  readonly wobble: readonly {
    readonly share: number;
    readonly hertz: number;
    readonly phase: number;
  }[];
  /** N: the force at which the hand stops, or null: it pulls on */
  readonly demand: number | null;
  /** share of the demand by which it first goes too far */
  readonly overshoot: number;
  /** N: how far a hand that holds sways */
  readonly sway: number;
  /** s it holds or, without a demand, pulls on after the first slip */
  readonly after: number;
  /** s that letting go takes; 0: the record ends before it lets go */
  readonly release: number;
  /** s recorded after it has let go */
  readonly rest: number;
}

export interface Pull {
  /** s, steps of 1 ms */
  readonly time: readonly number[];
  /** N */
  readonly force: readonly number[];
  /** m, of the cart */
  readonly slid: readonly number[];
  /** m, of the hand */
  readonly hand: readonly number[];
  /** the first slip; null: it held */
  readonly slip: { readonly time: number; readonly force: number } | null;
}

const STEP = 1e-4;
const KEPT = 10;
/** s: no pull lasts longer */
const LONGEST = 120;
/** s in which a hand comes back from too much */
const SETTLING = 0.35;

/** rad/s: how quickly a hand that holds corrects the force */
const CORRECTION = 8;

export function pull(cart: PulledCart, hand: Hand): Pull {
  const speed = hand.rate / cart.stiffness;
  const kept = {
    time: [] as number[],
    force: [] as number[],
    slid: [] as number[],
    hand: [] as number[],
  };
  let [x, v, at] = [0, 0, 0];
  let slides = false;
  let slip: Pull['slip'] = null;
  let turned: number | null = null;
  let lets: { time: number; force: number } | null = null;
  for (let i = 0; i * STEP < LONGEST; i += 1) {
    const t = i * STEP;
    const before = cart.stiffness * (at - x);
    if (turned === null && hand.demand !== null && before >= hand.demand * (1 + hand.overshoot)) {
      turned = t;
    }
    const since =
      hand.demand === null
        ? slip === null
          ? null
          : t - slip.time
        : turned === null
          ? null
          : t - turned;
    if (lets === null && since !== null && since >= hand.after) lets = { time: t, force: before };
    if (lets !== null && t - lets.time > hand.release + hand.rest) break;
    if (lets !== null && hand.release === 0) break;
    at += STEP * handSpeed();
    const force = Math.max(0, cart.stiffness * (at - x));
    if (!slides && force > cart.staticForce) {
      slides = true;
      const share = (cart.staticForce - before) / (force - before);
      slip ??= { time: t + STEP * share, force: cart.staticForce };
    }
    if (slides) {
      const resistance = cart.kineticForce + cart.hardening * x + cart.viscous * v;
      v += (STEP * (force - resistance)) / cart.mass;
      if (v <= 0) [v, slides] = [0, false];
      x += STEP * v;
    }
    if (i % KEPT === 0) {
      kept.time.push(t + STEP);
      kept.force.push(Math.max(0, cart.stiffness * (at - x)));
      kept.slid.push(x);
      kept.hand.push(at);
    }

    function handSpeed(): number {
      if (t < hand.idle) return 0;
      if (lets !== null) {
        const share = Math.min(1, (t - lets.time) / hand.release);
        const wanted = lets.force * (1 - share);
        return (wanted - before) / cart.stiffness / 0.005;
      }
      if (turned !== null && hand.demand !== null) {
        const settling = Math.exp(-(t - turned) / SETTLING);
        const swayed = hand.wobble.reduce(
          (sum, { hertz, phase }) =>
            sum +
            Math.sin(2 * Math.PI * hertz * (t - turned!) + phase) -
            Math.sin(phase) * settling,
          0,
        );
        const wanted = hand.demand * (1 + hand.overshoot * settling) + hand.sway * swayed;
        return (CORRECTION * (wanted - before)) / cart.stiffness;
      }
      const wobbled = hand.wobble.reduce(
        (sum, { share, hertz, phase }) => sum + share * Math.sin(2 * Math.PI * hertz * t + phase),
        1,
      );
      return speed * wobbled;
    }
  }
  return { ...kept, slip };
}

/** How a gauge records a pull. */
export interface Gauge {
  /** Hz */
  readonly rate: number;
  /** share of the interval by which samples come early or late, 0 to below 0.5 */
  readonly jitter: number;
  /** N, standard deviation from sample to sample */
  readonly noise: number;
  /** N, of the display; 0: none */
  readonly step: number;
  /** N */
  readonly zero: number;
  /** N/s */
  readonly drift: number;
  /** share of samples that are spikes */
  readonly spikes: number;
  /** m, of the displacement, which is that of the hand (a test stand) or of the cart; null: none */
  readonly displacement: {
    readonly of: 'hand' | 'cart';
    readonly noise: number;
    readonly step: number;
  } | null;
}

export interface Recorded {
  readonly time: number[];
  readonly force: number[];
  readonly displacement: number[] | null;
  /** s on the clock of the pull at which the record has its 0 */
  readonly start: number;
}

/** @param random numbers in [0, 1) */
export function record(pulled: Pull, gauge: Gauge, random: () => number): Recorded {
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const last = pulled.time.at(-1) ?? 0;
  const most = Math.max(...pulled.force);
  const displacement: number[] | null = gauge.displacement === null ? null : [];
  const out = { time: [] as number[], force: [] as number[], displacement };
  const start = random() / gauge.rate;
  for (let i = 0; ; i += 1) {
    const t = start + (i + gauge.jitter * (2 * random() - 1)) / gauge.rate;
    if (t > last) break;
    if (t < 0) continue;
    const spike = random() < gauge.spikes ? most * (random() < 0.5 ? -1 : 1) * (0.3 + random()) : 0;
    const force = between(pulled.time, pulled.force, t) + gauge.zero + gauge.drift * t;
    out.time.push(t);
    out.force.push(stepped(force + gauge.noise * normal() + spike, gauge.step));
    if (gauge.displacement !== null && out.displacement !== null) {
      const { of, noise, step } = gauge.displacement;
      const at = between(pulled.time, of === 'hand' ? pulled.hand : pulled.slid, t);
      out.displacement.push(stepped(at + noise * normal(), step));
    }
  }
  const first = out.time[0] ?? 0;
  return { ...out, time: out.time.map((t) => t - first), start: first };
}

function stepped(value: number, step: number): number {
  return step === 0 ? value : Math.round(value / step) * step;
}

function between(times: readonly number[], values: readonly number[], t: number): number {
  const first = times[0] ?? 0;
  const place = (t - first) / (KEPT * STEP);
  const i = Math.min(times.length - 2, Math.max(0, Math.floor(place)));
  const share = Math.min(1, Math.max(0, place - i));
  return (values[i] ?? 0) * (1 - share) + (values[i + 1] ?? 0) * share;
}
