/** Failures, what was changed because of them, and the retests: links that the record keeps. */

import type { Decision } from '../metrology/index.js';
import type { ProjectState, RecordState, RunBody, Subject } from '../test-record/index.js';
import { recordOf, recordsOf } from '../test-record/index.js';
import type { RunJudgement } from './judge-run.js';

export interface JudgedRecord {
  readonly record: RecordState<RunBody>;
  readonly judgement: RunJudgement;
}

/** A failure, what was changed because of it, and the runs that were done again. */
export interface FailureChain {
  /** the first failed run: one that failed as a retest belongs to the chain of what it retests */
  readonly failure: Subject;
  /** of the failure and of retests that failed */
  readonly diagnoses: readonly Subject[];
  /** revisions of the cart made because of them */
  readonly revisions: readonly Subject[];
  /** in the order they were done */
  readonly retests: readonly {
    readonly record: Subject;
    readonly decision: Decision;
    /** done on the plan of a revision that follows the one that failed */
    readonly isOnLaterRevision: boolean;
  }[];
  /** the newest retest on a later revision passes */
  readonly closed: boolean;
}

/** @param judged every record of a run that counts */
export function failureChains(
  state: ProjectState,
  judged: readonly JudgedRecord[],
): readonly FailureChain[] {
  const all = new Map(judged.map((each) => [each.record.subject, each]));
  const retests = byRetested(judged);
  const order = new Map([...state.records.keys()].map((subject, i) => [subject, i]));
  const isFailed = (subject: Subject | null): boolean =>
    subject !== null && all.get(subject)?.judgement.decision === 'fail';
  const roots = judged.filter(
    ({ record }) => isFailed(record.subject) && !isFailed(record.content.retestOf),
  );
  return roots
    .map(({ record }) => chainOf(state, record, retests))
    .sort((a, b) => (order.get(a.failure) ?? 0) - (order.get(b.failure) ?? 0));
}

function byRetested(
  judged: readonly JudgedRecord[],
): ReadonlyMap<Subject, readonly JudgedRecord[]> {
  const found = new Map<Subject, JudgedRecord[]>();
  for (const each of judged) {
    const { retestOf } = each.record.content;
    if (retestOf !== null) found.set(retestOf, [...(found.get(retestOf) ?? []), each]);
  }
  return found;
}

function chainOf(
  state: ProjectState,
  failure: RecordState<RunBody>,
  retests: ReadonlyMap<Subject, readonly JudgedRecord[]>,
): FailureChain {
  const again = following(failure.subject, retests);
  const failed = new Set([
    failure.subject,
    ...again
      .filter(({ judgement }) => judgement.decision === 'fail')
      .map(({ record }) => record.subject),
  ]);
  const diagnoses = recordsOf(state, 'diagnosis')
    .filter(({ withdrawn, content }) => !withdrawn && failed.has(content.run))
    .map(({ subject }) => subject);
  const led = new Set([...failed, ...diagnoses]);
  const revisions = recordsOf(state, 'cart')
    .filter(({ withdrawn, content }) => !withdrawn && content.because.some((each) => led.has(each)))
    .map(({ subject }) => subject);
  const cart = cartOf(state, failure.content);
  const shown = again.map(({ record, judgement }) => ({
    record: record.subject,
    decision: judgement.decision,
    isOnLaterRevision: followsRevision(state, cartOf(state, record.content), cart),
  }));
  const newest = shown.filter(({ isOnLaterRevision }) => isOnLaterRevision).at(-1);
  return {
    failure: failure.subject,
    diagnoses,
    revisions,
    retests: shown,
    closed: newest?.decision === 'pass',
  };
}

/** Retests, and retests of those, in the order they were done; a ring of them ends. */
function following(
  subject: Subject,
  retests: ReadonlyMap<Subject, readonly JudgedRecord[]>,
): readonly JudgedRecord[] {
  const found = new Map<Subject, JudgedRecord>();
  const open = [subject];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    for (const each of retests.get(next) ?? []) {
      if (found.has(each.record.subject) || each.record.subject === subject) continue;
      found.set(each.record.subject, each);
      open.push(each.record.subject);
    }
  }
  const taken = ({ record }: JudgedRecord): string => record.content.taken;
  return [...found.values()].sort((a, b) => (taken(a) < taken(b) ? -1 : 1));
}

/** The revision that a run was done on. */
function cartOf(state: ProjectState, { plan }: RunBody): Subject | null {
  return recordOf(state, 'plan', plan)?.content.cart ?? null;
}

/** Does one revision of the cart follow the other, directly or not? Not itself. */
export function followsRevision(
  state: ProjectState,
  revision: Subject | null,
  than: Subject | null,
): boolean {
  if (revision === null || than === null || revision === than) return false;
  const met = new Set<Subject>();
  let at: Subject | null = revision;
  while (at !== null && at !== than && !met.has(at)) {
    met.add(at);
    at = recordOf(state, 'cart', at)?.content.follows ?? null;
  }
  return at === than;
}
