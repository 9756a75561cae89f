/**
 * Question: which instruments can decide the runs of a plan, and what else has to be at hand?
 *
 * Greatest expanded uncertainty U (k = 2) of a reading with limit L and predicted margin m:
 *   a tenth of what is asked                      U <= |L| / 10       common practice, no source
 *   guard band of width w U (ILAC-G8, 4.2.2)      U <= |m| / w        or the guard band swallows the margin
 *   shared risk r (JCGM 106, 7.2)                 U <= 2 |m| / z      z the normal quantile of 1 - r
 *   simple acceptance                             no more             every reading is decided
 * The least over the runs counts. A run whose margin asks for less than a hundredth of its limit is left
 * out and named: no usual instrument decides it. Resolution: a fifth of U, whose own part
 * 2 (U / 5) / sqrt(12) is then 0.12 U, under 1 % of the sum of squares. Range: a quarter beyond the
 * greatest load of any run, common practice.
 */

import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import type { Amount, Dimension } from '../analysis/index.js';
import { listed, poseCart } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import { STANDARD_GRAVITY } from '../engine/index.js';
import type { DecisionRule } from '../metrology/index.js';
import { raisedTo } from './acceptance.js';
import { hasStop } from './set-up-changes.js';
import type { Criterion, Equipment, TestRun } from './test-run.js';

const SHARE_OF_LIMIT = 1 / 10;
const TOO_CLOSE = 1 / 100;
const SHARE_OF_UNCERTAINTY = 1 / 5;
const HEAD_ROOM = 1.25;
/** Of the weight, for what catches a falling cart: common practice. */
const RESTRAINT = 2;
/** Height of a stop over the wheel's diameter: UL 1678-2019, seen. */
const STOP_SHARE = 1 / 8;

export function equipmentOf(
  cart: Cart,
  runs: readonly TestRun[],
  rule: DecisionRule,
): readonly Equipment[] {
  return [
    ...measuring(FORCE_GAUGE, runs, rule),
    ...measuring(PRESS_GAUGE, runs, rule),
    ...measuring(INCLINOMETER, runs, rule),
    ...scale(runs, rule),
    ...tape(runs),
    ...simple(TIMER, runs),
    ...simple(THERMOMETER, runs),
    ...weights(cart, runs),
    ...simple(RAMP, runs),
    ...covering(runs),
    ...stop(cart, runs),
    ...step(runs),
    ...pad(runs),
    ...restraint(cart, runs),
    ...simple(JACK, runs),
  ];
}

type Kind = Pick<Equipment, 'id' | 'name' | 'instrument' | 'why'> & {
  readonly needs: (run: TestRun) => boolean;
};

const FORCE_GAUGE: Kind = {
  id: 'force-gauge',
  name: 'force gauge',
  instrument: 'force gauge',
  why: 'pushes, pulls and the force to move it',
  needs: ({ loading: { kind } }) => kind === 'push' || kind === 'propulsion',
};
const PRESS_GAUGE: Kind = {
  id: 'load-cell',
  name: 'load cell or weights',
  instrument: 'force gauge',
  why: 'pressing down and lifting',
  needs: ({ loading: { kind } }) => kind === 'press' || kind === 'lifting',
};
const INCLINOMETER: Kind = {
  id: 'inclinometer',
  name: 'inclinometer',
  instrument: 'inclinometer',
  why: 'angle of the ramp',
  needs: ({ loading: { kind } }) => kind === 'incline',
};
const TIMER: Kind = {
  id: 'timer',
  name: 'timer',
  instrument: 'timer',
  why: 'speed over a marked way, time under load',
  needs: ({ loading: { kind } }) =>
    kind === 'propulsion' || kind === 'threshold' || kind === 'lifting',
};
const THERMOMETER: Kind = {
  id: 'thermometer',
  name: 'thermometer',
  instrument: 'thermometer',
  why: 'temperature of the room: treads grip by it',
  needs: () => true,
};
const RAMP: Kind = {
  id: 'ramp',
  name: 'ramp, hard and flat, longer and wider than the cart',
  instrument: null,
  why: 'inclines',
  needs: ({ loading: { kind } }) => kind === 'incline',
};
const JACK: Kind = {
  id: 'jack',
  name: 'jack and chocks',
  instrument: null,
  why: 'lifting it onto scales, taking a castor off',
  needs: ({ loading: { kind } }) => kind === 'weighing',
};

