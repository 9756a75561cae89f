/** Every entry: who, when, why; what waits for a decision; review, withdrawal, proof of the chain. */

import './history.css';
import { ChainPanel } from './chain-panel.js';
import { EntryLog } from './entry-log.js';
import { WaitingEntries } from './waiting-entries.js';

export function HistorySection() {
  return (
    <div className="history">
      <WaitingEntries />
      <ChainPanel />
      <EntryLog />
    </div>
  );
}
