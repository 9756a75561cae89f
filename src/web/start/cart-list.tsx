/** The carts of the folder, and work on carts that was never saved. */

import { useState } from 'react';
import { momentWords } from '../header/moment-words.js';
import { Dialog } from '../kit/dialog.js';
import { useWorkbenchStore } from '../kit/use-workbench.js';
import type { CartEntry, DraftEntry, Folder } from '../store/api.js';
import { sizeWords } from './size-words.js';

export function CartList({ folder }: { readonly folder: Folder }) {
  const saved = new Set(folder.carts.map(({ name }) => name));
  const drafts = new Map(folder.drafts.map((draft) => [draft.name, draft]));
  const neverSaved = folder.drafts.filter(({ name }) => !saved.has(name));
  const carts = [...folder.carts].sort((a, b) => (a.modified < b.modified ? 1 : -1));
  const isEmpty = carts.length + neverSaved.length === 0;
  return (
    <section className="start-list" aria-labelledby="start-carts">
      <h2 id="start-carts">
        Carts in <span className="start-folder">{folder.folder}</span>
      </h2>
      {isEmpty && (
        <p className="start-empty">
          No carts here yet. Begin with a new cart or an example: saved, it stands in this folder.
        </p>
      )}
      <ul className="plain">
        {neverSaved.map((draft) => (
          <NeverSaved key={draft.name} draft={draft} />
        ))}
        {carts.map((cart) => (
          <CartItem key={cart.name} cart={cart} draft={drafts.get(cart.name) ?? null} />
        ))}
      </ul>
      <Unusable folder={folder} />
    </section>
  );
}

interface CartItemProps {
  readonly cart: CartEntry;
  readonly draft: DraftEntry | null;
}

function CartItem({ cart: { name, modified, bytes }, draft }: CartItemProps) {
  const store = useWorkbenchStore();
  const now = new Date().toISOString();
  return (
    <li className="start-item">
      <button
        type="button"
        className="start-open"
        title={name}
        onClick={() => void store.getState().openCart(name)}
      >
        <span className="start-name">{name}</span>
        <span className="start-about">
          changed {momentWords(modified, now)}, {sizeWords(bytes)}
        </span>
        {draft !== null && <UnsavedMark draft={draft} />}
      </button>
    </li>
  );
}

function UnsavedMark({ draft }: { readonly draft: DraftEntry }) {
  return (
    <span className="start-unsaved">
      unsaved work found, kept {momentWords(draft.saved, new Date().toISOString())}
    </span>
  );
}

function NeverSaved({ draft }: { readonly draft: DraftEntry }) {
  const store = useWorkbenchStore();
  const [asks, setAsks] = useState(false);
  const { name } = draft;
  return (
    <li className="start-item">
      <button
        type="button"
        className="start-open"
        title={name}
        onClick={() => void store.getState().openCart(name)}
      >
        <span className="start-name">{name}</span>
        <span className="start-about">never saved</span>
        <UnsavedMark draft={draft} />
      </button>
      <button
        type="button"
        className="kit-button"
        aria-label={`Discard unsaved ${name}`}
        onClick={() => setAsks(true)}
      >
        Discard
      </button>
      <Dialog title="Discard unsaved work?" open={asks} onClose={() => setAsks(false)}>
        <p>{name} was never saved. Once discarded it cannot be brought back.</p>
        <div className="start-answers">
          <button
            type="button"
            className="kit-button"
            onClick={() => {
              setAsks(false);
              void store.getState().dropDraftOf(name);
            }}
          >
            Discard it
          </button>
          <button type="button" className="kit-button is-main" onClick={() => setAsks(false)}>
            Keep it
          </button>
        </div>
      </Dialog>
    </li>
  );
}

function Unusable({ folder: { unusable } }: { readonly folder: Folder }) {
  if (unusable.length === 0) return null;
  return (
    <details className="start-unusable">
      <summary>
        {unusable.length === 1 ? '1 file cannot' : `${unusable.length} files cannot`} be opened
      </summary>
      <ul>
        {unusable.map(({ name, problem }) => (
          <li key={name}>{problem}</li>
        ))}
      </ul>
    </details>
  );
}
