/** The rules of the record: may this entry follow what is there? */

import { cartProblems } from './cart-rules.js';
import { canonicalJson } from './chain.js';
import type { EntryProblem, KeptEntry, NewEntry } from './entry.js';
import { problemOf } from './entry-problem.js';
import { instrumentProblems } from './instrument-rules.js';
import type { ProjectState, RecordState } from './project-state.js';
import { entryOf, isContent } from './project-state.js';
import type { Reference } from './record-references.js';
import { filesOf, referencesOf } from './record-references.js';
import { revisionProblems } from './revision-rules.js';
import { runProblems } from './run-rules.js';
import { isWritten } from './written.js';

export type Admission =
  | { readonly kind: 'admitted' }
  | { readonly kind: 'already'; readonly entry: KeptEntry }
  | { readonly kind: 'conflict'; readonly since: readonly KeptEntry[] }
  | { readonly kind: 'refused'; readonly problems: readonly EntryProblem[] };

/**
 * - The first entry of a project is its `project` entry; id, project and subject are one. There is one.
 * - An entry follows the newest of its subject (`base`), or it is a conflict.
 * - What it refers to is there, of the right kind and not withdrawn (unless the record refers to it
 *   already); runs, castors, movers, loads and treads are those of the plan or cart.
 * - A reviewed or withdrawn record takes content only with a reason (`why`), and content brings a withdrawn
 *   one back; it takes nothing else. Withdrawal needs a reason too. A project is not withdrawn.
 * - An instrument out of its calibration on the day it was used needs `despite`.
 * - A run is on a sample of the plan's revision, or says why not (`deviations`). A retest is of a run record
 *   that is there, of the same finding.
 * - What others stand on does not change under them: the file of a cart that was planned for or built, the
 *   revision of a sample that was measured, the runs of a plan that were done.
 *
 * All problems at once. What was sent before is `already` there, whatever has come since.
 *
 * @param state null: the project is not there yet
 * @param entry as `readEntry` gave it
 */
export function admit(state: ProjectState | null, entry: NewEntry): Admission {
  if (state === null) return answer(firstProblems(entry));
  const same = entryOf(state, entry.id);
  if (same !== null) return repeated(same, entry);
  if (entry.project !== state.id) {
    const allowed = `the id of this project, ${state.id}`;
    return answer([problemOf('reference', ['project'], entry.project, 'is another', allowed)]);
  }
  if (entry.base === null) return answer(beginningProblems(state, entry));
  const record = state.records.get(entry.subject);
  if (record === undefined) {
    const allowed = 'the id of the first entry of a record of this project';
    return answer([problemOf('reference', ['subject'], entry.subject, 'is no record', allowed)]);
  }
  const known = record.entries.findIndex(({ id }) => id === entry.base);
  if (known < 0) {
    const allowed = `the id of an entry of the record (the newest is ${record.newest})`;
    return answer([problemOf('reference', ['base'], entry.base, 'is not in the record', allowed)]);
  }
  const since = record.entries.slice(known + 1);
  return since.length > 0
    ? { kind: 'conflict', since }
    : answer(followingProblems(state, entry, record));
}

function answer(problems: readonly EntryProblem[]): Admission {
  return problems.length === 0 ? { kind: 'admitted' } : { kind: 'refused', problems };
}

function firstProblems(entry: NewEntry): readonly EntryProblem[] {
  const { id, project, subject, base, body } = entry;
  if (body.kind !== 'project') {
    const allowed =
      'a project that is there, or its first entry, whose body is of the kind project';
    return [problemOf('reference', ['project'], project, 'is not there', allowed)];
  }
  if (id === project && id === subject && base === null) return [];
  const remark = 'does not begin a project';
  return [problemOf('rule', ['id'], id, remark, 'one id for id, project and subject; base null')];
}

/** Sent again: what the writer made is compared, not what the store added. */
function repeated(kept: KeptEntry, entry: NewEntry): Admission {
  const { sequence: _, received: __, previous: ___, hash: ____, ...written } = kept;
  if (canonicalJson(written) === canonicalJson(entry)) return { kind: 'already', entry: kept };
  const remark = 'is an entry already, with another content';
  return answer([problemOf('other content', ['id'], entry.id, remark, 'an id of its own')]);
}

