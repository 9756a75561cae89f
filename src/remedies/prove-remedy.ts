/**
 * The full check of a changed cart, at the low end of friction, finding by finding. Where the amount
 * passes as found but a proof does not close, the amount is raised and tried again; what is still not
 * proven is never called passing.
 */

import type { CheckOptions, Finding } from '../analysis/index.js';
import { checkCart } from '../analysis/index.js';
import { editCart } from '../document/index.js';
import type { Candidate } from './candidate.js';
import { changesOf, editsOf, further, sizeOf } from './candidate.js';
import { effectsOf } from './effects.js';
import type { Lack } from './proven.js';
import { governingOf, lackOf } from './proven.js';
import type { Remedy } from './remedy.js';
import type { Outlook, Screener } from './screener.js';

export type ProofEffort = NonNullable<CheckOptions['effort']>;

/** All on what is wanted: how far above it the bound could be pushed is not asked here. The boxes are
 * enough for the six castors of the kit trolley where the found value is a tenth above what is wanted. */
export const PROOF_EFFORT: ProofEffort = {
  seed: 1,
  starts: 150,
  followed: 8,
  wanted: 1,
  firstBoxes: 400_000,
  gaps: [],
};

/** What is found is to reach this many times what is wanted, try by try: a proof needs a gap, and at
 * an amount that just passes it may never close. */
const RAISES = [1, 1.03, 1.06, 1.12] as const;
/** Share of the boxes that the proof of a finding gets, try by try: near to what is wanted, a proof
 * that is not done soon will not be done. */
const SHARES = [0.15, 0.4, 1, 1] as const;
/** From this found value on, in multiples of what is wanted, a proof gets all its boxes at once. */
const WIDE_GAP = 1.08;
/** Tries at most, over all findings. */
const TRIES = 8;

export function proveRemedy(screener: Screener, candidate: Candidate, effort: ProofEffort): Remedy {
  const raised = new Map<string, number>();
  const tries = new Map<string, number>();
  let current = candidate;
  for (let i = 0; i < TRIES; i++) {
    const { findings, lack } = attempt(screener, current, effort, tries);
    if (lack === null) return remedyOf(screener, current, candidate, findings, []);
    const next = (tries.get(lack.id) ?? 0) + 1;
    tries.set(lack.id, next);
    const times = timesAt(screener, lack, next);
    if (times === null || isOutOfReach(lack, current, next)) break;
    raised.set(lack.id, (1 + screener.goal.margin) * times);
    const moved = further(screener.towards(raised), current, [...raised.keys()]);
    if (moved === null) break;
    current = moved;
  }
  const { findings, lacks } = checkAtLow(screener, candidate, effort);
  return remedyOf(screener, candidate, candidate, findings, lacks);
}

/** How much more than wanted is asked of what lacks its proof. A proof of holding closes on more boxes
 * and a wider gap; the bounds of the other questions are what they are, and have to be made up for.
 * null: tried often enough. */
export function timesAt(
  { set }: Screener,
  { id, found, proven }: Lack,
  tries: number,
): number | null {
  const times = RAISES[tries];
  if (times === undefined) return null;
  const question = set.clauses.find((each) => each.id === id)?.question.kind ?? '';
  const isHolding = question.startsWith('holding');
  if (isHolding || found === null || proven === null || proven <= 0) return times;
  return Math.max(times, (found / proven) * LOOSE);
}

/** The gap of a loose bound grows a little with the amount. */
const LOOSE = 1.01;

/** Without an amount there is nothing to raise; and where all its boxes showed nothing at all, a
 * little more of the amount will not help the proof. */
function isOutOfReach({ proven }: Lack, { levers }: Candidate, tries: number): boolean {
  if (levers.every(({ count }) => count === 1)) return true;
  return (SHARES[tries - 1] ?? 1) === 1 && (proven === null || proven === 0);
}

