/** The cart of the sheet, taken into the record as the next revision. */

import { useMemo, useState } from 'react';
import type { CartBody, RecordState, Subject } from '../../../test-record/index.js';
import { cartDifferences } from '../../compare/cart-differences.js';
import { useWorkbench, useWorkbenchStore } from '../../kit/use-workbench.js';
import { TextField } from '../form/fields.js';
import { OtherProblems } from '../form/other-problems.js';
import { SureButton } from '../form/sure-button.js';
import { useForm, useProblems } from '../form/use-form.js';
import { useRecordCart } from '../use-record-cart.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import type { RevisionWords } from './cart-of-sheet.js';
import { cartBodyOf, fileNameOf, partsListsOf } from './cart-of-sheet.js';
import { reasonChoices } from './reason-choices.js';
import { changeWords } from './revisions.js';

interface TakeRevisionProps {
  /** label that comes next */
  readonly next: string;
  /** the one it is made from; null: it is the first */
  readonly newest: RecordState<CartBody> | null;
  readonly onClose: () => void;
}

interface Fields {
  readonly revision: string;
  /** null: as the differences say */
  readonly change: string | null;
  readonly because: readonly Subject[];
}

export function TakeRevision({ next, newest, onClose }: TakeRevisionProps) {
  const form = useForm<Fields>(`revision ${next}`, () => ({
    revision: next,
    change: null,
    because: [],
  }));
  const { value, change } = form;
  const differences = useDifferences(newest?.subject ?? null);
  const words = useWords(value, newest, differences);
  const [isTried, setTried] = useState(false);
  const problems = useProblems(useShapeOf(words));
  const isChangeMissing = newest !== null && words.change.trim() === '';
  const take = useTake(words, () => {
    form.clear();
    onClose();
  });
  const told = (field: string): string | null => (isTried ? problems.at(field) : null);
  const isFine = problems.all.length === 0 && !isChangeMissing;
  return (
    <form
      className="form day-plan-form"
      aria-label={`Revision ${next}`}
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (isFine) void take();
      }}
    >
      <h3>The cart of the sheet as a revision</h3>
      <TextField
        label="Revision"
        value={value.revision}
        problem={told('revision')}
        onChange={(revision) => change({ revision })}
      />
      {newest !== null && (
        <TextField
          label={`What is different from revision ${newest.content.revision}`}
          long
          value={words.change}
          problem={isTried && isChangeMissing ? 'say what is different' : told('change')}
          hint="proposed from the two files; put it as you would say it"
          onChange={(text) => change({ change: text })}
        />
      )}
      {newest !== null && (
        <Because value={value.because} onChange={(because) => change({ because })} />
      )}
      {isTried && <OtherProblems problems={problems} shown={['revision', 'change']} />}
      <div className="form-answers">
        <button type="submit" className="kit-button is-main">
          Take it as revision {value.revision.trim() === '' ? '...' : value.revision.trim()}
        </button>
        <SureButton
          words="Cancel"
          asks={form.isStarted ? 'What was typed here will be gone.' : null}
          sure="Discard it"
          onSure={() => {
            form.clear();
            onClose();
          }}
        />
      </div>
    </form>
  );
}

function useDifferences(newest: Subject | null): string {
  const sheet = useWorkbench((s) => s.reading.cart);
  const units = useWorkbench((s) => s.units);
  const { cart } = useRecordCart(newest);
  return useMemo(
    () => (cart === null || sheet === null ? '' : changeWords(cartDifferences(cart, sheet, units))),
    [cart, sheet, units],
  );
}

function useWords(
  value: Fields,
  newest: RecordState<CartBody> | null,
  differences: string,
): RevisionWords {
  const name = useWorkbench((s) => s.file?.name ?? null);
  return useMemo(
    () => ({
      revision: value.revision.trim(),
      file: fileNameOf(name),
      follows: newest?.subject ?? null,
      because: value.because,
      change: newest === null ? '' : (value.change ?? differences),
    }),
    [value, newest, name, differences],
  );
}

/** As it will be written; its parts list is kept when it is taken. */
function useShapeOf(words: RevisionWords): CartBody {
  const text = useWorkbench((s) => s.text);
  const partsLists = useWorkbench((s) => s.partsLists);
  return useMemo(
    () => ({
      kind: 'cart',
      ...words,
      text,
      partsLists: partsListsOf({ text, partsLists }),
      edits: [],
    }),
    [words, text, partsLists],
  );
}

function useTake(words: RevisionWords, onDone: () => void): () => Promise<void> {
  const store = useTestDayStore();
  const workbench = useWorkbenchStore();
  return async () => {
    const { text, partsLists } = workbench.getState();
    const body = await cartBodyOf(store, { text, partsLists }, words);
    if (body !== null && (await store.getState().write(body)) !== null) onDone();
  };
}

interface BecauseProps {
  readonly value: readonly Subject[];
  readonly onChange: (because: readonly Subject[]) => void;
}

/** Which failures or diagnoses led to it. */
function Because({ value, onChange }: BecauseProps) {
  const state = useTestDay((s) => s.state);
  const choices = useMemo(() => (state === null ? [] : reasonChoices(state)), [state]);
  if (choices.length === 0) return null;
  return (
    <fieldset className="day-plan-because">
      <legend>What led to it</legend>
      {choices.map(({ subject, words }) => (
        <label key={subject}>
          <input
            type="checkbox"
            checked={value.includes(subject)}
            onChange={(event) =>
              onChange(
                event.target.checked
                  ? [...value, subject]
                  : value.filter((each) => each !== subject),
              )
            }
          />
          <span>{words}</span>
        </label>
      ))}
    </fieldset>
  );
}
