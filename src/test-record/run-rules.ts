/** Rules about a run that was done: it is of the plan, on a sample of the plan's revision, loaded the way
 * the plan says, and a retest is of the same finding. */

import type { Loading, TestRun } from '../test-plan/index.js';
import type { EntryProblem } from './entry.js';
import type { PlanBody, RunBody, Subject, Typed } from './entry-body.js';
import { problemOf } from './entry-problem.js';
import type { ProjectState } from './project-state.js';
import { recordOf } from './project-state.js';
import { dimensionOf } from './typed-value.js';
import { isWritten } from './written.js';

export function runProblems(
  state: ProjectState,
  subject: Subject,
  body: RunBody,
): readonly EntryProblem[] {
  const plan = recordOf(state, 'plan', body.plan)?.content;
  // a reference that leads nowhere is told as such
  if (plan === undefined) return [];
  const run = plan.plan.runs.find(({ id }) => id === body.run);
  if (run === undefined) {
    const allowed = `the id of a run of the plan "${plan.name}"`;
    return [problemOf('reference', ['body', 'run'], body.run, 'is no run of the plan', allowed)];
  }
  return [
    ...revisionProblems(state, body, plan),
    ...body.readings.flatMap(({ load }, i) => loadProblems(load, i, run.loading)),
    ...retestProblems(state, subject, body, run),
  ];
}

function revisionProblems(
  state: ProjectState,
  body: RunBody,
  plan: PlanBody,
): readonly EntryProblem[] {
  const sample = recordOf(state, 'sample', body.sample)?.content;
  if (sample === undefined || sample.cart === plan.cart || isWritten(body.deviations)) return [];
  const [built, planned] = [sample.cart, plan.cart].map(
    (cart) => recordOf(state, 'cart', cart)?.content.revision ?? '?',
  );
  const remark = `is no reason, and the sample is of revision ${built}, the plan of revision ${planned}`;
  const allowed = 'a sample of the revision of the plan, or why this one stands for it';
  return [problemOf('rule', ['body', 'deviations'], body.deviations, remark, allowed)];
}

/** What is read as the load of a run; null: no load is read */
export function loadDimension(loading: Loading): 'angle' | 'force' | null {
  if (loading.kind === 'incline') return 'angle';
  return loading.kind === 'threshold' || loading.kind === 'weighing' ? null : 'force';
}

function loadProblems(load: Typed | null, i: number, loading: Loading): readonly EntryProblem[] {
  const due = loadDimension(loading);
  if (load === null || (due !== null && dimensionOf(load, [due]) !== null)) return [];
  const words = { angle: 'an angle, such as 10 deg', force: 'a force, such as 150 N' };
  const allowed = due === null ? 'null: no load is read in such a run' : words[due];
  const remark = `is not the load of a run of this kind (${loading.kind})`;
  return [problemOf('value', ['body', 'readings', i, 'load'], load, remark, allowed)];
}

function retestProblems(
  state: ProjectState,
  subject: Subject,
  body: RunBody,
  run: TestRun,
): readonly EntryProblem[] {
  const { retestOf } = body;
  const first = retestOf === null ? null : recordOf(state, 'run', retestOf);
  if (retestOf === null || first === null) return [];
  const path = ['body', 'retestOf'];
  if (leadsTo(state, retestOf, subject)) {
    const allowed = 'a run that was done before';
    return [problemOf('rule', path, retestOf, 'is this run itself, or a retest of it', allowed)];
  }
  const before = recordOf(state, 'plan', first.content.plan)?.content.plan.runs;
  const finding = before?.find(({ id }) => id === first.content.run)?.finding;
  if (first.content.run === run.id || finding === run.finding) return [];
  const remark = `is a run of another clause (${finding ?? first.content.run})`;
  return [problemOf('rule', path, retestOf, remark, `a run of ${run.finding}`)];
}

/** Does the line of retests from a run lead to a run? */
function leadsTo(state: ProjectState, from: Subject, to: Subject): boolean {
  const seen = new Set<Subject>();
  let at: Subject | null = from;
  while (at !== null && !seen.has(at)) {
    if (at === to) return true;
    seen.add(at);
    at = recordOf(state, 'run', at)?.content.retestOf ?? null;
  }
  return false;
}
