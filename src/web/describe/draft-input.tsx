/** A text field that hands over what was typed on Enter or on leaving; Escape takes it back. */

import type { KeyboardEvent } from 'react';
import { useState } from 'react';

export interface DraftInputProps {
  readonly id: string;
  readonly text: string;
  /** null: another element is the label */
  readonly label: string | null;
  readonly invalid: boolean;
  readonly describedBy: string | undefined;
  readonly lines?: number;
  /** id of a datalist with what may stand here */
  readonly choices?: string | undefined;
  readonly placeholder?: string | undefined;
  readonly className?: string;
  /** false: it was refused, and what was typed stays */
  readonly onCommit: (text: string) => boolean;
  readonly onFocus?: () => void;
  readonly onBlur?: () => void;
  /** before our own keys; true: it was for another */
  readonly onKey?: (event: KeyboardEvent) => boolean;
  readonly onKeyUp?: (event: KeyboardEvent) => void;
}

export function DraftInput(props: DraftInputProps) {
  const { id, text, label, invalid, describedBy, lines = 1, choices, placeholder } = props;
  const [draft, setDraft] = useState<string | null>(null);

  function commit(): void {
    if (draft === null) return;
    if (draft === text || props.onCommit(draft)) setDraft(null);
  }

  function onKeyDown(event: KeyboardEvent): void {
    if (props.onKey?.(event)) return;
    // Enter that ends the choice of a character is none of ours
    if (event.nativeEvent.isComposing) return;
    const isEnter = event.key === 'Enter' && (lines === 1 || event.ctrlKey || event.metaKey);
    // what is being typed belongs to what is saved
    const isSave = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 's';
    if (isEnter || isSave) commit();
    if (event.key === 'Escape' && draft !== null) {
      event.stopPropagation();
      setDraft(null);
    }
  }

  const shared = {
    id,
    value: draft ?? text,
    className: `kit-input describe-input ${props.className ?? ''}`,
    'aria-label': label ?? undefined,
    'aria-invalid': invalid || undefined,
    'aria-describedby': describedBy,
    placeholder,
    spellCheck: false,
    autoComplete: 'off',
    title: (draft ?? text) || undefined,
    // letters that are not taken over yet are the field's own to undo
    'data-typing': draft !== null && draft !== text,
    onKeyDown,
    onKeyUp: props.onKeyUp,
    onFocus: props.onFocus,
    onBlur() {
      commit();
      props.onBlur?.();
    },
    onChange: (event: { readonly target: { readonly value: string } }) =>
      setDraft(event.target.value),
  };
  return lines === 1 ? (
    <input {...shared} type="text" list={choices} />
  ) : (
    <textarea {...shared} rows={lines} />
  );
}
