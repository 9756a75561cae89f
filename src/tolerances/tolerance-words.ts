/** Parts of an assessment of tolerances in words, used by the command line and the page. */

import type { Dimension } from '../analysis/index.js';
import { countText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import { formatQuantity } from '../units/index.js';
import type {
  Effect,
  InputSummary,
  Probability,
  ToleranceFinding,
  ToleranceReport,
} from './tolerance-report.js';

/** A share in per cent, with as many digits as tell it from all and nothing. */
export function percent(share: number): string {
  const rest = Math.min(share, 1 - share);
  const decimals = rest === 0 || rest >= 0.1 ? 1 : rest >= 0.001 ? 2 : 3;
  return `${Number((100 * share).toFixed(decimals))} %`;
}

/** The share of the trials that pass: 'all' and 'none' are counts, not certainties. */
export function passing({ value }: Probability): string {
  if (value === 1) return 'all trials';
  return value === 0 ? 'no trial' : percent(value);
}

/** '82.2 to 85.5 %'; at an end what is left open: '99.91 % or more'. */
export function intervalText({ value, from, to }: Probability): string {
  if (value === 1) return `${percent(from)} or more`;
  if (value === 0) return `${percent(to)} or less`;
  return `${percent(from).replace(' %', '')} to ${percent(to)}`;
}

/** @param unknown findings that cannot be judged */
export function headline(together: Probability, unknown: number): string {
  if (together.value === 0) return 'no trial passes';
  const judged = unknown === 0 ? '' : ' what is judged';
  if (together.value === 1) return `all trials pass${judged}`;
  return `${percent(together.value)} pass ${unknown === 0 ? 'all' : 'what is judged'}`;
}

/** 'all pass', 'none passes', '73.6 % pass' */
export function ofDrawn({ value }: Probability): string {
  if (value === 1) return 'all pass';
  return value === 0 ? 'none passes' : `${percent(value)} pass`;
}

/** An estimate of a share of nothing may come out a little below it. */
export function wholePercent(share: number): string {
  return `${Math.max(0, Math.round(100 * share))} %`;
}

/** What each distribution says of a tolerance. */
export const DISTRIBUTIONS: Readonly<Record<InputSummary['distribution'], string>> = {
  rectangular: 'rectangular: anywhere within the tolerance alike',
  triangular: 'triangular: within the tolerance, more likely near the middle',
  normal: 'normal: the tolerance is two standard uncertainties',
  t: 't: the tolerance is the half-width of the 95 % interval of the mean of the readings stated',
};

/** Inputs that one entry of the file states, such as three coordinates or every stem. */
export function byEntry(inputs: readonly InputSummary[]): readonly (readonly InputSummary[])[] {
  const groups = new Map<string, InputSummary[]>();
  for (const input of inputs) groups.set(input.from, [...(groups.get(input.from) ?? []), input]);
  return [...groups.values()];
}

/**
 * How the probabilities were computed and how far they go, one sentence each.
 *
 * @param advice what to do where the trials did not suffice; put behind a sentence
 */
export function computedTexts(report: ToleranceReport, advice: string): readonly string[] {
  const { convergence, search, rankingRows, inputs } = report;
  const redrawn = inputs.filter((input) => input.redrawn > 0);
  const unranked = inputs.filter(({ ranked }) => !ranked).map(({ name }) => name);
  const unknown = report.findings.filter(({ kind }) => kind === 'not known');
  const sometimes = report.findings.filter(({ kind, applied }) => kind === 'judged' && applied < 1);
  return [
    ...(convergence.kind === 'not converged'
      ? convergence.reasons.map((reason) => `Not converged: ${reason}.${advice}`)
      : []),
    'Inputs are independent of each other. Castors of one type are one batch: what is off is off in all of them alike.',
    `In every trial the worst configuration is taken from those known, not proven; in ${search.trials} trials searched afresh the reserve differed by ${search.difference === 0 ? 'nothing' : `${Number((100 * search.difference).toPrecision(2))} % at most`}.`,
    ...report.notes,
    ...unknown.map(({ id, reason }) => `${id} is not part of the probabilities. ${reason}`),
    ...sometimes.map(
      ({ id, applied }) =>
        `${id} is asked in ${percent(applied)} of the trials; where it is not asked it counts as met.`,
    ),
    ...redrawn.map(
      ({ name, redrawn: count }) =>
        `${name}: ${countText(count)} draws fell where there is no such cart and were drawn again.`,
    ),
    ...(rankingRows > 0
      ? [`Ranking from ${countText(rankingRows)} rows; its intervals are by bootstrap.`]
      : []),
    ...(unranked.length > 0 && rankingRows > 0
      ? [
          `Left out of the ranking, since they moved next to nothing wherever tried: ${unranked.join(', ')}.`,
        ]
      : []),
  ];
}

/** Digits that belong to a standard uncertainty. */
const UNCERTAINTY_DIGITS = 2;

function text(value: number, dimension: Dimension, units: UnitSystem, digits = 4): string {
  if (dimension === 'ratio') return String(Number(value.toPrecision(digits)));
  return formatQuantity(value, dimension, units === 'both' ? 'SI' : units, { digits });
}

function both(value: number, dimension: Dimension, units: UnitSystem, digits = 4): string[] {
  if (units !== 'both' || dimension === 'ratio') return [text(value, dimension, units, digits)];
  const pair = [text(value, dimension, 'SI', digits), text(value, dimension, 'US', digits)];
  return pair[0] === pair[1] ? pair.slice(0, 1) : pair;
}

/** Mean, and standard uncertainty (none where it does not vary), each with a line for each unit system;
 * null: not known. */
export function spreadingTexts(
  finding: ToleranceFinding,
  which: 'demand' | 'capacity',
  units: UnitSystem,
): { readonly mean: readonly string[]; readonly standard: readonly string[] } | null {
  const { dimension } = finding;
  const spreading = finding[which];
  if (spreading === null || dimension === null) return null;
  const { mean, standard } = spreading;
  const known = standard > LEAST_SHOWN * Math.abs(mean);
  const digits = known ? digitsOf(mean, standard) : 4;
  return {
    mean: both(mean, dimension, units, digits),
    standard: known ? both(standard, dimension, units, UNCERTAINTY_DIGITS) : [],
  };
}

/** A mean down to the first digit of its standard uncertainty: what follows is noise of the trials. */
function digitsOf(mean: number, standard: number): number {
  const first = (value: number): number => Math.floor(Math.log10(Math.abs(value)));
  return Math.max(2, Math.min(6, first(mean) - first(standard) + 1));
}

/** Relative: what varies less does not vary. */
const LEAST_SHOWN = 1e-9;

function signed(value: number, dimension: Dimension, units: UnitSystem): string[] {
  const sign = value < 0 ? '-' : '+';
  return both(Math.abs(value), dimension, units, 3).map((each) => `${sign}${each}`);
}

/** A change of a finding with its sign, a line for each unit system. */
export function changeTexts(
  value: number | null,
  other: number | null,
  { dimension, nominal }: ToleranceFinding,
  units: UnitSystem,
): { readonly tone: 'plain' | 'quiet'; readonly texts: readonly string[] } {
  if (value === null || dimension === null) return { tone: 'quiet', texts: ['-'] };
  const least = LEAST_SHOWN * Math.abs(nominal?.capacity ?? 1);
  const small = Math.abs(value) <= Math.max(least, LEAST_BESIDE * Math.abs(other ?? 0));
  if (small) return { tone: 'quiet', texts: ['0'] };
  return { tone: 'plain', texts: signed(value, dimension, units) };
}

/** A change this much smaller than that of the other end is none. */
const LEAST_BESIDE = 1e-3;

/** Tolerance as an engineer writes it: '0.6 +/- 0.1', or what is added to what is asked. */
export function toleranceText(input: InputSummary, units: UnitSystem, plusMinus: string): string {
  const show = (value: number): string =>
    input.dimension === 'ratio'
      ? String(Number(value.toPrecision(4)))
      : formatQuantity(value, input.dimension, units === 'both' ? 'SI' : units);
  const tolerance = `${plusMinus}${show(input.tolerance)}`;
  return input.nominal === null ? tolerance : `${show(input.nominal)} ${tolerance}`;
}

/** A share below this is not told from none by so few rows. */
const LEAST_SHARE = 0.005;

/** Whether an input does enough to a finding to be listed. */
export function hasEffect({ total, low, high }: Effect): boolean {
  if (total !== null) return total.value >= LEAST_SHARE;
  return low !== null && high !== null && (low !== 0 || high !== 0);
}
