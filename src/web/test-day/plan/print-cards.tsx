/** All set-up cards on paper, one a page, by the browser's print. */

import './print-cards.css';
import { useCallback, useEffect, useState } from 'react';
import { createPortal } from 'react-dom';
import type { Cart } from '../../../document/index.js';
import type { Paper } from '../../../figure/index.js';
import type { TestPlan } from '../../../test-plan/index.js';
import type { PlanBody, RecordState } from '../../../test-record/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { useRecordCart } from '../use-record-cart.js';
import { RunCard } from './run-card.js';

const PAPERS: readonly Paper[] = ['A4', 'Letter'];

export function PrintCards({ record }: { readonly record: RecordState<PlanBody> }) {
  const { cart, problem } = useRecordCart(record.content.cart);
  const [paper, setPaper] = useState<Paper>('A4');
  const [isPrinting, setPrinting] = useState(false);
  const done = useCallback(() => setPrinting(false), []);
  return (
    <div className="day-plan-print">
      {problem !== null && <span className="kit-problem">{problem}</span>}
      <label>
        <span>Paper</span>
        <select
          className="kit-select"
          value={paper}
          onChange={(event) => {
            setPaper(PAPERS.find((each) => each === event.target.value) ?? 'A4');
          }}
        >
          {PAPERS.map((each) => (
            <option key={each}>{each}</option>
          ))}
        </select>
      </label>
      <button
        type="button"
        className="kit-button"
        disabled={cart === null}
        onClick={() => setPrinting(true)}
      >
        Print the cards
      </button>
      {isPrinting && cart !== null && (
        <Cards cart={cart} plan={record.content.plan} paper={paper} onDone={done} />
      )}
    </div>
  );
}

interface CardsProps {
  readonly cart: Cart;
  readonly plan: TestPlan;
  readonly paper: Paper;
  /** stays the same function */
  readonly onDone: () => void;
}

/** Beside the page, not on it: shown on paper only. */
function Cards({ cart, plan, paper, onDone }: CardsProps) {
  const units = useWorkbench((s) => s.units);
  useEffect(() => {
    addEventListener('afterprint', onDone);
    print();
    return () => removeEventListener('afterprint', onDone);
  }, [onDone]);
  return createPortal(
    <div className={`print-cards on-paper is-${paper.toLowerCase()}`}>
      {plan.runs.map((run, index) => (
        <RunCard key={run.id} {...{ cart, plan, index, units, paper }} />
      ))}
    </div>,
    document.body,
  );
}
