/**
 * Question: what did a run show, how well is it known, and does it meet what is asked?
 *
 * No repeat may fail, so the least favourable reading decides each criterion, with the uncertainty of a
 * single reading (type B: calibration, display, height of the push, onset of slip). The mean and its type A
 * uncertainty s / sqrt(n) estimate the capacity, which is compared with the prediction: no pass is made of
 * a mean. 'Held' at a load below what passes shows nothing against the cart: not decided. Derivation and
 * reasons: docs/theory/judgement.md.
 */

import type { Amount, Dimension } from '../analysis/index.js';
import { amountText } from '../analysis/index.js';
import type { Budget, Conformity, Decision, DecisionRule } from '../metrology/index.js';
import { combined, decide, expanded, meanOf } from '../metrology/index.js';
import type { Criterion, TestRun } from '../test-plan/index.js';
import type { InstrumentBody, RunBody, RunReading } from '../test-record/index.js';
import { loadDimension, siOf } from '../test-record/index.js';
import { formatQuantity } from '../units/index.js';
import { calibrationRemarks } from './calibration.js';
import type { InputLine } from './instrument-uncertainty.js';
import type { LoadRead, LoadUnclear } from './reading-load.js';
import { loadsRead } from './reading-load.js';
import type { ValueRead } from './reading-value.js';
import { valuesRead } from './reading-value.js';

export interface CriterionJudgement {
  readonly criterion: Criterion;
  readonly decision: Decision;
  /** of the reading that decides, with the budget of that reading; null: done or not done, or nothing
   * was read */
  readonly measured: Budget | null;
  readonly dimension: Dimension | null;
  /** null: nothing was compared, or the uncertainty is not known */
  readonly conformity: Conformity | null;
  /** one sentence, numbers in both unit systems are the edge's: SI here */
  readonly because: string;
}

export interface RunJudgement {
  /** fail where any criterion fails; else not decided where any is; else pass */
  readonly decision: Decision;
  readonly criteria: readonly CriterionJudgement[];
  /** the load at which it gave way, where it did: mean of the readings in the direction of the run, type A
   * and B; SI, dimension of the run's load */
  readonly gaveWayAt: Budget | null;
  /** the highest load it stood, in the direction of the run */
  readonly stoodAt: Budget | null;
  /** mean of the force to move it, or of the load of the castor, where the run reads one */
  readonly valueFound: Budget | null;
  /** how it was seen to give way, in the direction of the run, each once */
  readonly seen: readonly SeenMode[];
  /** false: of something that was read the uncertainty is not known */
  readonly uncertaintyKnown: boolean;
  /** 'used past its calibration', missing uncertainties, deviations: what a reader must know */
  readonly remarks: readonly string[];
}

export type SeenMode = NonNullable<RunReading['mode']>;

/** @param instruments content of the instruments used, by subject */
export function judgeRun(
  run: TestRun,
  record: RunBody,
  instruments: ReadonlyMap<string, InstrumentBody>,
  rule: DecisionRule,
): RunJudgement {
  const loads = loadsRead(run, record, instruments);
  const criteria = run.criteria.map((criterion) =>
    judged({ run, record, instruments, rule, loads }, criterion),
  );
  const own = loads.filter((load): load is LoadRead => load.kind === 'read' && load.asPlanned);
  const read = criteria.flatMap(({ readings }) => readings);
  return {
    decision: worstOf(criteria.map(({ judgement }) => judgement.decision)),
    criteria: criteria.map(({ judgement }) => judgement),
    gaveWayAt: meanOfRead(own.filter(({ shows }) => shows === 'gave way')),
    stoodAt: highest(own.filter(({ shows }) => shows === 'held')),
    valueFound: meanOfRead(criteria.flatMap(valueReadings)),
    seen: seenModes(record, own),
    uncertaintyKnown: [...read, ...own].every(({ missing }) => missing === null),
    remarks: [
      ...new Set([
        ...calibrationRemarks(record.instruments, record.taken, instruments),
        ...[...loads, ...read].flatMap((each) => ('remarks' in each ? each.remarks : [])),
        ...read.flatMap(({ missing }) => missing ?? []),
        ...recordRemarks(record, run),
      ]),
    ],
  };
}

/** fail before not decided before pass; nothing asked: not decided */
function worstOf(decisions: readonly Decision[]): Decision {
  if (decisions.includes('fail')) return 'fail';
  return decisions.length === 0 || decisions.includes('not decided') ? 'not decided' : 'pass';
}

