/** The findings of an assessment, from what the trials counted. */

import type { SobolIndex } from '../chance/index.js';
import { probabilityOf } from '../chance/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import type { EndEffects } from './effects.js';
import type { Input } from './inputs.js';
import type { Judged } from './judge.js';
import type { Run, Sums, Tally } from './run-trials.js';
import type { Effect, Spreading, ToleranceFinding } from './tolerance-report.js';

export interface Described {
  readonly set: RequirementSet;
  readonly inputs: readonly Input[];
  readonly nominal: readonly (Judged | null)[];
  readonly run: Run;
  readonly effects: readonly EndEffects[];
  /** indices of the inputs that were ranked */
  readonly ranked: readonly number[];
  /** indices of the findings that they were ranked for */
  readonly varying: readonly number[];
  /** by the latter, then by the former */
  readonly indices: readonly (readonly SobolIndex[] | null)[];
}

export function describeFindings(described: Described): readonly ToleranceFinding[] {
  return described.set.clauses.map((clause, k) => findingOf(described, clause, k));
}

function findingOf(described: Described, clause: Clause, k: number): ToleranceFinding {
  const tally = described.run.tallies[k];
  if (tally === undefined) throw new Error(`describeFindings: no tally of ${clause.id}`);
  const { trials } = described.run;
  const nominal = described.nominal[k] ?? null;
  const kind = kindOf(tally);
  return {
    id: clause.id,
    clause: clause.clause,
    title: clause.title,
    kind,
    reason: nominal?.reason ?? '',
    probability: kind === 'not known' ? null : probabilityOf(tally.passed, trials),
    applied: tally.applied / trials,
    dimension: nominal?.dimension ?? null,
    nominal: nominalOf(nominal),
    demand: spreadingOf(tally.demand),
    capacity: spreadingOf(tally.capacity),
    reserve: tally.blocks === 0 ? null : tally.reserve.estimate(),
    effects: kind === 'judged' ? effectsOf(described, k) : [],
  };
}

function kindOf({ applied, unknown }: Tally): ToleranceFinding['kind'] {
  if (unknown > 0) return 'not known';
  return applied === 0 ? 'never asked' : 'judged';
}

function nominalOf(nominal: Judged | null): ToleranceFinding['nominal'] {
  if (nominal === null) return null;
  const { demand, capacity, reserve } = nominal;
  if (demand === null || capacity === null || reserve === null) return null;
  return { demand, capacity, reserve };
}

function spreadingOf({ count, mean, squares, unlimited }: Sums): Spreading | null {
  if (count < 2 || unlimited > 0) return null;
  return { mean, standard: Math.sqrt(squares / (count - 1)) };
}

function effectsOf(described: Described, k: number): readonly Effect[] {
  const { inputs, effects, ranked, varying, indices } = described;
  const ofFinding = indices[varying.indexOf(k)] ?? null;
  const all = inputs.map(({ name }, i): Effect => {
    const index = ofFinding?.[ranked.indexOf(i)] ?? null;
    const { main = null, total = null } = index ?? {};
    const ends = { low: effects[i]?.low[k] ?? null, high: effects[i]?.high[k] ?? null };
    return { input: name, ...ends, main, total };
  });
  const size = ({ low, high }: Effect): number => Math.max(Math.abs(low ?? 0), Math.abs(high ?? 0));
  return all.toSorted((p, q) => (q.total?.value ?? 0) - (p.total?.value ?? 0) || size(q) - size(p));
}
