/** Rules about content that others stand on: what was planned, built or measured by it must not change
 * under them. */

import { canonicalJson } from './chain.js';
import type { EntryProblem, NewEntry } from './entry.js';
import type { CartBody, PlanBody, RecordKind, SampleBody, Subject } from './entry-body.js';
import { problemOf } from './entry-problem.js';
import type { ProjectState, RecordState } from './project-state.js';
import { recordOf, recordsOf } from './project-state.js';
import { referencesOf } from './record-references.js';
import { isWritten } from './written.js';

/** @param record what the entry replaces; null: it begins one */
export function revisionProblems(
  state: ProjectState,
  entry: NewEntry,
  record: RecordState | null,
): readonly EntryProblem[] {
  const { body, subject } = entry;
  const before = record?.content;
  if (body.kind === 'cart') {
    return [
      ...cartLine(state, subject, body),
      ...(before?.kind === 'cart' ? cartChange(state, subject, before, body) : []),
    ];
  }
  if (body.kind === 'plan' && before?.kind === 'plan') {
    return planChange(state, entry, before, body);
  }
  if (body.kind === 'instrument' && before?.kind === 'instrument') {
    return instrumentChange(state, entry);
  }
  return body.kind === 'sample' && before?.kind === 'sample'
    ? sampleChange(state, subject, before, body)
    : [];
}

function cartLine(state: ProjectState, subject: Subject, body: CartBody): readonly EntryProblem[] {
  const problems: EntryProblem[] = [];
  const namesake = recordsOf(state, 'cart').find(
    ({ content, subject: other, withdrawn }) =>
      other !== subject && !withdrawn && content.revision === body.revision,
  );
  if (namesake !== undefined) {
    const [remark, allowed] = ['is a revision already', 'a name that no other revision has'];
    problems.push(problemOf('rule', ['body', 'revision'], body.revision, remark, allowed));
  }
  if (body.follows !== null && !isWritten(body.change)) {
    const [remark, allowed] = ['does not say what is different', 'what was changed, in words'];
    problems.push(problemOf('rule', ['body', 'change'], body.change, remark, allowed));
  }
  if (followsItself(state, subject, body.follows)) {
    const [remark, allowed] = ['is this revision, or one made from it', 'an earlier revision'];
    problems.push(problemOf('rule', ['body', 'follows'], body.follows, remark, allowed));
  }
  return problems;
}

function followsItself(state: ProjectState, subject: Subject, from: Subject | null): boolean {
  const seen = new Set<Subject>();
  let at = from;
  while (at !== null && !seen.has(at)) {
    if (at === subject) return true;
    seen.add(at);
    at = recordOf(state, 'cart', at)?.content.follows ?? null;
  }
  return false;
}

function cartChange(
  state: ProjectState,
  subject: Subject,
  before: CartBody,
  body: CartBody,
): readonly EntryProblem[] {
  const isSame =
    body.text === before.text &&
    canonicalJson(body.partsLists) === canonicalJson(before.partsLists);
  if (isSame || !isNamed(state, subject, ['plan', 'sample'])) return [];
  const remark = 'is another cart file, and a plan or a sample is of this revision';
  return [problemOf('rule', ['body', 'text'], undefined, remark, 'a new revision for a new file')];
}

function planChange(
  state: ProjectState,
  { subject, why }: NewEntry,
  before: PlanBody,
  body: PlanBody,
): readonly EntryProblem[] {
  const done = recordsOf(state, 'run').filter(
    ({ content, withdrawn }) => content.plan === subject && !withdrawn,
  );
  if (done.length === 0) return [];
  const problems: EntryProblem[] = [];
  if (!isWritten(why)) {
    const remark = 'is no reason, and runs of this plan were done';
    problems.push(problemOf('rule', ['why'], why, remark, 'why the plan changes'));
  }
  if (body.cart !== before.cart) {
    const remark = 'is another revision, and runs of this plan were done';
    problems.push(problemOf('rule', ['body', 'cart'], body.cart, remark, 'a plan of its own'));
  }
  const planned = new Set(body.plan.runs.map(({ id }) => id));
  const lost = new Set(done.map(({ content }) => content.run).filter((id) => !planned.has(id)));
  for (const id of lost) {
    const remark = `has no run "${id}" any more, and it was done`;
    problems.push(
      problemOf('rule', ['body', 'plan', 'runs'], undefined, remark, 'a plan with every run done'),
    );
  }
  return problems;
}

/** What was measured with it goes by what stood here, so that a later word about it has its reason: a new
 * calibration, a slip of the pen. */
function instrumentChange(
  state: ProjectState,
  { subject, why }: NewEntry,
): readonly EntryProblem[] {
  if (isWritten(why) || !isNamed(state, subject, ['run', 'weighing', 'friction'])) return [];
  const remark = 'is no reason, and the instrument was used';
  const allowed = 'why it changes, such as a new calibration';
  return [problemOf('rule', ['why'], why, remark, allowed)];
}

function sampleChange(
  state: ProjectState,
  subject: Subject,
  before: SampleBody,
  body: SampleBody,
): readonly EntryProblem[] {
  if (body.cart === before.cart || !isNamed(state, subject, ['weighing', 'friction', 'run'])) {
    return [];
  }
  const remark = 'is another revision, and the sample was measured as what it was';
  const allowed = 'a sample of its own, also where the same one was rebuilt';
  return [problemOf('rule', ['body', 'cart'], body.cart, remark, allowed)];
}

/** Is a record named by others that count? */
function isNamed(state: ProjectState, subject: Subject, by: readonly RecordKind[]): boolean {
  return by.some((kind) =>
    recordsOf(state, kind).some(
      ({ content, withdrawn }) =>
        !withdrawn && referencesOf(content).some((each) => each.subject === subject),
    ),
  );
}
