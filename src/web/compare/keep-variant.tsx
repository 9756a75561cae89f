/** Keeps the sheet as it is, to compare with later. */

import { useState } from 'react';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';

export function KeepVariant({ onKept }: { readonly onKept: (id: number) => void }) {
  const [name, setName] = useState('');
  const count = useWorkbench((s) => s.variants.length);
  const readable = useWorkbench((s) => s.reading.cart !== null && s.setProblem === null);
  const store = useWorkbenchStore();
  const suggested = `variant ${count + 1}`;
  const keep = (): void => {
    store.getState().keepVariant(name.trim() === '' ? suggested : name.trim());
    setName('');
    const kept = store.getState().variants.at(-1);
    if (kept !== undefined) onKept(kept.id);
  };
  return (
    <form
      className="keep-variant"
      onSubmit={(event) => {
        event.preventDefault();
        keep();
      }}
    >
      <label>
        <span className="kit-soft">Name of the variant</span>
        <input
          className="kit-input"
          value={name}
          maxLength={80}
          placeholder={suggested}
          onChange={(event) => setName(event.target.value)}
        />
      </label>
      <button type="submit" className="kit-button" disabled={!readable}>
        Keep the sheet as a variant
      </button>
    </form>
  );
}
