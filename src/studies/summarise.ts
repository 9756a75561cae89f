/** What a study has found so far, in one pass over its rows. */

import { collectFront } from './front.js';
import type { Study, VariantRow } from './study.js';

export interface StudySummary {
  readonly rows: number;
  readonly passing: number;
  /** that could not be computed */
  readonly faults: number;
  /** one of them; null: there is none */
  readonly fault: VariantRow | null;
  /** the best of those that pass, by index */
  readonly front: readonly VariantRow[];
  /** of those that do not pass: how many each finding governs, most first */
  readonly governing: readonly { readonly id: string; readonly variants: number }[];
  /** of those that do not pass, the one with the greatest reserve (the first of several); null: none */
  readonly nearest: VariantRow | null;
}

export async function summariseStudy(
  study: Pick<Study, 'aims'>,
  rows: AsyncIterable<VariantRow> | Iterable<VariantRow>,
): Promise<StudySummary> {
  const front = collectFront(study);
  const governing = new Map<string, number>();
  const count = { rows: 0, passing: 0, faults: 0 };
  let fault: VariantRow | null = null;
  let nearest: VariantRow | null = null;
  for await (const row of rows) {
    count.rows += 1;
    front.add(row);
    if (row.passes) count.passing += 1;
    else if (row.reserve === null) {
      count.faults += 1;
      fault ??= row;
    } else {
      governing.set(row.governs, (governing.get(row.governs) ?? 0) + 1);
      if (nearest === null || row.reserve > (nearest.reserve ?? 0)) nearest = row;
    }
  }
  const sorted = [...governing].sort(([p, a], [q, b]) => b - a || (p < q ? -1 : 1));
  return {
    ...count,
    fault,
    front: front.rows(),
    governing: sorted.map(([id, variants]) => ({ id, variants })),
    nearest,
  };
}
