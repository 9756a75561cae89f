/** The plan of the test day: revisions of the cart, the plan made of one, its runs and their cards. */

import './plan-section.css';
import type { RefObject } from 'react';
import { useEffect, useRef, useState } from 'react';
import type { PlanBody, RecordState, Subject } from '../../../test-record/index.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { CartRevisions } from './cart-revisions.js';
import { MakePlan } from './make-plan.js';
import { PlanShown } from './plan-shown.js';
import { MAKE_PLAN_FORM, usePlanning } from './planning.js';
import { RunPage } from './run-page.js';
import { usePlan } from './use-plan.js';

export function PlanSection() {
  const { plans, plan } = usePlan();
  const chosen = useTestDay((s) => s.run);
  const run = plan?.content.plan.runs.find(({ id }) => id === chosen);
  const lastShown = useRef<string | null>(null);
  useEffect(() => {
    if (chosen !== null) lastShown.current = chosen;
  }, [chosen]);
  const written = usePlanning((s) => s.written);
  const top = usePlanTop(plan?.subject ?? null);
  if (plan !== null && run !== undefined) return <RunPage record={plan} run={run} />;
  return (
    <div className="day-plan-section" data-has-plan={plan !== null || undefined}>
      {plan !== null && (
        <div ref={top} className="day-plan-main">
          {plans.length > 1 && <PlanChoice plans={plans} shown={plan} />}
          <PlanShown record={plan} lastShown={lastShown.current} />
        </div>
      )}
      <div className="day-plan-side">
        <CartRevisions />
        {/* a form whose plan is written is done */}
        <NextPlan key={written} isFirst={plan === null} />
      </div>
    </div>
  );
}

/** Another plan than before is shown from its top. */
function usePlanTop(subject: Subject | null): RefObject<HTMLDivElement | null> {
  const top = useRef<HTMLDivElement>(null);
  const before = useRef(subject);
  useEffect(() => {
    if (before.current !== subject) top.current?.scrollIntoView();
    before.current = subject;
  }, [subject]);
  return top;
}

interface PlanChoiceProps {
  readonly plans: readonly RecordState<PlanBody>[];
  readonly shown: RecordState<PlanBody>;
}

function PlanChoice({ plans, shown }: PlanChoiceProps) {
  const store = useTestDayStore();
  return (
    <label className="day-plan-choice">
      <span>Plan shown</span>
      <select
        className="kit-select"
        value={shown.subject}
        onChange={(event) => store.getState().choosePlan(event.target.value)}
      >
        {[...plans].reverse().map(({ subject, content, withdrawn }) => (
          <option key={subject} value={subject}>
            {content.name}
            {withdrawn ? ' (withdrawn)' : ''}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The first plan is asked for at once; another one is a wish. */
function NextPlan({ isFirst }: { readonly isFirst: boolean }) {
  const store = useTestDayStore();
  const isMaking = usePlanning((s) => s.view.kind === 'running');
  const [isAsked, setOpen] = useState(() => store.getState().draft(MAKE_PLAN_FORM) !== null);
  const isOpen = isAsked || isMaking;
  if (isFirst || isOpen) {
    return <MakePlan onClose={isFirst ? null : () => setOpen(false)} />;
  }
  return (
    <section className="day-plan-panel" aria-label="Another plan">
      <button type="button" className="kit-button" onClick={() => setOpen(true)}>
        Make another plan
      </button>
    </section>
  );
}
