/** The rows of the sheet, as they are at this moment. */

import { useRef } from 'react';
import { useWorkbench } from '../kit/use-workbench.js';
import type { ProvenFinding, WorkbenchState } from '../store/state.js';
import type { FindingRow } from './finding-rows.js';
import { findingRows, keepSame } from './finding-rows.js';

type Known = WorkbenchState['proven'];

export interface SheetRows {
  readonly rows: readonly FindingRow[];
  /** the last proof of each finding, also of the cart as it was */
  readonly before: ReadonlyMap<string, ProvenFinding>;
}

/** One computation for each answer of the workers; rows that say the same stay the same object. */
export function useFindingRows(): SheetRows {
  const set = useWorkbench((s) => s.set);
  const units = useWorkbench((s) => s.units);
  const live = useWorkbench((s) => s.live);
  const proven = useWorkbench((s) => s.proven);
  const frictionAssumed = useWorkbench(
    (s) => s.shown?.floor.friction.some(({ basis }) => basis === 'assumed') ?? false,
  );
  const before = useLastProven(proven);
  const last = useRef<readonly FindingRow[]>([]);
  const { findings, atPose } = live ?? { findings: null, atPose: null };
  last.current = keepSame(
    last.current,
    findingRows({ set, units, findings, atPose, proven, before, frictionAssumed }),
  );
  return { rows: last.current, before };
}

/** `proven` is emptied at every change; what it held of the same cart and set stays here. */
function useLastProven(proven: Known): Known {
  const file = useWorkbench((s) => s.file?.name ?? null);
  const set = useWorkbench((s) => s.set.id);
  const kept = useRef<{ key: string; seen: Known; all: Known }>({
    key: '',
    seen: new Map(),
    all: new Map(),
  });
  const key = `${set}\n${file}`;
  if (kept.current.key !== key) kept.current = { key, seen: new Map(), all: new Map() };
  if (kept.current.seen !== proven) {
    const all = proven.size === 0 ? kept.current.all : new Map([...kept.current.all, ...proven]);
    kept.current = { key, seen: proven, all };
  }
  return kept.current.all;
}
