/**
 * Question: in which configuration, and in which of several ways, does a quantity come out least,
 * and what is no configuration below?
 *
 * A branch and bound over boxes of configurations, one root box for each way (each tipping line,
 * each force point ...). For every way the caller gives the value at a configuration, and a margin
 * over a box that is not negative only when the value is at least r throughout it. Most boxes are
 * settled by one margin: that at the best value found so far, less the gap asked for. To find good
 * configurations early, promising ones are improved one variable at a time; only the margins make
 * the proof.
 *
 * A box is split along the variable whose halves make up most of the margin that is missing or, where
 * none does, the one in which the margin is least sharp.
 */

import { branchAndBound } from '../kernel/index.js';
import type { ConfigurationBox, ConfigurationDomain } from './domain.js';
import { canSplit, centre, rootBox, snapped, split, width } from './domain.js';

/** One way in which the quantity comes about. */
export interface Way {
  /** the quantity at a configuration; +Infinity where this way cannot happen; never NaN */
  readonly valueAt: (x: Float64Array) => number;
  /** a number the quantity is never below, in any configuration */
  readonly floor: number;
  /**
   * The margin over a box, a falling function of r: where it is not negative, the quantity is at
   * least r in the whole box.
   */
  readonly marginOver: (lo: Float64Array, hi: Float64Array) => (r: number) => number;
}

/** How far to go. */
export interface SearchLimits {
  /** in the unit of the quantity */
  readonly absoluteGap: number;
  /** of the least value */
  readonly relativeGap: number;
  /** boxes bounded at most */
  readonly maxBoxes: number;
}

/** Gaps far below any tolerance of a drawing or a test; 20 000 boxes are a second or two. */
export const DEFAULT_LIMITS: SearchLimits = {
  absoluteGap: 1e-9,
  relativeGap: 1e-6,
  maxBoxes: 20_000,
};

/** Values from here on count as unlimited, +Infinity: a lever of no length to rounding is none. */
export const UNLIMITED = 1e9;

/** The least value found, with its proof. */
export interface Least {
  /** +Infinity: no configuration has a value */
  readonly value: number;
  /** the configuration that has it; null when the value is +Infinity */
  readonly x: Float64Array | null;
  /** index of the way that gives it, -1 when the value is +Infinity */
  readonly way: number;
  /** no configuration is below this, in any way */
  readonly bound: number;
  /** value - bound, >= 0; 0 when both are infinite */
  readonly gap: number;
  readonly boxes: number;
  readonly status: 'closed' | 'budget';
}

interface Node {
  readonly box: ConfigurationBox;
  readonly way: number;
  /** a configuration in the box and its value */
  readonly x: Float64Array;
  readonly value: number;
  readonly bound: number;
}

/** What the search knows while it runs. */
interface Search {
  readonly domain: ConfigurationDomain;
  readonly ways: readonly Way[];
  readonly curved: readonly boolean[];
  readonly limits: SearchLimits;
  readonly root: ConfigurationBox;
  best: number;
}

/**
 * The least value over a domain and over all ways.
 *
 * @param curved for every variable: true where the quantity can have its least value inside the
 *   range of that variable alone (turns), false where it mostly is at an end (slides, loads). It
 *   steers the search for good configurations; the proof does not rest on it.
 * @throws Error when there is no way, or a value or margin is NaN
 */
export function leastOver(
  domain: ConfigurationDomain,
  ways: readonly Way[],
  curved: readonly boolean[],
  limits: SearchLimits = DEFAULT_LIMITS,
): Least {
  const root = rootBox(domain);
  const search: Search = { domain, ways, curved, limits, root, best: Number.POSITIVE_INFINITY };
  // All ways are evaluated before any is bounded: a way far from the worst is then settled at once.
  const starts = ways.map((way, index) => startOf(search, way, index));
  const result = branchAndBound<Node>({
    root: starts.map((start) => bounded(search, start, (ways[start.way] as Way).floor)),
    bound: (node) => node.bound,
    evaluate: (node) => node.value,
    split: (node) => bestSplit(search, node).map((box) => halfOf(search, box, node)),
    ...limits,
  });
  return {
    value: result.best,
    x: result.bestBox?.x ?? null,
    way: result.bestBox?.way ?? -1,
    bound: result.bound,
    gap: result.bound === result.best ? 0 : result.best - result.bound,
    boxes: result.boxes,
    status: result.status,
  };
}

