/** What a row of the findings says: the same for a cart that is being dragged, one whose proof runs, and
 * one that is proven. */

import type { Amount, Finding, ScreenedFinding, Verdict } from '../../analysis/index.js';
import {
  amountText,
  clauseTitle,
  coefficientText,
  foundReserve,
  provenReserve,
  reserveText,
} from '../../analysis/index.js';
import type { Clause, RequirementSet } from '../../requirements/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { ProvenFinding } from '../store/state.js';

export interface FindingRow {
  readonly id: string;
  /** with the number of the clause */
  readonly title: string;
  readonly asked: boolean;
  /** why it is asked or not, or why nothing can be computed */
  readonly reason: string;
  /** null: found, and its proof is running, or nothing is known yet */
  readonly verdict: Verdict | null;
  /** the verdict in words, or how far it is known */
  readonly words: string;
  /** 'asked 10 deg, found 12.3 deg'; '' where neither is known */
  readonly amounts: string;
  /** what else stands on the row, '' if nothing */
  readonly remark: string;
  /** over all configurations, as found: capacity / demand; null: not known */
  readonly found: number | null;
  readonly reserve: string;
  /** the reserve that no configuration is below; null: not proven */
  readonly proven: number | null;
  /** the bound proven is that of the cart as it was */
  readonly provenIsOld: boolean;
  /** the reserve of the pose shown; null: not known */
  readonly posed: number | null;
}

export interface RowsInput {
  readonly set: RequirementSet;
  readonly units: UnitSystem;
  readonly findings: readonly ScreenedFinding[] | null;
  readonly atPose: readonly ScreenedFinding[] | null;
  /** of the cart as it is now */
  readonly proven: ReadonlyMap<string, ProvenFinding>;
  /** the last proof of each finding, of this cart as it was */
  readonly before: ReadonlyMap<string, ProvenFinding>;
  /** the friction of a tread is assumed: what slides as found may yet depend on friction */
  readonly frictionAssumed: boolean;
}

export const RUNNING = 'found, proof running';
const NOTHING_YET = 'being judged';

/** One row for each clause of the set, in its order. */
export function findingRows(input: RowsInput): readonly FindingRow[] {
  const live = byId(input.findings);
  const posed = byId(input.atPose);
  return input.set.clauses.map((clause) => {
    const own = live.get(clause.id) ?? null;
    return rowOf(input, clause, own, posed.get(clause.id)?.own ?? null);
  });
}

function byId(findings: readonly ScreenedFinding[] | null): ReadonlyMap<string, ScreenedFinding> {
  return new Map((findings ?? []).map((finding) => [finding.id, finding]));
}

function rowOf(
  input: RowsInput,
  clause: Clause,
  live: ScreenedFinding | null,
  posed: number | null,
): FindingRow {
  const now = input.proven.get(clause.id);
  const old = input.before.get(clause.id);
  const verdict = verdictOf(input, clause, live);
  const asked = now?.finding.applicability.applies ?? live?.applies ?? true;
  const demand = now?.finding.demand ?? live?.demand ?? null;
  const capacity = now?.finding.capacity ?? live?.capacity ?? null;
  const found = now === undefined ? (live?.own ?? null) : foundReserve(now.finding);
  const bound = now ?? old;
  const proven = bound === undefined ? null : provenReserve(bound.finding);
  const sense = (now ?? old)?.finding.sense ?? senseOf(clause);
  const remark = asked ? remarkOf(input, clause, verdict, now, live, proven) : '';
  return {
    id: clause.id,
    title: clauseTitle(clause.clause, clause.title),
    asked,
    reason: now?.finding.applicability.reason ?? live?.reason ?? '',
    verdict,
    words: verdict ?? (now === undefined && live === null ? NOTHING_YET : RUNNING),
    amounts: asked ? amountsText(demand, capacity, sense, input.units) : '',
    remark,
    found: asked ? found : null,
    reserve: asked ? reserveText(found) : '-',
    proven: asked ? proven : null,
    provenIsOld: now === undefined,
    posed: asked ? posed : null,
  };
}

/** Only what fails as found is said before it is proven. */
function verdictOf(input: RowsInput, clause: Clause, live: ScreenedFinding | null): Verdict | null {
  const now = input.proven.get(clause.id);
  if (now === undefined) return foundVerdict(input, clause, live);
  const { verdict } = now.finding;
  if (verdict === 'holds' || verdict === 'not applicable') return verdict;
  const instead = clause.alternative === null ? null : input.proven.get(clause.alternative);
  // either clause is enough, so that neither is told before the other is known
  if (instead === undefined) return null;
  if (instead?.finding.verdict === 'holds') return 'holds';
  if (isRunning(now) || (instead !== null && isRunning(instead))) return null;
  return verdict;
}

/** The quick proof did not close, and the closer one is to come. */
function isRunning({ finding, stage }: ProvenFinding): boolean {
  return stage === 'quick' && finding.verdict === 'not decided' && finding.proof.kind !== 'none';
}

function foundVerdict(
  { frictionAssumed }: RowsInput,
  { question }: Clause,
  live: ScreenedFinding | null,
): Verdict | null {
  if (live === null) return null;
  if (!live.applies) return 'not applicable';
  const byFriction = question.kind.startsWith('holding') && frictionAssumed;
  return live.reserve !== null && live.reserve < 1 && !byFriction ? 'fails' : null;
}

