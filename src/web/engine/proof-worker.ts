/** The worker that proves: first what it can within a moment, then as closely as the command line does. */

import { expose } from 'comlink';
import { checkCart, QUICK_PROOF, SearchStopped } from '../../analysis/index.js';
import { editCart } from '../../document/index.js';
import type { ProofWorker } from './messages.js';

const worker: ProofWorker = {
  prove({ ticket, cart, edits, set }, stage, shared, tell) {
    const changed = edits.length === 0 ? cart : editCart(cart, edits);
    try {
      const report = checkCart(changed, set, {
        ...(stage === 'quick' ? { effort: QUICK_PROOF } : {}),
        isStopped: () => Atomics.load(shared, 0) !== ticket,
        onFinding: (finding) => tell(finding, ticket, stage),
      });
      return { kind: 'done', report };
    } catch (error) {
      if (error instanceof SearchStopped) return { kind: 'stopped' };
      throw error;
    }
  },
};

expose(worker);
