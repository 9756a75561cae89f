/** One row for each clause of the set; a row opens its finding in full. */

import './margins-panel.css';
import { useRef, useState } from 'react';
import { RESERVE_END } from '../kit/reserve-bar.js';
import { useWorkbench } from '../kit/use-workbench.js';
import type { ProvenFinding } from '../store/state.js';
import type { FindingRow, RowOrder } from './finding-rows.js';
import { orderOf } from './finding-rows.js';
import { MarginRowItem } from './margin-row-item.js';

const ORDERS: readonly { readonly order: RowOrder; readonly words: string }[] = [
  { order: 'set', words: 'As in the set' },
  { order: 'thinnest', words: 'Thinnest first' },
];

export function MarginsPanel({
  rows,
  before,
}: {
  readonly rows: readonly FindingRow[];
  readonly before: ReadonlyMap<string, ProvenFinding>;
}) {
  const [order, setOrder] = useState<RowOrder>('set');
  const chosen = useWorkbench((s) => s.finding);
  const set = useWorkbench((s) => s.set.title);
  const shown = useOrdered(rows, order);
  const asked = shown.filter((row) => row.asked);
  const left = shown.filter((row) => !row.asked);
  return (
    <div className="margins-panel">
      <p className="margins-panel-set" title={set}>
        {set}
      </p>
      <fieldset className="kit-row margins-panel-orders" aria-label="Order of the findings">
        {ORDERS.map((each) => (
          <button
            key={each.order}
            type="button"
            className="kit-button is-small"
            aria-pressed={order === each.order}
            onClick={() => setOrder(each.order)}
          >
            {each.words}
          </button>
        ))}
      </fieldset>
      <Key />
      <ul className="plain margins-panel-rows">
        {asked.map((row) => (
          <MarginRowItem
            key={row.id}
            row={row}
            isOpen={chosen === row.id}
            last={before.get(row.id)?.finding ?? null}
          />
        ))}
      </ul>
      {left.length > 0 && (
        <details className="margins-panel-left">
          <summary>
            Not asked of this cart: {left.length} {left.length === 1 ? 'clause' : 'clauses'}
          </summary>
          <ul className="plain">
            {left.map(({ id, title, reason }) => (
              <li key={id}>
                <strong>{title}</strong>
                <br />
                {reason}
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

/** Rows keep their places while something is dragged. */
function useOrdered(rows: readonly FindingRow[], order: RowOrder): readonly FindingRow[] {
  const dragging = useWorkbench((s) => s.preview.length > 0);
  const kept = useRef<{ order: RowOrder; ids: readonly string[] }>({ order, ids: [] });
  const byId = new Map(rows.map((row) => [row.id, row]));
  const held = kept.current;
  const fits = held.order === order && held.ids.length === rows.length;
  const same = fits && held.ids.every((id) => byId.has(id));
  if (!dragging || !same) kept.current = { order, ids: orderOf(rows, order) };
  return kept.current.ids.flatMap((id) => byId.get(id) ?? []);
}

function Key() {
  return (
    <div className="margins-panel-key">
      <p className="margins-panel-scale" aria-hidden="true">
        <span>0</span>
        <span>1: just enough</span>
        <span>{RESERVE_END}</span>
      </p>
      <p className="kit-soft margins-panel-marks">
        <span>
          <span className="margins-panel-found" aria-hidden="true" /> found
        </span>
        <span>
          <span className="margins-panel-sure" aria-hidden="true" /> proven
        </span>
        <span>
          <span className="margins-panel-posed" aria-hidden="true" /> pose shown
        </span>
      </p>
    </div>
  );
}
