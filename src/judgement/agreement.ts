/**
 * Question: do prediction and measurement of a run agree, and if not, what does it say?
 *
 *   E_n = (x - X) / sqrt(U(x)^2 + U(X)^2)
 *
 * x measured, X predicted, U their expanded uncertainties (95.45 %). |E_n| <= 1: they agree (ISO/IEC
 * 17043:2010, B.3.1.3, and ISO 13528:2022, 9.7; from memory). X is what the model expects, at the middle
 * of the stated friction: a check takes the low end of a measured one.
 */

import { quantityText } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type { Budget } from '../metrology/index.js';
import { expanded } from '../metrology/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Prediction, TestRun } from '../test-plan/index.js';
import { loadDimension } from '../test-record/index.js';
import type { Explanation } from './explanation.js';
import { explanationsOf } from './explanation.js';
import type { RunJudgement } from './judge-run.js';
import { expectedCapacity } from './predicted.js';

export interface Agreement {
  /** what the model expects, with what the cart's tolerances make of it */
  readonly predicted: Budget;
  readonly measured: Budget;
  /** true: it stood that load, and its capacity is more */
  readonly isBound: boolean;
  /** measured - predicted */
  readonly difference: number;
  /** |difference| over the expanded uncertainties together (|E_n| of ISO/IEC 17043): above 1 they
   * disagree; Infinity: they differ, and neither has any uncertainty */
  readonly normalised: number;
  readonly says:
    | 'agree'
    | 'holds more'
    | 'holds less'
    /** of a force to move or the load of a castor */
    | 'more than predicted'
    | 'less than predicted';
  /** what it would take for the model to give what was measured, likeliest first; none where they agree */
  readonly causes: readonly Explanation[];
  readonly remarks: readonly string[];
}

/**
 * null: nothing was predicted or measured, or it stood without giving way up to less than predicted, which
 * says nothing; one that stood beyond its prediction disagrees all the same.
 *
 * @param cart that the prediction is of: as planned, or as measured
 * @throws RangeError when the run is not of this cart and set
 */
export function agreementOf(
  cart: Cart,
  set: RequirementSet,
  run: TestRun,
  prediction: Prediction,
  judgement: RunJudgement,
): Agreement | null {
  const what = comparableOf(run, prediction, judgement);
  if (what === null) return null;
  const { measured, isBound, ofLoad } = what;
  const predicted = expectedCapacity(cart, set, run);
  if (predicted === null || (isBound && measured.value <= predicted.value)) return null;
  const difference = measured.value - predicted.value;
  const normalised = normalisedError(measured, predicted);
  const agrees = normalised <= 1;
  return {
    predicted,
    measured,
    isBound,
    difference,
    normalised,
    says: agrees ? 'agree' : wordsOf(difference, ofLoad),
    causes: agrees ? [] : explanationsOf(cart, set, run, measured, predicted, judgement.seen),
    remarks: remarksOf(predicted, judgement),
  };
}

/** |E_n|; 0 where both are the same without uncertainty */
export function normalisedError(measured: Budget, predicted: Budget): number {
  const difference = Math.abs(measured.value - predicted.value);
  const together = Math.hypot(expanded(measured).U, expanded(predicted).U);
  return difference === 0 ? 0 : difference / together;
}

interface Comparable {
  readonly measured: Budget;
  readonly isBound: boolean;
  /** a load held; else a value read */
  readonly ofLoad: boolean;
}

function comparableOf(
  run: TestRun,
  { capacity }: Prediction,
  { gaveWayAt, stoodAt, valueFound }: RunJudgement,
): Comparable | null {
  if (capacity === null) return null;
  if (valueFound !== null) return { measured: valueFound, isBound: false, ofLoad: false };
  // a threshold is predicted as a speed, a missing castor as a distance: no load is measured there
  if (loadDimension(run.loading) !== capacity.dimension) return null;
  if (gaveWayAt !== null) return { measured: gaveWayAt, isBound: false, ofLoad: true };
  return stoodAt === null ? null : { measured: stoodAt, isBound: true, ofLoad: true };
}

function wordsOf(difference: number, ofLoad: boolean): Agreement['says'] {
  if (ofLoad) return difference > 0 ? 'holds more' : 'holds less';
  return difference > 0 ? 'more than predicted' : 'less than predicted';
}

