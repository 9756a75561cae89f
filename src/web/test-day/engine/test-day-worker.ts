/** The worker of a test day: plans, predictions, comparisons; it is ended to stop it. */

import { expose } from 'comlink';
import { checkCart } from '../../../analysis/index.js';
import { agreementOf } from '../../../judgement/index.js';
import { findRemedies } from '../../../remedies/index.js';
import { planTests, predictRun } from '../../../test-plan/index.js';
import type { Progress } from '../../engine/task.js';
import type { TestDayWorker } from './test-day-messages.js';

/** Progress runs once over the check and once over the plan. */
function from(start: number, total: number, progress: Progress): Progress {
  return (done, of, what) => progress(start + (done / Math.max(1, of)) * 50, total, what);
}

const worker: TestDayWorker = {
  plan(cart, set, options, progress) {
    const report = checkCart(cart, set, { onProgress: from(0, 100, progress) });
    return planTests(cart, set, report, { ...options, onProgress: from(50, 100, progress) });
  },
  predictions: (cart, set, runs, progress) =>
    runs.map((run, i) => {
      progress(i, runs.length, run.title);
      return predictRun(cart, set, run);
    }),
  agreements: (cart, set, judged, progress) =>
    judged.map(({ run, judgement }, i) => {
      progress(i, judged.length, run.title);
      return agreementOf(cart, set, run, predictRun(cart, set, run), judgement);
    }),
  check: (cart, set, onProgress) => checkCart(cart, set, { onProgress }).findings,
  remedies: (cart, set, margin, onProgress) =>
    findRemedies(cart, set, { margin, pairs: false, onProgress }),
};

expose(worker);
