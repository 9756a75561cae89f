/**
 * Question: in which order do the runs need the least work between them?
 *
 * A shortest open path through all runs, where the length from one run to the next is the effort of what
 * is changed on the cart (set-up-changes.ts). Runs are done in stages: those of a later stage come after
 * all of an earlier one. A stage of up to `EXACT` runs is solved exactly, by dynamic programming over
 * subsets (Bellman 1962; Held and Karp 1962); a larger one by the best of its nearest-neighbour paths and
 * the order given, improved by reversing parts (2-opt) and moving them (or-opt) until neither helps. Ties
 * go to the run that was given first: the same runs always come out in the same order.
 */

/** n^2 2^n steps: 14 runs take some ten milliseconds. */
const EXACT = 14;

export interface Ordered {
  /** indices of the runs */
  readonly order: readonly number[];
  readonly effort: number;
}

/**
 * @param stages of each run, any numbers; lower first
 * @param effort >= 0, from one run to the next
 * @param exact runs of a stage up to which it is solved exactly
 */
export function orderRuns(
  stages: readonly number[],
  effort: (from: number, to: number) => number,
  exact = EXACT,
): Ordered {
  const groups = [...new Set(stages)]
    .sort((a, b) => a - b)
    .map((stage) => stages.flatMap((each, i) => (each === stage ? [i] : [])));
  const cost = stages.map((_, i) => stages.map((_, j) => (i === j ? 0 : effort(i, j))));
  let ends: readonly Path[] = [];
  for (const group of groups) {
    ends =
      group.length <= exact ? exactPaths(group, ends, cost) : [improvedPath(group, ends, cost)];
  }
  const best = shortest(ends);
  return best === null ? { order: [], effort: 0 } : { order: best.order, effort: best.effort };
}

/** Effort of an order, from each run to the next. */
export function pathEffort(
  order: readonly number[],
  effort: (from: number, to: number) => number,
): number {
  return order.slice(1).reduce((sum, to, i) => sum + effort(order[i] as number, to), 0);
}

interface Path {
  readonly order: readonly number[];
  readonly effort: number;
}

type Cost = readonly (readonly number[])[];

function shortest(paths: readonly Path[]): Path | null {
  return paths.reduce<Path | null>(
    (least, path) => (least === null || path.effort < least.effort ? path : least),
    null,
  );
}

/** The best way into a run after what was done before: which path it follows, and the effort so far. */
function entry(before: readonly Path[], run: number, cost: Cost): Path {
  const ways = before.map(({ order, effort }) => ({
    order,
    effort: effort + between(cost, order[order.length - 1] as number, run),
  }));
  return shortest(ways) ?? { order: [], effort: 0 };
}

function between(cost: Cost, from: number, to: number): number {
  return cost[from]?.[to] ?? 0;
}

/** The shortest path to every run of the group as its last: least[set, last] over sets of runs. */
function exactPaths(group: readonly number[], before: readonly Path[], cost: Cost): Path[] {
  const n = group.length;
  const sets = 2 ** n;
  const least = new Float64Array(sets * n).fill(Number.POSITIVE_INFINITY);
  const from = new Int8Array(sets * n).fill(-1);
  const entries = group.map((run) => entry(before, run, cost));
  entries.forEach(({ effort }, i) => {
    least[2 ** i * n + i] = effort;
  });
  for (let set = 1; set < sets; set++) {
    for (let last = 0; last < n; last++) {
      const here = least[set * n + last] as number;
      if (here === Number.POSITIVE_INFINITY) continue;
      for (let next = 0; next < n; next++) {
        if (set & (1 << next)) continue;
        const at = (set | (1 << next)) * n + next;
        const there = here + between(cost, group[last] as number, group[next] as number);
        if (there < (least[at] as number)) {
          least[at] = there;
          from[at] = last;
        }
      }
    }
  }
  return group.map((_, last): Path => {
    const places = tracedBack(from, n, last);
    const first = entries[places[0] as number] as Path;
    return {
      order: [...first.order, ...places.map((i) => group[i] as number)],
      effort: least[(sets - 1) * n + last] as number,
    };
  });
}

function tracedBack(from: Int8Array, n: number, last: number): readonly number[] {
  const places: number[] = [];
  let set = 2 ** n - 1;
  for (let at = last; at >= 0; ) {
    places.unshift(at);
    const previous = from[set * n + at] as number;
    set &= ~(1 << at);
    at = previous;
  }
  return places;
}

function improvedPath(group: readonly number[], before: readonly Path[], cost: Cost): Path {
  const total = (order: readonly number[]): number =>
    entry(before, order[0] as number, cost).effort +
    pathEffort(order, (p, q) => between(cost, p, q));
  const starts = [group, ...group.map((first) => nearestFirst(group, first, cost))];
  const paths = starts.map((start): Path => {
    const order = improved(start, total);
    return { order, effort: total(order) };
  });
  const best = shortest(paths) as Path;
  const into = entry(before, best.order[0] as number, cost);
  return { order: [...into.order, ...best.order], effort: best.effort };
}

function nearestFirst(group: readonly number[], first: number, cost: Cost): readonly number[] {
  const order = [first];
  const left = group.filter((run) => run !== first);
  while (left.length > 0) {
    const last = order[order.length - 1] as number;
    const nearest = left.reduce((p, q) =>
      between(cost, last, q) < between(cost, last, p) ? q : p,
    );
    order.push(nearest);
    left.splice(left.indexOf(nearest), 1);
  }
  return order;
}

/** Each pass shortens the path or is the last; paths are finitely many. */
function improved(
  start: readonly number[],
  total: (order: readonly number[]) => number,
): readonly number[] {
  let order = start;
  let effort = total(order);
  for (;;) {
    const better = neighbours(order).find((each) => total(each) < effort - 1e-9);
    if (better === undefined) return order;
    order = better;
    effort = total(order);
  }
}

/** Orders with a part reversed, or up to three runs moved elsewhere. */
function neighbours(order: readonly number[]): readonly (readonly number[])[] {
  const all: (readonly number[])[] = [];
  for (let i = 0; i < order.length; i++) {
    for (let j = i + 1; j < order.length; j++) {
      const part = order.slice(i, j + 1);
      const rest = [...order.slice(0, i), ...order.slice(j + 1)];
      all.push([...order.slice(0, i), ...part.toReversed(), ...order.slice(j + 1)]);
      if (part.length > 3) continue;
      for (let at = 0; at <= rest.length; at++) {
        all.push([...rest.slice(0, at), ...part, ...rest.slice(at)]);
      }
    }
  }
  return all;
}

/** A length that no path through all runs is shorter than: the least tree that joins them (Prim). */
export function leastTree(count: number, effort: (from: number, to: number) => number): number {
  const joined = new Set(count > 0 ? [0] : []);
  let sum = 0;
  while (joined.size < count) {
    let best = { to: -1, effort: Number.POSITIVE_INFINITY };
    for (const from of joined) {
      for (let to = 0; to < count; to++) {
        const way = joined.has(to)
          ? Number.POSITIVE_INFINITY
          : Math.min(effort(from, to), effort(to, from));
        if (way < best.effort) best = { to, effort: way };
      }
    }
    joined.add(best.to);
    sum += best.effort;
  }
  return sum;
}