interface Judging {
  readonly run: TestRun;
  readonly record: RunBody;
  readonly instruments: ReadonlyMap<string, InstrumentBody>;
  readonly rule: DecisionRule;
  readonly loads: readonly (LoadRead | LoadUnclear)[];
}

/** A number that was read, of whatever kind. */
type AnyRead = Pick<
  LoadRead,
  'number' | 'value' | 'lines' | 'ownLines' | 'asPlanned' | 'missing'
> & {
  readonly shows: LoadRead['shows'] | 'value';
  readonly remarks: readonly string[];
};

interface Judged {
  readonly judgement: CriterionJudgement;
  readonly readings: readonly AnyRead[];
}

function judged(judging: Judging, criterion: Criterion): Judged {
  if (criterion.measure === 'outcome') {
    return { judgement: outcome(judging, criterion), readings: [] };
  }
  const { limit } = criterion;
  if (limit === null) return { judgement: withoutLimit(criterion), readings: [] };
  if (criterion.measure === 'load held') {
    const unclear = judging.loads.filter((load): load is LoadUnclear => load.kind === 'unclear');
    const read = judging.loads.filter((load): load is LoadRead => load.kind === 'read');
    return { judgement: compared(judging, criterion, limit, read, unclear), readings: read };
  }
  const { run, record, instruments } = judging;
  const read = valuesRead(run, criterion.measure, record, instruments).map(asRead);
  return { judgement: compared(judging, criterion, limit, read, []), readings: read };
}

function asRead(value: ValueRead): AnyRead {
  return { ...value, shows: 'value', ownLines: [] };
}

function withoutLimit(criterion: Criterion): CriterionJudgement {
  const because = `What is allowed is not stated: ${criterion.words}.`;
  const blank = { measured: null, dimension: null, conformity: null };
  return { ...blank, criterion, decision: 'not decided', because };
}

/** Done in every repeat, or not. */
function outcome({ run, record }: Judging, criterion: Criterion): CriterionJudgement {
  const said = record.readings.map(({ done }) => done).filter((done) => done !== null);
  const blank = { criterion, measured: null, dimension: null, conformity: null };
  if (said.includes(false)) {
    const failed = record.readings.findIndex(({ done }) => done === false) + 1;
    return {
      ...blank,
      decision: 'fail',
      because: `Not met in reading ${failed}: ${criterion.words}.`,
    };
  }
  const odd = record.readings.flatMap((reading, i) => {
    const words = againstOutcome(reading, run);
    return words === null ? [] : [`Reading ${i + 1}: ${words}.`];
  });
  const [first] = odd;
  if (first !== undefined) return { ...blank, decision: 'not decided', because: first };
  if (said.length === 0) {
    const because = `Whether it was met is not written down: ${criterion.words}.`;
    return { ...blank, decision: 'not decided', because };
  }
  const due = repeatsDue(run, said.length);
  if (due !== null) return { ...blank, decision: 'not decided', because: due };
  const times = said.length === 1 ? '' : ` ${said.length} times`;
  return { ...blank, decision: 'pass', because: `Met${times}: ${criterion.words}.` };
}

/** Share of a force: it is printed with four digits, so that half of the last may be missing. */
const AS_PRINTED = 5e-4;

/** What one reading says that does not go with an outcome that was met; null: nothing. */
function againstOutcome({ result, done, load }: RunReading, { loading }: TestRun): string | null {
  const gave = result === 'gave way';
  if (done !== true) return gave ? 'it gave way, and whether it was met is not written down' : null;
  if (loading.kind !== 'lifting' || load === null) {
    return gave ? 'it is said to have been met, and to have given way' : null;
  }
  const borne = siOf(load, 'force');
  if (borne >= loading.force * (1 - AS_PRINTED)) return null;
  const [is, asked] = [borne, loading.force].map((each) => formatQuantity(each, 'force', 'SI'));
  return `it was loaded with ${is}, and ${asked} is asked`;
}

interface Compared {
  readonly read: AnyRead;
  readonly measured: Budget;
  readonly conformity: Conformity;
  readonly decision: Decision;
}

