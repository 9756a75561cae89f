/** Runs, records and instruments for tests of judgements: one of each, changed where a test needs it. */

import type { Pose } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import type { Budget, DecisionRule } from '../../src/metrology/index.js';
import { combined } from '../../src/metrology/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import type { Criterion, Loading, Prediction, TestRun } from '../../src/test-plan/index.js';
import { predictRun } from '../../src/test-plan/index.js';
import type {
  InstrumentBody,
  RunBody,
  RunReading,
  TraceTaken,
} from '../../src/test-record/index.js';
import { EMPTY_READING, SAMPLE_FILES, sampleInstrument } from '../test-record/sample-entries.js';

export const DEGREE = Math.PI / 180;
export const SIMPLE: DecisionRule = { kind: 'simple acceptance' };
export const GUARDED: DecisionRule = { kind: 'guard band', multiple: 1 };

const SWIVELS = {
  'front left': Math.PI,
  'front right': Math.PI,
  'rear left': Math.PI,
  'rear right': Math.PI,
};

/** Of `simpleCart`: castors turned backwards. */
export const LEVEL_POSE: Pose = {
  position: 'in use',
  movers: {},
  loads: {},
  swivels: SWIVELS,
  incline: null,
  push: null,
  press: null,
  without: null,
};

export function criterion(
  measure: Criterion['measure'],
  limit: Criterion['limit'],
  sense: Criterion['sense'] = 'at least',
): Criterion {
  return { id: measure, measure, sense, limit, words: `meets ${measure}`, confirmed: false };
}

export function inclineLoading(angle = 10 * DEGREE, downhill = 0): Loading {
  return { kind: 'incline', angle, downhill, locksOn: true, stop: false };
}

export function pushLoading(force: number, height: number, direction = 0): Loading {
  const point = [0, 0, height] as const;
  return {
    kind: 'push',
    point,
    direction,
    force,
    slant: 0,
    locksOn: true,
    down: 0,
    stop: false,
  };
}

const NOTHING_PREDICTED: Prediction = {
  capacity: null,
  demand: null,
  margin: null,
  reserve: null,
  mode: null,
  proven: null,
  verdict: 'not decided',
  words: '',
  frictionNeeded: null,
};

export function aRun(
  loading: Loading,
  criteria: readonly Criterion[],
  changes: Partial<TestRun> = {},
): TestRun {
  const incline =
    loading.kind === 'incline' ? { angle: loading.angle, downhill: loading.downhill } : null;
  const push =
    loading.kind === 'push'
      ? { point: loading.point, direction: loading.direction, force: loading.force }
      : null;
  const pose = { ...LEVEL_POSE, incline, push };
  return {
    id: 'run-1',
    finding: 'unwanted-movement-push',
    clause: '9.4.3',
    title: 'a run',
    asks: '',
    purpose: 'worst found',
    governs: true,
    setUp: {
      position: 'in use',
      movers: {},
      turning: [],
      loads: {},
      castors: [],
      floor: 'hard level floor',
      covering: null,
    },
    loading,
    pose,
    prediction: NOTHING_PREDICTED,
    criteria,
    record: [],
    cautions: [],
    repeats: 1,
    ...changes,
  };
}

/** A run of a clause with the prediction of the model. */
export function predictedRun(
  cart: Cart,
  set: RequirementSet,
  finding: string,
  loading: Loading,
): TestRun {
  const run = aRun(loading, [], { finding });
  const prediction = predictRun(cart, set, run);
  const sense = loading.kind === 'propulsion' ? 'at most' : 'at least';
  const measure = loading.kind === 'propulsion' ? 'force to move' : 'load held';
  return { ...run, prediction, criteria: [criterion(measure, prediction.demand, sense)] };
}

export function reading(changes: Partial<RunReading>): RunReading {
  return { ...EMPTY_READING, ...changes };
}

export function held(load: string): RunReading {
  return reading({ load, result: 'held' });
}

export function gaveWay(load: string, mode: RunReading['mode'] = 'slides'): RunReading {
  return reading({ load, result: 'gave way', mode });
}

/** @param onset N @param u N */
export function trace(
  peak: number,
  onset: { readonly force: number; readonly u: number } | null,
  changes: Partial<TraceTaken> = {},
): TraceTaken {
  return {
    file: SAMPLE_FILES.gauge.attachment,
    peak: { time: 2, force: peak },
    hold: null,
    onset: onset === null ? null : { time: 1, timeU: 0.01, ...onset },
    overruled: null,
    ...changes,
  };
}

export function aRecord(readings: readonly RunReading[], changes: Partial<RunBody> = {}): RunBody {
  return {
    kind: 'run',
    plan: 'plan',
    run: 'run-1',
    sample: 'sample',
    instruments: ['level', 'gauge', 'tape', 'scale'].map((instrument) => ({
      instrument,
      despite: null,
    })),
    readings,
    deviations: '',
    retestOf: null,
    taken: '2026-11-25T09:30:00.000Z',
    operator: 'Mara Quist',
    temperature: null,
    photos: [],
    notes: '',
    ...changes,
  };
}

/** U = 0.1 deg and 0.4 N with k = 2, steps of 0.1 deg and 0.1 N. */
export const INSTRUMENTS: ReadonlyMap<string, InstrumentBody> = new Map([
  [
    'level',
    sampleInstrument({
      instrument: 'inclinometer',
      name: 'Level 1',
      serial: 'TH-0101',
      uncertainty: '0.1 deg',
      resolution: '0.1 deg',
      from: '-90 deg',
      to: '90 deg',
    }),
  ],
  ['gauge', sampleInstrument()],
  [
    'tape',
    sampleInstrument({
      instrument: 'tape',
      name: 'Tape 2',
      serial: 'TH-0909',
      uncertainty: '1 mm',
      resolution: '1 mm',
      from: '0 mm',
      to: '3 m',
    }),
  ],
  [
    'scale',
    sampleInstrument({
      instrument: 'scale',
      name: 'Pad scale 2',
      serial: 'TH-0202',
      uncertainty: '0.04 kg',
      resolution: '0.02 kg',
      from: '0 kg',
      to: '100 kg',
    }),
  ],
]);

/** The instruments with one of them otherwise. */
export function instrumentsWith(
  name: string,
  changes: Partial<InstrumentBody>,
): ReadonlyMap<string, InstrumentBody> {
  const known = INSTRUMENTS.get(name);
  if (known === undefined) throw new Error(`no instrument ${name}`);
  return new Map([...INSTRUMENTS, [name, { ...known, ...changes }]]);
}

/** A measured value whose uncertainty is one line. */
export function measured(value: number, u: number): Budget {
  return combined(value, [{ source: 'all', type: 'B', u, sensitivity: 1, dof: null }]);
}
