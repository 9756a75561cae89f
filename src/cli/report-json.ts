/** The report as JSON, described by schema/report-1.schema.json: SI values, each beside its unit. */

import type {
  Amount,
  CheckReport,
  Dimension,
  Finding,
  Proof,
  WorkingStep,
  WorstConfiguration,
} from '../analysis/index.js';
import type { Cart } from '../document/index.js';

export const REPORT_SCHEMA = 'standstill/report-1';

export const SI_UNITS: Readonly<Record<Dimension, string>> = {
  angle: 'rad',
  force: 'N',
  speed: 'm/s',
  energy: 'J',
  mass: 'kg',
  length: 'm',
  moment: 'N m',
  ratio: '1',
};

export interface JsonAmount {
  /** 'unlimited' where no finite value bounds it: JSON has no infinity */
  readonly value: number | 'unlimited';
  readonly unit: string;
  readonly dimension: Dimension;
}

export function amountJson({ value, dimension }: Amount): JsonAmount {
  return { value: finite(value), unit: SI_UNITS[dimension], dimension };
}

/** JSON.stringify would write NaN and infinities as null, which means something else here. */
export function finite(value: number): number | 'unlimited' {
  if (value === Number.POSITIVE_INFINITY) return 'unlimited';
  if (!Number.isFinite(value)) throw new Error(`report holds ${value} where a number is due`);
  return value;
}

function optional<T, U>(value: T | null, convert: (value: T) => U): U | null {
  return value === null ? null : convert(value);
}

function worstJson(worst: WorstConfiguration, cart: Cart) {
  const dimensionOf = (name: string): Dimension =>
    cart.movers.find((mover) => mover.name === name)?.kind === 'turn' ? 'angle' : 'length';
  const amounts = (values: Readonly<Record<string, number>>, of: (name: string) => Dimension) =>
    Object.entries(values).map(([name, value]) => ({
      name,
      ...amountJson({ value, dimension: of(name) }),
    }));
  return {
    ...worst,
    movers: amounts(worst.movers, dimensionOf),
    loads: amounts(worst.loads, () => 'mass'),
    swivels: amounts(worst.swivels, () => 'angle'),
  };
}

function proofJson(proof: Proof) {
  return proof.kind === 'proven'
    ? { ...proof, bound: amountJson(proof.bound), gap: amountJson(proof.gap) }
    : proof;
}

function stepJson(step: WorkingStep) {
  return { ...step, value: amountJson(step.value) };
}

function findingJson(finding: Finding, cart: Cart) {
  return {
    ...finding,
    demand: optional(finding.demand, amountJson),
    capacity: optional(finding.capacity, amountJson),
    margin: optional(finding.margin, amountJson),
    worst: optional(finding.worst, (worst) => worstJson(worst, cart)),
    proof: proofJson(finding.proof),
    leastFavourable: optional(finding.leastFavourable, ({ capacity, words }) => ({
      capacity: amountJson(capacity),
      words,
    })),
    working: finding.working.map(stepJson),
  };
}

/** JSON leaves these characters as they are; a terminal would act on them. */
const UNSAFE_IN_JSON = /[\u007f-\u009f\p{Cf}\p{Zl}\p{Zp}]/gu;

function escaped(character: string): string {
  return [...Array(character.length).keys()]
    .map((i) => `\\u${character.charCodeAt(i).toString(16).padStart(4, '0')}`)
    .join('');
}

/** The whole report, ending in a line feed. */
export function reportJson(report: CheckReport, cart: Cart, version: string): string {
  const { requirementSet, verdict, findings, cautions } = report;
  const value = {
    schema: REPORT_SCHEMA,
    standstill: version,
    cart: report.cart,
    units: SI_UNITS,
    requirementSet,
    verdict,
    findings: findings.map((finding) => findingJson(finding, cart)),
    cautions,
  };
  return jsonText(value);
}

/** JSON that any terminal can show, ending in a line feed. */
export function jsonText(value: unknown): string {
  const text = JSON.stringify(
    value,
    (_key, each) => (typeof each === 'number' ? finite(each) : each),
    2,
  );
  return `${text.replace(UNSAFE_IN_JSON, escaped)}\n`;
}
