/** The parts list beside the cart file: brought in, its rows and who takes them, taken over as values. */

import { memo, useState } from 'react';
import type { PartsList, PartsListRow } from '../../document/index.js';
import { Dialog } from '../kit/dialog.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { base64Of, readPartsListFile } from '../store/reading.js';
import { useDescribe } from './describe-context.js';
import { countAt, fieldId, textAt } from './field-address.js';
import { freeName } from './field-inputs.js';
import { FileDrop } from './file-drop.js';
import type { ListPart } from './list-parts.js';
import {
  listParts,
  partFromRow,
  statedValues,
  takenRows,
  takeOverChanges,
  valuesInPlaceOfList,
} from './list-parts.js';

export interface ListFound {
  /** null: it cannot be read */
  readonly list: PartsList | null;
  readonly problems: readonly string[];
}

interface FileFound extends ListFound {
  readonly name: string;
  readonly bytes: Uint8Array;
}

export const PartsListPanel = memo(PartsListOfCart);

function PartsListOfCart() {
  const { fields, change } = useDescribe();
  const store = useWorkbenchStore();
  const [found, setFound] = useState<FileFound | null>(null);
  const name = textAt(fields, ['parts list']);
  const file = useWorkbench((s) => s.partsLists.get(name) ?? null);
  const { say, attachPartsList } = store.getState();
  async function read(chosen: string, bytes: Uint8Array): Promise<void> {
    const { list, problems } = await readPartsListFile(chosen, base64Of(bytes));
    setFound({ name: chosen, bytes, list, problems });
  }
  return (
    <section className="describe-list-panel" aria-label="Parts list">
      <h3 id={fieldId(['parts list'])} tabIndex={-1}>
        {name === '' ? 'Parts list from CAD or a spreadsheet' : `Parts list ${name}`}
      </h3>
      {name !== '' && file === null && (
        <p className="kit-problem">
          The cart takes masses from {name}, which is not beside it. Choose the file again.
        </p>
      )}
      {file?.problems.map((each) => (
        <p key={each} className={file.list === null ? 'kit-problem' : 'describe-warning'}>
          {each}
        </p>
      ))}
      {file?.list && <ListRows list={file.list} />}
      {file?.list && (
        <button
          type="button"
          className="kit-button"
          onClick={() => {
            if (file.list === null) return;
            if (change('masses in place of the parts list', valuesInPlaceOfList(fields, file.list)))
              say(`The masses of ${name} now stand in the cart file; the list is no longer used.`);
          }}
        >
          State the masses in the cart file instead
        </button>
      )}
      <FileDrop
        words={name === '' ? 'Drop a CSV or XLSX file here, or' : 'Another list: drop it here, or'}
        action="Import parts list..."
        accept=".csv,.xlsx"
        onFile={(chosen, bytes) => void read(chosen, bytes)}
        onProblem={(words) => say(words, 'problem')}
      />
      {found !== null && (
        <TakeOver
          found={found}
          title={`Parts list ${found.name}`}
          onClose={() => setFound(null)}
          onAttach={() => {
            setFound(null);
            void attachPartsList(found.name, found.bytes).then((isDone) => {
              if (isDone) say(`${found.name} is beside the cart: its rows can be used by parts.`);
            });
          }}
        />
      )}
    </section>
  );
}

/** Rows that no part takes come first: they are what is still to be done. */
function ListRows({ list }: { readonly list: PartsList }) {
  const { fields, change, goTo } = useDescribe();
  const taken = takenRows(fields);
  const free = list.rows.filter((row) => !taken.has(row.name));
  function addAll(rows: readonly PartsListRow[]): void {
    const count = countAt(fields, ['parts']);
    const names = Array.from({ length: count }, (_, i) => textAt(fields, ['parts', i, 'name']));
    const changes = rows.map((row) => {
      const name = freeName(row.name, names);
      names.push(name);
      return partFromRow(row, name);
    });
    const words = rows.length === 1 ? `part ${rows[0]?.name}` : `${rows.length} parts of the list`;
    if (change(`${words} added`, changes)) goTo(['parts', count, 'at', 0]);
  }
  return (
    <>
      <p className="kit-soft">
        {list.rows.length} rows, {free.length === 0 ? 'all used' : `${free.length} not used`}
      </p>
      {free.length > 1 && (
        <button type="button" className="kit-button" onClick={() => addAll(free)}>
          Add all {free.length} as parts
        </button>
      )}
      <details open={free.length > 0 || undefined}>
        <summary>Rows of the list</summary>
        <table className="describe-rows">
          <thead>
            <tr>
              <th scope="col">Row</th>
              <th scope="col">Pieces</th>
              <th scope="col">Mass</th>
              <th scope="col">Part</th>
            </tr>
          </thead>
          <tbody>
            {[...free, ...list.rows.filter((row) => taken.has(row.name))]
              .slice(0, MOST_ROWS)
              .map((row) => (
                <tr key={row.name}>
                  <th scope="row">{row.name}</th>
                  <td>{row.quantity}</td>
                  <td>{statedValues(row, list).mass}</td>
                  <td>
                    {taken.get(row.name) ?? (
                      <button
                        type="button"
                        className="kit-button"
                        aria-label={`Add ${row.name} as part`}
                        onClick={() => addAll([row])}
                      >
                        Add as part
                      </button>
                    )}
                  </td>
                </tr>
              ))}
          </tbody>
        </table>
        {list.rows.length > MOST_ROWS && (
          <p className="kit-soft">and {list.rows.length - MOST_ROWS} more rows</p>
        )}
      </details>
    </>
  );
}

