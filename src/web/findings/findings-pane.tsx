/** The margins of all findings side by side; a chosen one in full; remedies and tolerances beside them. */

import './findings-pane.css';
import { Tabs } from '@base-ui/react/tabs';
import { lazy, Suspense } from 'react';
import { useWorkbench } from '../kit/use-workbench.js';
import { MarginsPanel } from './margins-panel.js';
import { OverallVerdict } from './overall-verdict.js';
import { useFindingRows } from './use-finding-rows.js';

const RemediesPanel = lazy(async () => ({
  default: (await import('../act/remedies-panel.js')).RemediesPanel,
}));
const TolerancesPanel = lazy(async () => ({
  default: (await import('../act/tolerances-panel.js')).TolerancesPanel,
}));

const LOADING = <p className="findings-pane-note">Loading...</p>;

export function FindingsPane() {
  const { rows, before } = useFindingRows();
  const cart = useWorkbench((s) => s.cart);
  const problem = useWorkbench((s) => s.setProblem);
  const readable = useWorkbench((s) => s.reading.cart !== null);
  if (cart === null) {
    return (
      <div className="findings-pane">
        <h2>Findings</h2>
        <p className="kit-soft">
          Nothing can be judged yet: the description has errors, listed beside their fields.
        </p>
      </div>
    );
  }
  return (
    <div className="findings-pane">
      <header className="findings-pane-head">
        <h2 className="kit-hidden">Findings</h2>
        <OverallVerdict rows={rows} stale={!readable || problem !== null} />
        {!readable && (
          <p className="kit-problem">
            The description has errors: below are the findings of the cart as it last could be read.
          </p>
        )}
        {problem !== null && <p className="kit-problem">Nothing is judged: {problem}</p>}
      </header>
      <Tabs.Root defaultValue="margins" className="findings-pane-tabs">
        <Tabs.List className="findings-pane-list" aria-label="Findings, remedies, tolerances">
          <Tab value="margins" words="Margins" />
          <Tab value="remedies" words="Remedies" />
          <Tab value="tolerances" words="Tolerances" />
        </Tabs.List>
        <Tabs.Panel value="margins" className="findings-pane-panel" keepMounted>
          <MarginsPanel rows={rows} before={before} />
        </Tabs.Panel>
        <Tabs.Panel value="remedies" className="findings-pane-panel">
          <Suspense fallback={LOADING}>
            <RemediesPanel />
          </Suspense>
        </Tabs.Panel>
        <Tabs.Panel value="tolerances" className="findings-pane-panel">
          <Suspense fallback={LOADING}>
            <TolerancesPanel />
          </Suspense>
        </Tabs.Panel>
      </Tabs.Root>
    </div>
  );
}

function Tab({ value, words }: { readonly value: string; readonly words: string }) {
  return (
    <Tabs.Tab value={value} className="findings-pane-tab">
      {words}
    </Tabs.Tab>
  );
}
