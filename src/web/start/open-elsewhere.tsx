/** A cart file from anywhere on this machine, with the parts list that it names. */

import { useRef, useState } from 'react';
import { CART_FILE_LIMITS, MAX_INPUT_BYTES } from '../../document/index.js';
import { Dialog } from '../kit/dialog.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import type { Chosen, ChosenFile } from './chosen-files.js';
import { chosenOf } from './chosen-files.js';
import { sizeWords } from './size-words.js';

type Wanted = Extract<Chosen, { readonly kind: 'list wanted' }>;

export function OpenElsewhere() {
  const store = useWorkbenchStore();
  const isReady = useWorkbench((s) => s.folder !== null);
  const input = useRef<HTMLInputElement>(null);
  const [wanted, setWanted] = useState<Wanted | null>(null);
  const take = (chosen: Chosen): void => {
    setWanted(chosen.kind === 'list wanted' ? chosen : null);
    if (chosen.kind === 'refused') store.getState().say(chosen.problem, 'problem');
    if (chosen.kind !== 'ready') return;
    void store.getState().openText(chosen.name, chosen.text, chosen.partsList);
  };
  return (
    <>
      <button
        type="button"
        className="kit-button"
        disabled={!isReady}
        title="A .cart.yaml file, and the parts list that it names if it names one"
        onClick={() => input.current?.click()}
      >
        Open a file from elsewhere
      </button>
      <input
        ref={input}
        type="file"
        hidden
        multiple
        accept=".yaml,.yml,.csv,.xlsx"
        aria-label="Cart file from elsewhere"
        onChange={(event) => void filesOf(event.target).then((files) => take(read(files)))}
      />
      {wanted !== null && (
        <ListWanted wanted={wanted} onTake={take} onClose={() => setWanted(null)} />
      )}
    </>
  );
}

interface ListWantedProps {
  readonly wanted: Wanted;
  readonly onTake: (chosen: Chosen) => void;
  readonly onClose: () => void;
}

function ListWanted({ wanted, onTake, onClose }: ListWantedProps) {
  const { name, text, list } = wanted;
  const input = useRef<HTMLInputElement>(null);
  const withList = ([file]: Read): void => {
    if (file === undefined) return;
    const cart = { name, bytes: new TextEncoder().encode(text) };
    onTake('problem' in file ? refusedBy(file.problem) : chosenOf([cart, file]));
  };
  return (
    <Dialog title="Its parts list" open onClose={onClose}>
      <p>
        {name} takes masses from <strong>{list}</strong>. A page cannot read it unless you choose it
        too.
      </p>
      <input
        ref={input}
        type="file"
        hidden
        accept=".csv,.xlsx"
        aria-label={`Parts list ${list}`}
        onChange={(event) => void filesOf(event.target).then(withList)}
      />
      <div className="start-answers">
        <button type="button" className="kit-button is-main" onClick={() => input.current?.click()}>
          Choose {list}
        </button>
        <button
          type="button"
          className="kit-button"
          onClick={() => onTake({ kind: 'ready', name, text, partsList: null })}
        >
          Open without it
        </button>
        <button type="button" className="kit-button" onClick={onClose}>
          Cancel
        </button>
      </div>
      <p className="kit-soft">
        Without it, a list of this name in the folder is taken if there is one.
      </p>
    </Dialog>
  );
}

type Read = readonly (ChosenFile | { readonly problem: string })[];

const MOST = Math.max(CART_FILE_LIMITS.bytes, MAX_INPUT_BYTES);

/** The bytes, and the input made ready to be given the same file again. */
async function filesOf(input: HTMLInputElement): Promise<Read> {
  const files = [...(input.files ?? [])];
  const read = await Promise.all(files.map(bytesOf));
  input.value = '';
  return read;
}

async function bytesOf(file: File): Promise<Read[number]> {
  const { name, size } = file;
  if (size > MOST) {
    return { problem: `${name} holds ${sizeWords(size)}; allowed: at most ${sizeWords(MOST)}.` };
  }
  try {
    return { name, bytes: new Uint8Array(await file.arrayBuffer()) };
  } catch {
    return { problem: `${name} cannot be read: it was moved, or reading it is not permitted.` };
  }
}

function read(files: Read): Chosen {
  const [unread] = files.filter((each) => 'problem' in each);
  return unread === undefined
    ? chosenOf(files.filter((each) => 'bytes' in each))
    : refusedBy(unread.problem);
}

function refusedBy(problem: string): Chosen {
  return { kind: 'refused', problem };
}
