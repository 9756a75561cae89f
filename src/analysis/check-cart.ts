/** Every clause of a requirement set asked of a cart. */

import type { Cart } from '../document/index.js';
import type { SearchEffort } from '../engine/index.js';
import { SearchStopped, USUAL_EFFORT } from '../engine/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { applicability } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER } from './answer.js';
import type { Asking } from './asking.js';
import { answerOf, askingOf } from './asking.js';
import { modelOf } from './cart-model.js';
import { CAUTIONS } from './cautions.js';
import type { CheckReport, Finding, Verdict } from './finding.js';
import type { FrictionEnd } from './holding-search.js';

export interface CheckOptions {
  /** called before each clause and at the end, with the title of what comes next */
  readonly onProgress?: (done: number, total: number, what: string) => void;
  /** id of the one finding that is wanted */
  readonly only?: string;
  /** how long the searches over friction go on */
  readonly effort?: SearchEffort;
  /** margin that the proofs over friction try to show first, as a share of what is asked; 0: none */
  readonly margin?: number;
  /** 'low': every holding finding at the low end of the tolerance of the treads' friction; 'as
   * stated' (the default): measured friction at the low end, assumed friction at its value */
  readonly friction?: FrictionEnd;
  /** called with each finding as it is decided by itself; of one that another may stand for, the report
   * has the last word */
  readonly onFinding?: (finding: Finding) => void;
  /** asked now and then; true ends the check by `SearchStopped` */
  readonly isStopped?: () => boolean;
}

/**
 * Asks every clause of the set of the cart (or the one that is wanted, with the one that may be met
 * instead).
 *
 * @throws RangeError when `only` is the id of no clause of the set
 * @throws SearchStopped when `isStopped` said so
 */
export function checkCart(
  cart: Cart,
  set: RequirementSet,
  options: CheckOptions = {},
): CheckReport {
  const { only, onProgress, onFinding, isStopped } = options;
  const wanted = wantedClauses(set, only);
  const asking = askingOf(modelOf(cart), {
    effort: {
      ...(options.effort ?? USUAL_EFFORT),
      ...(isStopped === undefined ? {} : { isStopped }),
    },
    margin: options.margin ?? 0,
    friction: options.friction ?? 'as stated',
  });
  const findings = wanted.map((clause, done) => {
    onProgress?.(done, wanted.length, clause.title);
    if (isStopped?.() === true) throw new SearchStopped('checkCart: asked to stop');
    const finding = findingOf(asking, set, clause);
    onFinding?.(finding);
    return finding;
  });
  onProgress?.(wanted.length, wanted.length, '');
  const settled = findings.map((finding, i) => metInstead(finding, wanted[i], findings));
  const shown = only === undefined ? settled : settled.filter(({ id }) => id === only);
  return {
    cart: cart.name,
    requirementSet: { id: set.id, title: set.title },
    verdict: worstVerdict(shown),
    findings: shown,
    cautions: CAUTIONS,
  };
}

function wantedClauses(set: RequirementSet, only: string | undefined): readonly Clause[] {
  if (only === undefined) return set.clauses;
  const wanted = set.clauses.find(({ id }) => id === only);
  if (wanted === undefined) {
    const allowed = set.clauses.map(({ id }) => id).join(', ');
    throw new RangeError(`checkCart: no finding ${only} in ${set.id}; allowed: ${allowed}`);
  }
  return set.clauses.filter(({ id }) => id === only || id === wanted.alternative);
}

function findingOf(asking: Asking, set: RequirementSet, clause: Clause): Finding {
  const applies = applicability(clause, asking.facts);
  const answer = applies.applies ? answerOf(asking, clause) : notAsked(applies.reason);
  return {
    id: clause.id,
    title: clause.title,
    requirement: {
      set: set.id,
      clause: clause.clause,
      title: clause.title,
      asks: clause.asks,
      values: clause.values.map(({ id, text, basis, confirmation }) => ({
        id,
        text,
        basis,
        confirmed: confirmation !== null,
      })),
    },
    applicability: applies,
    ...answer,
    notes: clause.note === '' ? answer.notes : [...answer.notes, `On the clause: ${clause.note}.`],
  };
}

function notAsked(reason: string): Answer {
  return {
    ...BLANK_ANSWER,
    verdict: 'not applicable',
    because: `It is not asked of this cart. ${reason}`,
    proof: { kind: 'none', reason: 'the clause does not apply' },
  };
}

/** A clause that is not met by itself is met where the one that may stand for it holds. */
function metInstead(
  finding: Finding,
  clause: Clause | undefined,
  all: readonly Finding[],
): Finding {
  const open = finding.verdict !== 'holds' && finding.verdict !== 'not applicable';
  if (!open || clause === undefined || clause.alternative === null) return finding;
  const other = all.find(({ id }) => id === clause.alternative);
  if (other === undefined || other.verdict !== 'holds') return finding;
  return {
    ...finding,
    verdict: 'holds',
    because: `Met by the alternative, ${other.title} (${other.id}), which holds. By itself: ${finding.because}`,
    notes: [
      ...finding.notes,
      `By itself this clause ${BY_ITSELF[finding.verdict]}; either is enough.`,
    ],
  };
}

const BY_ITSELF: Readonly<Record<Verdict, string>> = {
  fails: 'fails',
  'not decided': 'is not decided',
  'depends on friction': 'depends on friction',
  holds: 'holds',
  'not applicable': 'does not apply',
};

const WORST_FIRST: readonly Verdict[] = ['fails', 'not decided', 'depends on friction', 'holds'];

/** The worst verdict of the findings that apply. */
function worstVerdict(findings: readonly Finding[]): Verdict {
  const found = WORST_FIRST.find((verdict) => findings.some((each) => each.verdict === verdict));
  return found ?? 'not applicable';
}
