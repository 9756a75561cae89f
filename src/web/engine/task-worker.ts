/** The worker of what takes seconds to minutes; it is ended to stop it. */

import { expose } from 'comlink';
import { checkCart } from '../../analysis/index.js';
import { findRemedies } from '../../remedies/index.js';
import { assessTolerances } from '../../tolerances/index.js';
import type { TaskWorker } from './messages.js';

const worker: TaskWorker = {
  remedies: (cart, set, options, onProgress) => findRemedies(cart, set, { ...options, onProgress }),
  tolerances: (cart, set, options, onProgress) =>
    assessTolerances(cart, set, { ...options, onProgress }),
  check: (cart, set) => checkCart(cart, set),
};

expose(worker);
