/** A file chosen with a button or dropped on it. */

import type { DragEvent } from 'react';
import { useId, useRef, useState } from 'react';
import { MAX_INPUT_BYTES } from '../../document/index.js';

export interface FileDropProps {
  readonly words: string;
  /** of the button */
  readonly action: string;
  /** endings, such as '.csv,.xlsx' */
  readonly accept: string;
  readonly onFile: (name: string, bytes: Uint8Array) => void;
  readonly onProblem: (words: string) => void;
}

export function FileDrop({ words, action, accept, onFile, onProblem }: FileDropProps) {
  const input = useRef<HTMLInputElement>(null);
  const [isOver, setOver] = useState(false);
  const id = useId();
  async function take(files: FileList | null): Promise<void> {
    const file = files?.[0];
    if (file === undefined) return;
    if (files !== null && files.length > 1) return onProblem('One file at a time, please.');
    if (!accept.split(',').some((ending) => file.name.toLowerCase().endsWith(ending))) {
      return onProblem(
        `${file.name}: allowed is a file that ends in ${accept.replace(',', ' or ')}.`,
      );
    }
    if (file.size > MAX_INPUT_BYTES) {
      const most = Math.round(MAX_INPUT_BYTES / 1024 / 1024);
      return onProblem(`${file.name} has ${file.size} bytes; at most ${most} MiB can be read.`);
    }
    onFile(file.name, new Uint8Array(await file.arrayBuffer()));
  }
  function onDrop(event: DragEvent): void {
    event.preventDefault();
    setOver(false);
    void take(event.dataTransfer.files);
  }
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the button does the same
    <div
      className="describe-drop"
      data-over={isOver || undefined}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={onDrop}
    >
      <span className="kit-soft">{words}</span>
      <button type="button" className="kit-button" onClick={() => input.current?.click()}>
        {action}
      </button>
      <label htmlFor={id} className="kit-hidden">
        {action}
      </label>
      <input
        ref={input}
        id={id}
        type="file"
        accept={accept}
        className="kit-hidden"
        tabIndex={-1}
        onChange={(event) => {
          void take(event.target.files);
          // the same file may be chosen again after it was mended
          event.target.value = '';
        }}
      />
    </div>
  );
}