function remarksOf(predicted: Budget, { uncertaintyKnown }: RunJudgement): readonly string[] {
  const remarks: string[] = [];
  if (predicted.u === 0) {
    remarks.push(
      'The cart file states no tolerance that matters here: the prediction is taken as exact.',
    );
  }
  if (!uncertaintyKnown) {
    remarks.push(
      'The uncertainty of the measurement is not all known: they may agree although it says that they do not.',
    );
  }
  return remarks;
}

export interface CommonCause {
  readonly cause: Explanation['cause'];
  readonly words: string;
  /** what would have to be what in all of them; null: nothing in common */
  readonly quantity: Explanation['quantity'];
  /** null: nothing in common, or a change of what is stated otherwise from run to run */
  readonly value: number | null;
  /** of what is stated; null: nothing in common, or nothing is stated */
  readonly change: number | null;
}

/** What all runs together say: one cause that explains most of them. */
export function agreementInAll(
  agreements: readonly { readonly run: TestRun; readonly agreement: Agreement }[],
): CommonCause {
  const away = agreements.filter(({ agreement }) => agreement.says !== 'agree');
  const none = { cause: 'none', quantity: null, value: null, change: null } as const;
  if (agreements.length === 0) return { ...none, words: 'Nothing could be compared.' };
  if (away.length === 0) {
    return {
      ...none,
      words: `Prediction and measurement agree in ${allOf(agreements.length)}.`,
    };
  }
  const common = QUANTITIES.map((quantity) => commonOf(quantity, away)).filter(
    (each) => each !== null,
  );
  const [first, ...rest] = common;
  if (first === undefined) {
    return {
      ...none,
      words: `${aCount(away.length)} disagree, and nothing explains them together.`,
    };
  }
  const best = rest.reduce((p, q) => (isBetter(q, p) ? q : p), first);
  const explains =
    best.runs === away.length
      ? `${allOf(away.length)} that ${away.length === 1 ? 'disagrees' : 'disagree'}`
      : `${best.runs} of the ${countOf(away.length)} that disagree`;
  const words = `${best.words} would explain ${explains}; ${agreeing(agreements.length - away.length)} as predicted.`;
  const { cause, quantity, value, change } = best;
  return { cause, quantity, value, change, words };
}

const countOf = (n: number): string => `${n} run${n === 1 ? '' : 's'}`;
const allOf = (n: number): string => (n === 1 ? 'the one run' : `all ${n} runs`);
const agreeing = (n: number): string =>
  n === 0 ? 'none agrees' : `${n} ${n === 1 ? 'agrees' : 'agree'}`;
const aCount = (n: number): string => `${n} run${n === 1 ? '' : 's'}`;

type Quantity = NonNullable<Explanation['quantity']>;

/** In the order in which they are believed where they explain as many. */
const QUANTITIES: readonly Quantity[] = [
  'friction coefficient',
  'height of the centre of mass',
  'place of the centre of mass',
  'mass',
  'brake torque',
  'swivel moment',
  'rolling length',
];

interface Common {
  readonly cause: Explanation['cause'];
  readonly quantity: Quantity;
  readonly runs: number;
  readonly value: number | null;
  readonly change: number | null;
  readonly words: string;
  /** mean rank among the causes of each run: 0 is always the likeliest */
  readonly rank: number;
}

function isBetter(a: Common, b: Common): boolean {
  return a.runs === b.runs ? a.rank < b.rank : a.runs > b.runs;
}

interface Single {
  readonly explanation: Explanation & { readonly value: number };
  /** what can be the same in all runs: the value, or its change */
  readonly at: number;
  readonly rank: number;
}

/** Height and mass of the cart are others in each position and with each load: what is wrong with the parts
 * changes them by the same. */
const BY_CHANGE: readonly Quantity[] = ['height of the centre of mass', 'mass'];

/** The values (or changes) that one quantity needs in each run, as far as they are the same within what they
 * are known to; null: it explains no run. */
