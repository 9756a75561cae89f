/**
 * A project as a whole: what was planned, done and decided, and how failures led to changes and retests.
 *
 * A failed run stays failed on its plan: doing it again until it passes undoes nothing. What undoes it is
 * its withdrawal, with a reason; what answers it is a retest on the plan of a later revision of the cart.
 * Otherwise the newest record of a run counts. Withdrawn records count nowhere.
 */

import type { Decision } from '../metrology/index.js';
import type { TestRun } from '../test-plan/index.js';
import type { PlanBody, ProjectState, RecordState, Subject } from '../test-record/index.js';
import { recordsOf } from '../test-record/index.js';
import { instrumentsAt } from './calibration.js';
import type { FailureChain, JudgedRecord } from './failure-chain.js';
import { failureChains } from './failure-chain.js';
import { judgeRun } from './judge-run.js';

export interface PlannedRun {
  readonly run: TestRun;
  /** records of it that count, in the order they were done (`taken`) */
  readonly done: readonly JudgedRecord[];
  /** fail where any of them fails; else of the newest; 'not done' without one */
  readonly decision: Decision | 'not done';
}

export interface PlanOverview {
  readonly plan: RecordState<PlanBody>;
  readonly runs: readonly PlannedRun[];
  readonly counts: Readonly<Record<Decision | 'not done', number>>;
  /** fail where any run failed; not decided where one is; 'not done' where one is; else pass */
  readonly decision: Decision | 'not done';
}

export interface ProjectOverview {
  /** in the order they were begun */
  readonly plans: readonly PlanOverview[];
  readonly chains: readonly FailureChain[];
}

export function projectOverview(state: ProjectState): ProjectOverview {
  const judged = judgedRecords(state);
  const plans = recordsOf(state, 'plan')
    .filter(({ withdrawn }) => !withdrawn)
    .map((plan) => planOverview(plan, judged.get(plan.subject) ?? []));
  return { plans, chains: failureChains(state, [...judged.values()].flat()) };
}

/** Records of runs that count, by plan, in the order they were done. */
function judgedRecords(state: ProjectState): ReadonlyMap<Subject, readonly JudgedRecord[]> {
  const instruments = cached((day: string) => instrumentsAt(state, day));
  const runs = new Map(
    recordsOf(state, 'plan')
      .filter(({ withdrawn }) => !withdrawn)
      .map(({ subject, content }) => [
        subject,
        { rule: content.plan.rule, runs: new Map(content.plan.runs.map((run) => [run.id, run])) },
      ]),
  );
  const found = new Map<Subject, JudgedRecord[]>();
  for (const record of recordsOf(state, 'run')) {
    const { plan: subject, run: id, taken } = record.content;
    const plan = runs.get(subject);
    const run = plan?.runs.get(id);
    if (record.withdrawn || plan === undefined || run === undefined) continue;
    const judgement = judgeRun(run, record.content, instruments(taken.slice(0, 10)), plan.rule);
    const all = found.get(subject) ?? [];
    all.push({ record, judgement });
    found.set(subject, all);
  }
  for (const all of found.values()) all.sort(byTaken);
  return found;
}

/** Times are ISO 8601 in UTC: their order is that of the text. What was begun later comes later. */
function byTaken(a: JudgedRecord, b: JudgedRecord): number {
  const [x, y] = [a.record.content.taken, b.record.content.taken];
  return x < y ? -1 : x > y ? 1 : 0;
}

function cached<V>(make: (key: string) => V): (key: string) => V {
  const known = new Map<string, V>();
  return (key) => {
    const value = known.get(key) ?? make(key);
    known.set(key, value);
    return value;
  };
}

function planOverview(plan: RecordState<PlanBody>, judged: readonly JudgedRecord[]): PlanOverview {
  const byRun = new Map<string, JudgedRecord[]>();
  for (const each of judged) {
    const all = byRun.get(each.record.content.run) ?? [];
    all.push(each);
    byRun.set(each.record.content.run, all);
  }
  const runs = plan.content.plan.runs.map((run): PlannedRun => {
    const done = byRun.get(run.id) ?? [];
    return { run, done, decision: decisionOf(done) };
  });
  const counts = { pass: 0, fail: 0, 'not decided': 0, 'not done': 0 };
  for (const { decision } of runs) counts[decision] += 1;
  return { plan, runs, counts, decision: overall(counts, runs.length) };
}

function decisionOf(done: readonly JudgedRecord[]): PlannedRun['decision'] {
  if (done.some(({ judgement }) => judgement.decision === 'fail')) return 'fail';
  return done[done.length - 1]?.judgement.decision ?? 'not done';
}

const WORST_FIRST = ['fail', 'not decided', 'not done'] as const;

/** A plan without runs shows nothing. */
function overall(counts: PlanOverview['counts'], runs: number): PlanOverview['decision'] {
  if (runs === 0) return 'not done';
  return WORST_FIRST.find((decision) => counts[decision] > 0) ?? 'pass';
}
