/** Where a session begins: carts of the folder, examples, a new cart, the guide. */

import './start-page.css';
import { tourWords } from '../guide/guide-steps.js';
import { startTour } from '../guide/start-tour.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { CartList } from './cart-list.js';
import { ExampleList } from './example-list.js';
import { OpenElsewhere } from './open-elsewhere.js';

export function StartPage() {
  const folder = useWorkbench((s) => s.folder);
  const problem = useWorkbench((s) => s.folderProblem);
  return (
    <div className="start">
      <div className="start-lead">
        <h1>Does the cart stand still?</h1>
        <p>
          Describe a wheeled cart or stand for medical equipment. Standstill computes, for every
          position and load and with the castors turned the worst way, whether it tips, slides,
          pivots or rolls away, and by what margin.
        </p>
        <p className="start-caution">
          A prediction does not replace the test. A qualified person decides.
        </p>
        <BeginWays />
      </div>
      {problem !== null && <Unreachable problem={problem} />}
      {folder === null && problem === null && <p role="status">Looking at the folder...</p>}
      {folder !== null && (
        <div className="start-lists">
          <CartList folder={folder} />
          <ExampleList folder={folder} />
        </div>
      )}
    </div>
  );
}

function BeginWays() {
  const store = useWorkbenchStore();
  const left = useWorkbench((s) => s.guideLeft);
  const isReady = useWorkbench((s) => s.folder !== null);
  return (
    <div className="start-ways">
      <button
        type="button"
        className={left === null ? 'kit-button is-main' : 'kit-button'}
        disabled={!isReady}
        onClick={() => startTour(store)}
      >
        {tourWords(left)}
      </button>
      <button
        type="button"
        className={left === null ? 'kit-button' : 'kit-button is-main'}
        disabled={!isReady}
        onClick={() => void store.getState().newCart()}
      >
        New cart
      </button>
      <OpenElsewhere />
      <button
        type="button"
        className="kit-button"
        disabled={!isReady}
        onClick={() => store.getState().goTo('test day')}
      >
        Test days
      </button>
      {left === null && (
        <p className="kit-soft start-ways-about">
          The tour takes five minutes: from a cart that fails to a first verdict on your numbers.
        </p>
      )}
    </div>
  );
}

function Unreachable({ problem }: { readonly problem: string }) {
  const store = useWorkbenchStore();
  return (
    <div className="start-unreachable" role="alert">
      <h2>The folder cannot be shown</h2>
      <p>{problem}</p>
      <p>
        Start it again in the terminal with <code>standstill workbench</code> and open the address
        that it prints. Unsaved work is kept.
      </p>
      <button type="button" className="kit-button" onClick={() => void store.getState().begin()}>
        Try again
      </button>
    </div>
  );
}
