/** Records that can have led to a change of the cart: diagnoses and runs. */

import type { ProjectState, RunBody, Subject } from '../../../test-record/index.js';
import { recordOf, recordsOf } from '../../../test-record/index.js';

export interface ReasonChoice {
  readonly subject: Subject;
  readonly words: string;
}

/** Newest first; those withdrawn are left out. */
export function reasonChoices(state: ProjectState): readonly ReasonChoice[] {
  const runs = recordsOf(state, 'run')
    .filter(({ withdrawn }) => !withdrawn)
    .map(({ subject, content }) => ({ subject, words: runWordsOf(state, content) }));
  const named = new Map(runs.map(({ subject, words }) => [subject, words]));
  const diagnoses = recordsOf(state, 'diagnosis')
    .filter(({ withdrawn }) => !withdrawn)
    .map(({ subject, content }) => ({
      subject,
      words: `diagnosis of ${named.get(content.run) ?? 'a run'}: ${content.mechanism}`,
    }));
  return [...diagnoses.reverse(), ...runs.reverse()];
}

/** What led to a revision, each run once: its diagnosis is read where the run is. */
export function reasonsInShort(
  state: ProjectState,
  because: readonly Subject[],
): readonly string[] {
  const runs = because.map(
    (subject) => recordOf(state, 'diagnosis', subject)?.content.run ?? subject,
  );
  return [...new Set(runs)].map((subject) => {
    const run = recordOf(state, 'run', subject)?.content;
    return run === undefined ? 'a record' : runWordsOf(state, run);
  });
}

/** 'Stands on the incline, worst found (2026-11-25, gave way)' */
export function runWordsOf(state: ProjectState, { plan, run, taken, readings }: RunBody): string {
  const planned = recordOf(state, 'plan', plan)?.content.plan.runs.find(({ id }) => id === run);
  const title = planned === undefined ? run : `${planned.title}, ${planned.purpose}`;
  const gaveWay = readings.some(({ result }) => result === 'gave way') ? ', gave way' : '';
  return `${title} (${taken.slice(0, 10)}${gaveWay})`;
}
