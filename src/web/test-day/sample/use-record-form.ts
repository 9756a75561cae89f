/** The form of a record: a new one, or one that is there changed, from the entry it was made from. */

import { useMemo } from 'react';
import type { ContentBody, RecordState } from '../../../test-record/index.js';
import type { Form, Problems } from '../form/use-form.js';
import { useForm, useProblems } from '../form/use-form.js';
import { useTestDayStore } from '../use-test-day.js';

/** What every such form keeps besides its content. */
export interface RecordDraft {
  readonly base: string | null;
  readonly why: string;
}

export interface RecordForm<D extends RecordDraft, B extends ContentBody> {
  readonly form: Form<D>;
  readonly body: B;
  readonly problems: Problems;
  /** null where nothing is wrong with what was typed there; what is still empty is told at the end */
  readonly told: (text: string, ...path: readonly (string | number)[]) => string | null;
  readonly write: () => Promise<void>;
  /** takes back what was typed */
  readonly leave: () => void;
}

export interface RecordFormWishes<D extends RecordDraft, B extends ContentBody> {
  readonly key: string;
  /** null: a new one */
  readonly record: RecordState<B> | null;
  readonly begin: () => D;
  /** the same function as long as it makes the same */
  readonly bodyOf: (draft: D) => B;
  readonly onClose: () => void;
}

export function useRecordForm<D extends RecordDraft, B extends ContentBody>({
  key,
  record,
  begin,
  bodyOf,
  onClose,
}: RecordFormWishes<D, B>): RecordForm<D, B> {
  const store = useTestDayStore();
  const form = useForm<D>(key, begin);
  const { value } = form;
  const body = useMemo(() => bodyOf(value), [bodyOf, value]);
  const { base, why } = value;
  const wishes = useMemo(
    () => (record === null ? {} : { subject: record.subject, base: base ?? record.newest, why }),
    [record, base, why],
  );
  const problems = useProblems(body, wishes);
  const leave = (): void => {
    form.clear();
    onClose();
  };
  return {
    ...{ form, body, problems, leave },
    told: (text, ...path) => (text.trim() === '' ? null : problems.at(...path)),
    async write() {
      if ((await store.getState().write(body, wishes)) !== null) leave();
    },
  };
}
