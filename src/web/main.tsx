/** Where the page begins. */

import './kit/tokens.css';
import '../figure/figure.css';
import './kit/base.css';
import { CSPProvider } from '@base-ui/react/csp-provider';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { config } from 'zod';
import { App } from './app.js';
import { createEngine } from './engine/engine-client.js';
import { WorkbenchContext } from './kit/use-workbench.js';
import { tabClaims } from './store/claims.js';
import { draftShelf } from './store/drafts.js';
import { httpApi } from './store/http-api.js';
import type { Preferences } from './store/workbench.js';
import { createWorkbench } from './store/workbench.js';

// The content policy of the server forbids code made from text.
config({ jitless: true });

const preferences: Preferences = {
  get: (key) => localStorage.getItem(`standstill ${key}`),
  set: (key, value) => {
    try {
      localStorage.setItem(`standstill ${key}`, value);
    } catch {
      // no room: it is not remembered
    }
  },
};

const store = createWorkbench({
  api: httpApi,
  engine: createEngine(),
  shelf: draftShelf(localStorage),
  claims: tabClaims(navigator.locks),
  preferences,
  now: () => new Date().toISOString(),
});

const root = document.getElementById('page');
if (root === null) throw new Error('main: the page has no root');
createRoot(root).render(
  <StrictMode>
    <CSPProvider disableStyleElements>
      <WorkbenchContext value={store}>
        <App />
      </WorkbenchContext>
    </CSPProvider>
  </StrictMode>,
);
void store.getState().begin();
