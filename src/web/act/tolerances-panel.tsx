/** How likely each finding passes, given the tolerances that the file states, and what matters most. */

import './act.css';
import { useState } from 'react';
import { countText } from '../../analysis/index.js';
import type { ToleranceReport, ToleranceResult } from '../../tolerances/index.js';
import {
  byEntry,
  computedTexts,
  DISTRIBUTIONS,
  headline,
  intervalText,
  ofDrawn,
  percent,
  TOLERANCE_DEFAULTS,
  toleranceText,
} from '../../tolerances/index.js';
import type { UnitSystem } from '../../units/index.js';
import { TaskProgress } from '../kit/task-progress.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { isOfNow } from '../store/made-of.js';
import type { MadeOf } from '../store/state.js';
import { PRECISION_LIMITS, percentText, typedSeed, typedShare } from './act-wishes.js';
import { ToleranceProbabilities } from './tolerance-probabilities.js';
import { ToleranceRanking } from './tolerance-ranking.js';

export function TolerancesPanel() {
  const state = useWorkbench((s) => s.tolerances);
  const store = useWorkbenchStore();
  return (
    <div className="act-panel">
      <p className="kit-soft">
        Carts and tests are drawn from the tolerances that the description states: how likely each
        finding passes, and which input matters most.
      </p>
      <Wishes running={state.kind === 'running'} />
      {state.kind === 'running' && (
        <TaskProgress
          title="Drawing carts"
          {...state}
          onStop={() => store.getState().stopTask('tolerances')}
        />
      )}
      {state.kind === 'problem' && <p className="kit-problem">{state.words}</p>}
      {state.kind === 'done' && <Answer result={state.result} of={state.of} />}
    </div>
  );
}

function Wishes({ running }: { readonly running: boolean }) {
  const [precision, setPrecision] = useState(percentText(TOLERANCE_DEFAULTS.precision));
  const [seed, setSeed] = useState(String(TOLERANCE_DEFAULTS.seed));
  const readable = useWorkbench((s) => s.reading.cart !== null && s.setProblem === null);
  const store = useWorkbenchStore();
  const share = typedShare(precision, PRECISION_LIMITS);
  const start = typedSeed(seed);
  const problem = [share, start].find(({ kind }) => kind === 'problem');
  return (
    <form
      className="act-wishes"
      onSubmit={(event) => {
        event.preventDefault();
        if (share.kind === 'problem' || start.kind === 'problem') return;
        void store.getState().assessTolerances(share.value, start.value);
      }}
    >
      <div className="act-two">
        <label className="act-field">
          <span>Precision wanted, %</span>
          <input
            className="kit-input"
            inputMode="decimal"
            value={precision}
            aria-invalid={share.kind === 'problem'}
            aria-describedby="tolerances-problem"
            onChange={(event) => setPrecision(event.target.value)}
          />
        </label>
        <label className="act-field">
          <span>Seed</span>
          <input
            className="kit-input"
            inputMode="numeric"
            value={seed}
            aria-invalid={start.kind === 'problem'}
            aria-describedby="tolerances-problem"
            onChange={(event) => setSeed(event.target.value)}
          />
        </label>
      </div>
      <p id="tolerances-problem" className="kit-problem" hidden={problem === undefined}>
        {problem?.kind === 'problem' ? problem.words : ''}
      </p>
      <p className="kit-soft">The same seed gives the same numbers.</p>
      <button
        type="submit"
        className="kit-button is-main"
        disabled={running || !readable || problem !== undefined}
      >
        Assess tolerances
      </button>
      {!readable && (
        <p className="kit-soft">The description has errors: there is no cart to draw from yet.</p>
      )}
    </form>
  );
}

function Answer({ result, of }: { readonly result: ToleranceResult; readonly of: MadeOf }) {
  const stale = useWorkbench((s) => !isOfNow(of, s));
  const units = useWorkbench((s) => s.units);
  return (
    <div className="act-answer">
      {stale && (
        <p className="act-stale" role="status">
          The sheet has changed since: these are the figures of the cart as it was.
        </p>
      )}
      {result.kind === 'nothing stated' ? (
        <NothingStated />
      ) : (
        <Report report={result.report} units={units} />
      )}
    </div>
  );
}

/** No tolerance is made up for a cart that states none. */
function NothingStated() {
  const store = useWorkbenchStore();
  return (
    <>
      <h3>No tolerance is stated, so nothing varies</h3>
      <p>State one or more of:</p>
      <ul className="act-list">
        <li>a mass tolerance or an at tolerance of a part</li>
        <li>a tolerance above 0 of a friction</li>
        <li>an entry in the section Uncertainty, such as a trail to 1 mm</li>
      </ul>
      <button
        type="button"
        className="kit-button"
        onClick={() => {
          const { openSection, showPane } = store.getState();
          openSection('uncertainty');
          showPane('Describe');
        }}
      >
        Open the section Uncertainty
      </button>
    </>
  );
}

interface ReportProps {
  readonly report: ToleranceReport;
  readonly units: UnitSystem;
}

function Report({ report, units }: ReportProps) {
  const { together, convergence, precision, trials, seed, findings } = report;
  const unknown = findings.filter(({ kind }) => kind === 'not known').length;
  const every =
    unknown === 0 ? 'every finding' : `every finding that can be judged (${unknown} cannot)`;
  return (
    <>
      <h3>{together === null ? 'Nothing judged' : sentenceCase(headline(together, unknown))}</h3>
      {together !== null && (
        <p>
          Of carts and tests drawn from the tolerances {ofDrawn(together)} {every} (95 % interval:{' '}
          {intervalText(together)}).
        </p>
      )}
      <p className={convergence.kind === 'converged' ? 'kit-soft' : 'act-unsure'}>
        {countText(trials)} trials, seed {seed};{' '}
        {convergence.kind === 'converged'
          ? `converged: every probability to ${percent(precision)} or better.`
          : 'not converged: not every figure is known as well as wanted.'}
      </p>
      <ToleranceProbabilities report={report} units={units} />
      <ToleranceRanking report={report} units={units} />
      <Assumed report={report} units={units} />
      <section className="act-section">
        <h3>How it was computed</h3>
        <ul className="act-list">
          {computedTexts(report, '').map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      </section>
    </>
  );
}

function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function Assumed({ report, units }: ReportProps) {
  const used = [...new Set(report.inputs.map(({ distribution }) => distribution))];
  return (
    <details className="act-section">
      <summary>What was assumed</summary>
      <ul className="act-list">
        {byEntry(report.inputs).map((group) => {
          const [first] = group;
          if (first === undefined) return null;
          const alike =
            group.length > 1 && group.every((each) => each.tolerance === first.tolerance);
          const values = alike
            ? `${toleranceText({ ...first, nominal: null }, units, '±')}, each of ${group.length}`
            : group.map((each) => toleranceText(each, units, '±')).join('; ');
          return (
            <li key={first.from}>
              {first.from}: {values} <span className="kit-soft">({first.distribution})</span>
            </li>
          );
        })}
      </ul>
      {used.map((distribution) => (
        <p key={distribution} className="kit-soft">
          {DISTRIBUTIONS[distribution]}
        </p>
      ))}
      <p className="kit-soft">
        Nothing else varies: what has no tolerance in the description is taken as stated.
      </p>
    </details>
  );
}
