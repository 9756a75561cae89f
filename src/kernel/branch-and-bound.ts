/**
 * Best-first minimisation over boxes, with a proven lower bound.
 *
 * The caller says what a box is. The search takes the box with the least bound, splits it, bounds
 * and evaluates the parts, and stops when the least bound of all open boxes is within the gap of the
 * best value found. Every point of the root lies in an open box, a box that cannot be split, or a
 * box discarded because its bound is at least the best value: so the least of those bounds and the
 * best value is below every value there is. Nothing is random; equal bounds are taken in the order in
 * which they arose.
 */

/** What is minimised, and over what. Infinite values are allowed, NaN is a bug and throws. */
export interface BoxSearch<Box> {
  /** boxes that together hold every point */
  readonly root: readonly Box[];
  /** a number no value in the box is below; +Infinity: no point in it */
  readonly bound: (box: Box) => number;
  /** the value at some point of the box (the same point each time it is asked) */
  readonly evaluate: (box: Box) => number;
  /** boxes that together hold every point of the box; none: it cannot be split */
  readonly split: (box: Box) => readonly Box[];
  /** closed when best - bound is at most the greater of absoluteGap and relativeGap * |best| */
  readonly absoluteGap: number;
  readonly relativeGap: number;
  /** boxes bounded at most, the root's included */
  readonly maxBoxes: number;
}

export interface BoxSearchResult<Box> {
  /** least value found; +Infinity when every box evaluates to it */
  readonly best: number;
  /** the box whose evaluation gave it, null: no box had a value below +Infinity */
  readonly bestBox: Box | null;
  /** no value is below this; at most best */
  readonly bound: number;
  /** boxes bounded */
  readonly boxes: number;
  /** closed: within the gap. budget: maxBoxes was reached, or what is left cannot be split */
  readonly status: 'closed' | 'budget';
}

/** An open box in the heap. */
interface Open<Box> {
  readonly box: Box;
  readonly bound: number;
  /** order of arrival, breaks ties */
  readonly rank: number;
}

/**
 * Minimises a function over boxes.
 *
 * @throws Error when a bound or a value is NaN, or when there is no root box
 */
export function branchAndBound<Box>(search: BoxSearch<Box>): BoxSearchResult<Box> {
  if (search.root.length === 0) throw new Error('branch and bound: no root box');
  const heap: Open<Box>[] = [];
  let best = Number.POSITIVE_INFINITY;
  let bestBox: Box | null = null;
  // Least bound of the boxes that cannot be split: it stays in the answer for good.
  let stuck = Number.POSITIVE_INFINITY;
  let boxes = 0;

  const admit = (box: Box, inherited: number): void => {
    const rank = boxes++;
    const bound = Math.max(inherited, number(search.bound(box), 'bound'));
    if (bound >= best) return;
    const value = number(search.evaluate(box), 'value');
    if (value < best) {
      best = value;
      bestBox = box;
    }
    if (bound < best) push(heap, { box, bound, rank });
  };
  const reached = (): number => Math.min(best, stuck, heap[0]?.bound ?? Number.POSITIVE_INFINITY);
  const closed = (): boolean => {
    const bound = reached();
    // The first test also settles equal infinities, whose difference is NaN.
    if (bound >= best) return true;
    return best - bound <= Math.max(search.absoluteGap, search.relativeGap * Math.abs(best));
  };

  for (const box of search.root) admit(box, Number.NEGATIVE_INFINITY);
  while (heap.length > 0 && boxes < search.maxBoxes && !closed()) {
    const open = pop(heap);
    if (open.bound >= best) break;
    const parts = search.split(open.box);
    if (parts.length === 0) stuck = Math.min(stuck, open.bound);
    else for (const part of parts) admit(part, open.bound);
  }
  return { best, bestBox, bound: reached(), boxes, status: closed() ? 'closed' : 'budget' };
}

function number(value: number, what: string): number {
  if (Number.isNaN(value)) throw new Error(`branch and bound: a ${what} is NaN`);
  return value;
}

function before<Box>(p: Open<Box>, q: Open<Box>): boolean {
  return p.bound < q.bound || (p.bound === q.bound && p.rank < q.rank);
}

/** Adds to a binary heap, least first. */
function push<Box>(heap: Open<Box>[], item: Open<Box>): void {
  let at = heap.length;
  heap.push(item);
  while (at > 0) {
    const up = (at - 1) >> 1;
    const above = heap[up] as Open<Box>;
    if (!before(item, above)) break;
    heap[at] = above;
    at = up;
  }
  heap[at] = item;
}

/** Takes the least from a heap that is not empty. */
function pop<Box>(heap: Open<Box>[]): Open<Box> {
  const least = heap[0] as Open<Box>;
  const item = heap.pop() as Open<Box>;
  if (heap.length === 0) return least;
  let at = 0;
  for (;;) {
    let down = 2 * at + 1;
    if (down >= heap.length) break;
    const right = heap[down + 1];
    if (right !== undefined && before(right, heap[down] as Open<Box>)) down++;
    const below = heap[down] as Open<Box>;
    if (!before(below, item)) break;
    heap[at] = below;
    at = down;
  }
  heap[at] = item;
  return least;
}
