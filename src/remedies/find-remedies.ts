/**
 * Question: which are the smallest changes that make every applicable finding of a cart pass with a
 * margin?
 *
 * Every lever is solved for its least amount, by quick screenings; where none does alone, or when
 * asked, two together. What is shown is proven by the full check of the changed cart. How, with the
 * limits of each step: docs/theory/remedies.md.
 */

import type { Finding, ScreenEffort } from '../analysis/index.js';
import { CAUTIONS } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import { editsProblem } from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Candidate } from './candidate.js';
import { byRank, editsOf, nearMissOf, ofLever, ofPair, sizeOf } from './candidate.js';
import type { Lever } from './lever.js';
import { solveBallast } from './levers/ballast.js';
import { plainLevers } from './levers/levers.js';
import type { TriedLayout } from './levers/lock-layouts.js';
import { lockLayouts, NO_LAYOUTS } from './levers/lock-layouts.js';
import { partLevers } from './levers/part-levers.js';
import type { ProofEffort } from './prove-remedy.js';
import { checkAtLow, PROOF_EFFORT, proveRemedy, timesAt } from './prove-remedy.js';
import { governingOf } from './proven.js';
import type { Reaches } from './reaches.js';
import { USUAL_REACHES } from './reaches.js';
import type {
  Governing,
  LeverKind,
  NearMiss,
  RemediesOutcome,
  RemediesReport,
  Remedy,
  Standing,
} from './remedy.js';
import type { Outlook, Screener } from './screener.js';
import { createScreener, passes, shortOf } from './screener.js';
import type { LeverAnswer } from './solve-lever.js';
import { solveLever } from './solve-lever.js';
import { solvePairs } from './solve-pairs.js';

export interface RemedyOptions {
  /** share of what is asked that every finding is to have on top, >= 0; default: USUAL_MARGIN */
  readonly margin?: number;
  /** remedies proven and shown at most, >= 1; default: USUAL_MOST */
  readonly most?: number;
  /** true: pairs too where a single lever does; default: only where none does */
  readonly pairs?: boolean;
  /** levers to try; default: every kind */
  readonly kinds?: readonly LeverKind[];
  readonly reaches?: Partial<Reaches>;
  /** called before each step, with what comes next; the total grows as the search goes on */
  readonly onProgress?: (done: number, total: number, what: string) => void;
  readonly screenEffort?: ScreenEffort;
  readonly proofEffort?: ProofEffort;
}

/** Of what is asked: a prototype never comes out quite as drawn (common practice, no source). */
export const USUAL_MARGIN = 0.1;
export const USUAL_MOST = 8;

/**
 * @throws RangeError when the margin is negative or not finite, or `most` is not a whole number >= 1
 */
export function findRemedies(
  cart: Cart,
  set: RequirementSet,
  options: RemedyOptions = {},
): RemediesReport {
  const search = begun(cart, set, options);
  const short = shortOf(search.screener, search.screener.base);
  if (short.length > 0) return sought(search, short, options);
  const { report, further } = standing(search);
  if (further === null) return report;
  // What lacks its proof is asked for more, so that the proof has a gap to close in.
  const ids = shortOf(further.screener, further.screener.base);
  return ids.length === 0 ? report : { ...sought(further, ids, options), short: [] };
}

/** The search proper: the levers, the pairs where they are needed, the proofs. */
function sought(search: Search, watch: readonly string[], options: RemedyOptions): RemediesReport {
  const { screener } = search;
  const { cart } = screener;
  const singles = singlesOf(search, watch);
  const passing = singles.passing.toSorted(byRank);
  const wanted = options.pairs === true || passing.length === 0;
  const pairs = wanted ? pairsOf(search, singles.levers, watch) : NO_PAIRS;
  const worthwhile = pairs.passing.filter((pair) => !passing.some((one) => isSaved(pair, one)));
  const found = [...passing, ...worthwhile.toSorted(byRank)];
  const all = found.filter((each) => !isIdle(cart, each, found));
  const { makeable, refused } = makeableOf(cart, all);
  const remedies = provenOf(search, makeable);
  const none = remedies.length === 0;
  return {
    ...search.blank,
    outcome: none ? search.blank.outcome : outcomeOf(remedies),
    short: standingsOf(screener, watch),
    governs: search.blank.governs,
    remedies,
    more: makeable.length - remedies.length,
    nearMisses: none ? nearest([...singles.short, ...pairs.short]) : [],
    notes: [...search.blank.notes, ...singles.notes, ...refused],
  };
}

/** All that another one does, and more. */
function isIdle(cart: Cart, candidate: Candidate, all: readonly Candidate[]): boolean {
  const mine = new Set(editsOf(cart, candidate).map((edit) => JSON.stringify(edit)));
  return all.some((other) => {
    const theirs = editsOf(cart, other);
    return theirs.length < mine.size && theirs.every((edit) => mine.has(JSON.stringify(edit)));
  });
}

