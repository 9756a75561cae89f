/** Proof that nothing was changed afterwards, and the whole project as one file. */

import { useState } from 'react';
import type { Verification } from '../store/records-api.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';

export function ChainPanel() {
  const store = useTestDayStore();
  const sequence = useTestDay((s) => s.kept?.head.sequence ?? 0);
  const archive = useTestDay((s) => s.archiveAddress());
  const [found, setFound] = useState<Verification | null>(null);
  const [isLooking, setIsLooking] = useState(false);
  const verify = async (): Promise<void> => {
    setIsLooking(true);
    setFound(await store.getState().verify());
    setIsLooking(false);
  };
  return (
    <section className="history-chain" aria-label="Proof of the record">
      <h2>The record as a whole</h2>
      <p>
        {sequence} entries, each with the hash of the one before. Nothing is changed or deleted: a
        correction is a new entry.
      </p>
      <div className="form-answers">
        <button
          type="button"
          className="kit-button"
          disabled={isLooking}
          onClick={() => void verify()}
        >
          {isLooking ? 'Verifying...' : 'Verify the chain'}
        </button>
        {archive !== null && (
          <a className="kit-button history-link" href={archive} download>
            Export the project as one file
          </a>
        )}
      </div>
      <div role="status">{found !== null && <Verified found={found} />}</div>
      <p className="kit-soft">
        Keep the newest hash elsewhere (on paper, in the safety file): a record cut short shows only
        against it. <code>standstill records verify</code> and{' '}
        <code>standstill records backup</code> do the same in the terminal.
      </p>
    </section>
  );
}

function Verified({ found: { chain, files } }: { readonly found: Verification }) {
  if (chain.kind === 'broken') {
    return (
      <p className="kit-problem">
        <strong>Broken</strong> at entry {chain.sequence}: {chain.reason}
      </p>
    );
  }
  return (
    <>
      <p>
        <strong>Whole</strong>: {chain.entries} entries, {files.whole} files as their hashes say.
        Newest hash <code className="history-hash">{chain.head}</code>
      </p>
      {files.broken.length > 0 && (
        <p className="kit-problem">
          <strong>Broken files</strong>: {files.broken.join(', ')}
        </p>
      )}
    </>
  );
}
