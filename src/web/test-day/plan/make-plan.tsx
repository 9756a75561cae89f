/** A plan asked for: of which revision, against which set, decided by which rule. */

import { useEffect, useMemo, useRef } from 'react';
import type { Cart } from '../../../document/index.js';
import { ruleWords } from '../../../metrology/index.js';
import type { RequirementSet } from '../../../requirements/index.js';
import { findSet } from '../../../requirements/index.js';
import type { TestPlan } from '../../../test-plan/index.js';
import type { CartBody, RecordState, Subject } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { TaskProgress } from '../../kit/task-progress.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import type { TaskView } from '../engine/running-task.js';
import { ChoiceField, TextField } from '../form/fields.js';
import { SureButton } from '../form/sure-button.js';
import type { Form } from '../form/use-form.js';
import { useForm } from '../form/use-form.js';
import { useRecordCart } from '../use-record-cart.js';
import { useTestDay } from '../use-test-day.js';
import type { PlanWishes, WishesRead } from './plan-words.js';
import { readWishes, ruleOf, USUAL_WISHES } from './plan-words.js';
import { MAKE_PLAN_FORM, usePlanning } from './planning.js';

interface Fields extends PlanWishes {
  /** null: the newest revision */
  readonly cart: Subject | null;
  /** null: the set that the cart asks for */
  readonly set: string | null;
  /** null: as proposed */
  readonly name: string | null;
}

interface MakePlanProps {
  /** null: there is no other plan to go back to */
  readonly onClose: (() => void) | null;
}

export function MakePlan({ onClose }: MakePlanProps) {
  const state = useTestDay((s) => s.state);
  const revisions = useMemo(
    () =>
      state === null
        ? []
        : recordsOf(state, 'cart')
            .filter(({ withdrawn }) => !withdrawn)
            .reverse(),
    [state],
  );
  if (revisions.length === 0) {
    return (
      <section className="day-plan-panel" aria-labelledby="plan-make">
        <h2 id="plan-make">Make a plan</h2>
        <p className="kit-soft">First take a cart as a revision: the plan is made of it.</p>
      </section>
    );
  }
  return <PlanForm revisions={revisions} onClose={onClose} />;
}

interface PlanFormProps extends MakePlanProps {
  /** newest first; at least one */
  readonly revisions: readonly RecordState<CartBody>[];
}

function PlanForm({ revisions, onClose }: PlanFormProps) {
  const form = useForm<Fields>(MAKE_PLAN_FORM, () => ({
    ...USUAL_WISHES,
    cart: null,
    set: null,
    name: null,
  }));
  const { value } = form;
  const revision = revisions.find(({ subject }) => subject === value.cart) ?? revisions[0];
  const { cart, problem } = useRecordCart(revision?.subject ?? null);
  const set = useSetFor(value.set, cart);
  const wishes = readWishes(value);
  const name = value.name ?? proposedName(revision?.content.revision ?? '', set, revisions.length);
  const version = useWorkbench((s) => s.folder?.version ?? '');
  const view = usePlanning((s) => s.view);
  const start = usePlanning((s) => s.start);
  const stop = usePlanning((s) => s.stop);
  const program = `Standstill ${version}`.trim();
  return (
    <section className="day-plan-panel" aria-labelledby="plan-make">
      <h2 id="plan-make">Make a plan</h2>
      <form
        className="form"
        aria-labelledby="plan-make"
        onSubmit={(event) => {
          event.preventDefault();
          if (cart === null || revision === undefined || name.trim() === '') return;
          if (wishes.options === null) return;
          void start({
            cart,
            subject: revision.subject,
            set,
            options: wishes.options,
            name,
            program,
          });
        }}
      >
        <WhatFields {...{ form, revisions, revision, set, name }} />
        <RuleFields form={form} problems={wishes.problems} />
        <HowFields form={form} problems={wishes.problems} />
        {problem !== null && <p className="kit-problem">{problem}</p>}
        {view.kind === 'problem' && (
          <p className="kit-problem" role="alert">
            The plan cannot be made: {view.words}
          </p>
        )}
        {view.kind === 'running' ? (
          <Making view={view} onStop={stop} />
        ) : (
          <div className="form-answers">
            <button
              type="submit"
              className="kit-button is-main"
              disabled={cart === null || view.kind === 'done'}
            >
              Make the plan
            </button>
            {onClose !== null && (
              <SureButton
                words="Cancel"
                asks={form.isStarted ? 'What was typed here will be gone.' : null}
                sure="Discard it"
                onSure={() => {
                  form.clear();
                  onClose();
                }}
              />
            )}
          </div>
        )}
      </form>
    </section>
  );
}

