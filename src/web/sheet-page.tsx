/** The sheet of a cart: its description, its drawings, its findings. */

import './sheet-page.css';
import { DescribePane } from './describe/describe-pane.js';
import { FindingsPane } from './findings/findings-pane.js';
import { useWorkbench, useWorkbenchStore } from './kit/use-workbench.js';
import { SeePane } from './see/see-pane.js';
import type { SheetPane } from './store/state.js';

const PANES: readonly SheetPane[] = ['Describe', 'See', 'Findings'];

/** Side by side where there is room; on a narrow screen one beside the drawing at a time. */
export function SheetPage() {
  const pane = useWorkbench((s) => s.pane);
  const store = useWorkbenchStore();
  return (
    <div className="sheet-page" data-pane={pane}>
      <fieldset className="sheet-page-choice" aria-label="Part of the sheet">
        {PANES.map((each) => (
          <button
            key={each}
            type="button"
            className="kit-button"
            aria-pressed={pane === each}
            onClick={() => store.getState().showPane(each)}
          >
            {each}
          </button>
        ))}
      </fieldset>
      <section className="sheet-page-describe" aria-label="Describe">
        <DescribePane />
      </section>
      <section className="sheet-page-see" aria-label="See">
        <SeePane />
      </section>
      <section className="sheet-page-findings" aria-label="Findings">
        <FindingsPane />
      </section>
    </div>
  );
}
