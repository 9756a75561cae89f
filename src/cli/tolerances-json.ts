/** The assessment of tolerances as JSON, described by schema/tolerances-1.schema.json: SI values, each
 * beside its unit. */

import type { Dimension } from '../analysis/index.js';
import type {
  Effect,
  InputSummary,
  Spreading,
  ToleranceFinding,
  ToleranceReport,
} from '../tolerances/index.js';
import { amountJson, jsonText, SI_UNITS } from './report-json.js';

export const TOLERANCES_SCHEMA = 'standstill/tolerances-1';

const UNITS = { ...SI_UNITS, stiffness: 'N/m' } as const;

function inputJson({ nominal, tolerance, standard, dimension, ...input }: InputSummary) {
  const amount = (value: number) => ({
    value,
    unit: UNITS[dimension as keyof typeof UNITS],
    dimension,
  });
  return {
    ...input,
    dimension,
    nominal: nominal === null ? null : amount(nominal),
    tolerance: amount(tolerance),
    standard: amount(standard),
  };
}

function findingJson(finding: ToleranceFinding) {
  const { nominal, demand, capacity, effects, dimension, ...rest } = finding;
  const amount = (value: number) => amountJson({ value, dimension: dimension ?? 'ratio' });
  return {
    ...rest,
    nominal: nominal && {
      demand: amount(nominal.demand),
      capacity: amount(nominal.capacity),
      reserve: amountJson({ value: nominal.reserve, dimension: 'ratio' }),
    },
    demand: spreadingJson(demand, dimension),
    capacity: spreadingJson(capacity, dimension),
    effects: effects.map((effect) => effectJson(effect, dimension)),
  };
}

function spreadingJson(spreading: Spreading | null, dimension: Dimension | null) {
  if (spreading === null || dimension === null) return null;
  const { mean, standard } = spreading;
  return {
    mean: amountJson({ value: mean, dimension }),
    standard: amountJson({ value: standard, dimension }),
  };
}

function effectJson({ low, high, ...effect }: Effect, dimension: Dimension | null) {
  const change = (value: number | null) =>
    value === null || dimension === null ? null : amountJson({ value, dimension });
  return { ...effect, low: change(low), high: change(high) };
}

/** The whole report, ending in a line feed. */
export function tolerancesJson(report: ToleranceReport, version: string): string {
  return jsonText({
    schema: TOLERANCES_SCHEMA,
    standstill: version,
    units: UNITS,
    ...report,
    inputs: report.inputs.map(inputJson),
    findings: report.findings.map(findingJson),
  });
}