/** One of the pair does by itself, for little more: a second change has to save something. */
function isSaved(pair: Candidate, one: Candidate): boolean {
  return (
    pair.levers.some(({ id }) => id === one.levers[0].id) &&
    sizeOf(pair) > (1 - SAVES) * sizeOf(one)
  );
}
/** Share of the size that a second change has to save. */
const SAVES = 0.2;

/** Without what a cart file would refuse, which is told. */
function makeableOf(cart: Cart, all: readonly Candidate[]) {
  const judged = all.map((candidate) => ({
    candidate,
    problem: editsProblem(cart, editsOf(cart, candidate)),
  }));
  return {
    makeable: judged.filter(({ problem }) => problem === null).map(({ candidate }) => candidate),
    refused: judged.flatMap(({ candidate, problem }) =>
      problem === null
        ? []
        : [`Left out, ${candidate.levers.map(({ id }) => id).join(' with ')}: ${problem}.`],
    ),
  };
}

interface Search {
  readonly screener: Screener;
  readonly reaches: Reaches;
  readonly isTried: (kind: LeverKind) => boolean;
  readonly most: number;
  readonly proofEffort: ProofEffort;
  readonly say: (what: string, ahead?: number) => void;
  readonly blank: RemediesReport;
}

function begun(cart: Cart, set: RequirementSet, options: RemedyOptions): Search {
  const { margin = USUAL_MARGIN, most = USUAL_MOST, onProgress } = options;
  if (!(margin >= 0 && Number.isFinite(margin)))
    throw new RangeError(`findRemedies: margin ${margin}`);
  if (!(Number.isInteger(most) && most >= 1)) throw new RangeError(`findRemedies: most ${most}`);
  let done = 0;
  let total = 1;
  const say = (what: string, ahead = 0): void => {
    total = Math.max(total, done + 1 + ahead);
    onProgress?.(done, total, what);
    done += 1;
  };
  say('the cart as it is');
  const screener = createScreener(cart, set, { margin, raised: new Map() }, options.screenEffort);
  return {
    screener,
    reaches: { ...USUAL_REACHES, ...options.reaches },
    isTried: (kind) => options.kinds === undefined || options.kinds.includes(kind),
    most,
    proofEffort: options.proofEffort ?? PROOF_EFFORT,
    say,
    blank: blankOf(screener),
  };
}

function blankOf(screener: Screener): RemediesReport {
  const { cart, set, goal, base, notJudged } = screener;
  return {
    cart: cart.name,
    requirementSet: { id: set.id, title: set.title },
    margin: goal.margin,
    outcome: 'none',
    passes: passesWords(goal.margin),
    short: [],
    governs: governingOutlook(base, goal.margin),
    asItIs: null,
    notJudged: base.findings
      .filter(({ id }) => notJudged.has(id))
      .map(({ id, title, reason }) => ({ id, title, reason })),
    remedies: [],
    more: 0,
    nearMisses: [],
    notes: [DEPENDS, ...alternativeNotes(screener)],
    cautions: CAUTIONS,
  };
}

function passesWords(margin: number): string {
  const times = Number((1 + margin).toPrecision(6));
  return `Passes here means: every finding that applies has a reserve (capacity over demand) of at least ${times} with friction at the low end of its tolerance, proven for every configuration.`;
}

/** A reserve that is not the finding's own must not read as if it were. */
function alternativeNotes({ set, base }: Screener): readonly string[] {
  return base.findings.flatMap(({ id, title, own, reserve }) => {
    if (own === reserve) return [];
    const instead = set.clauses.find((clause) => clause.id === id)?.alternative ?? '';
    return [`${title} may be met by ${instead} instead: the greater reserve of the two counts.`];
  });
}

const DEPENDS =
  'A verdict that depends on friction stays so until the friction is measured, whatever the margin.';

/** The cart as it is reaches the goal as found: is it proven? Where not, `further` is the search for
 * changes that let the proof close. */
function standing(search: Search): {
  readonly report: RemediesReport;
  readonly further: Search | null;
} {
  const { screener, blank } = search;
  search.say('proving the cart as it is');
  const { findings: asItIs, lacks } = checkAtLow(screener, null, search.proofEffort);
  const isJudged = ({ id, applicability: { applies } }: Finding) =>
    applies && !screener.notJudged.has(id);
  // where nothing is judged, nothing has been shown
  const isShown = lacks.length === 0 && asItIs.some(isJudged);
  const report: RemediesReport = {
    ...blank,
    outcome: isShown ? 'nothing needed' : 'not proven',
    governs: governingOf(asItIs, screener.set),
    asItIs,
    notes: [
      ...blank.notes,
      ...lacks.map(({ title, reason }) => `Not proven of the cart as it is: ${title}: ${reason}.`),
    ],
  };
  if (lacks.length === 0) return { report, further: null };
  const wanted = 1 + screener.goal.margin;
  const raised = lacks.map((lack): [string, number] => {
    const times = timesAt(screener, lack, 1) ?? 1;
    return [lack.id, Math.max(wanted * times, (lack.found ?? 0) * FURTHER)];
  });
  const further = { ...search, blank: report, screener: screener.towards(new Map(raised)) };
  return { report, further };
}

