/** From a cart and its check to a plan of tests. */

import type { Amount, CheckReport, Finding } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import { STANDARD_GRAVITY } from '../engine/index.js';
import type { DecisionRule } from '../metrology/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { cautionsOf, criteriaOf, isHeld, recordOf } from './acceptance.js';
import type { RunDraft } from './clause-runs.js';
import { clauseRuns } from './clause-runs.js';
import { equipmentOf } from './equipment.js';
import { orderRuns, pathEffort } from './order-runs.js';
import { clauseOf, predictRun } from './predict-run.js';
import { setUpOf } from './set-up.js';
import { effortOf } from './set-up-changes.js';
import type { Prediction, TestPlan, TestRun } from './test-run.js';

export interface PlanOptions {
  readonly rule: DecisionRule;
  /** 'worst': the worst found of each clause only; 'sides': that, and the other sides of the cart, each
   * with its castors turned worst. Default: 'sides' */
  readonly directions?: 'worst' | 'sides';
  /** times each run is done, a whole number from 1 on; default 3 where something is read off, 1 where it
   * is done or not */
  readonly repeats?: number;
  /** called before each clause and at the end, with the title of what comes next */
  readonly onProgress?: (done: number, total: number, what: string) => void;
}

/**
 * @param report of this cart against this set, friction as stated
 * @throws RangeError when the report is of another cart or set, or the repeats cannot be
 */
export function planTests(
  cart: Cart,
  set: RequirementSet,
  report: CheckReport,
  options: PlanOptions,
): TestPlan {
  checkInput(cart, set, report, options);
  const { findings } = report;
  const { rule, directions = 'sides', onProgress } = options;
  const asked = findings.map((finding, done) => {
    onProgress?.(done, findings.length, finding.title);
    return { finding, made: clauseRuns(cart, set, finding, directions) };
  });
  onProgress?.(findings.length, findings.length, '');
  const byClause = asked.flatMap(({ finding, made }) =>
    made.kind === 'none'
      ? []
      : made.runs.map((draft, i) => runOf({ cart, set, finding, draft, number: i + 1, options })),
  );
  const effort = (from: number, to: number): number =>
    effortOf(byClause[from] as TestRun, byClause[to] as TestRun);
  const stages = byClause.map((run) => stageOf(run));
  const ordered = orderRuns(stages, effort);
  const runs = ordered.order.map((i) => byClause[i] as TestRun);
  return {
    cart: cart.name,
    requirementSet: set,
    rule,
    runs,
    notTested: asked.flatMap(({ finding: { id, title, requirement }, made }) =>
      made.kind === 'none'
        ? [{ finding: id, clause: requirement.clause, title, reason: made.reason }]
        : [],
    ),
    equipment: equipmentOf(cart, runs, rule),
    changes: {
      planned: ordered.effort,
      byClause: pathEffort(
        byClause.map((_, i) => i),
        effort,
      ),
    },
    cautions: [...report.cautions, ...unconfirmedCautions(set, runs)],
  };
}

function checkInput(
  cart: Cart,
  set: RequirementSet,
  report: CheckReport,
  { repeats }: PlanOptions,
): void {
  if (report.cart !== cart.name || report.requirementSet.id !== set.id) {
    throw new RangeError(
      `planTests: the report is of ${report.cart} against ${report.requirementSet.id}, not of ${cart.name} against ${set.id}`,
    );
  }
  if (repeats !== undefined && (!Number.isInteger(repeats) || repeats < 1)) {
    throw new RangeError(`planTests: repeats are ${repeats}; allowed: a whole number from 1 on`);
  }
}

interface Making {
  readonly cart: Cart;
  readonly set: RequirementSet;
  readonly finding: Finding;
  readonly draft: RunDraft;
  readonly number: number;
  readonly options: PlanOptions;
}

/** Where something is read off, three readings tell a slip of the hand from the cart (common practice). */
const USUAL_REPEATS = 3;

function runOf({ cart, set, finding, draft, number, options }: Making): TestRun {
  const clause = clauseOf(set, finding.id);
  const { loading, pose, governs, purpose } = draft;
  const predicted = predictRun(cart, set, { finding: finding.id, loading, pose });
  const criteria = criteriaOf(clause, loading, predicted);
  const isRead = criteria.some(({ measure }) => measure !== 'outcome');
  const held = isHeld({ criteria });
  return {
    id: `${finding.id}-${number}`,
    finding: finding.id,
    clause: clause.clause,
    title: finding.title,
    asks: clause.asks,
    purpose,
    governs,
    setUp: setUpOf(cart, clause, pose, loading),
    loading,
    pose,
    prediction: governs ? withProof(predicted, finding, clause) : predicted,
    criteria,
    record: recordOf(clause, loading),
    cautions: cautionsOf(loading, held),
    repeats: options.repeats ?? (isRead ? USUAL_REPEATS : 1),
  };
}

/** The worst found carries what is proven of all configurations. */
function withProof(prediction: Prediction, finding: Finding, clause: Clause): Prediction {
  const open = finding.verdict === 'not decided';
  return {
    ...prediction,
    proven: provenOf(finding, clause, prediction),
    verdict: open ? finding.verdict : prediction.verdict,
  };
}

function provenOf({ proof }: Finding, clause: Clause, { capacity }: Prediction): Amount | null {
  if (proof.kind !== 'proven' || capacity === null || clause.question.kind === 'handles')
    return null;
  const { bound } = proof;
  if (!Number.isFinite(bound.value)) return null;
  if (clause.question.kind !== 'castor load') return bound;
  // a scale shows mass, and the factor is in the limit
  const factor = clause.values.find(({ id }) => id === 'factor')?.value ?? 1;
  return { value: bound.value / factor / STANDARD_GRAVITY, dimension: 'mass' };
}

/**
 * The stages of a day, the safe and the harmless first: what is weighed; what is moved or held on its
 * locks; what may tip it; what may damage it. A cart that fell, or a handle that gave way, cannot be
 * weighed or held as it was.
 */
function stageOf({ loading, criteria }: TestRun): number {
  switch (loading.kind) {
    case 'weighing':
      return loading.removed ? 3 : 1;
    case 'propulsion':
      return 2;
    case 'incline':
    case 'push':
      return isHeld({ criteria }) ? 2 : 3;
    case 'press':
      return 3;
    case 'threshold':
    case 'lifting':
      return 4;
  }
}

/** Values that nobody compared with a purchased copy, by clause, of the clauses that are tested. */
export function unconfirmedCautions(
  set: RequirementSet,
  runs: readonly TestRun[],
): readonly string[] {
  const tested = set.clauses.filter(({ id }) => runs.some(({ finding }) => finding === id));
  const lines = tested.flatMap(({ clause, values }) => {
    const open = values.filter(({ confirmation }) => confirmation === null);
    return open.length === 0
      ? []
      : [`${clause}: ${open.map(({ id, text }) => `${id} ${text}`).join(', ')}`];
  });
  if (lines.length === 0) return [];
  return [`Not compared with a purchased copy of the standard: ${lines.join('; ')}.`];
}