/** Every finding of the cart, or of the changed cart, and what is not shown of it. */
export function checkAtLow(
  screener: Screener,
  candidate: Candidate | null,
  effort: ProofEffort,
): { readonly findings: readonly Finding[]; readonly lacks: readonly Lack[] } {
  const { set, goal, notJudged } = screener;
  const check = checker(screener, candidate);
  const findings = set.clauses.map(({ id }) => check(id, effort));
  const lacks = findings
    .map((finding) => lackOf(finding, findings, set, goal.margin, notJudged))
    .filter((lack) => lack !== null);
  return { findings, lacks };
}

/** Checks one finding at a time: as a check of all of them would. */
function checker({ cart, set, goal }: Screener, candidate: Candidate | null) {
  const changed = candidate === null ? cart : editCart(cart, editsOf(cart, candidate));
  return (id: string, effort: ProofEffort): Finding => {
    const options = { friction: 'low', margin: goal.margin, effort, only: id } as const;
    const [finding] = checkCart(changed, set, options).findings;
    if (finding === undefined) throw new Error(`checkCart: no finding ${id}`);
    return finding;
  };
}

/** The thinnest first, up to the first that lacks its proof. */
function attempt(
  screener: Screener,
  candidate: Candidate,
  effort: ProofEffort,
  tries: ReadonlyMap<string, number>,
): { readonly findings: readonly Finding[]; readonly lack: Lack | null } {
  const { set, goal, notJudged } = screener;
  const check = checker(screener, candidate);
  const found: Finding[] = [];
  const reserves = new Map(candidate.outlook.findings.map(({ id, reserve }) => [id, reserve]));
  const reserveOf = (id: string): number => reserves.get(id) ?? Number.POSITIVE_INFINITY;
  for (const id of thinnestFirst(screener, candidate.outlook)) {
    const wide = reserveOf(id) >= (1 + goal.margin) * WIDE_GAP;
    const fixed = candidate.levers.every(({ count }) => count === 1);
    const share = wide || fixed ? 1 : (SHARES[tries.get(id) ?? 0] ?? 1);
    const finding = check(id, { ...effort, firstBoxes: Math.round(effort.firstBoxes * share) });
    found.push(finding);
    const lack = lackOf(finding, found, set, goal.margin, notJudged);
    // the clause that may be met instead comes right after it, and may make up for it
    if (lack !== null && !isMadeUpFor(screener, id, found, check, effort))
      return { findings: found, lack };
  }
  const order = new Map(set.clauses.map(({ id }, i) => [id, i]));
  const findings = found.toSorted((p, q) => (order.get(p.id) ?? 0) - (order.get(q.id) ?? 0));
  return { findings, lack: null };
}

function isMadeUpFor(
  { set, goal, notJudged }: Screener,
  id: string,
  found: readonly Finding[],
  check: (id: string, effort: ProofEffort) => Finding,
  effort: ProofEffort,
): boolean {
  const alternative = set.clauses.find((each) => each.id === id)?.alternative ?? null;
  const own = found.find((each) => each.id === id);
  if (alternative === null || own === undefined) return false;
  const both = [own, check(alternative, effort)];
  return lackOf(own, both, set, goal.margin, notJudged) === null;
}

function thinnestFirst({ set }: Screener, { findings }: Outlook): readonly string[] {
  const reserves = new Map(findings.map(({ id, reserve }) => [id, reserve]));
  const reserveOf = (id: string): number => reserves.get(id) ?? Number.POSITIVE_INFINITY;
  return set.clauses.map(({ id }) => id).toSorted((p, q) => order(reserveOf(p), reserveOf(q)));
}

/** Two without limit are alike. */
function order(p: number, q: number): number {
  return p === q ? 0 : p - q;
}

function remedyOf(
  screener: Screener,
  candidate: Candidate,
  first: Candidate,
  findings: readonly Finding[],
  lacks: readonly Lack[],
): Remedy {
  return {
    changes: changesOf(candidate),
    edits: editsOf(screener.cart, candidate),
    foundFrom: changesOf(first).map(({ amount }) => amount),
    size: sizeOf(candidate),
    proof:
      lacks.length === 0
        ? { kind: 'proven' }
        : { kind: 'found only', reasons: lacks.map(({ title, reason }) => `${title}: ${reason}`) },
    effects: effectsOf(screener.base, findings, screener.set),
    governs: governingOf(findings, screener.set),
    findings,
  };
}