/** The set chosen, else the one the cart asks for, else that of the sheet. */
function useSetFor(chosen: string | null, cart: Cart | null): RequirementSet {
  const sets = useWorkbench((s) => s.sets);
  const ofSheet = useWorkbench((s) => s.set);
  const asked = chosen ?? cart?.requirements ?? null;
  return (asked === null ? null : findSet(sets, asked)) ?? ofSheet;
}

function proposedName(revision: string, set: RequirementSet, revisions: number): string {
  const what = revisions === 1 ? 'Plan' : `Plan, revision ${revision}`;
  return `${what}: ${set.title}`;
}

interface MakingProps {
  readonly view: Extract<TaskView<TestPlan>, { readonly kind: 'running' }>;
  readonly onStop: () => void;
}

function Making({ view: { done, total, what }, onStop }: MakingProps) {
  const box = useRef<HTMLDivElement>(null);
  // it is taller than the button whose place it takes
  useEffect(() => {
    box.current?.scrollIntoView({ block: 'nearest' });
  }, []);
  return (
    <div ref={box} className="day-plan-making">
      <TaskProgress
        title="Checking the cart and planning the runs"
        done={Math.round(done)}
        total={total}
        what={what}
        onStop={onStop}
      />
      <p className="kit-soft">
        It goes on while you are in another section or on the sheet. Leaving the project ends it.
      </p>
    </div>
  );
}

interface WhatFieldsProps {
  readonly form: Form<Fields>;
  readonly revisions: readonly RecordState<CartBody>[];
  readonly revision: RecordState<CartBody> | undefined;
  readonly set: RequirementSet;
  readonly name: string;
}

function WhatFields({ form: { change }, revisions, revision, set, name }: WhatFieldsProps) {
  const sets = useWorkbench((s) => s.sets);
  const known = sets.some(({ id }) => id === set.id) ? sets : [set, ...sets];
  return (
    <>
      <ChoiceField
        label="Revision of the cart"
        value={revision?.subject ?? ''}
        among={revisions.map(({ subject, content }) => ({
          value: subject,
          words: `${content.revision}: ${content.file}`,
        }))}
        onChange={(cart) => change({ cart })}
      />
      <ChoiceField
        label="Requirement set"
        value={set.id}
        among={known.map(({ id, title }) => ({ value: id, words: title }))}
        onChange={(id) => change({ set: id })}
      />
      <TextField
        label="Name of the plan"
        value={name}
        problem={name.trim() === '' ? 'a plan needs a name' : null}
        onChange={(typed) => change({ name: typed })}
      />
    </>
  );
}

interface RuleFieldsProps {
  readonly form: Form<Fields>;
  readonly problems: WishesRead['problems'];
}

const RULES = [
  { value: 'simple acceptance', words: 'Simple acceptance' },
  { value: 'guard band', words: 'Guard band' },
  { value: 'shared risk', words: 'Shared risk' },
] as const;

function RuleFields({ form: { value, change }, problems }: RuleFieldsProps) {
  const rule = ruleOf(value);
  return (
    <fieldset className="day-plan-rule">
      <legend>Decision rule</legend>
      <div className="day-plan-rule-choice">
        {RULES.map((each) => (
          <label key={each.value}>
            <input
              type="radio"
              name="plan-rule"
              checked={value.rule === each.value}
              onChange={() => change({ rule: each.value })}
            />
            <span>{each.words}</span>
          </label>
        ))}
      </div>
      {value.rule === 'guard band' && (
        <TextField
          label="Guard band, times the expanded uncertainty U"
          value={value.multiple}
          problem={problems.multiple ?? null}
          onChange={(multiple) => change({ multiple })}
        />
      )}
      {value.rule === 'shared risk' && (
        <TextField
          label="Greatest risk of a wrong decision, %"
          value={value.risk}
          problem={problems.risk ?? null}
          onChange={(risk) => change({ risk })}
        />
      )}
      <p className="kit-soft" role="status">
        {typeof rule === 'string' ? '' : ruleWords(rule)}
      </p>
    </fieldset>
  );
}

const DIRECTIONS = [
  { value: 'sides', words: 'The worst found and the other sides' },
  { value: 'worst', words: 'The worst found only' },
] as const;

function HowFields({ form: { value, change }, problems }: RuleFieldsProps) {
  return (
    <>
      <ChoiceField
        label="Directions of each clause"
        value={value.directions}
        among={DIRECTIONS}
        hint={
          value.directions === 'sides'
            ? 'every side is tried with its castors turned worst: a model that is wrong about the side is found out'
            : 'fewest runs; a model that is wrong about the side is not found out'
        }
        onChange={(directions) => change({ directions })}
      />
      <TextField
        label="Repeats of each run"
        value={value.repeats}
        problem={problems.repeats ?? null}
        hint="empty: 3 where something is read off, else 1"
        onChange={(repeats) => change({ repeats })}
      />
    </>
  );
}
