/**
 * Question: which values may a variable of a configuration take, and how is a set of configurations
 * cut into boxes?
 *
 * A domain is a sorted list of closed intervals that do not touch; an interval of no width is a
 * point (a stop). A box is, for each variable, a run of consecutive pieces of its domain together
 * with the hull of what is left of them. Only a run of one piece is ever cut inside that piece, so
 * the hull of a run of several is exactly from the lower end of its first piece to the upper end of
 * its last.
 *
 * Variables are those of the mass model: mover values (m, rad), then load masses (kg).
 */

/** Where a variable may be: [from, to] pieces, ascending, at least one, from <= to < next from. */
export type Domain = readonly (readonly [number, number])[];

/** One domain for every variable. */
export interface ConfigurationDomain {
  readonly domains: readonly Domain[];
}

/** A box of configurations. All arrays have one entry for each variable. */
export interface ConfigurationBox {
  /** hull, lower ends */
  readonly lo: Float64Array;
  /** hull, upper ends */
  readonly hi: Float64Array;
  /** first and last piece of the domain that the box holds */
  readonly first: Int32Array;
  readonly last: Int32Array;
}

/**
 * What a mover can do.
 *
 * @param mover from <= to; stops ascending, or null for any value in between
 */
export function moverDomain(mover: {
  readonly from: number;
  readonly to: number;
  readonly stops: readonly number[] | null;
}): Domain {
  if (mover.stops === null) return [piece(mover.from, mover.to)];
  return joined(mover.stops.map((stop) => piece(stop, stop)));
}

/**
 * What a load can weigh: any mass from least to most, or nothing where it may be absent.
 *
 * @param load kg, 0 <= least <= most
 */
export function loadDomain(load: {
  readonly least: number;
  readonly most: number;
  readonly mayBeAbsent: boolean;
}): Domain {
  const present = piece(load.least, load.most);
  return load.mayBeAbsent ? joined([piece(0, 0), present]) : [present];
}

/** The part of a domain within [from, to]; empty when there is none. */
export function restricted(domain: Domain, from: number, to: number): Domain {
  const kept: (readonly [number, number])[] = [];
  for (const [low, high] of domain) {
    const cut = [Math.max(low, from), Math.min(high, to)] as const;
    if (cut[0] <= cut[1]) kept.push(cut);
  }
  return kept;
}

/**
 * The domain of every variable of a position: what the mover or load can do, cut to what the
 * position asks for.
 *
 * @throws Error when nothing is left for a variable; the document layer refuses such positions
 */
export function positionDomain(
  movers: readonly {
    readonly name: string;
    readonly from: number;
    readonly to: number;
    readonly stops: readonly number[] | null;
  }[],
  loads: readonly { readonly name: string }[],
  position: {
    readonly movers: Readonly<Record<string, { readonly from: number; readonly to: number }>>;
    readonly loads: Readonly<
      Record<
        string,
        { readonly least: number; readonly most: number; readonly mayBeAbsent: boolean }
      >
    >;
  },
): ConfigurationDomain {
  const ofMovers = movers.map((mover) => {
    const range = position.movers[mover.name];
    if (range === undefined) throw new Error(`domain: the position has no mover ${mover.name}`);
    const domain = restricted(moverDomain(mover), range.from, range.to);
    if (domain.length > 0) return domain;
    throw new Error(`domain: mover ${mover.name} cannot be in ${range.from} to ${range.to}`);
  });
  const ofLoads = loads.map((load) => {
    const state = position.loads[load.name];
    if (state === undefined) throw new Error(`domain: the position has no load ${load.name}`);
    return loadDomain(state);
  });
  return { domains: [...ofMovers, ...ofLoads] };
}

/** The box of the whole domain. */
export function rootBox(domain: ConfigurationDomain): ConfigurationBox {
  const count = domain.domains.length;
  const box = {
    lo: new Float64Array(count),
    hi: new Float64Array(count),
    first: new Int32Array(count),
    last: new Int32Array(count),
  };
  domain.domains.forEach((pieces, v) => {
    const last = pieces.length - 1;
    box.lo[v] = pieceAt(pieces, 0)[0];
    box.hi[v] = pieceAt(pieces, last)[1];
    box.last[v] = last;
  });
  return box;
}

/**
 * The two boxes that a box falls into along one variable: between pieces where the box holds more
 * than one (at the gap nearest the middle of the run), else at the middle of the piece.
 *
 * @throws Error when the variable is down to a point
 */
