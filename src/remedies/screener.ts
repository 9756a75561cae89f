/** A cart with changes, judged quickly against the goal: found, not proven. */

import type { ScreenEffort, ScreenedFinding, ScreenHints } from '../analysis/index.js';
import { SCREEN_EFFORT, screenCart } from '../analysis/index.js';
import type { Cart, CartEdit } from '../document/index.js';
import { editCart } from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';

/** What every finding is to reach. */
export interface Goal {
  /** share of what is asked that is wanted on top */
  readonly margin: number;
  /** reserves to reach instead of 1 + margin, by id: where a proof did not close at that */
  readonly raised: ReadonlyMap<string, number>;
}

export interface Outlook {
  readonly findings: readonly ScreenedFinding[];
  /** least reserve over what is to be reached, of the findings judged: 1 passes */
  readonly score: number;
  /** the finding with it; null: none is asked */
  readonly governs: ScreenedFinding | null;
}

export interface Screener {
  readonly cart: Cart;
  readonly set: RequirementSet;
  readonly goal: Goal;
  /** the cart as it is */
  readonly base: Outlook;
  /** ids of the findings that apply to the cart as it is and cannot be computed */
  readonly notJudged: ReadonlySet<string>;
  /** the findings named, searched from known worst configurations */
  readonly quick: (edits: readonly CartEdit[], ids: readonly string[]) => Outlook;
  /** every finding, searched anew as well */
  readonly full: (edits: readonly CartEdit[]) => Outlook;
  readonly towards: (raised: ReadonlyMap<string, number>) => Screener;
}

/** Scores this near to 1 count as 1: rounding of a closed form. */
export const SCORE_ROUNDING = 1e-9;

export function passes({ score }: Outlook): boolean {
  return score >= 1 - SCORE_ROUNDING;
}

/** From hints a few starts more, for castors that a new lock holds at an angle no hint knows of. */
const QUICK: ScreenEffort = { seed: 1, starts: 12, followed: 3 };

/** @param effort of the full screenings */
export function createScreener(
  cart: Cart,
  set: RequirementSet,
  goal: Goal,
  effort: ScreenEffort = SCREEN_EFFORT,
): Screener {
  const { findings, hints } = screenCart(cart, set, { effort });
  const notJudged = new Set(
    findings.filter(({ applies, reserve }) => applies && reserve === null).map(({ id }) => id),
  );
  return screenerOf({ cart, set, findings, hints, notJudged, effort }, goal);
}

interface Known {
  readonly cart: Cart;
  readonly set: RequirementSet;
  readonly findings: readonly ScreenedFinding[];
  readonly hints: ScreenHints;
  readonly notJudged: ReadonlySet<string>;
  readonly effort: ScreenEffort;
}

function screenerOf(known: Known, goal: Goal): Screener {
  const { cart, set, notJudged, hints } = known;
  const judged = (findings: readonly ScreenedFinding[]) => outlookOf(findings, goal, notJudged);
  return {
    cart,
    set,
    goal,
    notJudged,
    base: judged(known.findings),
    quick: (edits, ids) =>
      judged(screenCart(editCart(cart, edits), set, { hints, effort: QUICK, only: ids }).findings),
    full: (edits) =>
      judged(screenCart(editCart(cart, edits), set, { hints, effort: known.effort }).findings),
    towards: (raised) => screenerOf(known, { ...goal, raised: higherOf(goal.raised, raised) }),
  };
}

function higherOf(
  p: ReadonlyMap<string, number>,
  q: ReadonlyMap<string, number>,
): ReadonlyMap<string, number> {
  return new Map([...p, ...[...q].map(([id, x]) => [id, Math.max(x, p.get(id) ?? 0)] as const)]);
}

/** What a finding is to reach. */
export function wantedOf({ margin, raised }: Goal, id: string): number {
  return Math.max(1 + margin, raised.get(id) ?? 0);
}

/** What cannot be computed of the cart as it is is left out, until it comes to a reserve: of castors
 * of which one is not rated, another may be overloaded. */
function isCounted({ id, applies, reserve }: ScreenedFinding, notJudged: ReadonlySet<string>) {
  return applies && (reserve !== null || !notJudged.has(id));
}

function outlookOf(
  findings: readonly ScreenedFinding[],
  goal: Goal,
  notJudged: ReadonlySet<string>,
): Outlook {
  let score = Number.POSITIVE_INFINITY;
  let governs: ScreenedFinding | null = null;
  for (const finding of findings) {
    if (!isCounted(finding, notJudged)) continue;
    // what could be computed before and cannot now is no pass
    const reached = (finding.reserve ?? 0) / wantedOf(goal, finding.id);
    if (reached >= score) continue;
    score = reached;
    governs = finding;
  }
  return { findings, score, governs };
}

/** ids of the findings that do not reach the goal, shortest first */
export function shortOf(screener: Screener, { findings }: Outlook): readonly string[] {
  const { goal, notJudged } = screener;
  const reached = ({ id, reserve }: ScreenedFinding) => (reserve ?? 0) / wantedOf(goal, id);
  return findings
    .filter((each) => isCounted(each, notJudged))
    .filter((each) => reached(each) < 1 - SCORE_ROUNDING)
    .toSorted((p, q) => reached(p) - reached(q))
    .map(({ id }) => id);
}
