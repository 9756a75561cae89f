/**
 * How sure is it that a cart passes, given the tolerances that its file states?
 *
 * Every trial draws a cart and a test from the tolerances and asks every finding of it (JCGM 101:2008).
 * Trials go on in blocks until the probabilities and the reserves are known well enough, or the
 * trials are spent. A seed makes two runs bit for bit equal, and each input has its own stream.
 */

import { CAUTIONS } from '../analysis/index.js';
import type { Digits } from '../chance/index.js';
import { probabilityOf } from '../chance/index.js';
import type { Cart } from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';
import { describeFindings } from './describe.js';
import { endEffects, movingInputs } from './effects.js';
import { inputsOf } from './inputs.js';
import type { Judge } from './judge.js';
import { judgeOf } from './judge.js';
import { rankInputs } from './ranking.js';
import type { Drawers } from './run-trials.js';
import { drawersOf, LEAST_VALUES, rowsOf, runTrials } from './run-trials.js';
import type { ToleranceReport, ToleranceResult } from './tolerance-report.js';

export interface ToleranceOptions {
  /** half-width wanted of the 95 % interval of every probability, 0 < precision < 0.5 */
  readonly precision?: number;
  /** whole, 0 or more */
  readonly seed?: number;
  /** trials at most, 80 or more: the run ends with the last block within it */
  readonly mostTrials?: number;
  /** trials of a block, at least 40; half of the trials at most where these are fewer */
  readonly block?: number;
  /** significant digits of the standard uncertainty of a reserve that are to stand */
  readonly digits?: Digits;
  /** rows of the ranking; 0: none */
  readonly rankingRows?: number;
  /** done and total of what is being done, and what that is */
  readonly onProgress?: (done: number, total: number, what: string) => void;
}

/**
 * 2000 trials a block: 100 / (1 - 0.95), so that 50 lie beyond each end of the 95 % interval. That is
 * the rule of JCGM 101:2008, 7.9.4 b without its floor of 10^4 trials, which is meant for models that
 * cost nothing; here a trial is a search over configurations and costs milliseconds. One digit of the
 * uncertainty, since tolerances are stated to one or two.
 */
export const TOLERANCE_DEFAULTS = {
  precision: 0.01,
  seed: 1,
  mostTrials: 20_000,
  block: 2000,
  digits: 1,
  rankingRows: 200,
} as const satisfies ToleranceOptions;

/** Drawn carts whose worst configurations every trial tries: fewer miss some, as measured in
 * docs/theory/tolerances.md. */
const VARIANTS = 16;

/** Trials in which the quick judgement is held against a fresh search. */
const COMPARED = 10;

export function assessTolerances(
  cart: Cart,
  set: RequirementSet,
  options: ToleranceOptions = {},
): ToleranceResult {
  const inputs = inputsOf(cart, set);
  if (inputs.length === 0) return { kind: 'nothing stated', cart: cart.name };
  const asked = { ...TOLERANCE_DEFAULTS, onProgress: () => {}, ...options };
  // two blocks at least say how steady the figures are
  const block = Math.max(LEAST_VALUES, Math.min(asked.block, Math.floor(asked.mostTrials / 2)));
  const wishes = { ...asked, block };
  const { seed, onProgress } = wishes;
  onProgress(0, 1, 'searching the worst configurations');
  const variants = drawersOf(inputs, seed, 'variants');
  const judge = judgeOf(cart, set, inputs, rowsOf(variants, VARIANTS), seed);
  const nominal = judge.judge(new Float64Array(inputs.length));
  const run = runTrials(judge, set, inputs, wishes);
  onProgress(0, 1, 'changing one input at a time');
  const effects = endEffects(judge, set, inputs, nominal);
  const moving = movingInputs(judge, inputs, nominal, drawersOf(inputs, seed, 'screening'));
  const ranked = inputs.flatMap((_, i) => (moving[i] ? [i] : []));
  const varying = set.clauses.flatMap((_, k) => (run.tallies[k]?.varies ? [k] : []));
  const rows = ranked.length === 0 || varying.length === 0 ? 0 : wishes.rankingRows;
  const ids = varying.flatMap((k) => set.clauses[k]?.id ?? []);
  const indices =
    rows === 0
      ? []
      : rankInputs(judge.only(ids), inputs, ranked, varying, rows, seed, (row) =>
          onProgress(row, rows, 'ranking the inputs'),
        );
  const findings = describeFindings({
    set,
    inputs,
    nominal,
    run,
    effects,
    ranked,
    varying,
    indices,
  });
  const report: ToleranceReport = {
    cart: cart.name,
    requirementSet: { id: set.id, title: set.title },
    inputs: inputs.map(
      ({ name, dimension, nominal: value, tolerance, distribution, standard, from }, i) => ({
        ...{ name, dimension, nominal: value, tolerance, distribution, standard, from },
        redrawn: run.redrawn[i] ?? 0,
        ranked: moving[i] ?? false,
      }),
    ),
    findings,
    governing: governingOf(findings),
    together: run.judged ? probabilityOf(run.together, run.trials) : null,
    trials: run.trials,
    seed,
    precision: wishes.precision,
    convergence: run.convergence,
    rankingRows: rows,
    search: comparedWithFresh(judge, drawersOf(inputs, seed, 'comparison')),
    notes: alternativeNotes(set, findings),
    cautions: CAUTIONS,
  };
  return { kind: 'assessed', report };
}

/** A reserve that is not the finding's own must not read as if it were. */
function alternativeNotes(
  set: RequirementSet,
  findings: ToleranceReport['findings'],
): readonly string[] {
  const judged = new Set(findings.flatMap(({ kind, id }) => (kind === 'judged' ? [id] : [])));
  return set.clauses.flatMap(({ id, alternative }) =>
    alternative !== null && judged.has(id)
      ? [
          `${id} may be met by ${alternative} instead: in every trial the greater reserve of the two counts; demand and capacity shown are its own.`,
        ]
      : [],
  );
}

function governingOf(findings: ToleranceReport['findings']): string | null {
  const judged = findings.flatMap((each) =>
    each.kind === 'judged' && each.probability !== null
      ? [{ each, p: each.probability.value }]
      : [],
  );
  const low = ({ each }: (typeof judged)[number]): number =>
    each.reserve?.symmetric.from ?? Number.POSITIVE_INFINITY;
  const [first, ...others] = judged;
  if (first === undefined) return null;
  return others.reduce(
    (worst, next) =>
      next.p < worst.p || (next.p === worst.p && low(next) < low(worst)) ? next : worst,
    first,
  ).each.id;
}

/** Greatest relative difference of a finite reserve. */
function comparedWithFresh(judge: Judge, drawers: Drawers): ToleranceReport['search'] {
  const differences = rowsOf(drawers, COMPARED).flatMap((offsets) => {
    const fresh = judge.afresh(offsets);
    return judge.judge(offsets).map((quick, k) => {
      const [p, q] = [quick?.reserve ?? null, fresh[k]?.reserve ?? null];
      if (p === null || q === null || !Number.isFinite(p) || !(q > 0)) return 0;
      return Math.abs(p / q - 1);
    });
  });
  return { trials: COMPARED, difference: Math.max(0, ...differences) };
}