function compared(
  judging: Judging,
  criterion: Criterion,
  limit: Amount,
  read: readonly AnyRead[],
  unclear: readonly LoadUnclear[],
): CriterionJudgement {
  const { rule, run } = judging;
  const blank = { criterion, dimension: limit.dimension, measured: null, conformity: null };
  const all = read.map((each) => comparedOne(each, criterion, limit, rule));
  const [first, ...rest] = all;
  if (first === undefined) {
    const open = unclear[0];
    const because =
      open === undefined
        ? `Nothing was read that decides it: ${criterion.words}.`
        : `Reading ${open.number}: ${open.because}.`;
    return { ...blank, decision: 'not decided', because };
  }
  const governing = rest.reduce((p, q) => (governs(q, p, criterion.sense) ? q : p), first);
  const { measured, conformity } = governing;
  const known = governing.read.missing === null;
  const shown = { ...blank, measured, conformity: known ? conformity : null };
  if (governing.decision === 'pass') {
    const own = all.filter((each) => each.read.asPlanned).length;
    const open = unclear[0];
    const due =
      open === undefined ? repeatsDue(run, own) : `Reading ${open.number}: ${open.because}.`;
    if (due !== null) return { ...shown, decision: 'not decided', because: due };
  }
  const because = becauseOf(governing, criterion, limit, all.length, rule);
  return { ...shown, decision: governing.decision, because };
}

/** A pass rests on every repeat that the plan asks for. */
function repeatsDue({ repeats }: TestRun, done: number): string | null {
  if (done >= repeats) return null;
  return `${done} of ${repeats} repeats done, and nothing against it so far: the rest is due.`;
}

function comparedOne(
  read: AnyRead,
  criterion: Criterion,
  limit: Amount,
  rule: DecisionRule,
): Compared {
  const measured = combined(read.value, [...read.lines, ...read.ownLines]);
  const found = decide(measured, { kind: criterion.sense, value: limit.value }, rule);
  const decision = decisionOf(read, found, rule);
  const conformity = decision === found.decision ? found : { ...found, decision, risk: null };
  return { read, measured, conformity, decision };
}

function decisionOf(read: AnyRead, found: Conformity, rule: DecisionRule): Decision {
  // without an uncertainty only the rule that asks for none can decide
  if (read.missing !== null && rule.kind !== 'simple acceptance') return 'not decided';
  // what stood at too little load was not shown to give way at it
  return read.shows === 'held' && found.decision === 'fail' ? 'not decided' : found.decision;
}

const RANK: Readonly<Record<Decision, number>> = { fail: 0, 'not decided': 1, pass: 2 };

/** The worse decision, then the less favourable value. */
function governs(a: Compared, b: Compared, sense: Criterion['sense']): boolean {
  if (a.decision !== b.decision) return RANK[a.decision] < RANK[b.decision];
  const [x, y] = [a.measured.value, b.measured.value];
  return sense === 'at least' ? x < y : x > y;
}

const SHOWN = {
  held: 'It stood at',
  'gave way': 'It gave way at',
  value: 'Measured:',
} as const;

function becauseOf(
  { read, measured, conformity, decision }: Compared,
  { sense }: Criterion,
  limit: Amount,
  count: number,
  rule: DecisionRule,
): string {
  const text = (value: number) => amountText({ value, dimension: limit.dimension }, 'SI');
  const U = expanded(measured);
  const spread =
    read.missing === null
      ? ` (U ${uncertaintyText(U.U, limit.dimension)}, k = ${U.k.toFixed(2)})`
      : ' (uncertainty not known)';
  const which =
    count > 1 ? `, the least favourable of ${count} readings (reading ${read.number})` : '';
  const asked = `${text(limit.value)} is ${sense === 'at least' ? 'asked' : 'allowed'}`;
  const shown = `${SHOWN[read.shows]} ${text(measured.value)}${spread}${which}; ${asked}.`;
  if (decision !== 'not decided') return shown;
  return `${shown} ${openWords(read, conformity, sense, limit.dimension, text, rule)}`;
}

/** Two digits are enough (JCGM 100:2008, 7.2.6). */
function uncertaintyText(value: number, dimension: Dimension): string {
  if (dimension === 'ratio') return String(Number(value.toPrecision(2)));
  return formatQuantity(value, dimension, 'SI', { digits: 2 });
}

