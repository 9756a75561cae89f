/** The failed runs that a run may repeat: of its clause, on a revision of the cart that its own follows. */

import type { FailureChain, PlannedRun } from '../../../judgement/index.js';
import { followsRevision, projectOverview } from '../../../judgement/index.js';
import type { TestRun } from '../../../test-plan/index.js';
import type { PlanBody, ProjectState, RecordState, Subject } from '../../../test-record/index.js';
import { recordOf } from '../../../test-record/index.js';

export interface RetestChoice {
  /** the record of the failed run */
  readonly value: Subject;
  readonly words: string;
  /** done the same way as the run that repeats it, and no retest passes yet */
  readonly isDue: boolean;
}

/** Newest first. */
export function retestChoices(
  state: ProjectState,
  plan: RecordState<PlanBody>,
  run: TestRun,
): readonly RetestChoice[] {
  const { cart } = plan.content;
  const { plans, chains } = projectOverview(state);
  return plans
    .filter((each) => followsRevision(state, cart, each.plan.content.cart))
    .flatMap(({ plan: { content }, runs }) => {
      const revision = recordOf(state, 'cart', content.cart)?.content.revision ?? '?';
      return runs
        .filter((each) => each.run.finding === run.finding)
        .flatMap((each) => failuresOf(each, revision, run, chains));
    })
    .reverse();
}

function failuresOf(
  { run: failed, done }: PlannedRun,
  revision: string,
  run: TestRun,
  chains: readonly FailureChain[],
): readonly RetestChoice[] {
  return done
    .filter(({ judgement }) => judgement.decision === 'fail')
    .map(({ record: { subject, content } }) => ({
      value: subject,
      words: `${failed.title}, ${failed.purpose}: failed on revision ${revision}, ${content.taken.slice(0, 10)}`,
      isDue: failed.purpose === run.purpose && !isClosed(chains, subject),
    }));
}

function isClosed(chains: readonly FailureChain[], record: Subject): boolean {
  const chain = chains.find(
    ({ failure, retests }) =>
      failure === record || retests.some((retest) => retest.record === record),
  );
  return chain?.closed ?? false;
}

/** Which of them the run repeats, where nobody said so; '' : none */
export function proposedRetest(choices: readonly RetestChoice[]): Subject | '' {
  return choices.find(({ isDue }) => isDue)?.value ?? '';
}
