/** A plan: what it rests on, its runs in order, what is not tested, what has to be at hand. */

import { useMemo } from 'react';
import { CAUTIONS, clauseTitle } from '../../../analysis/index.js';
import { ruleWords } from '../../../metrology/index.js';
import type { TestPlan } from '../../../test-plan/index.js';
import { unconfirmedCautions } from '../../../test-plan/index.js';
import type { PlanBody, RecordState } from '../../../test-record/index.js';
import { recordOf, recordsOf } from '../../../test-record/index.js';
import { useTestDay } from '../use-test-day.js';
import { EquipmentTable } from './equipment-table.js';
import { basisWords, orderWords, unconfirmedValues } from './plan-words.js';
import { PrintCards } from './print-cards.js';
import { RunList } from './run-list.js';

interface PlanShownProps {
  readonly record: RecordState<PlanBody>;
  /** id of the run whose card was looked at before; null: none */
  readonly lastShown: string | null;
}

export function PlanShown({ record, lastShown }: PlanShownProps) {
  const { content, withdrawn } = record;
  const { plan, name } = content;
  return (
    <>
      <section className="day-plan-panel" aria-labelledby="plan-shown">
        <div className="day-plan-head">
          <h2 id="plan-shown">{name}</h2>
          <PrintCards record={record} />
        </div>
        {withdrawn && <p className="kit-problem">This plan was withdrawn: it counts no more.</p>}
        <OlderRevision record={record} />
        <Summary record={record} />
        <PlanCautions plan={plan} />
      </section>
      <section className="day-plan-panel" aria-labelledby="plan-runs">
        <h2 id="plan-runs">Runs, in the order to be done</h2>
        <RunList record={record} lastShown={lastShown} />
        <NotTested plan={plan} />
      </section>
      <section className="day-plan-panel" aria-labelledby="plan-equipment">
        <h2 id="plan-equipment">What has to be at hand</h2>
        <EquipmentTable plan={plan} />
      </section>
    </>
  );
}

/** A plan of a revision that is not the newest any more. */
function OlderRevision({ record }: { readonly record: RecordState<PlanBody> }) {
  const newest = useTestDay((s) =>
    s.state === null
      ? null
      : (recordsOf(s.state, 'cart').findLast(({ withdrawn }) => !withdrawn)?.content.revision ??
        null),
  );
  const own = useRevision(record);
  if (newest === null || own === newest) return null;
  return (
    <p className="day-plan-older">
      This plan is of revision {own ?? 'unknown'}; the newest is {newest}. Make another plan to test
      that one.
    </p>
  );
}

function useRevision({ content: { cart } }: RecordState<PlanBody>): string | null {
  return useTestDay((s) =>
    s.state === null ? null : (recordOf(s.state, 'cart', cart)?.content.revision ?? null),
  );
}

function Summary({ record }: { readonly record: RecordState<PlanBody> }) {
  const { plan, program } = record.content;
  const revision = useRevision(record);
  const { who, at } = record.entries[0] ?? { who: '', at: '' };
  return (
    <dl className="day-plan-summary">
      <div>
        <dt>Runs</dt>
        <dd>{orderWords(plan)}</dd>
      </div>
      <div>
        <dt>Cart</dt>
        <dd>
          {plan.cart}, revision {revision ?? 'unknown'}
        </dd>
      </div>
      <div>
        <dt>Decision rule</dt>
        <dd>{ruleWords(plan.rule)}</dd>
      </div>
      <div>
        <dt>Requirement set</dt>
        <dd>
          {plan.requirementSet.title}
          <Unconfirmed plan={plan} />
        </dd>
      </div>
      <div>
        <dt>Made</dt>
        <dd>
          {at.slice(0, 10)} by {who}, with {program}
        </dd>
      </div>
    </dl>
  );
}

function Unconfirmed({ plan }: { readonly plan: TestPlan }) {
  const values = useMemo(() => unconfirmedValues(plan.requirementSet, plan.runs), [plan]);
  if (values.length === 0) {
    return <p className="kit-soft">Every value asked was confirmed from a purchased copy.</p>;
  }
  return (
    <details className="day-plan-unconfirmed">
      <summary>
        {values.length === 1 ? '1 value is' : `${values.length} values are`} unconfirmed: not
        compared with a purchased copy
      </summary>
      <ul>
        {values.map(({ clause, title, value }) => (
          <li key={`${clause}\n${value.id}`}>
            {clauseTitle(clause, title)}: {value.title}, {value.text} ({basisWords(value)})
          </li>
        ))}
      </ul>
    </details>
  );
}

/** Those that do not stand below every screen anyway, nor above as the values that are unconfirmed. */
function PlanCautions({ plan }: { readonly plan: TestPlan }) {
  const said = [...CAUTIONS, ...unconfirmedCautions(plan.requirementSet, plan.runs)];
  const own = plan.cautions.filter((caution) => !said.includes(caution));
  if (own.length === 0) return null;
  return (
    <ul className="plain day-plan-cautions" aria-label="Cautions">
      {own.map((caution) => (
        <li key={caution}>{caution}</li>
      ))}
    </ul>
  );
}

function NotTested({ plan: { notTested } }: { readonly plan: TestPlan }) {
  if (notTested.length === 0) return null;
  return (
    <details className="day-plan-not-tested">
      <summary>
        {notTested.length === 1 ? '1 clause is' : `${notTested.length} clauses are`} not tested, and
        why
      </summary>
      <ul className="plain">
        {notTested.map(({ finding, clause, title, reason }) => (
          <li key={finding}>
            <strong>{clauseTitle(clause, title)}</strong>
            <br />
            {reason}
          </li>
        ))}
      </ul>
    </details>
  );
}
