/** The revisions of the cart: what each changed and why, and the sheet's cart taken as the next. */

import { useMemo, useState } from 'react';
import type { CartBody, ProjectState, RecordState } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { useWorkbench, useWorkbenchStore } from '../../kit/use-workbench.js';
import { useTestDay } from '../use-test-day.js';
import { reasonsInShort } from './reason-choices.js';
import { isSameCart, nextRevision } from './revisions.js';
import { TakeRevision } from './take-revision.js';

export function CartRevisions() {
  const state = useTestDay((s) => s.state);
  const revisions = useMemo(() => (state === null ? [] : recordsOf(state, 'cart')), [state]);
  return (
    <section className="day-plan-panel" aria-labelledby="plan-revisions">
      <h2 id="plan-revisions">Cart</h2>
      {revisions.length === 0 ? (
        <p>
          No revision of the cart yet. A plan is made of one: its file is kept here as it is, so
          that the record stays true when the file changes.
        </p>
      ) : (
        <ol className="plain day-plan-revisions">
          {revisions.map((record) => (
            <Revision key={record.subject} record={record} state={state} />
          ))}
        </ol>
      )}
      <FromSheet revisions={revisions} />
    </section>
  );
}

interface RevisionProps {
  readonly record: RecordState<CartBody>;
  readonly state: ProjectState | null;
}

function Revision({ record: { content, withdrawn }, state }: RevisionProps) {
  const { revision, file, change, because, follows } = content;
  const before = state?.records.get(follows ?? '')?.content;
  const reasons = state === null ? [] : reasonsInShort(state, because);
  return (
    <li className="day-plan-revision" data-withdrawn={withdrawn || undefined}>
      <strong className="day-plan-revision-label">{revision}</strong>
      <div>
        <span className="day-plan-file" title={file}>
          {file}
        </span>
        {withdrawn && <span className="kit-soft"> (withdrawn)</span>}
        {change !== '' && (
          <p className="day-plan-change">
            {before?.kind === 'cart' ? `From ${before.revision}: ` : ''}
            {change}
          </p>
        )}
        {reasons.length > 0 && <p className="kit-soft">Because of: {reasons.join('; ')}</p>}
      </div>
    </li>
  );
}

function FromSheet({ revisions }: { readonly revisions: readonly RecordState<CartBody>[] }) {
  const workbench = useWorkbenchStore();
  const hasSheet = useWorkbench((s) => s.file !== null);
  const text = useWorkbench((s) => s.text);
  const partsLists = useWorkbench((s) => s.partsLists);
  const canBeRead = useWorkbench((s) => s.reading.cart !== null);
  const [isOpen, setOpen] = useState(false);
  const counting = revisions.filter(({ withdrawn }) => !withdrawn);
  const newest = counting.at(-1) ?? null;
  const isSame = newest !== null && isSameCart({ text, partsLists }, newest.content);
  if (!hasSheet) {
    return (
      <p className="kit-soft day-plan-from-sheet">
        {newest === null ? 'Open the cart' : 'To add a revision, open the cart'} on the sheet first.{' '}
        <button
          type="button"
          className="kit-button"
          onClick={() => workbench.getState().goTo('start')}
        >
          Choose a cart
        </button>
      </p>
    );
  }
  if (!canBeRead) {
    return (
      <p className="kit-soft day-plan-from-sheet">
        The sheet has mistakes: once it can be read it can be taken as a revision.
      </p>
    );
  }
  if (isSame) {
    return (
      <p className="kit-soft day-plan-from-sheet">
        The sheet holds revision {newest.content.revision}, unchanged.
      </p>
    );
  }
  const next = nextRevision(revisions.map(({ content }) => content.revision));
  if (isOpen)
    return <TakeRevision key={next} next={next} newest={newest} onClose={() => setOpen(false)} />;
  return (
    <div className="day-plan-from-sheet">
      <button type="button" className="kit-button is-main" onClick={() => setOpen(true)}>
        Take the cart of the sheet as revision {next}
      </button>
      {newest !== null && (
        <p className="kit-soft">The sheet differs from revision {newest.content.revision}.</p>
      )}
    </div>
  );
}
