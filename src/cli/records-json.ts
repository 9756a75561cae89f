/** Test records as JSON: the content as it was kept, and what follows from it in SI. */

import { CAUTIONS } from '../analysis/index.js';
import type { ProjectOverview } from '../judgement/index.js';
import type { ProjectState, RecordState } from '../test-record/index.js';
import { subjectTitle } from '../test-record/index.js';

import { jsonText } from './report-json.js';
import type { JudgementSheet } from './sheets/record-judgement.js';
import type { RecordLog } from './sheets/record-log.js';
import type { VerificationSheet } from './sheets/record-verification.js';
import { isWhole } from './sheets/record-verification.js';

const SCHEMAS = {
  project: 'standstill/records-1',
  record: 'standstill/record-1',
  log: 'standstill/record-log-1',
  judgement: 'standstill/record-judgement-1',
  verification: 'standstill/record-verification-1',
} as const;

export interface ShownProject {
  readonly place: string;
  readonly state: ProjectState;
  readonly overview: ProjectOverview;
}

export function recordsJson({ place, state, overview }: ShownProject, version: string): string {
  return jsonText({
    schema: SCHEMAS.project,
    standstill: version,
    place,
    project: state.id,
    head: state.head,
    records: [...state.records.values()].map((record) => factsOf(state, record)),
    plans: overview.plans.map(({ plan, runs, counts, decision }) => ({
      plan: plan.subject,
      decision,
      counts,
      runs: runs.map(({ run, done, decision: each }) => ({
        run: run.id,
        decision: each,
        records: done.map(({ record, judgement }) => ({
          record: record.subject,
          decision: judgement.decision,
        })),
      })),
    })),
    failures: overview.chains,
    cautions: CAUTIONS,
  });
}

/** What is said of a record beside its content. */
function factsOf(state: ProjectState, record: RecordState) {
  const { subject, kind, newest, reviewedAt, corrections, withdrawn, entries } = record;
  const title = subjectTitle(state, subject);
  const sequences = entries.map(({ sequence }) => sequence);
  return {
    record: subject,
    kind,
    title,
    newest,
    reviewedAt,
    corrections,
    withdrawn,
    entries: sequences,
  };
}

export function recordJson(
  { state, record }: { readonly state: ProjectState; readonly record: RecordState },
  version: string,
): string {
  return jsonText({
    schema: SCHEMAS.record,
    standstill: version,
    project: state.id,
    ...factsOf(state, record),
    content: record.content,
    entries: record.entries,
    cautions: CAUTIONS,
  });
}

export function logJson({ state, entries }: RecordLog, version: string): string {
  return jsonText({
    schema: SCHEMAS.log,
    standstill: version,
    project: state.id,
    head: state.head,
    entries,
  });
}

export function judgementJson(
  { state, overview, compared, inAll }: Omit<JudgementSheet, 'units'>,
  version: string,
): string {
  const agreements = new Map(compared.map(({ run, agreement }) => [run.id, agreement]));
  return jsonText({
    schema: SCHEMAS.judgement,
    standstill: version,
    project: state.id,
    plan: overview.plan.subject,
    rule: overview.plan.content.plan.rule,
    decision: overview.decision,
    counts: overview.counts,
    runs: overview.runs.map(({ run, done, decision }) => ({
      run: run.id,
      decision,
      records: done.map(({ record, judgement }) => ({ record: record.subject, ...judgement })),
      // |En| of two exact values that differ is 'unlimited'
      agreement: agreements.get(run.id) ?? null,
    })),
    inAll,
    cautions: CAUTIONS,
  });
}

export function verificationJson({ place, verified }: VerificationSheet, version: string): string {
  return jsonText({
    schema: SCHEMAS.verification,
    standstill: version,
    place,
    whole: verified.every(isWhole),
    projects: verified.map(({ project, chain, files }) => ({
      project: project.id,
      name: project.name,
      chain,
      files,
    })),
  });
}
