/** Carts that come with the program, each with what it shows. */

import { useWorkbenchStore } from '../kit/use-workbench.js';
import type { Folder } from '../store/api.js';
import { exampleShows, inOrder } from './example-shows.js';

export function ExampleList({ folder }: { readonly folder: Folder }) {
  const store = useWorkbenchStore();
  if (folder.examples.length === 0) return null;
  return (
    <section className="start-list" aria-labelledby="start-examples">
      <h2 id="start-examples">Examples</h2>
      <p className="kit-soft">
        From Tarn Hollow Instruments, an invented bench of carts. An example opens as a copy.
      </p>
      <ul className="plain">
        {inOrder(folder.examples).map(({ name, title }) => (
          <li key={name} className="start-item">
            <button
              type="button"
              className="start-open"
              title={name}
              onClick={() => void store.getState().openExample(name)}
            >
              <span className="start-name">{title ?? name}</span>
              <span className="start-about">{exampleShows(name) ?? name}</span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
