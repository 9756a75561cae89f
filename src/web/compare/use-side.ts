/** What is known of either side. */

import { useMemo } from 'react';
import { overallOf } from '../findings/finding-rows.js';
import { useFindingRows } from '../findings/use-finding-rows.js';
import { useWorkbench } from '../kit/use-workbench.js';
import type { Variant } from '../store/state.js';
import { rowsOfReport } from './compared-rows.js';
import type { Side } from './side.js';

/** The sheet as it is: followed while its proof runs. */
export function useSheetSide(): Side | null {
  const { rows } = useFindingRows();
  const cart = useWorkbench((s) => s.cart);
  const set = useWorkbench((s) => s.set);
  const proven = useWorkbench((s) => s.proven);
  return useMemo(() => {
    if (cart === null) return null;
    const findings = new Map([...proven].map(([id, { finding }]) => [id, finding]));
    const overall = overallOf(rows);
    return { letter: 'A', name: 'the sheet as it is', cart, set, rows, overall, findings };
  }, [rows, cart, set, proven]);
}

export function useVariantSide(variant: Variant | null, letter: Side['letter'] = 'B'): Side | null {
  const units = useWorkbench((s) => s.units);
  return useMemo(() => {
    if (variant === null) return null;
    const { name, cart, set, report } = variant;
    const rows = report === null ? null : rowsOfReport(report, set, units);
    const overall = rows === null ? null : overallOf(rows);
    const findings = new Map(report?.findings.map((finding) => [finding.id, finding]));
    return { letter, name, cart, set, rows, overall, findings };
  }, [variant, letter, units]);
}