const NOTHING = { from: null, to: null, resolution: null, uncertainty: null } as const;

function idsOf(runs: readonly TestRun[]): readonly string[] {
  return runs.map(({ id }) => id);
}

function simple({ needs, ...kind }: Kind, runs: readonly TestRun[]): readonly Equipment[] {
  const needing = runs.filter(needs);
  return needing.length === 0 ? [] : [{ ...kind, ...NOTHING, runs: idsOf(needing) }];
}

function measuring(
  { needs, ...kind }: Kind,
  runs: readonly TestRun[],
  rule: DecisionRule,
): readonly Equipment[] {
  const needing = runs.filter(needs);
  const read = needing.flatMap((run) => readingsOf(run));
  const first = read[0];
  if (first === undefined) return [];
  const { dimension } = first.limit;
  return [{ ...kind, ...demandsOn(read, dimension, rule, kind.why), runs: idsOf(needing) }];
}

/** A number that an instrument has to decide. */
interface Reading {
  readonly run: string;
  readonly limit: Amount;
  /** SI; null: not known */
  readonly margin: number | null;
  /** the greatest load, SI */
  readonly most: number;
}

function readingsOf(run: TestRun): readonly Reading[] {
  const { criteria, prediction, id, loading } = run;
  const measured = (each: Criterion): boolean =>
    each.measure !== 'further movement' && each.limit !== null;
  const read = criteria.filter(measured).flatMap(({ limit }): Reading[] => {
    if (limit === null) return [];
    const raised = raisedTo(run)?.value ?? limit.value;
    const predicted = prediction.demand === null ? null : prediction.capacity;
    const most = Math.max(raised, loading.kind === 'propulsion' ? (predicted?.value ?? 0) : 0);
    return [{ run: id, limit, margin: prediction.margin?.value ?? null, most }];
  });
  if (loading.kind !== 'lifting') return read;
  const limit: Amount = { value: loading.force, dimension: 'force' };
  return [{ run: id, limit, margin: null, most: loading.force }];
}

/** Expanded uncertainty that leaves a margin decided, SI. */
export function uncertaintyFor(margin: number, rule: DecisionRule): number {
  const size = Math.abs(margin);
  switch (rule.kind) {
    case 'simple acceptance':
      return Number.POSITIVE_INFINITY;
    case 'guard band':
      return rule.multiple > 0 ? size / rule.multiple : Number.POSITIVE_INFINITY;
    case 'shared risk': {
      const z = normalQuantile(1 - rule.greatestRisk, 0, 1);
      return z > 0 ? (2 * size) / z : Number.POSITIVE_INFINITY;
    }
  }
}

function demandsOn(
  read: readonly Reading[],
  dimension: Dimension,
  rule: DecisionRule,
  why: string,
): Pick<Equipment, 'from' | 'to' | 'resolution' | 'uncertainty' | 'why'> {
  const decided = ({ margin }: Reading): number =>
    margin === null ? Number.POSITIVE_INFINITY : uncertaintyFor(margin, rule);
  const close = read.filter((each) => decided(each) < TOO_CLOSE * Math.abs(each.limit.value));
  const greatest = Math.min(
    ...read.map((each) => {
      const usual = SHARE_OF_LIMIT * Math.abs(each.limit.value);
      return close.includes(each) ? usual : Math.min(usual, decided(each));
    }),
  );
  const amount = (value: number): Amount => ({ value, dimension });
  return {
    from: amount(0),
    to: amount(roundUp(HEAD_ROOM * Math.max(...read.map(({ most }) => most)), dimension)),
    uncertainty: amount(roundDown(greatest, dimension)),
    resolution: amount(oneTwoFive(SHARE_OF_UNCERTAINTY * greatest, dimension)),
    why: close.length === 0 ? why : `${why}; ${tooClose(close)}`,
  };
}

function tooClose(close: readonly Reading[]): string {
  const ids = listed(close.map(({ run }) => run));
  return `too close to call by any usual instrument: ${ids}`;
}

