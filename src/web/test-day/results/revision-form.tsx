/** The change because of a failure, put into the record as a revision of the cart. */

import { useState } from 'react';
import { editCartFile, sentence } from '../../../document/index.js';
import type { Remedy } from '../../../remedies/index.js';
import { changesText } from '../../../remedies/index.js';
import type {
  CartBody,
  DiagnosisBody,
  PlanBody,
  RecordState,
  Subject,
} from '../../../test-record/index.js';
import { recordOf, recordsOf } from '../../../test-record/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { TextField } from '../form/fields.js';
import { cartBodyOf, fileNameOf } from '../plan/cart-of-sheet.js';
import { isSameCart, nextRevision } from '../plan/revisions.js';
import type { TestDayStore } from '../store/test-day.js';
import { recordPartsLists } from '../use-record-cart.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import type { JudgedRun } from './judged-runs.js';

export interface ChosenWords {
  readonly words: string;
  readonly remedy: Remedy | null;
}

interface RevisionFormProps {
  readonly plan: RecordState<PlanBody>;
  readonly failed: JudgedRun;
  /** null: what stands on the sheet is the changed cart */
  readonly remedy: Remedy | null;
  readonly diagnosis: (chosen: ChosenWords) => DiagnosisBody;
  readonly onDone: () => void;
}

export function RevisionForm({ plan, failed, remedy, diagnosis, onDone }: RevisionFormProps) {
  const store = useTestDayStore();
  const state = useTestDay((s) => s.state);
  const text = useWorkbench((s) => s.text);
  const partsLists = useWorkbench((s) => s.partsLists);
  const file = useWorkbench((s) => s.file);
  const before = state === null ? null : recordOf(state, 'cart', plan.content.cart);
  const labels =
    state === null ? [] : recordsOf(state, 'cart').map(({ content }) => content.revision);
  const [revision, setRevision] = useState(() => nextRevision(labels));
  const [change, setChange] = useState(() =>
    remedy === null ? '' : changesText(remedy.changes, 'both'),
  );
  const [problem, setProblem] = useState<string | null>(null);
  const [isWriting, setIsWriting] = useState(false);
  if (before === null) return null;
  const isUnchanged =
    remedy === null && (file === null || isSameCart({ text, partsLists }, before.content));
  const write = async (): Promise<void> => {
    setIsWriting(true);
    const found = diagnosis({ words: change, remedy });
    const diagnosed = await store.getState().write(found);
    if (diagnosed !== null) {
      const words = {
        revision,
        file: remedy === null ? fileNameOf(file?.name ?? null) : before.content.file,
        follows: before.subject,
        because: [failed.record.subject, diagnosed],
        change,
      };
      const body =
        remedy === null
          ? await cartBodyOf(store, { text, partsLists }, words)
          : await editedBody(store, before.content, remedy, words);
      await finish(body);
    }
    setIsWriting(false);
  };
  const finish = async (body: CartBody | string | null): Promise<void> => {
    if (typeof body === 'string') setProblem(body);
    if (body === null || typeof body === 'string') return;
    const written = await store.getState().write(body);
    if (written === null) return;
    // a plan of the new revision is made next
    store.getState().chooseRun(null);
    store.getState().show('Plan');
    onDone();
  };
  return (
    <div className="form results-revision">
      <h4>A new revision because of this failure</h4>
      {isUnchanged && (
        <p className="kit-problem">
          The sheet holds the cart as it failed, or none: change it there first, then come back.
        </p>
      )}
      <div className="form-fields">
        <TextField label="Revision" value={revision} onChange={setRevision} />
        <TextField label="What is changed" value={change} long onChange={setChange} />
      </div>
      {problem !== null && <p className="kit-problem">{problem}</p>}
      <p className="form-hint">
        The failure, the change and the retest stay linked. A plan for the new revision is made
        next; a prediction that it passes does not replace the retest.
      </p>
      <div className="form-answers">
        <button
          type="button"
          className="kit-button is-main"
          disabled={isUnchanged || isWriting || revision.trim() === '' || change.trim() === ''}
          onClick={() => void write()}
        >
          Write revision {revision}
        </button>
        <button type="button" className="kit-button" onClick={onDone}>
          Leave it
        </button>
      </div>
    </div>
  );
}

type Words = Pick<CartBody, 'revision' | 'file' | 'change'> & {
  readonly follows: Subject;
  readonly because: readonly Subject[];
};

/** The file of the revision before with the remedy's changes; a sentence: why it cannot be made so */
async function editedBody(
  store: TestDayStore,
  before: CartBody,
  { edits }: Remedy,
  words: Words,
): Promise<CartBody | string> {
  const lists = await recordPartsLists(store, before);
  if (typeof lists === 'string') return lists;
  const edited = editCartFile(before.text, before.file, edits, lists);
  if (edited.kind === 'refused') return edited.issues.map(sentence).join(' ');
  return { kind: 'cart', ...words, text: edited.text, partsLists: before.partsLists, edits };
}
