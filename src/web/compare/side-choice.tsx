/** Which variant is A, and which is B. */

import { useState } from 'react';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';

export interface SideChoiceProps {
  readonly letter: 'A' | 'B';
  /** id of a variant; null: the sheet, or nothing chosen */
  readonly chosen: number | null;
  readonly onChoose: (id: number | null) => void;
  readonly withSheet: boolean;
}

export function SideChoice({ letter, chosen, onChoose, withSheet }: SideChoiceProps) {
  const variants = useWorkbench((s) => s.variants);
  const carts = useWorkbench((s) => s.folder?.carts);
  const examples = useWorkbench((s) => s.folder?.examples);
  const [loading, setLoading] = useState<string | null>(null);
  const store = useWorkbenchStore();
  const load = async (from: 'folder' | 'examples', name: string): Promise<void> => {
    setLoading(name);
    const id = await store.getState().loadVariant(from, name);
    setLoading(null);
    if (id !== null) onChoose(id);
  };
  const choose = (value: string): void => {
    const [kind, ...rest] = value.split(':');
    const name = rest.join(':');
    if (kind === 'folder' || kind === 'examples') void load(kind, name);
    else onChoose(kind === 'variant' ? Number(name) : null);
  };
  return (
    <label className="side-choice">
      <span className="side-choice-letter">{letter}</span>
      <span className="kit-hidden">Variant {letter}</span>
      <select
        className="kit-select"
        value={chosen === null ? 'none:' : `variant:${chosen}`}
        disabled={loading !== null}
        onChange={(event) => choose(event.target.value)}
      >
        <option value="none:">
          {loading === null
            ? withSheet
              ? 'The sheet as it is'
              : 'Choose a variant...'
            : `Reading ${loading}...`}
        </option>
        {variants.length > 0 && (
          <optgroup label="Kept to compare with">
            {variants.map(({ id, name }) => (
              <option key={id} value={`variant:${id}`}>
                {name}
              </option>
            ))}
          </optgroup>
        )}
        <Files label="Carts of the folder" from="folder" names={carts?.map(({ name }) => name)} />
        <Files label="Examples" from="examples" names={examples?.map(({ name }) => name)} />
      </select>
    </label>
  );
}

function Files({
  label,
  from,
  names = [],
}: {
  readonly label: string;
  readonly from: 'folder' | 'examples';
  readonly names: readonly string[] | undefined;
}) {
  if (names.length === 0) return null;
  return (
    <optgroup label={label}>
      {names.map((name) => (
        <option key={name} value={`${from}:${name}`}>
          {name}
        </option>
      ))}
    </optgroup>
  );
}