/** Round numbers in the unit that is printed on an instrument. */
const PRINTED: Readonly<Partial<Record<Dimension, number>>> = {
  angle: Math.PI / 180,
  length: 0.001,
};

function inPrinted(value: number, dimension: Dimension, round: (value: number) => number): number {
  const unit = PRINTED[dimension] ?? 1;
  return round(value / unit) * unit;
}

/** Decades do not come out exactly in binary: a round number must not fall below itself. */
const SLACK = 1e-9;

function decade(value: number): number {
  return 10 ** Math.floor(Math.log10(value) + SLACK);
}

/** To two figures. */
function roundUp(value: number, dimension: Dimension): number {
  return inPrinted(value, dimension, (v) => {
    const step = decade(v) / 10;
    return Number((Math.ceil(v / step - SLACK) * step).toPrecision(2));
  });
}

function roundDown(value: number, dimension: Dimension): number {
  return inPrinted(value, dimension, (v) => {
    const step = decade(v) / 10;
    return Number((Math.floor(v / step + SLACK) * step).toPrecision(2));
  });
}

/** 1, 2 or 5 times a power of ten, not above the value. */
function oneTwoFive(value: number, dimension: Dimension): number {
  return inPrinted(value, dimension, (v) => {
    const step = decade(v);
    const times = [5, 2, 1].find((each) => each * step <= v * (1 + SLACK)) ?? 1;
    return Number((times * step).toPrecision(1));
  });
}

function scale(runs: readonly TestRun[], rule: DecisionRule): readonly Equipment[] {
  const weighed = runs.filter(({ loading: { kind } }) => kind === 'weighing');
  const loaded = runs.filter(({ setUp }) => Object.values(setUp.loads).some((kg) => kg > 0));
  const needing = runs.filter((run) => weighed.includes(run) || loaded.includes(run));
  if (needing.length === 0) return [];
  const base = { id: 'scale', name: 'scale', instrument: 'scale', runs: idsOf(needing) } as const;
  const read = weighed.flatMap(readingsOf);
  if (read.length > 0) {
    return [{ ...base, ...demandsOn(read, 'mass', rule, 'load of a castor, masses of the loads') }];
  }
  const most = Math.max(...loaded.flatMap(({ setUp }) => Object.values(setUp.loads)));
  const limit: Amount = { value: most, dimension: 'mass' };
  const loads: Reading = { run: '', limit, margin: null, most };
  return [{ ...base, ...demandsOn([loads], 'mass', rule, 'masses of the loads') }];
}

/** Heights of pushes and the movement that counts. */
function tape(runs: readonly TestRun[]): readonly Equipment[] {
  const needing = runs.filter(
    ({ loading, criteria }) =>
      loading.kind === 'push' ||
      loading.kind === 'propulsion' ||
      criteria.some(({ measure }) => measure === 'further movement'),
  );
  if (needing.length === 0) return [];
  const heights = needing.map(({ loading }) =>
    loading.kind === 'push' ? loading.point[2] : loading.kind === 'propulsion' ? loading.height : 0,
  );
  const movements = needing.flatMap(({ criteria }) =>
    criteria.flatMap(({ measure, limit }) =>
      measure === 'further movement' && limit !== null ? [limit.value] : [],
    ),
  );
  const least = Math.min(...movements, ...heights.filter((height) => height > 0));
  const length = (value: number): Amount => ({ value, dimension: 'length' });
  const uncertainty = SHARE_OF_LIMIT * least;
  return [
    {
      id: 'tape',
      name: 'tape or rule',
      instrument: 'tape',
      from: length(0),
      to: length(roundUp(HEAD_ROOM * Math.max(...heights, ...movements), 'length')),
      resolution: length(oneTwoFive(SHARE_OF_UNCERTAINTY * uncertainty, 'length')),
      uncertainty: length(roundDown(uncertainty, 'length')),
      why: movements.length > 0 ? 'movement, heights of pushes' : 'heights of pushes',
      runs: idsOf(needing),
    },
  ];
}

/** More are counted, not named. */
const MOST_NAMED = 6;

