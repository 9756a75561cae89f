/** The least changes with which every finding passes: asked for, ranked, put on the sheet. */

import './act.css';
import { useState } from 'react';
import { reserveText } from '../../analysis/index.js';
import type { NearMiss, RemediesReport, Remedy } from '../../remedies/index.js';
import {
  aboutRemedies,
  changesText,
  nowText,
  outcomeOf,
  USUAL_MARGIN,
} from '../../remedies/index.js';
import type { UnitSystem } from '../../units/index.js';
import { TaskProgress } from '../kit/task-progress.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { VerdictWord } from '../kit/verdict.js';
import { isOfNow } from '../store/made-of.js';
import type { MadeOf } from '../store/state.js';
import { MARGIN_LIMITS, percentText, typedShare } from './act-wishes.js';
import { RemedyItem } from './remedy-item.js';

interface Applied {
  readonly words: string;
  /** the sheet right after it: only then does undo take back just this */
  readonly text: string;
}

export function RemediesPanel() {
  const state = useWorkbench((s) => s.remedies);
  const store = useWorkbenchStore();
  return (
    <div className="act-panel">
      <p className="kit-soft">
        The smallest changes with which every finding passes with a margin, friction at the low end
        of its tolerance. What is shown as proven was checked in full.
      </p>
      <Wishes running={state.kind === 'running'} />
      {state.kind === 'running' && (
        <TaskProgress
          title="Searching remedies"
          {...state}
          onStop={() => store.getState().stopTask('remedies')}
        />
      )}
      {state.kind === 'problem' && <p className="kit-problem">{state.words}</p>}
      {state.kind === 'done' && <Answer report={state.result} of={state.of} />}
    </div>
  );
}

function Wishes({ running }: { readonly running: boolean }) {
  const [margin, setMargin] = useState(percentText(USUAL_MARGIN));
  const [pairs, setPairs] = useState(false);
  const readable = useWorkbench((s) => s.reading.cart !== null && s.setProblem === null);
  const store = useWorkbenchStore();
  const typed = typedShare(margin, MARGIN_LIMITS);
  return (
    <form
      className="act-wishes"
      onSubmit={(event) => {
        event.preventDefault();
        if (typed.kind === 'ok') void store.getState().findRemedies(typed.value, pairs);
      }}
    >
      <label className="act-field">
        <span>Margin on top of what is asked, %</span>
        <input
          className="kit-input"
          inputMode="decimal"
          value={margin}
          aria-invalid={typed.kind === 'problem'}
          aria-describedby="remedies-margin-problem"
          onChange={(event) => setMargin(event.target.value)}
        />
      </label>
      <p id="remedies-margin-problem" className="kit-problem" hidden={typed.kind === 'ok'}>
        {typed.kind === 'problem' ? typed.words : ''}
      </p>
      <label className="act-check">
        <input
          type="checkbox"
          checked={pairs}
          onChange={(event) => setPairs(event.target.checked)}
        />
        <span>Two changes together too, also where one does</span>
      </label>
      <button
        type="submit"
        className="kit-button is-main"
        disabled={running || !readable || typed.kind === 'problem'}
      >
        Find remedies
      </button>
      {!readable && (
        <p className="kit-soft">The description has errors: there is no cart to change yet.</p>
      )}
    </form>
  );
}

function Answer({ report, of }: { readonly report: RemediesReport; readonly of: MadeOf }) {
  const units = useWorkbench((s) => s.units);
  const stale = useWorkbench((s) => !isOfNow(of, s));
  const [applied, setApplied] = useState<Applied | null>(null);
  const store = useWorkbenchStore();
  const apply = (remedy: Remedy): void => {
    const words = changesText(remedy.changes, units);
    if (!store.getState().edit(`remedy: ${words}`, remedy.edits)) return;
    setApplied({ words, text: store.getState().text });
  };
  const { verdict, words } = outcomeOf(report);
  const { remedies, more, nearMisses, notJudged } = report;
  return (
    <div className="act-answer">
      <AppliedNotice applied={applied} />
      {stale && (
        <p className="act-stale" role="status">
          The sheet has changed since: this is of the cart as it was. Find remedies again, or undo,
          to apply one.
        </p>
      )}
      <h3>
        <VerdictWord verdict={verdict} words={words} />
      </h3>
      <p>{report.passes}</p>
      <p>{nowText(report)}</p>
      {notJudged.map(({ id, title, reason }) => (
        <p key={id} className="act-unsure">
          Not judged, so left out: {title}. {reason}
        </p>
      ))}
      <ol className="plain act-remedies">
        {remedies.map((remedy, i) => (
          <RemedyItem
            // a search gives its remedies once, in this order
            key={remedy.changes.map(({ lever }) => lever).join(' and ')}
            remedy={remedy}
            number={i + 1}
            isFirst={i === 0}
            stale={stale}
            onApply={() => apply(remedy)}
          />
        ))}
      </ol>
      {more > 0 && (
        <p className="kit-soft">
          {more} more {more === 1 ? 'passes' : 'pass'} as found and {more === 1 ? 'was' : 'were'}{' '}
          not put to the proof.
        </p>
      )}
      {nearMisses.length > 0 && <NearMisses all={nearMisses} units={units} />}
      <Notes report={report} />
    </div>
  );
}

function AppliedNotice({ applied }: { readonly applied: Applied | null }) {
  const isLast = useWorkbench((s) => applied !== null && s.text === applied.text);
  const store = useWorkbenchStore();
  return (
    <div role="status">
      {applied !== null && isLast && (
        <p className="act-applied">
          <span>On the sheet: {applied.words}.</span>{' '}
          <button type="button" className="kit-button" onClick={() => store.getState().undo()}>
            Undo
          </button>
        </p>
      )}
    </div>
  );
}

function NearMisses({
  all,
  units,
}: {
  readonly all: readonly NearMiss[];
  readonly units: UnitSystem;
}) {
  return (
    <section className="act-section">
      <h3>Nearest misses</h3>
      <ul className="act-list">
        {all.map((miss) => (
          <li key={miss.changes.map(({ lever }) => lever).join(' and ')}>
            {changesText(miss.changes, units)}
            <span className="kit-soft">
              {' '}
              leaves {miss.title} at {reserveText(miss.reserve)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Notes({ report }: { readonly report: RemediesReport }) {
  const about = aboutRemedies(report.remedies);
  if (about.length + report.notes.length === 0) return null;
  return (
    <section className="act-section">
      <h3>What to know</h3>
      <ul className="act-list">
        {about.map(({ note, numbers }) => (
          <li key={note}>
            <span className="kit-soft">{numbers.join(', ')}:</span> {note}
          </li>
        ))}
        {report.notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
      {report.remedies.length > 0 && (
        <p className="kit-soft">
          Size: the amount as a share of what is within reach (castors changed of all castors),
          added up over the changes.
        </p>
      )}
    </section>
  );
}
