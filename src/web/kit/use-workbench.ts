/** The state of the page in a component: `const units = useWorkbench((s) => s.units)`. */

import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import type { Sheet, Workbench } from '../store/state.js';
import type { WorkbenchStore } from '../store/workbench.js';

export const WorkbenchContext = createContext<WorkbenchStore | null>(null);

/** The store itself, for a change in an event: `store.getState().undo()`. */
export function useWorkbenchStore(): WorkbenchStore {
  const store = useContext(WorkbenchContext);
  if (store === null) throw new Error('useWorkbenchStore: outside of the page');
  return store;
}

/** @param select gives a stable value: a field of the state, or something made once from it */
export function useWorkbench<T>(select: (state: Workbench) => T): T {
  return useStore(useWorkbenchStore(), select);
}

/** How far undo and redo go, and what they would take back. */
export function useSteps(): {
  readonly past: readonly Partial<Sheet>[];
  readonly future: readonly Partial<Sheet>[];
} {
  const { temporal } = useWorkbenchStore();
  const past = useStore(temporal, (each) => each.pastStates);
  const future = useStore(temporal, (each) => each.futureStates);
  return { past, future };
}
