/** The test day in a component: `const state = useTestDay((s) => s.state)`. */

import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import type { TestDayStore } from './store/test-day.js';
import type { TestDay } from './store/test-day-state.js';

export const TestDayContext = createContext<TestDayStore | null>(null);

export function useTestDayStore(): TestDayStore {
  const store = useContext(TestDayContext);
  if (store === null) throw new Error('useTestDayStore: outside of the test day');
  return store;
}

/** @param select gives a stable value: a field of the state, or something made once from it */
export function useTestDay<T>(select: (state: TestDay) => T): T {
  return useStore(useTestDayStore(), select);
}
