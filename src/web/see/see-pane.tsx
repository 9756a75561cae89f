/** The drawings: in 3D, in plan, and holding by direction; under them the pose. */

import './see-pane.css';
import { lazy, Suspense } from 'react';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import type { SheetView } from '../store/state.js';
import { PlanPanel } from './plan-panel.js';
import { PosePanel } from './pose/pose-panel.js';
import { RosePanel } from './rose-panel.js';

const Scene = lazy(async () => ({ default: (await import('./scene/scene.js')).Scene }));

const VIEWS: readonly { readonly view: SheetView; readonly words: string }[] = [
  { view: 'scene', words: 'In space' },
  { view: 'plan', words: 'Plan and side' },
  { view: 'rose', words: 'Holding by direction' },
];

export function SeePane() {
  const view = useWorkbench((s) => s.view);
  const store = useWorkbenchStore();
  return (
    <div className="see-pane">
      <fieldset className="see-pane-views" aria-label="Drawing">
        {VIEWS.map((each) => (
          <button
            key={each.view}
            type="button"
            className="kit-button"
            aria-pressed={view === each.view}
            onClick={() => store.getState().show(each.view)}
          >
            {each.words}
          </button>
        ))}
      </fieldset>
      <div className="see-pane-drawing">
        {view === 'scene' && (
          <Suspense fallback={<p className="kit-soft">Loading the drawing in space...</p>}>
            <Scene />
          </Suspense>
        )}
        {view === 'plan' && <PlanPanel />}
        {view === 'rose' && <RosePanel />}
      </div>
      <PosePanel />
    </div>
  );
}
