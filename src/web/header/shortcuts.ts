/** Keys that work everywhere on the page, as data: the page follows them and its help lists them. */

export type Command = 'undo' | 'redo' | 'save' | 'save as' | 'help';

export interface Key {
  readonly key: string;
  /** Ctrl, or Cmd on a Mac */
  readonly ctrl: boolean;
  readonly shift: boolean;
  readonly alt: boolean;
}

export const SHORTCUTS: readonly { readonly keys: string; readonly does: string }[] = [
  { keys: 'Ctrl+Z', does: 'Undo' },
  { keys: 'Ctrl+Shift+Z or Ctrl+Y', does: 'Redo' },
  { keys: 'Ctrl+S', does: 'Save' },
  { keys: 'Ctrl+Shift+S', does: 'Save as' },
  { keys: '?', does: 'This help' },
  { keys: 'Escape', does: 'Gives up a drag, or closes a dialog' },
  { keys: 'Tab, Shift+Tab', does: 'The next control, the one before' },
];

/** @param types whether the focus is in a field that takes letters @returns null: no key of the page */
export function commandOf({ key, ctrl, shift, alt }: Key, types: boolean): Command | null {
  if (alt) return null;
  const letter = key.toLowerCase();
  if (!ctrl) return key === '?' && !types ? 'help' : null;
  if (letter === 's') return shift ? 'save as' : 'save';
  if (letter === 'z') return shift ? 'redo' : 'undo';
  return letter === 'y' && !shift ? 'redo' : null;
}