function remarkOf(
  input: RowsInput,
  clause: Clause,
  verdict: Verdict | null,
  now: ProvenFinding | undefined,
  live: ScreenedFinding | null,
  proven: number | null,
): string {
  if (now === undefined) {
    return live !== null && live.capacity === null && live.reserve === null ? live.reason : '';
  }
  const { finding } = now;
  if (verdict === 'holds' && isMetInstead(finding)) return alternativeText(input, clause);
  if (verdict === null && proven !== null) return `proven at least ${reserveText(proven)}`;
  if (finding.capacity === null) return finding.because;
  return frictionRemark(finding);
}

/** Of a finding that holds: not by itself. The report of a check says that it holds; its reserve does
 * not. */
function isMetInstead(finding: Finding): boolean {
  return finding.verdict !== 'holds' || (foundReserve(finding) ?? 1) < 1;
}

function alternativeText({ set }: RowsInput, { alternative }: Clause): string {
  const other = set.clauses.find(({ id }) => id === alternative);
  return other === undefined ? '' : `met by the alternative, ${other.title}`;
}

function frictionRemark({ frictionNeeded, verdict }: Finding): string {
  if (frictionNeeded === null) return '';
  if (frictionNeeded.kind === 'none suffices') return 'no friction suffices';
  const { found, proven } = frictionNeeded;
  return `needs friction ${coefficientText(verdict === 'fails' ? found : (proven ?? found))}`;
}

const LIMITS: ReadonlySet<string> = new Set(['propulsion', 'castor load', 'handles']);

/** Which way the clause limits, before a finding says so. */
function senseOf({ question }: Clause): Finding['sense'] {
  return LIMITS.has(question.kind) ? 'at most' : 'at least';
}

function amountsText(
  demand: Amount | null,
  capacity: Amount | null,
  sense: Finding['sense'],
  units: UnitSystem,
): string {
  const words = sense === 'at least' ? ['asked', 'found'] : ['takes', 'limit'];
  return [demand, capacity]
    .flatMap((each, i) => (each === null ? [] : [`${words[i]} ${amountText(each, units)}`]))
    .join(', ');
}

/** Rows that say the same are the same object, so that nothing of them is drawn again. */
export function keepSame(
  before: readonly FindingRow[],
  now: readonly FindingRow[],
): readonly FindingRow[] {
  const old = new Map(before.map((row) => [row.id, row]));
  const kept = now.map((row) => {
    const was = old.get(row.id);
    return was !== undefined && isSame(was, row) ? was : row;
  });
  const all = kept.length === before.length && kept.every((row, i) => row === before[i]);
  return all ? before : kept;
}

function isSame(a: FindingRow, b: FindingRow): boolean {
  return (Object.keys(a) as (keyof FindingRow)[]).every((key) => Object.is(a[key], b[key]));
}

export type RowOrder = 'set' | 'thinnest';

/** Ids in the order shown; what is not asked or not known comes last. */
export function orderOf(rows: readonly FindingRow[], order: RowOrder): readonly string[] {
  if (order === 'set') return rows.map(({ id }) => id);
  const reserve = ({ asked, found }: FindingRow): number =>
    asked ? (found ?? Number.MAX_VALUE) : Number.POSITIVE_INFINITY;
  return [...rows]
    .sort((a, b) => {
      const [p, q] = [reserve(a), reserve(b)];
      return p === q ? 0 : p - q;
    })
    .map(({ id }) => id);
}

export interface Overall {
  readonly verdict: Verdict | null;
  /** one line without numbers that change while a drag goes on */
  readonly words: string;
  /** asked of the cart */
  readonly all: number;
  /** asked, and of the verdict; of none yet where that is null */
  readonly count: number;
  /** asked, and without a verdict yet */
  readonly open: number;
  /** asked, and below what is asked as found */
  readonly short: number;
  /** the finding with the least reserve; null: none is known */
  readonly thinnest: FindingRow | null;
}

/** What all rows together come to: the worst verdict, as soon as it is known. */
export function overallOf(rows: readonly FindingRow[]): Overall {
  const asked = rows.filter((row) => row.asked);
  const known = asked.filter(({ found }) => found !== null);
  const thinnest = known.reduce<FindingRow | null>(
    (least, row) => (least === null || (row.found ?? 0) < (least.found ?? 0) ? row : least),
    null,
  );
  const { verdict, words } = overallVerdict(asked);
  const count = asked.filter((row) => row.verdict === verdict).length;
  const open = asked.filter((row) => row.verdict === null).length;
  const short = known.filter(({ found }) => (found ?? 1) < 1).length;
  return { verdict, words, all: asked.length, count, open, short, thinnest };
}

function overallVerdict(asked: readonly FindingRow[]): Pick<Overall, 'verdict' | 'words'> {
  const count = (verdict: Verdict | null): number =>
    asked.filter((row) => row.verdict === verdict).length;
  const all = asked.length;
  const of = (n: number): string => `${n} of ${all} ${all === 1 ? 'finding' : 'findings'}`;
  if (all === 0) return { verdict: 'not applicable', words: 'Nothing is asked of this cart' };
  const fails = count('fails');
  if (fails > 0) return { verdict: 'fails', words: `Fails: ${of(fails)}` };
  const open = count(null);
  if (open === all) return { verdict: null, words: 'Found, proof running' };
  if (open > 0) {
    return { verdict: null, words: `Proof running: ${of(open)} to go` };
  }
  const undecided = count('not decided');
  if (undecided > 0) {
    const words = `Not decided: ${of(undecided)}`;
    return { verdict: 'not decided', words };
  }
  const depends = count('depends on friction');
  if (depends > 0) {
    const words = `Depends on friction: ${of(depends)}`;
    return { verdict: 'depends on friction', words };
  }
  return {
    verdict: 'holds',
    words: `Holds: ${all === 1 ? 'the one finding' : `all ${all} findings`}`,
  };
}
