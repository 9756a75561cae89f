/** Moving a part: those parts and directions for which a small move helps a short finding most. */

import type { Cart, CartEdit, Part, Vec3 } from '../../document/index.js';
import type { Lever } from '../lever.js';
import { grid, length, leverOf, tidy } from '../lever.js';
import type { Reaches } from '../reaches.js';
import { STEPS } from '../reaches.js';
import type { Screener } from '../screener.js';

interface Way {
  readonly axis: 0 | 1 | 2;
  readonly sign: 1 | -1;
  /** 'further forward' */
  readonly words: string;
}

const WAYS: readonly Way[] = [
  { axis: 0, sign: 1, words: 'further forward' },
  { axis: 0, sign: -1, words: 'further back' },
  { axis: 1, sign: 1, words: 'further to the left' },
  { axis: 1, sign: -1, words: 'further to the right' },
  { axis: 2, sign: -1, words: 'lower' },
];

/** Parts looked at, heaviest first: a light part shifts little. */
const PARTS_TRIED = 20;
/** Levers kept: the ones that gain most over their reach. */
const KEPT = 6;
/** Share of the score that the reach must gain, or the part is left where it is. */
const LEAST_GAIN = 0.005;

export function partLevers(
  screener: Screener,
  watch: readonly string[],
  reaches: Reaches,
): readonly Lever[] {
  const { cart } = screener;
  const heaviest = cart.parts.toSorted((p, q) => q.mass - p.mass).slice(0, PARTS_TRIED);
  const levers = heaviest.flatMap((part) =>
    WAYS.flatMap((way) => partLever(cart, part, way, reaches)),
  );
  const now = screener.quick([], watch).score;
  return levers
    .map((lever) => ({ lever, gain: slopeOf(screener, watch, lever, now) }))
    .filter(({ gain }) => gain > LEAST_GAIN * now)
    .toSorted((p, q) => q.gain - p.gain)
    .slice(0, KEPT)
    .map(({ lever }) => lever);
}

/** Gain over the whole reach, judged from a move far enough to stand out of the search's noise. */
function slopeOf(screener: Screener, watch: readonly string[], lever: Lever, now: number): number {
  const k = Math.max(1, Math.round(lever.count / 4));
  return (screener.quick(lever.editsAt(k), watch).score - now) / lever.shareAt(k);
}

function partLever(cart: Cart, part: Part, way: Way, reaches: Reaches): readonly Lever[] {
  const moved = (x: number): Vec3 => {
    const at: [number, number, number] = [...part.at];
    at[way.axis] = tidy(at[way.axis] + way.sign * x);
    return at;
  };
  return leverOf({
    id: `part place: ${part.name} ${way.words}`,
    kind: 'part place',
    dimension: 'length',
    amounts: grid(roomOf(cart, part, way, reaches), STEPS.length),
    edits: (x): readonly CartEdit[] => [{ kind: 'part place', part: part.name, at: moved(x) }],
    words: (x) => [`part "${part.name}" `, length(x), ` ${way.words}`],
    notes: [
      'Whether there is room for it, and whether it still does its work there, is for the designer. The outline stays as it is in this reckoning.',
    ],
  });
}

/** m: sideways to the outermost stem, down to the lowest part. */
function roomOf(
  { castors, parts }: Cart,
  part: Part,
  { axis, sign }: Way,
  reaches: Reaches,
): number {
  if (axis === 2) {
    const lowest = Math.min(...parts.map(({ at }) => at[2]));
    return Math.min(reaches.partDown, part.at[2] - lowest);
  }
  const furthest = Math.max(...castors.map(({ at }) => sign * at[axis]));
  return Math.min(reaches.partAcross, furthest - sign * part.at[axis]);
}
