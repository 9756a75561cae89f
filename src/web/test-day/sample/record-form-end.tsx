/** The end of a form: why it is changed, what is missing, and the answers. */

import type { ContentBody, RecordState } from '../../../test-record/index.js';
import { TextField } from '../form/fields.js';
import { SureButton } from '../form/sure-button.js';
import { WhatIsMissing } from '../form/what-is-missing.js';
import { useTestDay } from '../use-test-day.js';
import type { PlaceOf } from './problem-words.js';
import { problemWords } from './problem-words.js';
import type { RecordDraft, RecordForm } from './use-record-form.js';

interface RecordFormEndProps<D extends RecordDraft, B extends ContentBody> {
  readonly form: RecordForm<D, B>;
  /** null: a new one */
  readonly record: RecordState<B> | null;
  /** on the button that writes a new one */
  readonly words: string;
  readonly placeOf: PlaceOf;
}

export function RecordFormEnd<D extends RecordDraft, B extends ContentBody>({
  form: { form, problems, write, leave },
  record,
  words,
  placeOf,
}: RecordFormEndProps<D, B>) {
  const who = useTestDay((s) => s.who);
  const isAnonymous = who.trim() === '';
  return (
    <>
      {record !== null && <Why form={form} problems={problems} isDue={needsWhy(record)} />}
      <WhatIsMissing
        problems={problems}
        isShown={form.isStarted}
        wordsOf={(problem) => problemWords(problem, placeOf)}
      />
      <div className="form-answers">
        <button
          type="button"
          className="kit-button is-main"
          disabled={problems.all.length > 0 || isAnonymous}
          onClick={() => void write()}
        >
          {record === null ? words : 'Write the change'}
        </button>
        <SureButton
          words={record === null ? 'Cancel' : 'Leave it as it was'}
          asks={form.isStarted ? 'What was typed here will be gone.' : null}
          sure="Discard it"
          onSure={leave}
        />
        {isAnonymous && <span className="kit-problem">Say above who you are.</span>}
      </div>
    </>
  );
}

function needsWhy({ reviewedAt, withdrawn }: RecordState): boolean {
  return reviewedAt !== null || withdrawn;
}

interface WhyProps<D extends RecordDraft> {
  readonly form: RecordForm<D, ContentBody>['form'];
  readonly problems: RecordForm<D, ContentBody>['problems'];
  readonly isDue: boolean;
}

function Why<D extends RecordDraft>({ form: { value, change }, problems, isDue }: WhyProps<D>) {
  return (
    <TextField
      label="Why it is changed"
      value={value.why}
      problem={problems.at('why')}
      hint={isDue ? 'Needed: the record is closed.' : 'Kept with the entry; may stay empty.'}
      wide
      onChange={(why) => change({ why } as Partial<D>)}
    />
  );
}
