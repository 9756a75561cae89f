/** Where test records are kept, in memory: the rules are those of the record itself. */

import type { KeptEntry, NewEntry, SubmitOutcome } from '../../src/test-record/index.js';
import { admit, attachmentsOf, chained, projectState } from '../../src/test-record/index.js';
import { ApiError } from '../../src/web/store/api.js';
import type { RecordsApi } from '../../src/web/test-day/store/records-api.js';

export interface FakeRecords {
  readonly api: RecordsApi;
  readonly projects: Map<string, KeptEntry[]>;
  readonly files: Map<string, Blob>;
  /** what was asked, in order: 'submit 2', 'putFile 9f86d0...' */
  readonly asked: string[];
  /** it cannot be reached */
  gone: boolean;
  /** it keeps what it is sent, and its answer is lost on the way */
  answersAreLost: boolean;
}

export function fakeRecords(): FakeRecords {
  const ask = (what: string): void => {
    fake.asked.push(what);
    if (fake.gone) throw new ApiError(0, 'The program behind this page does not answer.');
  };
  const entriesOf = (project: string): KeptEntry[] => fake.projects.get(project) ?? [];
  const keep = (entry: NewEntry): SubmitOutcome => {
    const before = entriesOf(entry.project);
    const state = before.length === 0 ? null : projectState(before);
    const admission = admit(state, entry);
    if (admission.kind !== 'admitted') return admission;
    const missing = attachmentsOf(entry).filter((hash) => !fake.files.has(hash));
    if (missing.length > 0) throw new Error(`the files ${missing.join(', ')} were not sent first`);
    const kept = chained(entry, before.at(-1) ?? null, '2026-11-25T12:00:00.000Z');
    fake.projects.set(entry.project, [...before, kept]);
    return { kind: 'kept', entry: kept };
  };
  const api: RecordsApi = {
    async records() {
      ask('records');
      const projects = [...fake.projects].map(([id, entries]) => {
        const newest = entries.at(-1) as KeptEntry;
        const { received, hash } = newest;
        const summary = { id, name: id, customer: '', entries: entries.length };
        return { ...summary, changed: received, head: hash };
      });
      return { place: 'memory', projects };
    },
    async entries(project, after) {
      ask(`entries ${after}`);
      return entriesOf(project).filter(({ sequence }) => sequence > after);
    },
    async submit(entries) {
      ask(`submit ${entries.length}`);
      const outcomes = entries.map(keep);
      if (fake.answersAreLost) throw new ApiError(0, 'the answer was lost');
      return outcomes;
    },
    async putFile(hash, bytes) {
      ask(`putFile ${hash}`);
      fake.files.set(hash, bytes);
    },
    async file(hash) {
      ask(`file ${hash}`);
      return fake.files.get(hash) ?? null;
    },
    async verify() {
      throw new Error('not asked for here');
    },
    archiveAddress: (project) => `/archive/${project}`,
  };
  const fake: FakeRecords = {
    api,
    projects: new Map(),
    files: new Map(),
    asked: [],
    gone: false,
    answersAreLost: false,
  };
  return fake;
}