export function split(
  domain: ConfigurationDomain,
  box: ConfigurationBox,
  variable: number,
): readonly [ConfigurationBox, ConfigurationBox] {
  const lo = box.lo[variable] as number;
  const hi = box.hi[variable] as number;
  if (!(lo < hi)) throw new Error(`domain: variable ${variable} is at ${lo}, nothing to split`);
  const first = box.first[variable] as number;
  const last = box.last[variable] as number;
  const left = copy(box);
  const right = copy(box);
  if (first < last) {
    const pieces = domain.domains[variable] as Domain;
    const cut = (first + last) >> 1;
    left.last[variable] = cut;
    left.hi[variable] = pieceAt(pieces, cut)[1];
    right.first[variable] = cut + 1;
    right.lo[variable] = pieceAt(pieces, cut + 1)[0];
    return [left, right];
  }
  const middle = lo + 0.5 * (hi - lo);
  left.hi[variable] = middle;
  right.lo[variable] = middle;
  return [left, right];
}

/** true when the variable can still be split: its ends differ, and not only in the last digit */
export function canSplit(box: ConfigurationBox, variable: number): boolean {
  const lo = box.lo[variable] as number;
  const hi = box.hi[variable] as number;
  if ((box.first[variable] as number) < (box.last[variable] as number)) return true;
  const middle = lo + 0.5 * (hi - lo);
  return lo < middle && middle < hi;
}

/** hi - lo of a variable, m, rad or kg */
export function width(box: ConfigurationBox, variable: number): number {
  return (box.hi[variable] as number) - (box.lo[variable] as number);
}

/**
 * The configuration in the middle of a box, every variable in its domain (moved to the nearest
 * piece where the middle falls in a gap; the lower one when two are as near).
 *
 * @param out filled with the variables
 */
export function centre(
  domain: ConfigurationDomain,
  box: ConfigurationBox,
  out: Float64Array,
): void {
  for (let v = 0; v < box.lo.length; v++) {
    const middle = (box.lo[v] as number) + 0.5 * width(box, v);
    out[v] = snapped(domain, box, v, middle);
  }
}

/** The value nearest to `value` that a variable can take within a box. */
export function snapped(
  domain: ConfigurationDomain,
  box: ConfigurationBox,
  variable: number,
  value: number,
): number {
  const within = Math.min(box.hi[variable] as number, Math.max(box.lo[variable] as number, value));
  const first = box.first[variable] as number;
  const last = box.last[variable] as number;
  if (first === last) return within;
  const pieces = domain.domains[variable] as Domain;
  let best = pieceAt(pieces, first)[0];
  for (let i = first; i <= last; i++) {
    const [low, high] = pieceAt(pieces, i);
    const candidate = Math.min(high, Math.max(low, within));
    if (Math.abs(candidate - within) < Math.abs(best - within)) best = candidate;
  }
  return best;
}

/** The value nearest to `value` in a domain; the lower one when two are as near. */
export function nearestIn(domain: Domain, value: number): number {
  const at = domain.map(([from, to]) => Math.min(to, Math.max(from, value)));
  return at.reduce((p, q) => (Math.abs(q - value) < Math.abs(p - value) ? q : p));
}

/** true when every variable of x is in its domain */
export function contains(domain: ConfigurationDomain, x: Float64Array): boolean {
  return domain.domains.every((pieces, v) => {
    const value = x[v] as number;
    return pieces.some(([low, high]) => low <= value && value <= high);
  });
}

function copy(box: ConfigurationBox): ConfigurationBox {
  return {
    lo: box.lo.slice(),
    hi: box.hi.slice(),
    first: box.first.slice(),
    last: box.last.slice(),
  };
}

function piece(from: number, to: number): readonly [number, number] {
  if (Number.isFinite(from) && Number.isFinite(to) && from <= to) return [from, to];
  throw new Error(`domain: no interval from ${from} to ${to}`);
}

/** Ascending pieces; those that touch become one. */
function joined(pieces: readonly (readonly [number, number])[]): Domain {
  const sorted = [...pieces].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const result: [number, number][] = [];
  for (const [low, high] of sorted) {
    const before = result[result.length - 1];
    if (before !== undefined && low <= before[1]) before[1] = Math.max(before[1], high);
    else result.push([low, high]);
  }
  if (result.length === 0) throw new Error('domain: no value allowed');
  return result;
}

function pieceAt(pieces: Domain, index: number): readonly [number, number] {
  const found = pieces[index];
  if (found === undefined) throw new Error(`domain: no piece ${index} of ${pieces.length}`);
  return found;
}
