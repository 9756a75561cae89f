/** The page: one of its screens, and what stands over all of them. */

import './app.css';
import type { RefObject } from 'react';
import { lazy, Suspense, useEffect, useRef } from 'react';
import { ComparePage } from './compare/compare-page.js';
import { Guide } from './guide/guide.js';
import { FileDialogs } from './header/file-dialogs.js';
import { Header } from './header/header.js';
import { Notices } from './header/notices.js';
import { useShortcuts } from './header/use-shortcuts.js';
import { Cautions } from './kit/cautions.js';
import { useWorkbench, useWorkbenchStore } from './kit/use-workbench.js';
import { SheetPage } from './sheet-page.js';
import { StartPage } from './start/start-page.js';
import { entriesWait } from './test-day/entries-wait.js';

/** Not part of the first load: most sessions begin at a cart. */
const TestDayPage = lazy(async () => {
  const { TestDayPage: page } = await import('./test-day/test-day-page.js');
  return { default: page };
});

/** ms between looks at the file on disk. */
const LOOK_EVERY = 3000;

export function App() {
  const screen = useWorkbench((s) => s.screen);
  useTheme();
  useShortcuts();
  useLooks();
  useWaitingEntries();
  const content = useFocusKept(screen);
  return (
    <div className="app">
      <Header />
      <main className="app-main" id="content" ref={content} tabIndex={-1}>
        {screen === 'start' && <StartPage />}
        {screen === 'sheet' && <SheetPage />}
        {screen === 'compare' && <ComparePage />}
        {screen === 'test day' && (
          <Suspense fallback={<p role="status">Opening the test day...</p>}>
            <TestDayPage />
          </Suspense>
        )}
      </main>
      <Cautions />
      <Guide />
      <FileDialogs />
      <Notices />
    </div>
  );
}

function useTheme(): void {
  const theme = useWorkbench((s) => s.theme);
  useEffect(() => {
    const system = matchMedia('(prefers-color-scheme: dark)');
    const apply = (): void => {
      const isDark = theme === 'dark' || (theme === 'as the system' && system.matches);
      document.documentElement.dataset.theme = isDark ? 'dark' : 'light';
    };
    apply();
    system.addEventListener('change', apply);
    return () => system.removeEventListener('change', apply);
  }, [theme]);
}

/** What had the focus goes with its screen; the next key goes on at the content of the new one. */
function useFocusKept(screen: string): RefObject<HTMLElement | null> {
  const content = useRef<HTMLElement>(null);
  const before = useRef(screen);
  useEffect(() => {
    if (before.current === screen) return;
    before.current = screen;
    if (document.activeElement === document.body) content.current?.focus();
  }, [screen]);
  return content;
}

/** A file changed by another program is told, whether or not it is about to be saved. */
function useLooks(): void {
  const store = useWorkbenchStore();
  useEffect(() => {
    const look = (): void => {
      if (document.visibilityState === 'visible') void store.getState().lookAtDisk();
    };
    const timer = setInterval(look, LOOK_EVERY);
    addEventListener('focus', look);
    return () => {
      clearInterval(timer);
      removeEventListener('focus', look);
    };
  }, [store]);
}

/** Entries of a test day that an earlier page could not send are sent, whatever is open. */
function useWaitingEntries(): void {
  const store = useWorkbenchStore();
  const folder = useWorkbench((s) => s.folder?.id ?? null);
  useEffect(() => {
    if (folder === null || !entriesWait()) return;
    void import('./test-day/open-test-day.js').then(({ testDayOf }) => testDayOf(folder, store));
  }, [store, folder]);
}
