/** The parts: the table, the part that is selected with all its fields, and the parts list. */

import { useCallback, useEffect, useRef, useState } from 'react';
import type { FieldChange, PartsList } from '../../document/index.js';
import {
  MAX_INPUT_BYTES,
  newCartItem,
  nodeAt,
  readPartsListCsv,
  readPastedCells,
  sentence,
} from '../../document/index.js';
import { Dialog } from '../kit/dialog.js';
import { useWorkbenchStore } from '../kit/use-workbench.js';
import { useDescribe } from './describe-context.js';
import { countAt, itemWords } from './field-address.js';
import { MapFields } from './map-fields.js';
import type { Cell, Span } from './parts-grid.js';
import { cellOfPath, kept, keptBeside, pasteChanges, spanOf } from './parts-grid.js';
import type { ListFound } from './parts-list-panel.js';
import { PartsListPanel, TakeOver } from './parts-list-panel.js';
import { GRID_ID, PartsTable, partsWords, useStated } from './parts-table.js';

const PARTS = ['parts'];
const FIRST: Cell = { row: 0, column: 0 };

export function PartsSection() {
  const describe = useDescribe();
  const { fields, change, goal, goTo } = describe;
  const store = useWorkbenchStore();
  const [place, setPlace] = useState({ active: FIRST, anchor: FIRST });
  const [isWide, setWide] = useWideTable();
  const [found, setFound] = useState<(ListFound & { readonly as: () => void }) | null>(null);
  const [beside, setBeside] = useState<readonly string[]>([]);
  const count = countAt(fields, PARTS);
  const stated = useStated(fields);
  const active = kept(place.active, Math.max(1, count));
  const anchor = kept(place.anchor, Math.max(1, count));
  const span = spanOf(active, anchor);
  const say = store.getState().say;
  const onSelect = useCallback((to: Cell, from: Cell) => {
    setPlace({ active: to, anchor: from });
  }, []);

  const goalRow = goal?.path[0] === 'parts' ? goal.path[1] : undefined;
  useEffect(() => {
    if (typeof goalRow !== 'number' || goal === null || cellOfPath(goal.path) !== null) return;
    const cell = { row: goalRow, column: 0 };
    setPlace({ active: cell, anchor: cell });
  }, [goal, goalRow]);

  function add(after: number): void {
    const value = newCartItem('part', fields);
    const index = after + 1 >= count ? 'end' : after + 1;
    if (!change('part added', [{ kind: 'insert', path: PARTS, index, value }])) return;
    goTo(['parts', index === 'end' ? count : index, 'name']);
  }
  function remove({ top, bottom }: Span): void {
    if (count === 0) return;
    const words = partsWords(fields, { ...span, top, bottom });
    const changes = Array.from({ length: bottom - top + 1 }, (_, i): FieldChange => {
      return { kind: 'remove', path: ['parts', bottom - i] };
    });
    if (!change(`${words} removed`, changes)) return;
    say(`Removed ${words}. Undo brings ${top === bottom ? 'it' : 'them'} back.`);
    goTo(['parts', Math.max(0, Math.min(top, count - changes.length - 1)), 'name']);
  }
  function move({ top, bottom }: Span, by: number): void {
    const to = by < 0 ? top - 1 : bottom + 1;
    if (to < 0 || to >= count) return;
    // the neighbour goes to the other side
    const end = by < 0 ? bottom : top;
    const moved = { kind: 'move', path: ['parts', to], to: end } as const;
    if (!change(`${partsWords(fields, { ...span, top, bottom })} moved`, [moved])) return;
    const shift = ({ row, column }: Cell): Cell => ({ row: row + by, column });
    setPlace({ active: shift(active), anchor: shift(anchor) });
  }
  function pasteCells(text: string, at: Cell): void {
    const read = readPastedCells(text);
    if (read.kind === 'refused') {
      say(`The paste cannot be read: ${read.reason}.`, 'problem');
      return;
    }
    const heldOf = (row: number) => {
      const part = nodeAt(fields, ['parts', row]);
      return part && stated(part);
    };
    const { changes, addedRows, pasted, beyond } = pasteChanges(fields, at, read.rows, heldOf);
    const rows = read.rows.length === 1 ? '1 row' : `${read.rows.length} rows`;
    if (changes.length === 0 || !change(`${rows} pasted`, changes)) return;
    const more = addedRows === 0 ? '' : `, ${addedRows} of them as new parts`;
    say(`Pasted ${rows}${more}.`);
    const now = store.getState().reading.fields;
    setBeside(now === null ? [] : keptBeside(now, pasted));
    if (beyond.length > 0) {
      const some = beyond.slice(0, 8).join('; ');
      const rest = beyond.length > 8 ? `; and ${beyond.length - 8} more` : '';
      say(`Not pasted, since the table has no column there: ${some}${rest}.`, 'problem');
    }
    setPlace({
      active: { row: pasted.top, column: pasted.left },
      anchor: { row: pasted.bottom, column: pasted.right },
    });
  }
  function paste(text: string, at: Cell): void {
    if (text.trim() === '') return;
    if (text.length > MAX_INPUT_BYTES) {
      say(
        `The paste has ${text.length} characters; at most ${MAX_INPUT_BYTES} can be read.`,
        'problem',
      );
      return;
    }
    const list = headedList(text);
    if (list === null) pasteCells(text, at);
    else setFound({ ...list, as: () => pasteCells(text, at) });
  }

  const table = (
    <PartsTable
      isWide={isWide}
      active={active}
      anchor={anchor}
      onSelect={onSelect}
      onPaste={paste}
      onAdd={add}
      onRemove={remove}
      onMove={move}
    />
  );
  const buttons = (
    <div className="kit-row describe-tools">
      <button
        type="button"
        className="kit-button"
        onClick={() => add(count === 0 ? -1 : span.bottom)}
      >
        Add part
      </button>
      <button
        type="button"
        className="kit-button"
        disabled={count === 0}
        onClick={() => remove(span)}
      >
        Remove
      </button>
      <button
        type="button"
        className="kit-button"
        disabled={span.top === 0}
        aria-label="Move up"
        onClick={() => move(span, -1)}
      >
        &uarr;
      </button>
      <button
        type="button"
        className="kit-button"
        disabled={span.bottom >= count - 1}
        aria-label="Move down"
        onClick={() => move(span, 1)}
      >
        &darr;
      </button>
      {!isWide && (
        <button type="button" className="kit-button" onClick={() => setWide(true)}>
          Wide table
        </button>
      )}
    </div>
  );
  return (
    <>
      {isWide ? (
        <>
          <p className="kit-soft">The table of parts is open over the page.</p>
          <Dialog title="Parts" open wide onClose={() => setWide(false)}>
            {buttons}
            {table}
            <KeptBeside kept={beside} onSeen={() => setBeside([])} />
            <Keys />
            <div className="kit-row describe-dialog-end">
              <button type="button" className="kit-button is-main" onClick={() => setWide(false)}>
                Close
              </button>
            </div>
          </Dialog>
        </>
      ) : (
        <>
          {buttons}
          {table}
          <KeptBeside kept={beside} onSeen={() => setBeside([])} />
          <Keys />
        </>
      )}
      {count > 0 && !isWide && <WholePart row={active.row} />}
      {!isWide && <PartsListPanel />}
      {found !== null && (
        <TakeOver
          found={found}
          title="Pasted table"
          onClose={() => setFound(null)}
          onAsCells={() => {
            setFound(null);
            found.as();
          }}
        />
      )}
    </>
  );
}

