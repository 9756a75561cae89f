/** What the page has to say. Problems stay until somebody has put them away. */

import './notices.css';
import { useEffect, useState } from 'react';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import type { Notice } from '../store/state.js';

/** ms that a notice that is no problem stays. */
const SAID_FOR = 6000;

/** Two regions that are always there: one that interrupts and one that waits. */
export function Notices() {
  const notices = useWorkbench((s) => s.notices);
  const of = (kind: Notice['kind']) => notices.filter((each) => each.kind === kind);
  return (
    <div className="notices">
      <div role="alert" className="notices-region">
        {of('problem').map((notice) => (
          <NoticeCard key={notice.id} notice={notice} />
        ))}
      </div>
      <div role="status" className="notices-region">
        {of('said').map((notice) => (
          <NoticeCard key={notice.id} notice={notice} />
        ))}
      </div>
    </div>
  );
}

function NoticeCard({ notice: { id, kind, words } }: { readonly notice: Notice }) {
  const store = useWorkbenchStore();
  const [held, setHeld] = useState(false);
  useEffect(() => {
    if (kind === 'problem' || held) return;
    const timer = setTimeout(() => store.getState().dismiss(id), SAID_FOR);
    return () => clearTimeout(timer);
  }, [store, id, kind, held]);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: being looked at only keeps it there
    <div
      className={`notices-card is-${kind}`}
      onMouseEnter={() => setHeld(true)}
      onMouseLeave={() => setHeld(false)}
      onFocus={() => setHeld(true)}
      onBlur={() => setHeld(false)}
    >
      <p>
        {kind === 'problem' && <strong>Problem: </strong>}
        {words}
      </p>
      <button
        type="button"
        className="kit-button is-quiet"
        aria-label={`Put away: ${words.slice(0, 60)}`}
        onClick={() => store.getState().dismiss(id)}
      >
        <span aria-hidden="true">×</span>
      </button>
    </div>
  );
}
