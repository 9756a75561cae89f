/** A plan that is being made goes on while something else is looked at, and is never lost without a word. */

import 'fake-indexeddb/auto';
import { describe, expect, it } from 'vitest';
import type { TestPlan } from '../../src/test-plan/index.js';
import { recordsOf } from '../../src/test-record/index.js';
import { TaskStopped } from '../../src/web/engine/task.js';
import type { PlanTask } from '../../src/web/test-day/plan/planning.js';
import { createPlanning, MAKE_PLAN_FORM } from '../../src/web/test-day/plan/planning.js';
import { indexedShelf } from '../../src/web/test-day/store/local-shelf.js';
import type { TestDayStore } from '../../src/web/test-day/store/test-day.js';
import { createTestDay } from '../../src/web/test-day/store/test-day.js';
import { samplePlan, sampleProject } from '../test-record/sample-entries.js';
import { fakeRecords } from './fake-records.js';

let folders = 0;

async function testDay(): Promise<TestDayStore> {
  folders += 1;
  const texts = new Map<string, string>();
  let id = folders * 1000;
  const store = createTestDay({
    api: fakeRecords().api,
    shelf: indexedShelf(`planning ${folders}`),
    storage: {
      getItem: (key) => texts.get(key) ?? null,
      setItem: (key, value) => void texts.set(key, value),
      removeItem: (key) => void texts.delete(key),
    },
    alone: async (act) => {
      await act();
    },
    now: () => '2026-11-25T09:30:00.000Z',
    newId: () => {
      id += 1;
      return `00000000-0000-4000-8000-${String(id).padStart(12, '0')}`;
    },
    say: () => {},
  });
  store.getState().setWho('Mara Quist');
  await store.getState().begin();
  return store;
}

interface Worker {
  readonly plan: PlanTask;
  /** it has made its plan */
  readonly finish: () => void;
  isStopped: boolean;
}

function worker(): Worker {
  let finish = (_: TestPlan): void => {};
  const own: Worker = {
    isStopped: false,
    finish: () => finish(samplePlan()),
    plan: () => {
      let stop = (): void => {};
      const result = new Promise<TestPlan>((resolve, reject) => {
        finish = resolve;
        stop = () => reject(new TaskStopped('stopped'));
      });
      return {
        result,
        stop: () => {
          own.isStopped = true;
          stop();
        },
      };
    },
  };
  return own;
}

/** A project with a revision of the cart. */
async function begun() {
  const day = await testDay();
  await day.getState().newProject('Small cart', '', '');
  const revision = sampleProject().entry('cart A').body;
  const subject = await day.getState().write(revision);
  if (subject === null) throw new Error('no revision was begun');
  const said: string[] = [];
  const at = worker();
  const planning = createPlanning(day, at.plan, (words) => said.push(words));
  // what it plans from is the worker's alone
  const from = { cart: {}, set: {}, options: {} } as unknown as Pick<
    Parameters<ReturnType<typeof planning.getState>['start']>[0],
    'cart' | 'set' | 'options'
  >;
  const wish = (name: string) => ({ ...from, subject, name, program: 'Standstill' });
  const names = () => {
    const { state } = day.getState();
    return state === null ? [] : recordsOf(state, 'plan').map(({ content }) => content.name);
  };
  return { day, planning, at, said, wish, names };
}

describe('a plan that is being made', () => {
  it('is written and shown although another section is looked at, and the form is empty again', async () => {
    const { day, planning, at, said, wish, names } = await begun();
    day.getState().keepDraft(MAKE_PLAN_FORM, { name: 'first' });
    const made = planning.getState().start(wish('first'));
    day.getState().show('Sample');
    expect(planning.getState().view.kind).toBe('running');
    at.finish();
    await made;
    expect(names()).toEqual(['first']);
    expect(planning.getState()).toMatchObject({ view: { kind: 'idle' }, written: 1 });
    expect(day.getState().draft(MAKE_PLAN_FORM)).toBeNull();
    expect(said).toEqual(['The plan is made: first.']);
  });

  it('does not change the run under the fingers of who records one', async () => {
    const { day, planning, at, said, wish } = await begun();
    const first = planning.getState().start(wish('first'));
    at.finish();
    await first;
    const plan = day.getState().plan;
    day.getState().show('Runs');
    day.getState().chooseRun('unwanted-movement-push-1');
    const second = planning.getState().start(wish('second'));
    at.finish();
    await second;
    expect(plan).not.toBeNull();
    expect(day.getState()).toMatchObject({ plan, run: 'unwanted-movement-push-1' });
    expect(said.at(-1)).toBe('The plan is made: second. See Plan.');
  });

  it('ends with its project, and is not written into another', async () => {
    const { day, planning, at, wish, names } = await begun();
    const made = planning.getState().start(wish('first'));
    await day.getState().newProject('Another cart', '', '');
    await made;
    expect(at.isStopped).toBe(true);
    expect(planning.getState().view.kind).toBe('idle');
    expect(names()).toEqual([]);
  });
});
