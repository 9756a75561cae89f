/** What decides a run, what is written down, what to beware of. */

import type { Amount } from '../analysis/index.js';
import { amountText, optionalValue } from '../analysis/index.js';
import type { Clause } from '../requirements/index.js';
import type { UnitSystem } from '../units/index.js';
import type { Criterion, Loading, Measure, Prediction, TestRun } from './test-run.js';

type Bare = Omit<Criterion, 'words' | 'confirmed'>;

/** @param prediction of the run: its demand is the limit where that follows from a rating */
export function criteriaOf(
  clause: Clause,
  loading: Loading,
  { demand }: Pick<Prediction, 'demand'>,
): readonly Criterion[] {
  const confirmed = clause.values.every(({ confirmation }) => confirmation !== null);
  const bare = [...mainCriteria(loading, demand), ...movementCriterion(clause, loading)];
  const held = bare.some(({ measure }) => measure === 'further movement');
  return bare.map((each) => ({
    ...each,
    words: criterionWords(each, loading, held, 'SI'),
    confirmed,
  }));
}

function mainCriteria(loading: Loading, demand: Amount | null): readonly Bare[] {
  switch (loading.kind) {
    case 'incline':
      return [criterion('load held', 'at least', { value: loading.angle, dimension: 'angle' })];
    case 'push':
    case 'press':
      return [criterion('load held', 'at least', { value: loading.force, dimension: 'force' })];
    case 'propulsion':
      return [criterion('force to move', 'at most', { value: loading.force, dimension: 'force' })];
    case 'weighing':
      return loading.removed ? [OUTCOME] : [criterion('castor load', 'at most', demand)];
    case 'threshold':
    case 'lifting':
      return [OUTCOME];
  }
}

function criterion(id: Measure, sense: Bare['sense'], limit: Amount | null): Bare {
  return { id, measure: id, sense, limit };
}

const OUTCOME = criterion('outcome', 'at least', null);

function movementCriterion(clause: Clause, { kind }: Loading): readonly Bare[] {
  const most = kind === 'incline' || kind === 'push' ? optionalValue(clause, 'movement') : null;
  if (most === null) return [];
  return [criterion('further movement', 'at most', { value: most, dimension: 'length' })];
}

/** @param held whether the clause is about locks that hold */
export function criterionWords(
  { measure, limit }: Pick<Criterion, 'measure' | 'limit'>,
  loading: Loading,
  held: boolean,
  units: UnitSystem,
): string {
  const at = limit === null ? '' : amountText(limit, units);
  switch (measure) {
    case 'load held':
      if (held) return `is held still at ${at}`;
      return loading.kind === 'incline'
        ? `stands at ${at} without tipping`
        : `does not tip under ${at}`;
    case 'further movement':
      return `moves no more than ${at} after the initial elastic movement, creepage and pivoting`;
    case 'force to move':
      return `is started and kept going by ${at} or less`;
    case 'castor load':
      return `carries ${at} or less`;
    case 'outcome':
      return outcomeWords(loading, units);
  }
}

function outcomeWords(loading: Loading, units: UnitSystem): string {
  if (loading.kind === 'threshold') {
    const times = loading.passes === 1 ? 'once' : `${loading.passes} times`;
    return `gets over ${times} without tipping and without damage`;
  }
  if (loading.kind === 'lifting') {
    const force = amountText({ value: loading.force, dimension: 'force' }, units);
    return `bears ${force}${durationWords(loading.duration)} without damage or coming loose`;
  }
  return 'stands without tipping';
}

export function durationWords(seconds: number | null): string {
  if (seconds === null) return '';
  return seconds % 60 === 0 && seconds > 0 ? ` for ${seconds / 60} min` : ` for ${seconds} s`;
}

export function isHeld({ criteria }: Pick<TestRun, 'criteria'>): boolean {
  return criteria.some(({ measure }) => measure === 'further movement');
}