type Unbounded = Omit<Node, 'bound'>;

/** The whole domain with an improved configuration. */
function startOf(search: Search, way: Way, index: number): Unbounded {
  const x = new Float64Array(search.root.lo.length);
  centre(search.domain, search.root, x);
  const value = improve(search, search.root, way, x, way.valueAt(x));
  search.best = Math.min(search.best, value);
  return { box: search.root, way: index, x, value };
}

/** Half of a box: its middle, improved unless the box is settled already. */
function halfOf(search: Search, box: ConfigurationBox, parent: Node): Node {
  const way = search.ways[parent.way] as Way;
  const x = new Float64Array(box.lo.length);
  centre(search.domain, box, x);
  const middle = way.valueAt(x);
  search.best = Math.min(search.best, middle);
  const half = bounded(search, { box, way: parent.way, x, value: middle }, parent.bound);
  if (half.bound >= target(search)) return half;
  const value = improve(search, box, way, x, middle);
  search.best = Math.min(search.best, value);
  return { ...half, value, bound: Math.min(half.bound, value) };
}

function bounded(search: Search, node: Unbounded, known: number): Node {
  const { lo, hi } = node.box;
  const margin = (search.ways[node.way] as Way).marginOver(lo, hi);
  return { ...node, bound: Math.min(node.value, provenBound(search, margin, known, node.value)) };
}

/** Just under the whole gap, so that a bound on the target closes it whatever the rounding. */
const GAP_USED = 0.99;

/** The value that is good enough: the best found, less the gap. */
function target({ best, limits }: Search): number {
  if (best >= UNLIMITED) return UNLIMITED;
  return best - GAP_USED * Math.max(limits.absoluteGap, limits.relativeGap * Math.abs(best));
}

/** Steps of the false position below. The result orders the open boxes and is the bound that stands
 * when the budget runs out; it need not be sharp. */
const FALSE_POSITION_STEPS = 8;

/** Share of the way from a bound to the best value that may be left open. */
const ROUGH = 0.05;

/**
 * A value that the margin proves: the target if it holds there, else the greatest r found by false
 * position between the known bound and the target. An end that stays has the weight of its margin
 * halved (the Illinois rule), so that neither gets stuck. Every r returned above the known bound was
 * checked: its margin is not negative.
 */
function provenBound(
  search: Search,
  margin: (r: number) => number,
  known: number,
  value: number,
): number {
  const goal = target(search);
  if (known >= goal) return known;
  if (margin(goal) >= 0) return goal >= UNLIMITED ? Number.POSITIVE_INFINITY : goal;
  let low = known;
  let marginLow = margin(low);
  if (!(marginLow > 0)) return known;
  let high = goal >= UNLIMITED ? failingValue(margin, Math.min(value, UNLIMITED)) : goal;
  let marginHigh = margin(high);
  for (let step = 0; step < FALSE_POSITION_STEPS; step++) {
    if (high - low <= ROUGH * (goal - low) || !(marginHigh < 0)) break;
    const chord = low + ((high - low) * marginLow) / (marginLow - marginHigh);
    if (!(chord > low && chord < high)) break;
    const there = margin(chord);
    if (there >= 0) {
      low = chord;
      marginLow = there;
      marginHigh *= 0.5;
    } else {
      high = chord;
      marginHigh = there;
      marginLow *= 0.5;
    }
  }
  return low;
}

/** A value with a negative margin, as small as powers of 32 find it. */
function failingValue(margin: (r: number) => number, known: number): number {
  for (let r = 1 / UNLIMITED; r < known; r *= 32) if (margin(r) < 0) return r;
  return known;
}

/** Share of the missing margin that the halves along a variable must make up for it to be taken at
 * once: less is a variable cut into slivers while the reason lies elsewhere. */
const WORTHWHILE = 0.05;

/** Share of the missing margin below which a rise counts as none: rounding, not help. */
const NO_RISE = 1e-3;

/**
 * The two halves along the variable whose halves make up most of the missing margin. Where no variable
 * does, the one in which the margin is least sharp: held at its value in the configuration found, it
 * makes up most. Where that is none either, the one that has been split least.
 */
