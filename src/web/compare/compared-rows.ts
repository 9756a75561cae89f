/** The findings of two carts beside each other. */

import type { CheckReport } from '../../analysis/index.js';
import { reserveText } from '../../analysis/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { FindingRow } from '../findings/finding-rows.js';
import { findingRows } from '../findings/finding-rows.js';

export interface ComparedRow {
  readonly id: string;
  readonly title: string;
  /** null: the set of that side has no such clause */
  readonly a: FindingRow | null;
  readonly b: FindingRow | null;
  /** what B is, seen from A, in words */
  readonly difference: string;
  /** B has more reserve, less, or neither */
  readonly way: 'more' | 'less' | 'same' | 'not known';
}

/** The rows of a cart that was checked in full. */
export function rowsOfReport(
  report: CheckReport,
  set: RequirementSet,
  units: UnitSystem,
): readonly FindingRow[] {
  const proven = new Map(
    report.findings.map((finding) => [finding.id, { finding, stage: 'full' as const }]),
  );
  const nothing = { findings: null, atPose: null, before: new Map(), frictionAssumed: true };
  return findingRows({ set, units, proven, ...nothing });
}

/** In the order of A's set, then what only B's has; clauses asked of neither are left out. */
export function comparedRows(
  a: readonly FindingRow[],
  b: readonly FindingRow[],
): readonly ComparedRow[] {
  const others = new Map(b.map((row) => [row.id, row]));
  const known = new Set(a.map(({ id }) => id));
  const pairs: readonly (readonly [FindingRow | null, FindingRow | null])[] = [
    ...a.map((row) => [row, others.get(row.id) ?? null] as const),
    ...b.filter(({ id }) => !known.has(id)).map((row) => [null, row] as const),
  ];
  return pairs
    .filter(([p, q]) => p?.asked === true || q?.asked === true)
    .map(([p, q]) => {
      const row = (p ?? q) as FindingRow;
      return { id: row.id, title: row.title, a: p, b: q, ...differenceOf(p, q) };
    });
}

/** Reserves are shown to three places: less is no difference. */
const LEAST = 0.0005;

export function differenceOf(
  a: FindingRow | null,
  b: FindingRow | null,
): Pick<ComparedRow, 'difference' | 'way'> {
  if (a === null || !a.asked) return { difference: 'asked of B only', way: 'not known' };
  if (b === null || !b.asked) return { difference: 'asked of A only', way: 'not known' };
  const verdict =
    a.verdict !== null && b.verdict !== null && a.verdict !== b.verdict
      ? `${b.verdict} instead of ${a.verdict}; `
      : '';
  if (a.found === null || b.found === null) {
    return { difference: `${verdict}reserve not known`, way: 'not known' };
  }
  if (a.found === b.found) return { difference: `${verdict}the same reserve`, way: 'same' };
  if (!Number.isFinite(a.found - b.found)) {
    const way = b.found > a.found ? 'more' : 'less';
    return { difference: `${verdict}${reserveText(b.found)} instead of ${a.reserve}`, way };
  }
  const by = b.found - a.found;
  if (Math.abs(by) < LEAST) return { difference: `${verdict}the same reserve`, way: 'same' };
  const way = by > 0 ? 'more' : 'less';
  return { difference: `${verdict}${Math.abs(by).toFixed(3)} ${way}`, way };
}