/** What to write down, without numbers of a unit. */
export function recordOf(clause: Clause, loading: Loading): readonly string[] {
  const last = [
    'temperature of the room, instruments used',
    'anything done otherwise than planned',
  ];
  return [...recordLines(clause, loading), ...last];
}

function recordLines(clause: Clause, loading: Loading): readonly string[] {
  const held = optionalValue(clause, 'movement') !== null;
  const gave = ['how it gave way, if it did: tips, slides, pivots, rolls'];
  switch (loading.kind) {
    case 'incline':
      return [
        held ? 'angle held, or angle at which it moved' : 'angle at which it stood, or tipped',
        ...(held ? MOVEMENTS : []),
        ...gave,
        ...(optionalValue(clause, 'mark-incline') === null
          ? []
          : ['whether it tips at the greater incline of the clause: then a marking is due']),
      ];
    case 'push':
      return [
        held ? 'force held, or force at which it moved' : 'force at which it stood, or tipped',
        ...(held ? MOVEMENTS : []),
        ...gave,
      ];
    case 'press':
      return ['force at which it stood, or tipped', 'damage to the surface', ...gave];
    case 'propulsion':
      return ['greatest force to start it', 'force that keeps it going', 'speed'];
    case 'threshold':
      return ['passes done', 'speed of each pass', 'whether it tipped or stopped', 'damage'];
    case 'weighing':
      return loading.removed
        ? ['whether it stands', 'which castor carries most, by the scales, before it is taken away']
        : ['mass shown under the castor', 'mass shown under each other castor'];
    case 'lifting':
      return ['force reached and how long', 'damage, cracks, anything loose'];
  }
}

const MOVEMENTS = [
  'movement in all, and of that: elastic, creepage, pivoting',
  'further movement (what remains)',
];

/** What can hurt somebody in this run. */
export function cautionsOf(loading: Loading, held: boolean): readonly string[] {
  switch (loading.kind) {
    case 'incline':
      return held ? [RUNS_AWAY, TIPS] : [TIPS, RAMP];
    case 'push':
      return held ? [TIPS, 'Push and pull slowly; stop as soon as it moves on.'] : [TIPS];
    case 'press':
      return [
        TIPS,
        'Press with weights or a press rig that is caught if the cart goes; nobody stands or sits on it.',
      ];
    case 'propulsion':
      return ['The locks are off: keep feet clear of the castors, and the way ahead free.'];
    case 'threshold':
      return [
        'It may tip over the step when its wheels stop: nobody ahead of it, walk to the side.',
        'Secure loose loads.',
      ];
    case 'weighing':
      return loading.removed
        ? [TIPS, 'Take the weight off with a jack before a castor is removed; no hands underneath.']
        : ['Lift the cart onto the scales with two persons or a jack; chock it there.'];
    case 'lifting':
      return [
        'A handle that breaks lets go at once: keep hands and feet from under the cart.',
        'Fix the cart down and pull with a rig; nobody lifts this by hand.',
      ];
  }
}

const TIPS = 'It may tip: slack restraint on, a second person at hand, nobody where it would fall.';
const RUNS_AWAY = 'It may run away: a catch at the foot of the ramp, nobody below it.';
const RAMP = 'Low stop at the castors downhill, so that it can tip but not roll off.';

/** A tenth beyond what is asked: what stands there with an uncertainty of a tenth still stands what is
 * asked. Common practice, no source. */
const BEYOND = 1.1;

/** The load a run goes up to, SI: what is asked and a tenth more; null: nothing is raised. */
export function raisedTo({
  loading,
  criteria,
}: Pick<TestRun, 'loading' | 'criteria'>): Amount | null {
  if (loading.kind === 'lifting') return { value: loading.force, dimension: 'force' };
  const limit = criteria.find(({ measure }) => measure === 'load held')?.limit ?? null;
  return limit === null ? null : { ...limit, value: BEYOND * limit.value };
}
