/** A plan in words and figures, as the page shows it. */

import type { Amount } from '../../../analysis/index.js';
import { amountText, reserveText } from '../../../analysis/index.js';
import type { DecisionRule } from '../../../metrology/index.js';
import type { RequirementSet, RequirementValue } from '../../../requirements/index.js';
import type { PlanOptions, TestPlan, TestRun } from '../../../test-plan/index.js';
import type { UnitSystem } from '../../../units/index.js';

/** A plan form as it is filled in. */
export interface PlanWishes {
  readonly rule: DecisionRule['kind'];
  /** of the guard band, as typed */
  readonly multiple: string;
  /** of shared risk, per cent as typed */
  readonly risk: string;
  readonly directions: NonNullable<PlanOptions['directions']>;
  /** '' : as usual */
  readonly repeats: string;
}

export const USUAL_WISHES: PlanWishes = {
  rule: 'guard band',
  multiple: '1',
  risk: '5',
  directions: 'sides',
  repeats: '',
};

const MOST_REPEATS = 20;
/** Wider, and hardly anything can be decided. */
const MOST_MULTIPLE = 5;

export interface WishesRead {
  /** null: something is wrong with what was typed */
  readonly options: Omit<PlanOptions, 'onProgress'> | null;
  readonly problems: Readonly<Partial<Record<'multiple' | 'risk' | 'repeats', string>>>;
}

/** Nothing is filled in or clamped: what cannot be meant is a problem of its field. */
export function readWishes(wishes: PlanWishes): WishesRead {
  const rule = ruleOf(wishes);
  const repeats = repeatsOf(wishes.repeats);
  const problems = {
    ...(typeof rule === 'string' ? { [RULE_FIELD[wishes.rule]]: rule } : {}),
    ...(typeof repeats === 'string' ? { repeats } : {}),
  };
  if (typeof rule === 'string' || typeof repeats === 'string') return { options: null, problems };
  const { directions } = wishes;
  const options = { rule, directions, ...(repeats === null ? {} : { repeats }) };
  return { options, problems };
}

const RULE_FIELD = {
  'simple acceptance': 'multiple',
  'guard band': 'multiple',
  'shared risk': 'risk',
} as const;

/** The rule, or what is wrong with it. */
export function ruleOf({ rule, multiple, risk }: PlanWishes): DecisionRule | string {
  if (rule === 'simple acceptance') return { kind: rule };
  if (rule === 'guard band') {
    const value = numberOf(multiple);
    return value !== null && value >= 0 && value <= MOST_MULTIPLE
      ? { kind: rule, multiple: value }
      : `${quoted(multiple)}; allowed: a number from 0 to ${MOST_MULTIPLE}, usually 1`;
  }
  const value = numberOf(risk.replace(/\s*%\s*$/, ''));
  return value !== null && value > 0 && value <= 50
    ? { kind: rule, greatestRisk: value / 100 }
    : `${quoted(risk)}; allowed: more than 0 %, at most 50 %`;
}

function repeatsOf(typed: string): number | null | string {
  if (typed.trim() === '') return null;
  const value = numberOf(typed);
  return value !== null && Number.isInteger(value) && value >= 1 && value <= MOST_REPEATS
    ? value
    : `${quoted(typed)}; allowed: a whole number from 1 to ${MOST_REPEATS}, or nothing for the usual`;
}

/** A plain number, with a point or a comma; null: it is none. */
function numberOf(typed: string): number | null {
  const text = typed.trim().replace(',', '.');
  return /^\d+(\.\d+)?$|^\.\d+$/.test(text) ? Number(text) : null;
}

function quoted(typed: string): string {
  return typed.trim() === '' ? 'nothing' : `"${typed.trim()}"`;
}

/** '12 runs. Effort of the set-up changes: 31 in this order, 40 in the order of the clauses.' */
export function orderWords({ runs, changes }: Pick<TestPlan, 'runs' | 'changes'>): string {
  const count = counted(runs.length, 'run');
  const { planned, byClause } = changes;
  const clauses =
    byClause > planned
      ? `${byClause} in the order of the clauses`
      : 'the order of the clauses needs no more';
  return `${count}. Effort of the set-up changes between them: ${planned} in this order, ${clauses}.`;
}

export function counted(count: number, noun: string, plural = `${noun}s`): string {
  return `${count} ${count === 1 ? noun : plural}`;
}

export interface RunFigures {
  /** what the prediction's own figure is called */
  readonly label: string;
  readonly capacity: string | null;
  readonly demandLabel: string;
  readonly demand: string | null;
  /** with its sign; null: none */
  readonly margin: string | null;
  readonly reserve: string | null;
}

/** The figures of a prediction, with what they are called for this kind of run. */
export function figuresOf(run: TestRun, units: UnitSystem): RunFigures {
  const { capacity, demand, margin, reserve } = run.prediction;
  const text = (amount: Amount | null): string | null =>
    amount === null ? null : amountText(amount, units);
  const [label, demandLabel] = FIGURE_LABELS[run.loading.kind];
  return {
    label,
    capacity: text(capacity),
    demandLabel,
    demand: text(demand),
    margin: margin === null ? null : signed(margin, units),
    reserve: reserve === null ? null : reserveText(reserve),
  };
}

/** What the predicted figure and the one it is held against are called. */
const FIGURE_LABELS: Readonly<Record<TestRun['loading']['kind'], readonly [string, string]>> = {
  incline: ['stands up to', 'asked'],
  push: ['stands up to', 'asked'],
  press: ['stands up to', 'asked'],
  propulsion: ['takes', 'allowed'],
  threshold: ['passes up to', 'asked'],
  weighing: ['carries', 'allowed'],
  lifting: ['bears', 'asked'],
};

function signed(amount: Amount, units: UnitSystem): string {
  const text = amountText({ ...amount, value: Math.abs(amount.value) }, units);
  return `${amount.value < 0 ? '-' : '+'}${text}`;
}

export interface ClauseValue {
  readonly clause: string;
  readonly title: string;
  readonly value: RequirementValue;
}

/** Values that the runs of a plan rest on and that nobody compared with a purchased copy. */
export function unconfirmedValues(
  set: RequirementSet,
  runs: readonly Pick<TestRun, 'finding'>[],
): readonly ClauseValue[] {
  const asked = new Set(runs.map(({ finding }) => finding));
  return set.clauses
    .filter(({ id }) => asked.has(id))
    .flatMap(({ clause, title, values }) =>
      values
        .filter(({ confirmation }) => confirmation === null)
        .map((value) => ({ clause, title, value })),
    );
}

export function basisWords({ basis, note }: RequirementValue): string {
  const from = {
    seen: 'seen',
    secondary: 'secondary source',
    'common practice': 'common practice',
    memory: 'from memory',
  }[basis];
  return note === '' ? from : `${from}, ${note}`;
}

/** How often a run was recorded; '' for not yet. */
export function timesWords(times: number): string {
  if (times === 0) return '';
  return times === 1 ? 'recorded' : `recorded ${times} times`;
}
