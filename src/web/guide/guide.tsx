/** The first-time guide: a strip under the sheet, which covers nothing and blocks nothing. */

import './guide.css';
import { useEffect, useRef, useState } from 'react';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import type { WorkbenchStore } from '../store/workbench.js';
import type { GuideStep, GuideTask, GuideView } from './guide-steps.js';
import { doneTasks, GUIDE_EXAMPLE, GUIDE_STEPS, leftAsBegun } from './guide-steps.js';
import { pointAt } from './point-at.js';
import { startTour } from './start-tour.js';

export function Guide() {
  const at = useWorkbench((s) => s.guide);
  const isOffered = useWorkbench((s) => s.guideLeft === null && s.screen === 'sheet');
  const step = at === null ? undefined : GUIDE_STEPS[at];
  if (at !== null && step !== undefined) return <StepPanel key={at} at={at} step={step} />;
  return isOffered ? <Offer /> : null;
}

/** Once, for who began with a cart of their own. */
function Offer() {
  const store = useWorkbenchStore();
  const decline = (): void => {
    store.getState().setGuide(0);
    store.getState().setGuide(null);
  };
  return (
    <aside className="guide is-offer" aria-label="Guided tour">
      <p>First time here? A tour of five minutes leads to a first verdict on your own numbers.</p>
      <button type="button" className="kit-button is-main" onClick={() => startTour(store)}>
        Start the guided tour
      </button>
      <button type="button" className="kit-button" onClick={decline}>
        No, thanks
      </button>
    </aside>
  );
}

interface StepPanelProps {
  readonly at: number;
  readonly step: GuideStep;
}

function StepPanel({ at, step }: StepPanelProps) {
  const store = useWorkbenchStore();
  const done = useDone(step);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const isAll = done.size === step.tasks.length;
  const isLast = at === GUIDE_STEPS.length - 1;
  const go = (to: number): void => store.getState().setGuide(to);
  const leave = (): void => store.getState().setGuide(null);
  const last = step.tasks.findLast(({ id }) => done.has(id));
  return (
    <aside className="guide" aria-label="Guided tour">
      <div className="guide-head">
        <h2 ref={heading} tabIndex={-1}>
          <span className="guide-count">
            Tour, step {at + 1} of {GUIDE_STEPS.length}
          </span>
          {step.title}
        </h2>
        <p>{step.lead}</p>
      </div>
      <ol className="guide-tasks plain">
        {step.tasks.map((task) => (
          <Task key={task.id} task={task} isDone={done.has(task.id)} />
        ))}
      </ol>
      <div className="guide-moves">
        <button type="button" className="kit-button" disabled={at === 0} onClick={() => go(at - 1)}>
          Back
        </button>
        <button
          type="button"
          className={isAll ? 'kit-button is-main' : 'kit-button'}
          onClick={() => {
            go(at + 1);
            if (isLast) leave();
          }}
        >
          {nextWords(isAll, isLast)}
        </button>
        <button type="button" className="kit-button is-quiet" onClick={leave}>
          Leave the tour
        </button>
      </div>
      {step.tellsLeft === true && <Left />}
      <p className="kit-hidden" role="status">
        {last === undefined ? '' : `Done: ${last.words}${isAll ? ' The step is complete.' : ''}`}
      </p>
    </aside>
  );
}

/** So that nobody takes the numbers of the starter for his own. */
function Left() {
  const left = useWorkbench((s) => leftAsBegun(s).join(', '));
  if (left === '') return null;
  return (
    <p className="guide-left">
      <strong>Not yours yet, and in the verdict all the same:</strong> {left}.
    </p>
  );
}

function nextWords(isAll: boolean, isLast: boolean): string {
  if (isLast) return isAll ? 'Finish' : 'End the tour';
  return isAll ? 'Next' : 'Skip this step';
}

function Task({ task, isDone }: { readonly task: GuideTask; readonly isDone: boolean }) {
  const store = useWorkbenchStore();
  const { words, place, act } = task;
  return (
    <li className="guide-task" data-done={isDone || undefined}>
      <svg className="guide-tick" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
        <rect x="1.5" y="1.5" width="13" height="13" />
        {isDone && <path d="M4 8.5 7 11.5 12.5 4.5" />}
      </svg>
      <span>
        {isDone && <span className="kit-hidden">Done: </span>}
        {words}
      </span>
      {place !== null && !isDone && (
        <button
          type="button"
          className="kit-button"
          aria-label={`Show me where: ${words}`}
          onClick={() => pointAt(store, place)}
        >
          Show me where
        </button>
      )}
      {act !== null && !isDone && (
        <button type="button" className="kit-button" onClick={() => follow(store, act.what)}>
          {act.words}
        </button>
      )}
    </li>
  );
}

function follow(store: WorkbenchStore, what: NonNullable<GuideTask['act']>['what']): void {
  const { openExample, newCart } = store.getState();
  if (what === 'open example') void openExample(GUIDE_EXAMPLE);
  else void newCart();
}

/** Looks at every change of the page; draws again only when a task is done. */
function useDone(step: GuideStep): ReadonlySet<string> {
  const store = useWorkbenchStore();
  const [done, setDone] = useState(NOTHING);
  useEffect(() => {
    let began = viewOf(store);
    let file = began.file?.name;
    const look = (): void => {
      const now = viewOf(store);
      // what it starts from is known with the first findings of a cart
      if (began.live === null || began.file === null)
        began = { ...now, file: began.file ?? now.file };
      // what was done to one cart is not done to the next
      const isOther = now.file?.name !== file;
      file = now.file?.name;
      setDone((known) => doneTasks(step, now, began, isOther ? NOTHING : known));
    };
    look();
    return store.subscribe(look);
  }, [store, step]);
  return done;
}

const NOTHING: ReadonlySet<string> = new Set();

function viewOf(store: WorkbenchStore): GuideView {
  return { ...store.getState(), undone: store.temporal.getState().futureStates.length };
}
