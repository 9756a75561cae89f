/**
 * A plan that is being made. It belongs to the project and not to the section that asked for it: it goes
 * on, and is written, while another section or the sheet is looked at. It ends with the project.
 */

import type { StoreApi } from 'zustand';
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { Cart } from '../../../document/index.js';
import type { RequirementSet } from '../../../requirements/index.js';
import type { PlanOptions, TestPlan } from '../../../test-plan/index.js';
import type { Subject } from '../../../test-record/index.js';
import type { Progress, Task } from '../../engine/task.js';
import { useWorkbenchStore } from '../../kit/use-workbench.js';
import type { WorkbenchStore } from '../../store/workbench.js';
import type { TaskView } from '../engine/running-task.js';
import { taskRunner } from '../engine/running-task.js';
import { planTask } from '../engine/test-day-tasks.js';
import type { TestDayStore } from '../store/test-day.js';
import type { Section } from '../store/test-day-state.js';
import { useTestDayStore } from '../use-test-day.js';
import { plansOf } from './use-plan.js';

/** The form that asks for a plan, among those kept half filled. */
export const MAKE_PLAN_FORM = 'plan new';

export interface PlanWish {
  readonly cart: Cart;
  /** the revision */
  readonly subject: Subject;
  readonly set: RequirementSet;
  readonly options: Omit<PlanOptions, 'onProgress'>;
  readonly name: string;
  /** that makes it, with its version */
  readonly program: string;
}

export interface Planning {
  readonly view: TaskView<TestPlan>;
  /** plans written so far */
  readonly written: number;
  readonly start: (wish: PlanWish) => Promise<void>;
  readonly stop: () => void;
}

export type PlanTask = (
  cart: Cart,
  set: RequirementSet,
  options: PlanWish['options'],
  progress: Progress,
) => Task<TestPlan>;

/** @param say a notice: a plan was made while something else was looked at */
export function createPlanning(
  testDay: TestDayStore,
  plan: PlanTask,
  say: (words: string) => void,
): StoreApi<Planning> {
  const store = createStore<Planning>((set) => {
    const runner = taskRunner<TestPlan>((view) => set({ view }));
    return {
      view: { kind: 'idle' },
      written: 0,
      stop: runner.stop,
      async start(wish) {
        const project = testDay.getState().project;
        const made = await runner.start((progress) =>
          plan(wish.cart, wish.set, wish.options, progress),
        );
        if (made === null || testDay.getState().project !== project) return;
        const isWritten = await write(testDay, wish, made, say);
        runner.forget();
        if (isWritten) set(({ written }) => ({ written: written + 1 }));
      },
    };
  });
  testDay.subscribe((now, before) => {
    if (now.project !== before.project) store.getState().stop();
  });
  return store;
}

/** Shown next, and the form that asked for it is empty again. */
async function write(
  testDay: TestDayStore,
  wish: PlanWish,
  plan: TestPlan,
  say: (words: string) => void,
): Promise<boolean> {
  const { subject: cart, program } = wish;
  const name = wish.name.trim();
  const before = testDay.getState();
  const inUse = AT_WORK.includes(before.section) ? plansOf(before.state, before.plan).plan : null;
  // no other run comes under the fingers of who records one
  if (inUse !== null) showPlan(testDay, inUse.subject, before.run);
  const written = await before.write({ kind: 'plan', name, cart, plan, program });
  if (written === null) return false;
  before.dropDraft(MAKE_PLAN_FORM);
  if (inUse === null) showPlan(testDay, written, null);
  if (before.section !== 'Plan') {
    say(inUse === null ? `The plan is made: ${name}.` : `The plan is made: ${name}. See Plan.`);
  }
  return true;
}

/** Where a plan is worked with. */
const AT_WORK: readonly Section[] = ['Runs', 'Results'];

function showPlan(testDay: TestDayStore, plan: Subject, run: string | null): void {
  testDay.getState().choosePlan(plan);
  testDay.getState().chooseRun(run);
}

const made = new WeakMap<TestDayStore, StoreApi<Planning>>();

/** Of a test day: made once. */
function planningOf(testDay: TestDayStore, workbench: WorkbenchStore): StoreApi<Planning> {
  const say = (words: string): void => workbench.getState().say(words, 'said');
  const known = made.get(testDay) ?? createPlanning(testDay, planTask, say);
  made.set(testDay, known);
  return known;
}

/** @param select gives a stable value: a field of it */
export function usePlanning<T>(select: (planning: Planning) => T): T {
  return useStore(planningOf(useTestDayStore(), useWorkbenchStore()), select);
}