/** What keeps it from being decided, and what to do. */
function openWords(
  read: AnyRead,
  { acceptanceLimit, U }: Conformity,
  sense: Criterion['sense'],
  dimension: Dimension,
  text: (value: number) => string,
  rule: DecisionRule,
): string {
  if (read.missing !== null) {
    return `Without an uncertainty the rule of the plan (${rule.kind}) decides nothing: state it with the instrument.`;
  }
  const from = `${sense === 'at least' ? 'from' : 'up to'} ${text(acceptanceLimit)}`;
  if (read.shows === 'held') return `It passes ${from} on: load it that far.`;
  return `It passes ${from}: repeat it with an uncertainty smaller than ${uncertaintyText(U, dimension)}, or let the customer agree to another rule before the next test.`;
}

/** Mean of what was measured. Its own scatter already holds that of each onset of slip (JCGM 100:2008,
 * 4.3.10: nothing is counted twice); what all readings share does not average out. */
function meanOfRead(reads: readonly AnyRead[]): Budget | null {
  const [first] = reads;
  if (first === undefined) return null;
  const mean = meanOf(reads.map(({ value }) => value));
  if (mean.s === null) return combined(first.value, [...first.lines, ...first.ownLines]);
  const scatter: InputLine = {
    source: `scatter of ${reads.length} readings`,
    type: 'A',
    u: mean.u,
    sensitivity: 1,
    dof: mean.dof,
  };
  // the readings are close to each other: the shared lines of the greatest stand for all
  const shared = reads.reduce((p, q) => (q.value > p.value ? q : p)).lines;
  return combined(mean.value, [scatter, ...shared]);
}

/** What the model predicts as a value: movement it does not. */
function valueReadings({ judgement, readings }: Judged): readonly AnyRead[] {
  const { measure } = judgement.criterion;
  const isPredicted = measure === 'force to move' || measure === 'castor load';
  return isPredicted ? readings.filter(({ asPlanned }) => asPlanned) : [];
}

function highest(reads: readonly LoadRead[]): Budget | null {
  const [first, ...rest] = reads;
  if (first === undefined) return null;
  const most = rest.reduce((p, q) => (q.value > p.value ? q : p), first);
  return combined(most.value, [...most.lines, ...most.ownLines]);
}

function seenModes(record: RunBody, own: readonly LoadRead[]): readonly SeenMode[] {
  const gone = own.filter(({ shows }) => shows === 'gave way').map(({ number }) => number - 1);
  return [...new Set(gone.flatMap((i) => record.readings[i]?.mode ?? []))];
}

function recordRemarks(record: RunBody, run: TestRun): readonly string[] {
  const remarks: string[] = [];
  if (record.deviations.trim() !== '') {
    remarks.push(`Done otherwise than planned: ${record.deviations.trim()}`);
  }
  remarks.push(...notRead(run));
  record.readings.forEach((reading, i) => {
    remarks.push(...contradictions(reading, run).map((words) => `Reading ${i + 1}: ${words}`));
  });
  return remarks;
}

/** What the plan asks for besides what is read off: it is taken as done as planned. */
function notRead({ loading }: TestRun): readonly string[] {
  if (loading.kind === 'push' && loading.down > 0) {
    const down = amountText({ value: loading.down, dimension: 'force' }, 'SI');
    return [`The downward force of ${down} is not read off: it counts as pressed, as planned.`];
  }
  if (loading.kind === 'push' && loading.slant > 0) {
    const slant = amountText({ value: loading.slant, dimension: 'angle' }, 'SI');
    return [`The slant of ${slant} is not read off: it counts as held, as planned.`];
  }
  if (loading.kind === 'propulsion' && loading.speed !== null) {
    const speed = amountText({ value: loading.speed, dimension: 'speed' }, 'SI');
    return [`The speed of ${speed} is not read off: it counts as kept, as planned.`];
  }
  return [];
}

/** What one reading says against itself. */
function contradictions(reading: RunReading, run: TestRun): readonly string[] {
  const { result, mode } = reading;
  const words: string[] = [];
  const isRead = run.criteria.some(
    ({ measure }) => measure === 'force to move' || measure === 'castor load',
  );
  if (isRead && result === 'gave way')
    words.push(
      `it gave way${mode === null ? '' : ` (${mode})`}, which decides nothing in such a run.`,
    );
  if (loadDimension(run.loading) === null) return words;
  if (result === 'held' && mode !== null)
    words.push(`it is said to have held, and that it ${mode}.`);
  if (result === 'gave way' && mode === null) words.push('how it gave way is not written down.');
  return words;
}
