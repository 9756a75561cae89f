/** Keys, the guide, and what the program is. */

import './help-dialog.css';
import { CAUTIONS } from '../../analysis/index.js';
import { tourWords } from '../guide/guide-steps.js';
import { startTour } from '../guide/start-tour.js';
import { Dialog } from '../kit/dialog.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { SHORTCUTS } from './shortcuts.js';

export function HelpDialog({ open }: { readonly open: boolean }) {
  const store = useWorkbenchStore();
  const version = useWorkbench((s) => s.folder?.version ?? 'not known');
  const left = useWorkbench((s) => s.guideLeft);
  const close = (): void => store.getState().ask(null);
  return (
    <Dialog title="Help" open={open} onClose={close}>
      <div className="help-dialog">
        <h3>Guided tour</h3>
        <p>Five minutes, from a cart that fails to a first verdict on your own numbers.</p>
        <button
          type="button"
          className="kit-button"
          onClick={() => {
            close();
            startTour(store);
          }}
        >
          {tourWords(left)}
        </button>
        <h3>Keys</h3>
        <table>
          <tbody>
            {SHORTCUTS.map(({ keys, does }) => (
              <tr key={keys}>
                <th scope="row">{keys}</th>
                <td>{does}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <p className="kit-soft">On a Mac, Cmd stands for Ctrl.</p>
        <h3>About</h3>
        <p>Standstill, version {version}. Licence: Apache-2.0.</p>
        <p>
          It computes whether a wheeled cart or stand for medical equipment tips, slides, pivots or
          rolls away. Everything is computed on this machine; nothing is sent anywhere.
        </p>
        <ul>
          {CAUTIONS.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </div>
      <div className="file-dialogs-answers">
        <button type="button" className="kit-button is-main" onClick={close}>
          Close
        </button>
      </div>
    </Dialog>
  );
}
