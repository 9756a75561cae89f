/** Keys that work everywhere on the page. */

import { useEffect } from 'react';
import { useWorkbenchStore } from '../kit/use-workbench.js';
import type { WorkbenchStore } from '../store/workbench.js';
import { saveOrAsk } from './save-or-ask.js';
import type { Command } from './shortcuts.js';
import { commandOf } from './shortcuts.js';

export function useShortcuts(): void {
  const store = useWorkbenchStore();
  useEffect(() => {
    // what each field said when the focus came to it, or when what was typed was last taken over
    let field: EventTarget | null = null;
    let before = '';
    const focused = (event: Event): void => {
      field = event.target;
      before = isTextField(field) ? field.value : '';
    };
    const pressed = (event: KeyboardEvent): void => {
      const { key, shiftKey, altKey, target } = event;
      const ctrl = event.ctrlKey || event.metaKey;
      const isText = isTextField(target);
      const command = commandOf({ key, ctrl, shift: shiftKey, alt: altKey }, isText);
      if (command === null || event.defaultPrevented) return;
      // letters typed and not taken over yet are the field's own to undo
      const isTyping = isText && target === field && hasOwnToUndo(target, before);
      if (isTyping && (command === 'undo' || command === 'redo')) return;
      event.preventDefault();
      if (!event.repeat || command === 'undo' || command === 'redo') follow(store, command, target);
    };
    document.addEventListener('focusin', focused);
    document.addEventListener('change', focused);
    document.addEventListener('keydown', pressed);
    return () => {
      document.removeEventListener('focusin', focused);
      document.removeEventListener('change', focused);
      document.removeEventListener('keydown', pressed);
    };
  }, [store]);
}

function follow(store: WorkbenchStore, command: Command, target: EventTarget | null): void {
  const state = store.getState();
  // an open dialog asks something first
  if (state.recovery !== null || state.conflict !== null || state.asking !== null) return;
  if (command === 'help') {
    state.ask('help');
    return;
  }
  if (state.file === null) return;
  if (command === 'undo') state.undo();
  if (command === 'redo') state.redo();
  if (command === 'save' || command === 'save as') {
    // what stands in the field belongs to the file
    if (isTextField(target)) {
      target.blur();
      target.focus();
    }
    if (command === 'save as') state.ask('save as');
    else saveOrAsk(store);
  }
}

type TextField = HTMLInputElement | HTMLTextAreaElement;

const LETTERS = new Set(['text', 'search', 'url', 'tel', 'email', 'password', 'number']);

/** A field that says itself whether letters wait in it is believed: a drag or Enter changes its text too. */
function hasOwnToUndo({ dataset, value }: TextField, before: string): boolean {
  return dataset.typing === undefined ? value !== before : dataset.typing === 'true';
}

function isTextField(target: EventTarget | null): target is TextField {
  if (target instanceof HTMLTextAreaElement) return true;
  return target instanceof HTMLInputElement && LETTERS.has(target.type);
}