function weights(cart: Cart, runs: readonly TestRun[]): readonly Equipment[] {
  const most = cart.loads.map(({ name }) => ({
    name,
    kg: Math.max(0, ...runs.map(({ setUp }) => setUp.loads[name] ?? 0)),
  }));
  const there = most.filter(({ kg }) => kg > 0);
  const needing = runs.filter(({ setUp }) => Object.values(setUp.loads).some((kg) => kg > 0));
  if (there.length === 0) return [];
  const total = there.reduce((sum, { kg }) => sum + kg, 0);
  return [
    {
      ...NOTHING,
      id: 'loads',
      name: 'loads of stated mass, or weights in their place',
      instrument: null,
      to: { value: total, dimension: 'mass' },
      why: `all together: ${there.length > MOST_NAMED ? `${there.length} loads` : listed(there.map(({ name }) => name))}`,
      runs: idsOf(needing),
    },
  ];
}

function covering(runs: readonly TestRun[]): readonly Equipment[] {
  const names = [...new Set(runs.flatMap(({ setUp }) => setUp.covering ?? []))];
  return names.map((name, i) => {
    const needing = runs.filter(({ setUp }) => setUp.covering === name);
    const id = i === 0 ? 'covering' : `covering-${i + 1}`;
    const why = 'floor covering under the castors, on ramp and floor';
    return { ...NOTHING, id, name, instrument: null, why, runs: idsOf(needing) };
  });
}

function stop(cart: Cart, runs: readonly TestRun[]): readonly Equipment[] {
  const needing = runs.filter(hasStop);
  if (needing.length === 0) return [];
  const wheel = Math.min(...cart.castors.map(({ wheelDiameter }) => wheelDiameter));
  return [
    {
      ...NOTHING,
      id: 'stop',
      name: 'low stop at the castors',
      instrument: null,
      to: { value: STOP_SHARE * wheel, dimension: 'length' },
      why: 'keeps it from sliding or rolling, at most an eighth of the smallest wheel high, so that it can tip over it',
      runs: idsOf(needing),
    },
  ];
}

function step(runs: readonly TestRun[]): readonly Equipment[] {
  const needing = runs.filter(({ loading }) => loading.kind === 'threshold');
  const first = needing[0]?.loading;
  if (first?.kind !== 'threshold') return [];
  const height: Amount = { value: first.height, dimension: 'length' };
  return [
    {
      ...NOTHING,
      id: 'threshold',
      name: 'threshold, fixed to the floor, with an edge',
      instrument: null,
      from: height,
      to: height,
      why: 'height of the step',
      runs: idsOf(needing),
    },
  ];
}

function pad(runs: readonly TestRun[]): readonly Equipment[] {
  const needing = runs.filter(({ loading }) => loading.kind === 'press');
  const first = needing[0]?.loading;
  if (first?.kind !== 'press' || Math.max(...first.patch) === 0) return [];
  const [long, short] = [Math.max(...first.patch), Math.min(...first.patch)];
  const amount = (value: number): Amount => ({ value, dimension: 'length' });
  return [
    {
      ...NOTHING,
      id: 'pad',
      name: 'stiff pad to press on',
      instrument: null,
      from: amount(short),
      to: amount(long),
      why: 'sides of the area that the force is spread over',
      runs: idsOf(needing),
    },
  ];
}

/** Whatever may tip, also a cart that is held on its locks. */
function restraint(cart: Cart, runs: readonly TestRun[]): readonly Equipment[] {
  const needing = runs.filter(
    ({ loading }) =>
      loading.kind === 'incline' ||
      loading.kind === 'push' ||
      loading.kind === 'press' ||
      (loading.kind === 'weighing' && loading.removed),
  );
  if (needing.length === 0) return [];
  const mass = Math.max(...needing.map(({ pose }) => poseCart(cart, pose).mass));
  const strength = roundUp(RESTRAINT * STANDARD_GRAVITY * mass, 'force');
  return [
    {
      ...NOTHING,
      id: 'restraint',
      name: 'slack restraint, overhead or to the side',
      instrument: null,
      from: { value: strength, dimension: 'force' },
      why: 'catches it when it tips; rated for twice its weight or more',
      runs: idsOf(needing),
    },
  ];
}
