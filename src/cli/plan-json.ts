/** A test plan as JSON, described by schema/plan-1.schema.json: SI values, each beside its unit. */

import type { Amount } from '../analysis/index.js';
import type { Criterion, Equipment, TestPlan, TestRun } from '../test-plan/index.js';
import { changesBetween, runWords } from '../test-plan/index.js';
import type { JsonAmount } from './report-json.js';
import { amountJson, jsonText, SI_UNITS } from './report-json.js';

export const PLAN_SCHEMA = 'standstill/plan-1';

function optional(amount: Amount | null): JsonAmount | null {
  return amount === null ? null : amountJson(amount);
}

function setUpJson({ setUp: { movers, turning, loads, ...setUp } }: TestRun) {
  return {
    ...setUp,
    movers: Object.entries(movers).map(([name, value]) => ({
      name,
      ...amountJson({ value, dimension: turning.includes(name) ? 'angle' : 'length' }),
    })),
    loads: Object.entries(loads).map(([name, value]) => ({
      name,
      ...amountJson({ value, dimension: 'mass' }),
    })),
  };
}

function criterionJson({ limit, ...criterion }: Criterion) {
  return { ...criterion, limit: optional(limit) };
}

function runJson(run: TestRun, before: TestRun | null) {
  const { prediction, criteria, pose: _, setUp: __, ...rest } = run;
  const { capacity, demand, margin, proven } = prediction;
  return {
    ...rest,
    setUp: setUpJson(run),
    changes: changesBetween(before, run, 'SI'),
    steps: runWords(run, 'SI').steps,
    prediction: {
      ...prediction,
      capacity: optional(capacity),
      demand: optional(demand),
      margin: optional(margin),
      proven: optional(proven),
    },
    criteria: criteria.map(criterionJson),
  };
}

function equipmentJson({ from, to, resolution, uncertainty, ...rest }: Equipment) {
  return {
    ...rest,
    from: optional(from),
    to: optional(to),
    resolution: optional(resolution),
    uncertainty: optional(uncertainty),
  };
}

export function planJson(plan: TestPlan, version: string): string {
  const { id, title } = plan.requirementSet;
  return jsonText({
    schema: PLAN_SCHEMA,
    standstill: version,
    cart: plan.cart,
    units: SI_UNITS,
    requirementSet: { id, title },
    rule: plan.rule,
    runs: plan.runs.map((run, i) => runJson(run, plan.runs[i - 1] ?? null)),
    notTested: plan.notTested,
    equipment: plan.equipment.map(equipmentJson),
    changes: plan.changes,
    cautions: plan.cautions,
  });
}
