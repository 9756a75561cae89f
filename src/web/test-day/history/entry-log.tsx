/** The entries, newest first, and what may be done with the record of one. */

import { useMemo, useState } from 'react';
import type { KeptEntry, ProjectState, RecordState, Subject } from '../../../test-record/index.js';
import { entriesOf, recordTitle } from '../../../test-record/index.js';
import { Dialog } from '../../kit/dialog.js';
import { ChoiceField, TextField } from '../form/fields.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { contentRows } from './content-rows.js';
import { entryWords, momentOf } from './entry-words.js';

/** Entries shown before more are asked for. */
const SHOWN = 60;

export function EntryLog() {
  const state = useTestDay((s) => s.kept);
  const [about, setAbout] = useState<Subject | 'all'>('all');
  const [shown, setShown] = useState(SHOWN);
  const entries = useMemo(() => (state === null ? [] : [...entriesOf(state)].reverse()), [state]);
  if (state === null) return null;
  const asked = entries.filter(({ subject }) => about === 'all' || subject === about);
  const choices = [
    { value: 'all' as const, words: 'every record' },
    ...[...state.records.values()].map((record) => ({
      value: record.subject,
      words: choiceWords(state, record),
    })),
  ];
  return (
    <section aria-label="Entries">
      <h2>Entries</h2>
      <div className="form history-filter">
        <ChoiceField label="About" value={about} among={choices} onChange={setAbout} />
        {about !== 'all' && <RecordDeeds state={state} subject={about} />}
      </div>
      <ol className="plain history-log">
        {asked.slice(0, shown).map((entry) => (
          <li key={entry.id}>
            <Entry state={state} entry={entry} onAbout={setAbout} />
          </li>
        ))}
      </ol>
      {asked.length > shown && (
        <button type="button" className="kit-button" onClick={() => setShown(shown + SHOWN)}>
          {asked.length - shown} older entries
        </button>
      )}
    </section>
  );
}

/** What was done twice is told apart by when. */
function choiceWords(state: ProjectState, record: RecordState): string {
  const { content } = record;
  const title = recordTitle(state, record);
  return 'taken' in content ? `${title}, ${momentOf(content.taken)}` : title;
}

interface EntryProps {
  readonly state: ProjectState;
  readonly entry: KeptEntry;
  readonly onAbout: (subject: Subject) => void;
}

function Entry({ state, entry, onAbout }: EntryProps) {
  const { deed, record } = entryWords(state, entry);
  return (
    <details className="history-entry">
      <summary>
        <span className="history-number">{entry.sequence}</span>
        <span className="history-moment">{momentOf(entry.at)}</span>
        <span className="history-what">
          <strong>{record}</strong> {deed} by {entry.who}
          {entry.why !== '' && <em> because: {entry.why}</em>}
        </span>
      </summary>
      <dl className="history-content">
        {contentRows(entry.body).map(({ place, value }) => (
          <div key={place}>
            <dt>{place}</dt>
            <dd>{value}</dd>
          </div>
        ))}
        <div>
          <dt>kept</dt>
          <dd>{momentOf(entry.received)}</dd>
        </div>
        <div>
          <dt>hash</dt>
          <dd>
            <code className="history-hash">{entry.hash}</code>
          </dd>
        </div>
      </dl>
      <button type="button" className="kit-button" onClick={() => onAbout(entry.subject)}>
        All about this record
      </button>
    </details>
  );
}

type Deed = 'review' | 'withdrawal' | 'note';

const DEEDS: Readonly<
  Record<Deed, { readonly words: string; readonly title: string; readonly label: string }>
> = {
  review: {
    words: 'Review and close',
    title: 'Review and close this record?',
    label: 'Statement of the review',
  },
  withdrawal: {
    words: 'Withdraw',
    title: 'Withdraw this record?',
    label: 'Why it does not count any more',
  },
  note: { words: 'Add a note', title: 'A note on this record', label: 'Note' },
};

const ABOUT: Readonly<Record<Deed, string>> = {
  review:
    'From here on it takes corrections only, each with its reason. Everything before stays as it is.',
  withdrawal: 'It stays in the record and does not count any more.',
  note: 'It stands beside the record and changes nothing in it.',
};

function RecordDeeds({
  state,
  subject,
}: {
  readonly state: ProjectState;
  readonly subject: Subject;
}) {
  const [asked, setAsked] = useState<Deed | null>(null);
  const record = state.records.get(subject);
  if (record === undefined) return null;
  return (
    <div className="form-answers">
      {(['review', 'note', 'withdrawal'] as const).map((deed) => (
        <button
          key={deed}
          type="button"
          className="kit-button"
          disabled={deed === 'withdrawal' && record.withdrawn}
          onClick={() => setAsked(deed)}
        >
          {DEEDS[deed].words}
        </button>
      ))}
      <span className="kit-soft">{standing(record)}</span>
      {asked !== null && (
        <DeedDialog
          deed={asked}
          title={recordTitle(state, record)}
          subject={subject}
          onClose={() => setAsked(null)}
        />
      )}
    </div>
  );
}

function standing({
  withdrawn,
  reviewedAt,
  corrections,
}: {
  readonly withdrawn: boolean;
  readonly reviewedAt: number | null;
  readonly corrections: number;
}): string {
  const review = reviewedAt === null ? 'open' : `reviewed with entry ${reviewedAt}`;
  const corrected = corrections === 0 ? '' : `, corrected ${corrections} times since`;
  return `${withdrawn ? 'withdrawn, ' : ''}${review}${corrected}`;
}

interface DeedProps {
  readonly deed: Deed;
  readonly title: string;
  readonly subject: Subject;
  readonly onClose: () => void;
}

function DeedDialog({ deed, title, subject, onClose }: DeedProps) {
  const store = useTestDayStore();
  const [text, setText] = useState('');
  const write = async (): Promise<void> => {
    const { write: put } = store.getState();
    const written =
      deed === 'note'
        ? await put({ kind: 'note', about: subject, text, photos: [] })
        : deed === 'review'
          ? await put({ kind: 'review', statement: text }, { subject, why: text })
          : await put({ kind: 'withdrawal' }, { subject, why: text });
    if (written !== null) onClose();
  };
  return (
    <Dialog title={DEEDS[deed].title} open onClose={onClose}>
      <div className="form">
        <p>
          <strong>{title}.</strong> {ABOUT[deed]}
        </p>
        <TextField label={DEEDS[deed].label} value={text} onChange={setText} long />
        <div className="form-answers">
          <button
            type="button"
            className="kit-button is-main"
            disabled={text.trim() === ''}
            onClick={() => void write()}
          >
            {DEEDS[deed].words}
          </button>
          <button type="button" className="kit-button" onClick={onClose}>
            Leave it
          </button>
        </div>
      </div>
    </Dialog>
  );
}
