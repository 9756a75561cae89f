/** Saves a cart that has a file; of one that has none, the name is asked first. */

import type { WorkbenchStore } from '../store/workbench.js';

export function saveOrAsk(store: WorkbenchStore): void {
  const { file, ask, save } = store.getState();
  if (file === null) return;
  if (file.savedText === null) ask('save as');
  else void save();
}