function commonOf(
  quantity: Quantity,
  away: readonly { readonly agreement: Agreement }[],
): Common | null {
  const singles = away.flatMap(({ agreement }): Single[] =>
    agreement.causes.flatMap((explanation, rank) => {
      const { value } = explanation;
      const is = explanation.quantity === quantity && value !== null;
      if (!is) return [];
      const single = { ...explanation, value };
      const at = BY_CHANGE.includes(quantity) ? changeIn(single) : value;
      return [{ explanation: single, at, rank }];
    }),
  );
  const alike = largestAlike(singles);
  const [first] = alike;
  if (first === undefined) return null;
  const mean = (of: (single: Single) => number): number =>
    alike.reduce((sum, single) => sum + of(single), 0) / alike.length;
  const { cause, stated } = first.explanation;
  const isOne = alike.every(({ explanation }) => isSame(explanation.stated, stated));
  const value = mean(({ explanation }) => explanation.value);
  const change = stated === null ? null : mean((each) => changeIn(each.explanation));
  const byChange = !isOne && BY_CHANGE.includes(quantity);
  return {
    cause,
    quantity,
    runs: alike.length,
    value: byChange ? null : value,
    change,
    words: byChange
      ? changeSentence(
          quantity,
          mean(({ at }) => at),
        )
      : sentenceOf(quantity, value, first.explanation),
    rank: mean(({ rank }) => rank),
  };
}

function changeIn({ value, stated }: Single['explanation']): number {
  return value - (stated ?? 0);
}

/** m or kg, by which the same thing differs where it is worked out for two set-ups: rounding. */
const SAME_STATED = 1e-9;

function isSame(a: number | null, b: number | null): boolean {
  return a === b || (a !== null && b !== null && Math.abs(a - b) <= SAME_STATED);
}

function changeSentence(quantity: Quantity, change: number): string {
  if (quantity === 'mass') {
    const by = quantityText(Math.abs(change), 'mass', 'SI');
    return `A mass ${by} ${change > 0 ? 'greater' : 'less'}`;
  }
  const by = quantityText(Math.abs(change), 'length', 'SI');
  return `A centre of mass ${by} ${change > 0 ? 'higher' : 'lower'}`;
}

/** The most values that lie together: each within twice its standard uncertainty (or 10 % of the change)
 * of the one in the middle, and of their weighted mean: one that is hardly known is near to all others, and
 * does not make them near to each other. */
function largestAlike(singles: readonly Single[]): readonly Single[] {
  const near = (middle: Single): readonly Single[] =>
    singles.filter(({ explanation, at }) => {
      const u = Math.hypot(explanation.u ?? 0, middle.explanation.u ?? 0);
      const room = Math.max(2 * u, 0.1 * Math.abs(changeIn(explanation)));
      return Math.abs(at - middle.at) <= room;
    });
  const together = singles.map((middle) => nearTheirMean(near(middle)));
  return together.reduce((p, q) => (q.length > p.length ? q : p), []);
}

function nearTheirMean(group: readonly Single[]): readonly Single[] {
  const weights = group.map(({ explanation: { u } }) => (u ?? 0) ** -2);
  const isWeighted = weights.every(Number.isFinite);
  const weight = (i: number): number => (isWeighted ? (weights[i] ?? 0) : 1);
  const sum = group.reduce((total, { at }, i) => total + weight(i) * at, 0);
  const mean = sum / group.reduce((total, _, i) => total + weight(i), 0);
  return group.filter(({ explanation, at }) => {
    const room = Math.max(2 * (explanation.u ?? 0), 0.1 * Math.abs(changeIn(explanation)));
    return Math.abs(at - mean) <= room;
  });
}

function sentenceOf(quantity: Quantity, value: number, { stated }: Explanation): string {
  const text = (of: number): string => {
    switch (quantity) {
      case 'friction coefficient':
        return of.toFixed(2);
      case 'mass':
        return quantityText(of, 'mass', 'SI');
      case 'brake torque':
      case 'swivel moment':
        return quantityText(of, 'moment', 'SI');
      default:
        return quantityText(of, 'length', 'SI');
    }
  };
  if (quantity === 'place of the centre of mass') {
    return `A centre of mass ${text(Math.abs(value))} ${value > 0 ? 'nearer to' : 'farther from'} the side it goes to`;
  }
  const article = `A ${quantity} of ${text(value)}`;
  return stated === null ? article : `${article} instead of ${text(stated)}`;
}
