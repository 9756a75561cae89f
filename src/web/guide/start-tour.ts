/** Begins the tour where it was left, on its example when at the beginning. */

import type { WorkbenchStore } from '../store/workbench.js';
import { GUIDE_EXAMPLE, tourStart } from './guide-steps.js';

export function startTour(store: WorkbenchStore): void {
  const { guideLeft, setGuide, openExample } = store.getState();
  const step = tourStart(guideLeft);
  setGuide(step);
  if (step === 0) void openExample(GUIDE_EXAMPLE);
}
