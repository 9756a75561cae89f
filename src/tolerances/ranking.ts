/** Which input matters most to each finding: Sobol' indices of its reserve. */

import type { SobolIndex } from '../chance/index.js';
import { drawerOf, sobolIndices, streamOf } from '../chance/index.js';
import type { Input } from './inputs.js';
import type { Judge, Judged } from './judge.js';

/**
 * @param ranked inputs that move anything; the others stay at their stated values
 * @param findings indices of the findings to rank for
 * @returns by finding, then by ranked input; null: the reserve does not vary, or is known too seldom
 */
export function rankInputs(
  judge: Judge,
  inputs: readonly Input[],
  ranked: readonly number[],
  findings: readonly number[],
  rows: number,
  seed: number,
  onRow: (row: number) => void,
): readonly (readonly SobolIndex[] | null)[] {
  const matrix = (which: 'A' | 'B') =>
    ranked.map((i) => {
      const input = inputs[i];
      if (input === undefined) throw new Error(`rankInputs: no input ${i}`);
      return drawerOf(input.spread, streamOf(seed, `${input.name} ${which}`), input.limits);
    });
  const [drawersA, drawersB] = [matrix('A'), matrix('B')];
  const columns = () => findings.map(() => new Float64Array(rows));
  const a = columns();
  const b = columns();
  const mixed = ranked.map(columns);
  for (let j = 0; j < rows; j++) {
    onRow(j);
    const rowA = drawersA.map((drawer) => drawer.next());
    const rowB = drawersB.map((drawer) => drawer.next());
    const store = (into: readonly Float64Array[], values: readonly number[]): void => {
      const offsets = new Float64Array(inputs.length);
      ranked.forEach((i, k) => {
        offsets[i] = values[k] ?? 0;
      });
      const judged = judge.judge(offsets);
      findings.forEach((finding, f) => {
        const column = into[f];
        if (column !== undefined) column[j] = reserveOf(judged[finding] ?? null);
      });
    };
    store(a, rowA);
    store(b, rowB);
    mixed.forEach((into, k) => {
      store(
        into,
        rowA.map((value, i) => (i === k ? (rowB[i] ?? 0) : value)),
      );
    });
  }
  return findings.map((finding, f) =>
    sobolIndices(
      {
        a: a[f] ?? new Float64Array(0),
        b: b[f] ?? new Float64Array(0),
        mixed: mixed.map((each) => each[f] ?? new Float64Array(0)),
      },
      streamOf(seed, `bootstrap of finding ${finding}`),
    ),
  );
}

/** NaN: not asked, or not known. */
function reserveOf(judged: Judged | null): number {
  return judged?.reserve ?? Number.NaN;
}