function beginningProblems(state: ProjectState, entry: NewEntry): readonly EntryProblem[] {
  const { id, subject, body } = entry;
  if (subject !== id) {
    const remark = 'is not the id of the entry, which begins a record (base is null)';
    return [problemOf('rule', ['subject'], subject, remark, id)];
  }
  if (!isContent(body) || body.kind === 'project') {
    const allowed = 'a record of its own: cart, plan, instrument, sample, run and so on';
    return [problemOf('rule', ['body', 'kind'], body.kind, 'begins no record here', allowed)];
  }
  return contentProblems(state, entry, null);
}

function followingProblems(
  state: ProjectState,
  entry: NewEntry,
  record: RecordState,
): readonly EntryProblem[] {
  const { body } = entry;
  const kind = ['body', 'kind'];
  if (!isContent(body)) {
    if (record.withdrawn) {
      const allowed = 'content, which brings the record back';
      return [problemOf('rule', kind, body.kind, 'is of a record that is withdrawn', allowed)];
    }
    return body.kind === 'withdrawal' ? withdrawalProblems(entry, record) : [];
  }
  if (body.kind !== record.kind) {
    return [problemOf('rule', kind, body.kind, 'is not what the record is', record.kind)];
  }
  return [...reasonProblems(entry, record), ...contentProblems(state, entry, record)];
}

function withdrawalProblems({ why }: NewEntry, record: RecordState): readonly EntryProblem[] {
  if (record.kind === 'project') {
    const allowed = 'withdrawals of the records in it';
    return [problemOf('rule', ['body', 'kind'], 'withdrawal', 'is not for a project', allowed)];
  }
  return whyMissing(why, 'the record is withdrawn');
}

function reasonProblems({ why }: NewEntry, record: RecordState): readonly EntryProblem[] {
  if (record.withdrawn) return whyMissing(why, 'the record was withdrawn and comes back');
  return record.reviewedAt === null ? [] : whyMissing(why, 'the record was reviewed');
}

function whyMissing(why: string, because: string): readonly EntryProblem[] {
  if (isWritten(why)) return [];
  return [problemOf('rule', ['why'], why, `is no reason, and ${because}`, 'why, in words')];
}

function contentProblems(
  state: ProjectState,
  entry: NewEntry,
  record: RecordState | null,
): readonly EntryProblem[] {
  const { body, subject } = entry;
  return [
    ...referenceProblems(state, entry, record),
    ...instrumentProblems(state, body),
    ...cartProblems(state, body),
    ...(body.kind === 'run' ? runProblems(state, subject, body) : []),
    ...revisionProblems(state, entry, record),
  ];
}

function referenceProblems(
  state: ProjectState,
  { body }: NewEntry,
  record: RecordState | null,
): readonly EntryProblem[] {
  const already = new Set(
    record === null ? [] : referencesOf(record.content).map(({ subject }) => subject),
  );
  return referencesOf(body).flatMap((each) => {
    const wrong = referenceRemark(state, each, already);
    if (wrong === null) return [];
    const allowed = `the id of ${each.kinds === null ? 'a record' : `a ${each.kinds.join(' or ')}`}`;
    return [problemOf('reference', each.path, each.subject, wrong, `${allowed} of this project`)];
  });
}

function referenceRemark(
  state: ProjectState,
  { subject, kinds }: Reference,
  already: ReadonlySet<string>,
): string | null {
  const found = state.records.get(subject);
  if (found === undefined) return 'is no record of this project';
  if (kinds !== null && !kinds.includes(found.kind)) return `is a ${found.kind}`;
  return found.withdrawn && !already.has(subject) ? 'is withdrawn' : null;
}

/** Hashes of all files that an entry names, each once. */
export function attachmentsOf(entry: NewEntry): readonly string[] {
  return [...new Set(filesOf(entry.body).map(({ hash }) => hash))];
}