/** Nobody adds more rows one by one. */
const MOST_ROWS = 200;

/** What was read, before it goes anywhere. */
export function TakeOver({
  found,
  title,
  onClose,
  onAttach,
  onAsCells,
}: {
  readonly found: ListFound;
  readonly title: string;
  readonly onClose: () => void;
  readonly onAttach?: () => void;
  readonly onAsCells?: () => void;
}) {
  const { fields, change, goTo } = useDescribe();
  const store = useWorkbenchStore();
  const { list, problems } = found;
  const parts = list === null ? [] : listParts(list, fields);
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const chosen = parts.filter(({ name }) => !left.has(name));
  function takeOver(): void {
    const count = countAt(fields, ['parts']);
    const words = chosen.length === 1 ? '1 part' : `${chosen.length} parts`;
    if (!change(`${words} from a table`, takeOverChanges(fields, chosen))) return;
    onClose();
    const isNew = chosen.filter(({ there }) => there === null).length;
    store.getState().say(`Took over ${words}, ${isNew} of them new.`);
    goTo(['parts', isNew > 0 ? count : (chosen[0]?.there ?? 0), 'name']);
  }
  return (
    <Dialog title={title} open wide onClose={onClose}>
      {list === null ? (
        <p className="kit-problem">It cannot be read as a list of parts:</p>
      ) : (
        <p>
          {parts.length} parts read
          {list.unusedColumns.length > 0 && `; not used: columns ${list.unusedColumns.join(', ')}`}.
          Masses are of all pieces together.
        </p>
      )}
      {problems.length > 0 && (
        <ul className="plain describe-found-problems">
          {problems.slice(0, MOST_ROWS).map((each) => (
            <li key={each} className={list === null ? 'kit-problem' : 'describe-warning'}>
              {each}
            </li>
          ))}
        </ul>
      )}
      {list !== null && <FoundParts parts={parts} left={left} onLeave={setLeft} />}
      <div className="kit-row describe-dialog-end">
        {onAttach && list !== null && (
          <button type="button" className="kit-button is-main" onClick={onAttach}>
            Attach as parts list
          </button>
        )}
        {list !== null && (
          <button
            type="button"
            className={onAttach ? 'kit-button' : 'kit-button is-main'}
            disabled={chosen.length === 0}
            onClick={takeOver}
          >
            Take {chosen.length} over with their values
          </button>
        )}
        {onAsCells && (
          <button type="button" className="kit-button" onClick={onAsCells}>
            Paste the cells as they are
          </button>
        )}
        <button type="button" className="kit-button" onClick={onClose}>
          Cancel
        </button>
      </div>
    </Dialog>
  );
}

function FoundParts({
  parts,
  left,
  onLeave,
}: {
  readonly parts: readonly ListPart[];
  readonly left: ReadonlySet<string>;
  readonly onLeave: (left: ReadonlySet<string>) => void;
}) {
  function toggle(name: string): void {
    const next = new Set(left);
    if (!next.delete(name)) next.add(name);
    onLeave(next);
  }
  return (
    <div className="describe-found">
      <table className="describe-rows">
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col">Pieces</th>
            <th scope="col">Mass</th>
            <th scope="col">Tolerance</th>
            <th scope="col">Place</th>
            <th scope="col">In the cart</th>
          </tr>
        </thead>
        <tbody>
          {parts.map(({ name, quantity, mass, tolerance, at, there }) => (
            <tr key={name}>
              <th scope="row">
                <label className="describe-word">
                  <input type="checkbox" checked={!left.has(name)} onChange={() => toggle(name)} />
                  {name}
                </label>
              </th>
              <td>{quantity}</td>
              <td>{mass}</td>
              <td>{tolerance ?? ''}</td>
              <td>{at?.join(', ') ?? 'yours to give'}</td>
              <td>{there === null ? 'new' : `replaces the values of part ${there + 1}`}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
