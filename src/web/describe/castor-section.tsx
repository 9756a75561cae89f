/** Castors and their types; types may come from a catalogue. */

import { useState } from 'react';
import type { CatalogueCastor, FieldInput } from '../../document/index.js';
import { readCastorCatalogue, sentence } from '../../document/index.js';
import { Dialog } from '../kit/dialog.js';
import { useWorkbenchStore } from '../kit/use-workbench.js';
import { useDescribe } from './describe-context.js';
import { countAt, textAt } from './field-address.js';
import { FileDrop } from './file-drop.js';
import { ItemList } from './item-list.js';
import { LockChoice } from './lock-choice.js';
import { typedQuantity } from './typed-amount.js';

const CASTORS = ['castors'];
const TYPES = ['castor types'];
const ADD_CASTOR = [{ kind: 'castor', words: 'Add castor' }] as const;
const ADD_TYPE = [{ kind: 'castor type', words: 'Add castor type' }] as const;

export function CastorSection() {
  return (
    <>
      <ItemList
        path={CASTORS}
        heading="Castors"
        adds={ADD_CASTOR}
        none="None yet: three or more, not in one line."
        extra={(item) => <LockChoice item={item} />}
      />
      <ItemList
        path={TYPES}
        heading="Castor types"
        adds={ADD_TYPE}
        none="None yet: add one, or import rows of a catalogue."
      />
      <CatalogueImport />
    </>
  );
}

interface Catalogue {
  readonly name: string;
  readonly castors: readonly CatalogueCastor[];
  readonly problems: readonly string[];
  readonly isRead: boolean;
}

function CatalogueImport() {
  const store = useWorkbenchStore();
  const [found, setFound] = useState<Catalogue | null>(null);
  return (
    <>
      <FileDrop
        words="Castor catalogue: drop a CSV file here, or"
        action="Import castor types..."
        accept=".csv"
        onFile={(name, bytes) => setFound(catalogueOf(name, bytes))}
        onProblem={(words) => store.getState().say(words, 'problem')}
      />
      {found !== null && <CatalogueDialog found={found} onClose={() => setFound(null)} />}
    </>
  );
}

function catalogueOf(name: string, bytes: Uint8Array): Catalogue {
  const read = readCastorCatalogue(bytes, name);
  const isRead = read.kind === 'ok';
  const problems = (isRead ? read.warnings : read.issues).map(sentence);
  return { name, castors: isRead ? read.value.castors : [], problems, isRead };
}

function CatalogueDialog({
  found,
  onClose,
}: {
  readonly found: Catalogue;
  readonly onClose: () => void;
}) {
  const { fields, change, goTo } = useDescribe();
  const count = countAt(fields, TYPES);
  const there = new Set(
    Array.from({ length: count }, (_, i) =>
      textAt(fields, [...TYPES, i, 'name'])
        .trim()
        .toLowerCase(),
    ),
  );
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  function toggle(name: string): void {
    const next = new Set(chosen);
    if (!next.delete(name)) next.add(name);
    setChosen(next);
  }
  function take(): void {
    const rows = found.castors.filter(({ name }) => chosen.has(name));
    const changes = rows.map(
      (row) => ({ kind: 'insert', path: TYPES, index: 'end', value: castorTypeOf(row) }) as const,
    );
    const words = rows.length === 1 ? 'castor type' : `${rows.length} castor types`;
    if (!change(`${words} from ${found.name}`, changes)) return;
    onClose();
    goTo([...TYPES, count, 'name']);
  }
  return (
    <Dialog title={`Castor catalogue ${found.name}`} open wide onClose={onClose}>
      {!found.isRead && <p className="kit-problem">The catalogue cannot be read:</p>}
      <ul className="plain describe-found-problems">
        {found.problems.map((each) => (
          <li key={each} className={found.isRead ? 'describe-warning' : 'kit-problem'}>
            {each}
          </li>
        ))}
      </ul>
      {found.isRead && (
        <>
          <p className="kit-soft">
            Brake torque, mass and cost are not of a castor type: type the brake torque at each
            castor that has a brake, and count the mass among the parts.
          </p>
          <div className="describe-found">
            <table className="describe-rows">
              <thead>
                <tr>
                  <th scope="col">Castor</th>
                  <th scope="col">Wheel</th>
                  <th scope="col">Trail</th>
                  <th scope="col">Tread</th>
                  <th scope="col">Rating</th>
                  <th scope="col">Brake</th>
                </tr>
              </thead>
              <tbody>
                {found.castors.map(({ name, kind, brakeTorque }) => {
                  const isThere = there.has(name.toLowerCase());
                  return (
                    <tr key={name}>
                      <th scope="row">
                        <label className="describe-word">
                          <input
                            type="checkbox"
                            disabled={isThere}
                            checked={chosen.has(name)}
                            onChange={() => toggle(name)}
                          />
                          {name}
                          {isThere && <span className="kit-soft"> is there already</span>}
                        </label>
                      </th>
                      <td>{typedQuantity(kind.wheelDiameter, 'length')}</td>
                      <td>{kind.trail === null ? '' : typedQuantity(kind.trail, 'length')}</td>
                      <td>{kind.tread}</td>
                      <td>
                        {kind.rating === null ? 'not stated' : typedQuantity(kind.rating, 'mass')}
                      </td>
                      <td>
                        {typeof brakeTorque === 'number'
                          ? typedQuantity(brakeTorque, 'moment')
                          : brakeTorque}
                      </td>
                    </tr>
                  );
                })}
              </tbody>
            </table>
          </div>
        </>
      )}
      <div className="kit-row describe-dialog-end">
        {found.isRead && (
          <button
            type="button"
            className="kit-button is-main"
            disabled={chosen.size === 0}
            onClick={take}
          >
            Add {chosen.size === 1 ? '1 castor type' : `${chosen.size} castor types`}
          </button>
        )}
        <button type="button" className="kit-button" onClick={onClose}>
          Cancel
        </button>
      </div>
    </Dialog>
  );
}

function castorTypeOf({ name, kind }: CatalogueCastor): FieldInput {
  const map: Record<string, FieldInput> = { name };
  const put = (key: string, value: number | null, dimension: 'length' | 'moment') => {
    if (value !== null) map[key] = { typed: typedQuantity(value, dimension) };
  };
  put('wheel diameter', kind.wheelDiameter, 'length');
  put('trail', kind.trail, 'length');
  put('swivel moment', kind.swivelMoment, 'moment');
  put('rolling length', kind.rollingLength, 'length');
  map.stiffness = { typed: typedQuantity(kind.stiffness, 'stiffness') };
  map.rating = {
    typed: kind.rating === null ? 'not stated' : typedQuantity(kind.rating, 'mass'),
  };
  map.tread = kind.tread;
  return { map };
}
