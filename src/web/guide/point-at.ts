/** Shows where something is on the page: opened, scrolled to, focused, and outlined for a moment. */

import type { WorkbenchStore } from '../store/workbench.js';
import type { GuidePlace } from './guide-steps.js';

/** ms until the panes that were opened are there. */
const OPENED_AFTER = 150;
/** ms that the outline stays. */
const POINTED_FOR = 3000;

const FOCUSABLE = 'button:not(:disabled), input:not(:disabled), select, textarea, [tabindex="0"]';

export function pointAt(store: WorkbenchStore, { pane, section, find }: GuidePlace): void {
  const { file, say, goTo, showPane, openSection } = store.getState();
  if (file === null) {
    say('Open a cart first: the example, or one of yours.');
    return;
  }
  goTo('sheet');
  if (pane !== null) showPane(pane);
  if (section !== null) openSection(section);
  setTimeout(() => {
    const element = found(find);
    if (element === null) return;
    element.scrollIntoView({ block: 'nearest' });
    const isControl = element.matches('button, input, select');
    const target = isControl ? element : (element.querySelector(FOCUSABLE) ?? element);
    if (target instanceof HTMLElement) target.focus({ preventScroll: true });
    element.classList.add('guide-pointed');
    setTimeout(() => element.classList.remove('guide-pointed'), POINTED_FOR);
  }, OPENED_AFTER);
}

function found(find: GuidePlace['find']): Element | null {
  for (const each of find) {
    const element =
      'button' in each ? buttonOf(each.button) : document.querySelector(each.selector);
    if (element !== null) return element;
  }
  return null;
}

function buttonOf(words: string): Element | null {
  const buttons = [...document.querySelectorAll('button')];
  return buttons.find((each) => each.textContent?.trim() === words) ?? null;
}
