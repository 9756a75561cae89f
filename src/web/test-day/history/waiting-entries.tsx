/** Entries that the program did not take: another was first, or a rule is against it. */

import { useState } from 'react';
import type { EntryBody, KeptEntry } from '../../../test-record/index.js';
import { isContent, recordTitle, subjectTitle } from '../../../test-record/index.js';
import { TextField } from '../form/fields.js';
import { SureButton } from '../form/sure-button.js';
import type { PendingEntry } from '../store/local-shelf.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { contentRows, differenceRows } from './content-rows.js';
import { momentOf } from './entry-words.js';

export function WaitingEntries() {
  const project = useTestDay((s) => s.project);
  const pending = useTestDay((s) => s.pending);
  const stuck = pending.filter(
    ({ entry, since, problems }) =>
      entry.project === project && (since !== null || problems !== null),
  );
  if (stuck.length === 0) return null;
  return (
    <section className="history-waiting" aria-label="Waiting for your decision">
      <h2>Waiting for your decision</h2>
      <ul className="plain">
        {stuck.map((each) => (
          <li key={each.entry.id}>
            {each.since === null ? <Refused pending={each} /> : <InConflict pending={each} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

function useTitle({ entry }: PendingEntry): string {
  return useTestDay((s) => {
    if (s.state === null) return entry.body.kind;
    const known = s.kept?.records.get(entry.subject);
    if (known !== undefined) return recordTitle(s.state, known);
    return s.state.records.has(entry.subject)
      ? subjectTitle(s.state, entry.subject)
      : `new ${entry.body.kind}`;
  });
}

function InConflict({ pending }: { readonly pending: PendingEntry }) {
  const store = useTestDayStore();
  const title = useTitle(pending);
  const [why, setWhy] = useState('');
  const { entry, since } = pending;
  const theirs = lastContent(since ?? []);
  const settle = (which: 'mine' | 'theirs') => () => {
    void store.getState().settle(entry.id, which, why);
  };
  return (
    <article className="history-stuck">
      <h3>{title}: another entry came first</h3>
      {since?.map((each) => (
        <p key={each.id}>
          {each.who} wrote at {momentOf(each.at)}
          {each.why === '' ? '' : ` because: ${each.why}`}.
        </p>
      ))}
      {theirs !== null && isContent(entry.body) ? (
        <Differences mine={entry.body} theirs={theirs} />
      ) : (
        <p>
          Theirs: {since?.at(-1)?.body.kind}; yours: {entry.body.kind}.
        </p>
      )}
      <TextField
        label="Why (kept with the entry)"
        value={why}
        onChange={setWhy}
        wide
        hint="Nothing is lost either way: both stay in the record."
      />
      <div className="form-answers">
        <button type="button" className="kit-button" onClick={settle('mine')}>
          Mine follows theirs
        </button>
        <button type="button" className="kit-button" onClick={settle('theirs')}>
          Theirs stands, mine stays as a note
        </button>
      </div>
    </article>
  );
}

function lastContent(entries: readonly KeptEntry[]): EntryBody | null {
  return entries.findLast(({ body }) => isContent(body))?.body ?? null;
}

function Differences({ mine, theirs }: { readonly mine: EntryBody; readonly theirs: EntryBody }) {
  const rows = differenceRows(mine, theirs);
  if (rows.length === 0) return <p>Both say the same.</p>;
  return (
    <div className="history-scroll">
      <table className="history-table">
        <thead>
          <tr>
            <th scope="col">Where they differ</th>
            <th scope="col">Yours</th>
            <th scope="col">Theirs</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.place}>
              <th scope="row">{row.place}</th>
              <td>{row.one ?? '(nothing)'}</td>
              <td>{row.other ?? '(nothing)'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Refused({ pending }: { readonly pending: PendingEntry }) {
  const store = useTestDayStore();
  const title = useTitle(pending);
  const { entry, problems } = pending;
  return (
    <article className="history-stuck">
      <h3>{title}: not taken</h3>
      <ul>
        {problems?.map(({ message }) => (
          <li key={message}>{message}</li>
        ))}
      </ul>
      <details>
        <summary>What you wrote</summary>
        <dl className="history-content">
          {contentRows(entry.body).map(({ place, value }) => (
            <div key={place}>
              <dt>{place}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      </details>
      <div className="form-answers">
        <button
          type="button"
          className="kit-button"
          onClick={() => void store.getState().settle(entry.id, 'theirs', 'it was not taken')}
        >
          Keep it as a note
        </button>
        <SureButton
          words="Discard it"
          asks="It stands nowhere else, and will be gone."
          sure="Discard it for good"
          onSure={() => void store.getState().takeBack(entry.id)}
        />
      </div>
    </article>
  );
}
