/** The cart file itself, for what the forms do not reach. What is typed waits until it is applied. */

import { useRef } from 'react';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { fieldId } from './field-address.js';

export interface TextDraft {
  readonly text: string;
  /** what it was begun from */
  readonly base: string;
}

export function TextSection({
  draft,
  onDraft,
}: {
  readonly draft: TextDraft | null;
  readonly onDraft: (draft: TextDraft | null) => void;
}) {
  const text = useWorkbench((s) => s.text);
  const issues = useWorkbench((s) => s.reading.issues);
  const store = useWorkbenchStore();
  const area = useRef<HTMLTextAreaElement>(null);
  const shown = draft?.text ?? text;
  const isOld = draft !== null && draft.base !== text;
  function apply(): void {
    if (draft === null) return;
    if (draft.text !== text) store.getState().replaceText('text of the cart file', draft.text);
    onDraft(null);
    area.current?.focus();
  }
  function showLine(line: number | null): void {
    const element = area.current;
    if (element === null || line === null) return;
    const lines = shown.split('\n');
    const from = lines.slice(0, line - 1).reduce((sum, each) => sum + each.length + 1, 0);
    element.focus();
    element.setSelectionRange(from, from + (lines[line - 1]?.length ?? 0));
    const height = element.scrollHeight / Math.max(1, lines.length);
    element.scrollTop = Math.max(0, (line - 4) * height);
  }
  return (
    <div className="describe-text">
      <p className="kit-soft">
        The cart file as it is saved. Comments and order stay as you write them here.
      </p>
      {isOld && (
        <p className="describe-warning" role="status">
          The sheet was changed elsewhere since you began to type here. Applying puts your text in
          its place; undo brings the other back.
        </p>
      )}
      <label className="kit-hidden" htmlFor={fieldId([])}>
        Text of the cart file
      </label>
      <textarea
        ref={area}
        id={fieldId([])}
        className="kit-input describe-text-area"
        value={shown}
        spellCheck={false}
        wrap="off"
        onChange={({ target }) =>
          onDraft(target.value === text ? null : { text: target.value, base: draft?.base ?? text })
        }
        onKeyDown={(event) => {
          const isEnter = event.key === 'Enter' && (event.ctrlKey || event.metaKey);
          const isSave = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 's';
          if (isEnter || isSave) apply();
        }}
      />
      <div className="kit-row">
        <button
          type="button"
          className="kit-button is-main"
          disabled={draft === null}
          onClick={apply}
        >
          Apply
        </button>
        <button
          type="button"
          className="kit-button"
          disabled={draft === null}
          onClick={() => {
            onDraft(null);
            area.current?.focus();
          }}
        >
          Cancel
        </button>
        <span className="kit-soft" role="status">
          {draft === null ? '' : 'Not applied yet (Ctrl+Enter applies).'}
        </span>
      </div>
      {issues.length > 0 && (
        <ul className="plain describe-lines" aria-label="Problems by line">
          {issues.slice(0, 100).map(({ issue, words }, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew with every reading
            <li key={index}>
              <button
                type="button"
                className="describe-problem"
                onClick={() => showLine(issue.line)}
              >
                <b>
                  {issue.severity === 'warning' ? 'Warning, ' : ''}
                  {issue.line === null ? 'whole file' : `line ${issue.line}`}
                </b>
                : {issue.path}: {words}
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