/** Above what is found already: a wider gap for the proof. */
const FURTHER = 1.03;

interface Singles {
  readonly passing: readonly Candidate[];
  readonly short: readonly Candidate[];
  /** for the pairs: every lever that helps, but those that pass and have no amount to go without */
  readonly levers: readonly Lever[];
  readonly notes: readonly string[];
}

function singlesOf(search: Search, watch: readonly string[]): Singles {
  const { screener, reaches, say, most, isTried } = search;
  const plain = plainLevers(screener.cart, reaches).filter(({ kind }) => isTried(kind));
  say('lock layouts', plain.length + most);
  const layouts = isTried('lock layout') ? lockLayouts(screener, watch) : NO_LAYOUTS;
  say('ballast', plain.length + most);
  const ballast = isTried('ballast') ? solveBallast(screener, watch, reaches) : null;
  say('parts that could move', plain.length + most);
  const parts = isTried('part place') ? partLevers(screener, watch, reaches) : [];
  const levers = [...plain, ...parts];
  const answers = levers.map((lever, i): LeverAnswer => {
    say(lever.id, levers.length - i + most);
    return solveLever(screener, lever, watch);
  });
  const all = [...answers, ...(ballast === null ? [] : [ballast])];
  const tried = (each: TriedLayout): LeverAnswer => ({
    kind: 'passes',
    lever: each.lever,
    k: 1,
    outlook: each.outlook,
    idle: false,
  });
  return {
    passing: [...layouts.passing.map(tried), ...all.filter(isPassing)].map(ofLever),
    short: [...layouts.others.map(tried), ...all.filter((each) => !isPassing(each))].map(ofLever),
    levers: [
      ...layouts.others,
      ...all.filter((each) => !each.idle && (each.lever.count > 1 || !isPassing(each))),
    ].map(({ lever }) => lever),
    notes: layouts.notes,
  };
}

function isPassing({ kind, outlook }: LeverAnswer): boolean {
  return kind === 'passes' && passes(outlook);
}

const NO_PAIRS = { passing: [], short: [] } as const;

function pairsOf(
  { screener, say, most }: Search,
  levers: readonly Lever[],
  watch: readonly string[],
) {
  say('pairs that promise most', most);
  const answers = solvePairs(screener, levers, watch, (done, total) =>
    say(`pair ${done + 1} of ${total}`, total - done + most),
  );
  return {
    passing: answers.filter(({ kind }) => kind === 'passes').map(ofPair),
    short: answers.filter(({ kind }) => kind !== 'passes').map(ofPair),
  };
}

/** Proven ones first; each group keeps its rank. */
function provenOf(
  { screener, most, proofEffort, say }: Search,
  all: readonly Candidate[],
): readonly Remedy[] {
  const chosen = all.slice(0, most);
  const remedies = chosen.map((candidate, i) => {
    say(`proving remedy ${i + 1} of ${chosen.length}`, chosen.length - i - 1);
    return proveRemedy(screener, candidate, proofEffort);
  });
  const ranked = remedies.toSorted(
    (p, q) => p.changes.length - q.changes.length || p.size - q.size,
  );
  return [...ranked.filter(isProven), ...ranked.filter((each) => !isProven(each))];
}

function isProven({ proof }: Remedy): boolean {
  return proof.kind === 'proven';
}

function outcomeOf(remedies: readonly Remedy[]): RemediesOutcome {
  return remedies.some(isProven) ? 'remedies' : 'not proven';
}

function standingsOf({ base }: Screener, ids: readonly string[]): readonly Standing[] {
  return ids.flatMap((id) =>
    base.findings
      .filter((each) => each.id === id)
      .map(({ title, reserve }) => ({ id, title, reserve: reserve ?? 0 })),
  );
}

function governingOutlook({ governs }: Outlook, margin: number): Governing | null {
  if (governs === null) return null;
  const { id, title } = governs;
  const reserve = governs.reserve ?? 0;
  const because = `Its reserve as found is ${shown(reserve)} where ${shown(1 + margin)} is wanted.`;
  return { id, title, reserve, mode: null, because };
}

function shown(ratio: number): string {
  return String(Number(ratio.toPrecision(4)));
}

const NEAR_MISSES = 5;

function nearest(short: readonly Candidate[]): readonly NearMiss[] {
  return short
    .map(nearMissOf)
    .filter((each) => each !== null)
    .toSorted((p, q) => q.reached - p.reached || p.changes.length - q.changes.length)
    .slice(0, NEAR_MISSES);
}
