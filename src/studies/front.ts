/**
 * Which variants are best: of those that pass, the ones that no other beats in one aim without being
 * beaten in another.
 *
 * Figures are compared in steps: a difference below a step is noise of the screening or of nobody's
 * interest, and would fill the front with copies. Of several that are alike in every aim the one with
 * the lowest index stands. Both rules make the front the same in whatever order rows come.
 */

import type { Study, StudyAim, VariantRow } from './study.js';

/** SI; of the study's currency. A screening finds a reserve to about a thousandth
 * (docs/studies.md); no workshop builds to a gram or a tenth of a millimetre. */
const STEPS: Readonly<Record<StudyAim['of'], number>> = {
  mass: 1e-3,
  width: 1e-4,
  length: 1e-4,
  cost: 1e-2,
  margin: 1e-3,
};

/** A row that passes, and how it does in every aim: whole steps, less is better. */
interface Member {
  readonly row: VariantRow;
  readonly steps: Float64Array;
}

export interface Front {
  /** takes a row into account, whether or not it passes */
  readonly add: (row: VariantRow) => void;
  /** the best so far, by index */
  readonly rows: () => readonly VariantRow[];
}

/** Holds no more than the best so far. */
export function collectFront({ aims }: Pick<Study, 'aims'>): Front {
  const best: Member[] = [];
  return {
    add(row) {
      if (!row.passes) return;
      const member = { row, steps: stepsOf(row, aims) };
      const better = best.findIndex((each) => beats(each, member));
      if (better >= 0) {
        // what beats one row mostly beats the next: asked first
        swap(best, better);
        return;
      }
      let kept = 0;
      for (const each of best) {
        if (!beats(member, each)) best[kept++] = each;
      }
      best.length = kept;
      best.push(member);
    },
    rows: () => best.map(({ row }) => row).sort((a, b) => a.index - b.index),
  };
}

/** The front of all rows. */
export async function frontOf(
  study: Pick<Study, 'aims'>,
  rows: AsyncIterable<VariantRow> | Iterable<VariantRow>,
): Promise<readonly VariantRow[]> {
  const front = collectFront(study);
  for await (const row of rows) front.add(row);
  return front.rows();
}

/**
 * The variants of a front to prove, ascending: all, or where the study proves fewer, ones far apart.
 * The best in each aim come first, in the order of the aims; then always the one whose nearest chosen
 * neighbour is farthest, each aim measured over its range on the front. Ties: the lowest index.
 *
 * @param front rows by index
 */
export function chosenToProve(
  { aims, proofs }: Pick<Study, 'aims' | 'proofs'>,
  front: readonly VariantRow[],
): readonly number[] {
  if (front.length <= proofs) return front.map(({ index }) => index);
  const places = placesOf(front, aims);
  const chosen = new Set<number>();
  const gap = new Float64Array(front.length).fill(Number.POSITIVE_INFINITY);
  const choose = (next: number): void => {
    chosen.add(next);
    for (const [i, place] of places.entries()) {
      gap[i] = Math.min(gap[i] as number, distance(place, places[next] as Float64Array));
    }
  };
  for (let aim = 0; aim < aims.length && chosen.size < proofs; aim += 1) {
    choose(places.reduce((p, place, i) => (at(place, aim) < at(places[p], aim) ? i : p), 0));
  }
  while (chosen.size < proofs) {
    let farthest = -1;
    for (const [i, here] of gap.entries()) {
      if (!chosen.has(i) && (farthest < 0 || here > (gap[farthest] as number))) farthest = i;
    }
    choose(farthest);
  }
  return [...chosen].map((i) => front[i]?.index as number).sort((a, b) => a - b);
}

function stepsOf(row: VariantRow, aims: readonly StudyAim[]): Float64Array {
  return Float64Array.from(aims, (aim) => {
    const value = aimValue(row, aim.of);
    // what is not known is never the best
    if (value === null) return Number.POSITIVE_INFINITY;
    const steps = Math.round(value / STEPS[aim.of]);
    return aim.wanted === 'least' ? steps : -steps;
  });
}

/** What a row is judged by: SI, or the study's currency; the margin as a share of what is asked. */
export function aimValue(row: VariantRow, of: StudyAim['of']): number | null {
  if (of !== 'margin') return row[of];
  return row.reserve === null ? null : row.reserve - 1;
}

/** Nowhere worse, and somewhere better or else first in the order of the index. */
function beats(a: Member, b: Member): boolean {
  let better = false;
  for (let i = 0; i < a.steps.length; i += 1) {
    const [p, q] = [a.steps[i] as number, b.steps[i] as number];
    if (p > q) return false;
    if (p < q) better = true;
  }
  return better || a.row.index < b.row.index;
}

function swap(members: Member[], from: number): void {
  const [first, found] = [members[0], members[from]];
  if (first === undefined || found === undefined) return;
  members[0] = found;
  members[from] = first;
}

/** Every aim from 0 (best on the front) to 1 (worst); 0 where all are alike. */
function placesOf(front: readonly VariantRow[], aims: readonly StudyAim[]): Float64Array[] {
  const steps = front.map((row) => stepsOf(row, aims));
  const ranges = aims.map((_, aim) => {
    let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const each of steps) {
      const value = at(each, aim);
      if (!Number.isFinite(value)) continue;
      least = Math.min(least, value);
      most = Math.max(most, value);
    }
    return { least, most };
  });
  return steps.map((each) =>
    each.map((value, aim) => {
      const { least, most } = ranges[aim] ?? { least: 0, most: 0 };
      if (!(most > least)) return 0;
      return (Math.min(most, Math.max(least, value)) - least) / (most - least);
    }),
  );
}

function at(values: Float64Array | undefined, i: number): number {
  return values?.[i] as number;
}

function distance(a: Float64Array, b: Float64Array): number {
  return Math.hypot(...a.map((value, i) => value - (b[i] as number)));
}
