/** Values that are dragged: the margins follow at once, and the sheet is written on release. */

import type { KeyboardEvent, PointerEvent } from 'react';
import { useRef, useState } from 'react';
import type { FieldPath } from '../../document/index.js';
import { editsProblem } from '../../document/index.js';
import type { Dimension } from '../../units/index.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { fieldWords } from './field-address.js';
import { reachesFurther, scrubEdits } from './scrub-edits.js';
import { amountOf, stepped } from './typed-amount.js';

/** px of a drag for one step. */
const STEP_WIDTH = 4;
/** Steps with Shift. */
const LARGE = 10;

export interface Scrub {
  /** what stands there while it is dragged; null: nothing is */
  readonly live: string | null;
  readonly onKey: (event: KeyboardEvent) => boolean;
  readonly onKeyUp: (event: KeyboardEvent) => void;
  readonly release: () => void;
  readonly onPointerDown: (event: PointerEvent) => void;
}

interface Drag {
  readonly path: FieldPath;
  readonly start: string;
  steps: number;
  text: string;
}

/**
 * @param of where a drag begins: the field and its text; null: nothing there to drag
 */
export function useScrub(
  of: () => {
    readonly path: FieldPath;
    readonly text: string;
    readonly dimension: Dimension | null;
  } | null,
): Scrub {
  const store = useWorkbenchStore();
  const [live, setLive] = useState<string | null>(null);
  const drag = useRef<(Drag & { readonly dimension: Dimension | null }) | null>(null);

  function edited(path: FieldPath, text: string, dimension: Dimension | null) {
    const { reading } = store.getState();
    const value = amountOf(text, dimension);
    const { cart, fields } = reading;
    if (cart === null || fields === null || value === null) return null;
    const edits = scrubEdits(cart, fields, path, value);
    return edits !== null && editsProblem(cart, edits) === null ? edits : null;
  }

  function begin(): boolean {
    if (drag.current !== null) return true;
    const field = of();
    if (field === null || edited(field.path, field.text, field.dimension) === null) return false;
    drag.current = { ...field, start: field.text, steps: 0 };
    return true;
  }

  function stepTo(steps: number): void {
    const { current } = drag;
    if (current === null || steps === current.steps) return;
    const text = stepped(current.start, current.dimension, steps);
    const edits = text === null ? null : edited(current.path, text, current.dimension);
    // a value beyond what is allowed: the drag stays where it was
    if (text === null || edits === null) return;
    current.steps = steps;
    current.text = text;
    setLive(text);
    store.getState().drag(edits);
  }

  function release(): void {
    const { current } = drag;
    if (current === null) return;
    drag.current = null;
    const { path, text, start, dimension } = current;
    const { reading, edit, change } = store.getState();
    const made = edited(path, text, dimension);
    if (text === start || made === null) store.getState().drag([]);
    else {
      const words = fieldWords(reading.fields, path);
      if (reachesFurther(made)) edit(words, made);
      else change(words, [{ kind: 'set', path, value: { typed: text } }]);
    }
    setLive(null);
  }

  function cancel(): void {
    if (drag.current === null) return;
    drag.current = null;
    store.getState().drag([]);
    setLive(null);
  }

  return {
    live,
    release,
    onKey(event) {
      if (event.key === 'Escape' && drag.current !== null) {
        event.stopPropagation();
        cancel();
        return true;
      }
      const sign = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
      if (!event.altKey || sign === 0 || event.ctrlKey || event.metaKey) return false;
      event.preventDefault();
      if (begin()) stepTo((drag.current?.steps ?? 0) + sign * (event.shiftKey ? LARGE : 1));
      return true;
    },
    onKeyUp(event) {
      if (event.key === 'Alt') release();
    },
    onPointerDown(event) {
      if (event.button !== 0 || !begin()) return;
      event.preventDefault();
      followPointer(event, { stepTo, release, cancel });
    },
  };
}

/** Until the pointer is let go of; Escape takes the drag back. */
function followPointer(
  { currentTarget, pointerId, clientX: from }: PointerEvent,
  {
    stepTo,
    release,
    cancel,
  }: Record<'release' | 'cancel', () => void> & {
    readonly stepTo: (steps: number) => void;
  },
): void {
  const over = new AbortController();
  const { signal } = over;
  currentTarget.setPointerCapture(pointerId);
  let frame = 0;
  const listen = currentTarget.addEventListener.bind(currentTarget);
  listen(
    'pointermove',
    (event) => {
      const { clientX, shiftKey } = event as unknown as PointerEvent;
      cancelAnimationFrame(frame);
      frame = requestAnimationFrame(() => {
        const steps = Math.round((clientX - from) / STEP_WIDTH);
        if (!signal.aborted) stepTo(shiftKey ? steps * LARGE : steps);
      });
    },
    { signal },
  );
  const end = (then: () => void) => (): void => {
    over.abort();
    cancelAnimationFrame(frame);
    then();
  };
  listen('pointerup', end(release), { signal });
  listen('pointercancel', end(cancel), { signal });
  addEventListener(
    'keydown',
    (event) => {
      if (event.key === 'Escape') end(cancel)();
    },
    { signal, capture: true },
  );
}

/** True where a drag of the field can be shown on the sheet as it is. */
export function useCanScrub(path: FieldPath, text: string, dimension: Dimension | null): boolean {
  const { cart, fields } = useWorkbench((s) => s.reading);
  const value = amountOf(text, dimension);
  if (cart === null || fields === null || value === null) return false;
  return scrubEdits(cart, fields, path, value) !== null;
}
