/** Failures, what was changed because of them, and the retests. */

import type { FailureChain } from '../../../judgement/index.js';
import type { ProjectState, Subject } from '../../../test-record/index.js';
import { recordOf } from '../../../test-record/index.js';
import { DecisionMark } from '../form/decision-mark.js';
import { runWordsOf } from '../plan/reason-choices.js';
import { useTestDay } from '../use-test-day.js';

export function ChainList({ chains }: { readonly chains: readonly FailureChain[] }) {
  const state = useTestDay((s) => s.state);
  if (state === null || chains.length === 0) return null;
  return (
    <section className="results-chains" aria-label="Failures and retests">
      <h2>Failures, changes, retests</h2>
      <ol className="plain">
        {chains.map((chain) => (
          <li key={chain.failure} className="results-chain">
            <Chain state={state} chain={chain} />
          </li>
        ))}
      </ol>
    </section>
  );
}

function Chain({ state, chain }: { readonly state: ProjectState; readonly chain: FailureChain }) {
  const { failure, diagnoses, revisions, retests, closed } = chain;
  return (
    <ol className="results-links">
      <li>
        <DecisionMark decision="fail" /> {runWords(state, failure)}
      </li>
      {diagnoses.map((each) => (
        <li key={each}>{diagnosisWords(state, each)}</li>
      ))}
      {revisions.map((each) => (
        <li key={each}>{revisionWords(state, each)}</li>
      ))}
      {retests.map(({ record, decision }) => (
        <li key={record}>
          <DecisionMark decision={decision} /> retest: {runWords(state, record)}
        </li>
      ))}
      <li>
        <strong>{closed ? 'Closed: the retest passes.' : openWords(chain)}</strong>
      </li>
    </ol>
  );
}

function runWords(state: ProjectState, subject: Subject): string {
  const run = recordOf(state, 'run', subject)?.content;
  return run === undefined ? 'a run' : runWordsOf(state, run);
}

function diagnosisWords(state: ProjectState, subject: Subject): string {
  const chosen = recordOf(state, 'diagnosis', subject)?.content.chosen ?? '';
  return chosen === '' ? 'diagnosed' : `decided: ${chosen}`;
}

function revisionWords(state: ProjectState, subject: Subject): string {
  const cart = recordOf(state, 'cart', subject)?.content;
  return cart === undefined ? 'a revision' : `revision ${cart.revision}: ${cart.change}`;
}

function openWords({ revisions, retests }: FailureChain): string {
  if (retests.length > 0) return 'Open: no retest on a later revision passes yet.';
  return revisions.length > 0 ? 'Open: the retest is to be done.' : 'Open: nothing is changed yet.';
}
