/** The test day of the folder that the page shows: made once. */

import type { WorkbenchStore } from '../store/workbench.js';
import { httpRecords } from './store/http-records.js';
import { indexedShelf } from './store/local-shelf.js';
import { shelteredShelf } from './store/sheltered-shelf.js';
import type { TestDayStore } from './store/test-day.js';
import { createTestDay } from './store/test-day.js';

const made = new Map<string, TestDayStore>();

/** ms between two attempts to send what waits, and between looks for what others wrote. */
const LOOK_EVERY = 4000;

/** @param folder its id */
export function testDayOf(folder: string, workbench: WorkbenchStore): TestDayStore {
  const known = made.get(folder);
  if (known !== undefined) return known;
  const store: TestDayStore = createTestDay({
    api: httpRecords,
    shelf: shelteredShelf(indexedShelf(folder), (entries) => {
      store.setState({ atRisk: entries > 0 });
    }),
    storage: localStorage,
    alone: async (act) => {
      await navigator.locks.request(`standstill records ${folder}`, act);
    },
    now: () => new Date().toISOString(),
    newId: () => crypto.randomUUID(),
    say: (words, kind) => workbench.getState().say(words, kind),
  });
  made.set(folder, store);
  void store.getState().begin();
  const look = (): void => {
    if (document.visibilityState === 'visible') void store.getState().lookAgain();
  };
  setInterval(look, LOOK_EVERY);
  addEventListener('online', look);
  addEventListener('focus', look);
  return store;
}
