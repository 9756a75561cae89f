/** `standstill records judge` and `weigh`: what was measured, against what is asked and what was predicted. */

import type { Cart } from '../../document/index.js';
import type { PlanOverview } from '../../judgement/index.js';
import {
  agreementInAll,
  agreementOf,
  frictionOf,
  instrumentsAt,
  measuredCart,
  projectOverview,
  reconcile,
  weighingOf,
} from '../../judgement/index.js';
import type { Budget } from '../../metrology/index.js';
import type { RecordStore } from '../../record-store/index.js';
import { predictRun } from '../../test-plan/index.js';
import type { PlanBody, ProjectState, RecordState, SampleBody } from '../../test-record/index.js';
import { recordOf, recordTitle } from '../../test-record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { EXIT, exitCodeOfDecision } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage } from '../page.js';
import { newest, valid } from '../record-blanks.js';
import { cartOfRevision } from '../record-carts.js';
import { projectStateNamed, recordNamed } from '../record-names.js';
import { withRecords } from '../record-place.js';
import { judgementJson } from '../records-json.js';
import type { ComparedRun } from '../sheets/record-judgement.js';
import { judgementSheet } from '../sheets/record-judgement.js';
import type { FrictionTest, PredictedAgain, Weighed } from '../sheets/record-weighing.js';
import { weighingSheet } from '../sheets/record-weighing.js';
import type { Surroundings } from '../surroundings.js';

export interface JudgeWishes extends PageWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
  /** undefined: the newest */
  readonly plan?: string;
}

export async function judgeRecords(
  place: string,
  project: string,
  wishes: JudgeWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withRecords(place, false, around, async (store) => {
    const state = await projectStateNamed(store, project);
    if (state.kind === 'bad input') return state;
    const plan = planOf(state.value, wishes.plan);
    if (plan.kind === 'bad input') return plan;
    const cart = await cartNamed(store, state.value, plan.value.plan.content.cart);
    if (cart.kind === 'bad input') return cart;
    const compared = comparedRuns(cart.value, plan.value);
    const inAll = agreementInAll(compared);
    const judged = { state: state.value, overview: plan.value, compared, inAll };
    if (wishes.json) around.out(judgementJson(judged, around.version));
    else {
      const page = makePage(wishes, around);
      around.out(page.print(judgementSheet(page, { ...judged, units: wishes.units })));
    }
    return fine(exitCodeOfDecision(plan.value.decision));
  });
}

function planOf(state: ProjectState, named: string | undefined): Outcome<PlanOverview> {
  const { plans } = projectOverview(state);
  const subject =
    named === undefined
      ? fine(newest(state, 'plan'))
      : recordNamed(state, named, ['plan'], '--plan');
  if (subject.kind === 'bad input') return subject;
  const found = plans.find(({ plan }) => plan.subject === subject.value?.subject);
  return found === undefined
    ? bad('PROJECT: has no plan yet; allowed: first records plan')
    : fine(found);
}

async function cartNamed(
  store: RecordStore,
  state: ProjectState,
  revision: string,
): Promise<Outcome<Cart>> {
  const record = recordOf(state, 'cart', revision);
  return record === null ? bad('the revision is not there') : cartOfRevision(store, record.content);
}

/** The newest record of each run beside its prediction, where the two can be compared. */
function comparedRuns(cart: Cart, { plan, runs }: PlanOverview): readonly ComparedRun[] {
  const { requirementSet } = plan.content.plan;
  return runs.flatMap(({ run, done }) => {
    const last = done.at(-1);
    if (last === undefined) return [];
    const agreement = agreementOf(cart, requirementSet, run, run.prediction, last.judgement);
    return agreement === null ? [] : [{ run, agreement }];
  });
}

export interface WeighWishes extends PageWishes {
  readonly units: UnitSystem;
}

export async function weighRecords(
  place: string,
  project: string,
  sample: string,
  wishes: WeighWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withRecords(place, false, around, async (store) => {
    const state = await projectStateNamed(store, project);
    if (state.kind === 'bad input') return state;
    const found = recordNamed(state.value, sample, ['sample'], 'SAMPLE');
    if (found.kind === 'bad input') return found;
    const record = recordOf(state.value, 'sample', found.value.subject);
    if (record === null) return bad(`SAMPLE: ${sample} is no sample`);
    const cart = await cartNamed(store, state.value, record.content.cart);
    if (cart.kind === 'bad input') return cart;
    const weighed = weighedSample(state.value, record, cart.value);
    if (weighed.kind === 'bad input') return weighed;
    const frictions = frictionTests(state.value, record);
    if (frictions.kind === 'bad input') return frictions;
    if (weighed.value === null && frictions.value.length === 0) {
      return bad(
        `${recordTitle(state.value, record)}: was neither weighed nor tested for friction`,
      );
    }
    const coefficients = new Map(
      frictions.value.map(({ tread, result }) => [tread, result.coefficient]),
    );
    const again = predictedAgain(state.value, record, cart.value, weighed.value, coefficients);
    const page = makePage(wishes, around);
    const sheet = { state: state.value, sample: record, cart: cart.value, weighed: weighed.value };
    around.out(
      page.print(
        weighingSheet(page, { ...sheet, frictions: frictions.value, again, units: wishes.units }),
      ),
    );
    return fine(EXIT.holds);
  });
}

/** The newest weighing of a sample; null: it was not weighed. */
function weighedSample(
  state: ProjectState,
  sample: RecordState<SampleBody>,
  cart: Cart,
): Outcome<Weighed | null> {
  const record = valid(state, 'weighing').findLast(
    ({ content }) => content.sample === sample.subject,
  );
  if (record === undefined) return fine(null);
  const { content } = record;
  const outcome = weighingOf(cart, content, instrumentsAt(state, content.taken));
  if (outcome.kind === 'refused') {
    return bad(...outcome.problems.map((problem) => `${recordTitle(state, record)}: ${problem}`));
  }
  const { result } = outcome;
  return fine({ record, result, reconciliation: reconcile(cart, content, result) });
}

/** The newest test of each tread. */
function frictionTests(
  state: ProjectState,
  sample: RecordState<SampleBody>,
): Outcome<readonly FrictionTest[]> {
  const newestOf = new Map(
    valid(state, 'friction')
      .filter(({ content }) => content.sample === sample.subject)
      .map((record) => [record.content.tread, record]),
  );
  const problems: string[] = [];
  const tests = [...newestOf].flatMap(([tread, record]): FrictionTest[] => {
    const outcome = frictionOf(record.content, instrumentsAt(state, record.content.taken));
    if (outcome.kind === 'ok') return [{ tread, record, result: outcome.result }];
    problems.push(...outcome.problems.map((each) => `${recordTitle(state, record)}: ${each}`));
    return [];
  });
  return problems.length > 0 ? bad(...problems) : fine(tests);
}

/** Predictions of the newest plan of the sample's revision, for the cart as measured. */
function predictedAgain(
  state: ProjectState,
  { content }: RecordState<SampleBody>,
  cart: Cart,
  weighed: Weighed | null,
  frictions: ReadonlyMap<string, Budget>,
): readonly PredictedAgain[] {
  const plan: RecordState<PlanBody> | undefined = valid(state, 'plan').findLast(
    (each) => each.content.cart === content.cart,
  );
  if (plan === undefined) return [];
  const measured = measuredCart(cart, weighed?.reconciliation ?? null, frictions);
  const { requirementSet, runs } = plan.content.plan;
  return runs.map((run) => ({ run, prediction: predictRun(measured, requirementSet, run) }));
}