function bestSplit(search: Search, node: Node): readonly ConfigurationBox[] {
  const way = search.ways[node.way] as Way;
  const goal = target(search);
  const missing = way.marginOver(node.box.lo, node.box.hi)(goal);
  let chosen: readonly ConfigurationBox[] = [];
  let score: readonly number[] = [];
  for (let v = 0; v < node.x.length; v++) {
    if (!canSplit(node.box, v)) continue;
    const halves = split(search.domain, node.box, v);
    const least = Math.min(...halves.map(({ lo, hi }) => way.marginOver(lo, hi)(goal)));
    const made = (least - missing) / Math.abs(missing);
    const held = (heldMargin(node, way, v, goal) - missing) / Math.abs(missing);
    const scored = [
      made > WORTHWHILE ? made : 0,
      held > NO_RISE ? held : 0,
      width(node.box, v) / width(search.root, v),
    ];
    if (chosen.length > 0 && !isGreater(scored, score)) continue;
    chosen = halves;
    score = scored;
  }
  return chosen;
}

/** The margin with one variable held at its value in the node's configuration. */
function heldMargin({ box, x }: Node, way: Way, v: number, goal: number): number {
  const { lo, hi } = box;
  const [from, to] = [lo[v] as number, hi[v] as number];
  lo[v] = x[v] as number;
  hi[v] = x[v] as number;
  const margin = way.marginOver(lo, hi)(goal);
  lo[v] = from;
  hi[v] = to;
  return margin;
}

/** First difference decides. */
function isGreater(p: readonly number[], q: readonly number[]): boolean {
  const at = p.findIndex((value, i) => value !== q[i]);
  return at >= 0 && (p[at] as number) > (q[at] as number);
}

/** Rounds of one-at-a-time improvement; each round costs a few values per variable. */
const ROUNDS = 2;

/** Golden section steps within a bracket: 0.618^14 leaves 1e-3 of it, and the error of a smooth
 * least value is the square of that; smaller boxes improve it further. */
const GOLDEN_STEPS = 14;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * Moves x, one variable at a time, to values in the box that make the quantity less: the ends of the
 * range, and the bottom of a golden section between them where the variable is curved.
 *
 * @returns the value at the improved x
 */
function improve(
  search: Search,
  box: ConfigurationBox,
  way: Way,
  x: Float64Array,
  start: number,
): number {
  let value = start;
  for (let round = 0; round < ROUNDS; round++) {
    const before = value;
    for (let v = 0; v < x.length; v++) {
      if ((box.lo[v] as number) < (box.hi[v] as number)) {
        value = improveOne(search, box, way, x, v, value);
      }
    }
    if (!(value < before)) break;
  }
  return value;
}

function improveOne(
  search: Search,
  box: ConfigurationBox,
  way: Way,
  x: Float64Array,
  v: number,
  start: number,
): number {
  let at = x[v] as number;
  let value = start;
  const attempt = (candidate: number): number => {
    const placed = snapped(search.domain, box, v, candidate);
    x[v] = placed;
    const found = way.valueAt(x);
    if (found < value) {
      value = found;
      at = placed;
    }
    return found;
  };
  const lo = box.lo[v] as number;
  const hi = box.hi[v] as number;
  attempt(lo);
  attempt(hi);
  if (search.curved[v] === true && box.first[v] === box.last[v]) goldenSection(attempt, lo, hi);
  x[v] = at;
  return value;
}

function goldenSection(attempt: (q: number) => number, from: number, to: number): void {
  let lo = from;
  let hi = to;
  let left = hi - GOLDEN * (hi - lo);
  let right = lo + GOLDEN * (hi - lo);
  let atLeft = attempt(left);
  let atRight = attempt(right);
  for (let step = 0; step < GOLDEN_STEPS; step++) {
    if (atLeft <= atRight) {
      hi = right;
      right = left;
      atRight = atLeft;
      left = hi - GOLDEN * (hi - lo);
      atLeft = attempt(left);
    } else {
      lo = left;
      left = right;
      atLeft = atRight;
      right = lo + GOLDEN * (hi - lo);
      atRight = attempt(right);
    }
  }
}