/** What a pasted part has of the one before it in its row is easily overlooked: it stands in columns that
 * may be out of sight. */
function KeptBeside({
  kept: all,
  onSeen,
}: {
  readonly kept: readonly string[];
  readonly onSeen: () => void;
}) {
  const rest = all.length > 8 ? `; and ${all.length - 8} more` : '';
  return (
    <div role="status" className={all.length === 0 ? 'kit-hidden' : 'describe-beside'}>
      {all.length > 0 && (
        <>
          <p className="describe-warning">
            <strong>Check:</strong> the parts pasted over had more than the pasted cells, and it
            stays. {all.slice(0, 8).join('; ')}
            {rest}.
          </p>
          <button
            type="button"
            className="kit-button"
            onClick={() => {
              document.getElementById(GRID_ID)?.focus();
              onSeen();
            }}
          >
            Seen
          </button>
        </>
      )}
    </div>
  );
}

/** The table in the pane has the focus again when the wide one is closed. */
function useWideTable() {
  const [isWide, setWide] = useState(false);
  const wasWide = useRef(false);
  useEffect(() => {
    const isClosed = wasWide.current && !isWide;
    wasWide.current = isWide;
    if (!isClosed) return;
    // after the dialog has given the focus back to a button that is gone
    const timer = setTimeout(() => document.getElementById(GRID_ID)?.focus(), 50);
    return () => clearTimeout(timer);
  }, [isWide]);
  return [isWide, setWide] as const;
}

/** All fields of the part that is selected, those that the table has no column for among them. */
function WholePart({ row }: { readonly row: number }) {
  const { fields, goal } = useDescribe();
  const [isOpen, setOpen] = useState(false);
  useEffect(() => {
    if (goal?.path[0] === 'parts' && goal.path.length > 2 && cellOfPath(goal.path) === null) {
      setOpen(true);
    }
  }, [goal]);
  return (
    <details
      className="describe-more"
      open={isOpen}
      onToggle={(event) => setOpen(event.currentTarget.open)}
    >
      <summary>All of {itemWords(fields, ['parts', row])}</summary>
      {isOpen && <MapFields path={['parts', row]} />}
    </details>
  );
}

/** A table with headings that say which column is what; null: it has none, and its cells go where they are
 * pasted. */
function headedList(text: string): ListFound | null {
  const read = readPartsListCsv(text, 'pasted table');
  if (read.kind === 'ok') return { list: read.value, problems: read.warnings.map(sentence) };
  const isHeaded = !read.issues.some(({ code }) => NO_HEADINGS.has(code));
  return isHeaded ? { list: null as PartsList | null, problems: read.issues.map(sentence) } : null;
}

const NO_HEADINGS = new Set(['no-mass-heading', 'no-name-heading', 'empty-file', 'unclosed-quote']);

function Keys() {
  return (
    <details className="describe-keys">
      <summary>Keys of the table</summary>
      <dl>
        <dt>Arrows, Tab</dt>
        <dd>move; with Shift select (Tab: back)</dd>
        <dt>Enter, F2</dt>
        <dd>edit; typing replaces, Escape takes it back</dd>
        <dt>Delete</dt>
        <dd>clears; Ctrl+Delete removes the parts</dd>
        <dt>Ctrl+Enter</dt>
        <dd>adds a part below</dd>
        <dt>Ctrl+C, Ctrl+V</dt>
        <dd>copy and paste, from and to a spreadsheet</dd>
        <dt>Alt+Up, Alt+Down</dt>
        <dd>step the value, margins following; with Shift ten steps</dd>
        <dt>Alt+Shift+Page Up</dt>
        <dd>moves the part up (Page Down: down)</dd>
        <dt>Escape, Tab</dt>
        <dd>leave the table</dd>
      </dl>
    </details>
  );
}
