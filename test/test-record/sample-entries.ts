/**
 * A whole small project as its writers send it: a bench of Tarn Hollow Instruments tests a small cart, a
 * push makes it give way, the lock layout is changed, and the retest passes. Same ids, times and bytes
 * every time.
 */

import { utf8ToBytes } from '@noble/hashes/utils.js';
import type { Pose } from '../../src/analysis/index.js';
import { builtInSets, findSet } from '../../src/requirements/index.js';
import type { Loading, TestPlan, TestRun } from '../../src/test-plan/index.js';
import type {
  Attachment,
  CartBody,
  EntryBody,
  InstrumentBody,
  KeptEntry,
  NewEntry,
  PlanBody,
  RunBody,
  RunReading,
} from '../../src/test-record/index.js';
import { chained, contentHash } from '../../src/test-record/index.js';
import { SMALL_CART, spoiled } from '../document/small-cart.js';

/** A UUID with two numbers in it. */
export function sampleId(project: number, entry: number): string {
  const [a, b] = [project, entry].map((n) => n.toString(16));
  return `${(a ?? '').padStart(8, '0')}-0000-4000-8000-${(b ?? '').padStart(12, '0')}`;
}

/** Minutes after the first entry, as a time. */
export function sampleTime(minutes: number): string {
  return new Date(Date.UTC(2026, 10, 25, 8, 0) + minutes * 60_000).toISOString();
}

export interface SampleFile {
  readonly attachment: Attachment;
  readonly bytes: Uint8Array;
}

function sampleFile(name: string, media: string, bytes: Uint8Array): SampleFile {
  return { attachment: { hash: contentHash(bytes), name, media, bytes: bytes.length }, bytes };
}

/** The files that the entries name. The photo is the smallest that is a PNG: its signature alone. */
export const SAMPLE_FILES = {
  photo: sampleFile(
    'sample.png',
    'image/png',
    Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a),
  ),
  gauge: sampleFile(
    'push-3.csv',
    'text/csv',
    utf8ToBytes('Time (s),Force (N)\n0.0,0.0\n0.5,20.5\n1.0,41.2\n1.5,38.0\n'),
  ),
} as const;

export const CART_A = SMALL_CART;
/** All three castors lock. */
export const CART_B = spoiled(
  'at: [250 mm, -220 mm]\n    lock: none',
  'at: [250 mm, -220 mm]\n    lock: total\n    brake torque: 12 Nm',
);

const POSE: Pose = {
  position: 'transport',
  movers: { lift: 0, arm: 0 },
  loads: { bag: 3, supplies: 0 },
  swivels: { 'front left': Math.PI, 'front right': Math.PI },
  incline: null,
  push: null,
  press: null,
  without: null,
};

const TEN_DEGREES = Math.PI / 18;

function sampleRun(
  id: string,
  finding: string,
  clause: string,
  [loading, pose]: readonly [Loading, Pose],
  [demand, capacity]: readonly [number, number],
): TestRun {
  const dimension = loading.kind === 'incline' ? 'angle' : 'force';
  return {
    id,
    finding,
    clause,
    title: `Run ${id}`,
    asks: 'It must stand as it is.',
    purpose: 'worst found',
    governs: true,
    setUp: {
      position: pose.position,
      movers: pose.movers,
      turning: ['arm'],
      loads: pose.loads,
      castors: [
        { name: 'front left', lock: 'total', locked: true, swivel: Math.PI },
        { name: 'front right', lock: 'none', locked: false, swivel: Math.PI },
        { name: 'rear', lock: 'wheel', locked: true, swivel: null },
      ],
      floor: 'hard level floor',
      covering: null,
    },
    loading,
    pose,
    prediction: {
      capacity: { value: capacity, dimension },
      demand: { value: demand, dimension },
      margin: { value: capacity - demand, dimension },
      reserve: capacity / demand,
      mode: { kind: 'slides', direction: 0 },
      proven: null,
      verdict: capacity >= demand ? 'holds' : 'fails',
      words: 'It slides forward.',
      frictionNeeded: 0.41,
    },
    criteria: [
      {
        id: 'load held',
        measure: 'load held',
        sense: 'at least',
        limit: { value: demand, dimension },
        words: 'stands at what is asked or more',
        confirmed: false,
      },
    ],
    record: ['the load at which it gives way'],
    cautions: ['Stand clear of the downhill side.'],
    repeats: 3,
  };
}

const INCLINE_RUN = sampleRun(
  'overbalance-transport-1',
  'overbalance-transport',
  '9.4.2.1',
  [
    { kind: 'incline', angle: TEN_DEGREES, downhill: 0, locksOn: true, stop: true },
    { ...POSE, incline: { angle: TEN_DEGREES, downhill: 0 } },
  ],
  [TEN_DEGREES, 0.38],
);

const PUSH_RUN = sampleRun(
  'unwanted-movement-push-1',
  'unwanted-movement-push',
  '9.4.3.2',
  [
    {
      kind: 'push',
      point: [0, -0.04, 0.9],
      direction: Math.PI / 2,
      force: 41.2,
      slant: 0,
      locksOn: true,
      down: 0,
      stop: false,
    },
    { ...POSE, push: { point: [0, -0.04, 0.9], direction: Math.PI / 2, force: 41.2 } },
  ],
  [41.2, 37.4],
);

/** @param runs how many the plan has: the two that are done, and copies of them */
export function samplePlan(runs = 2): TestPlan {
  const set = findSet(builtInSets, 'iec-60601-1-3.2');
  if (set === null) throw new Error('samplePlan: no set');
  const all = Array.from({ length: runs }, (_, i) => {
    const run = i % 2 === 0 ? INCLINE_RUN : PUSH_RUN;
    return i < 2 ? run : { ...run, id: `${run.finding}-${i}` };
  });
  return {
    cart: 'Small cart',
    requirementSet: set,
    rule: { kind: 'guard band', multiple: 1 },
    runs: all,
    notTested: [
      {
        finding: 'handles',
        clause: '9.4.4',
        title: 'Handles for lifting',
        reason: 'It is not lifted.',
      },
    ],
    equipment: [
      {
        id: 'force-gauge',
        name: 'Force gauge',
        instrument: 'force gauge',
        from: { value: 0, dimension: 'force' },
        to: { value: 100, dimension: 'force' },
        resolution: { value: 0.5, dimension: 'force' },
        uncertainty: null,
        why: 'for the push',
        runs: ['unwanted-movement-push-1'],
      },
      {
        id: 'stop',
        name: 'Low stop',
        instrument: null,
        from: null,
        to: null,
        resolution: null,
        uncertainty: null,
        why: 'keeps it from rolling',
        runs: ['overbalance-transport-1'],
      },
    ],
    changes: { planned: 1, byClause: 1 },
    cautions: ['A prediction does not replace the test.'],
  };
}

const OPERATOR = { operator: 'Mara Quist', temperature: '21 degC', photos: [], notes: '' } as const;

export function sampleInstrument(changes: Partial<InstrumentBody> = {}): InstrumentBody {
  return {
    kind: 'instrument',
    instrument: 'force gauge',
    name: 'Gauge 3',
    serial: 'TH-0303',
    certificate: 'C-2026-118',
    calibrated: '2026-03-02',
    due: '2027-03-02',
    uncertainty: '0.4 N',
    coverage: 2,
    resolution: '0.1 N',
    from: '0 N',
    to: '200 N',
    notes: '',
    ...changes,
  };
}

export const EMPTY_READING: RunReading = {
  direction: null,
  load: null,
  result: null,
  mode: null,
  movement: null,
  forceToMove: null,
  castorLoad: null,
  done: null,
  trace: null,
  note: '',
};

/** Gave way under a push. */
export function pushReading(load: string): RunReading {
  const movement = { elastic: '2 mm', creepage: '1 mm', pivoting: null, further: '63 mm' };
  return { ...EMPTY_READING, load, result: 'gave way', mode: 'slides', movement };
}

export type SampleName =
  | 'project'
  | 'cart A'
  | 'plan A'
  | 'gauge'
  | 'inclinometer'
  | 'scale'
  | 'old tape'
  | 'sample A'
  | 'weighing'
  | 'friction'
  | 'incline run'
  | 'push run'
  | 'diagnosis'
  | 'review'
  | 'cart B'
  | 'plan B'
  | 'sample B'
  | 'retest'
  | 'note'
  | 'incline correction'
  | 'withdrawn note';

export interface SampleProject {
  /** in the order they are sent */
  readonly entries: readonly NewEntry[];
  readonly entry: (name: SampleName) => NewEntry;
  /** id of the record that an entry began */
  readonly id: (name: SampleName) => string;
  /** a further entry of this project: its number, of 100 or more, makes its id */
  readonly further: (
    number: number,
    body: EntryBody,
    follows?: { readonly subject: string; readonly base: string; readonly why?: string },
  ) => NewEntry;
}

interface Step {
  readonly name: SampleName;
  readonly body: EntryBody;
  /** begun by and following these; null: it begins a record */
  readonly follows?: readonly [subject: SampleName, base: SampleName];
  readonly why?: string;
}

/** @param project number of the project: each has ids of its own */
export function sampleProject(project = 1): SampleProject {
  const names = new Map<SampleName, string>();
  const id = (name: SampleName): string => {
    const known = names.get(name);
    if (known === undefined) throw new Error(`sampleProject: ${name} comes later`);
    return known;
  };
  const entries: NewEntry[] = [];
  const add = ({ name, body, follows, why = '' }: Step): void => {
    const own = sampleId(project, entries.length);
    names.set(name, own);
    entries.push({
      id: own,
      project: sampleId(project, 0),
      subject: follows === undefined ? own : id(follows[0]),
      base: follows === undefined ? null : id(follows[1]),
      who: 'Mara Quist',
      at: sampleTime(10 * entries.length),
      why,
      body,
    });
  };
  const taken = () => sampleTime(10 * entries.length - 5);

  add({
    name: 'project',
    body: {
      kind: 'project',
      name: 'Small cart for the lakeside clinic',
      customer: 'Tarn Hollow Instruments',
      notes: '',
    },
  });
  add({ name: 'cart A', body: sampleCart('A', CART_A) });
  add({ name: 'plan A', body: planBody(id('cart A')) });
  add({ name: 'gauge', body: sampleInstrument() });
  add({
    name: 'inclinometer',
    body: sampleInstrument({
      instrument: 'inclinometer',
      name: 'Level 1',
      serial: 'TH-0101',
      uncertainty: '0.05 deg',
      resolution: '0.01 deg',
      from: '-90 deg',
      to: '90 deg',
    }),
  });
  add({
    name: 'scale',
    body: sampleInstrument({
      instrument: 'scale',
      name: 'Pad scale 2',
      serial: 'TH-0202',
      uncertainty: '0.02 kg',
      resolution: '0.02 kg',
      from: '0 kg',
      to: '100 kg',
    }),
  });
  add({
    name: 'old tape',
    body: sampleInstrument({
      instrument: 'tape',
      name: 'Tape 9',
      serial: '',
      due: '2026-10-31',
      uncertainty: '0.5 mm',
      resolution: '1 mm',
      from: '0 mm',
      to: '5 m',
    }),
  });
  add({
    name: 'sample A',
    body: {
      kind: 'sample',
      name: 'First cart',
      serial: '0001',
      cart: id('cart A'),
      condition: 'as built',
      received: '2026-11-23',
      photos: [SAMPLE_FILES.photo.attachment],
      notes: '',
    },
  });
  add({
    name: 'weighing',
    body: {
      kind: 'weighing',
      sample: id('sample A'),
      position: 'transport',
      movers: { lift: '0 mm', arm: '0 deg' },
      loads: { bag: '3 kg', supplies: '0 kg' },
      swivels: { 'front left': '180 deg', 'front right': '180 deg' },
      scales: [
        {
          instrument: id('scale'),
          despite: null,
          castors: ['front left', 'front right', 'rear'],
        },
      ],
      contactUncertainty: '1 mm',
      // statics of the small cart, 28 kg at 0.34 m, rounded to the scale's 0.02 kg
      repeats: [
        [
          { castor: 'front left', shown: '7.82 kg' },
          { castor: 'front right', shown: '7.14 kg' },
          { castor: 'rear', shown: '13.04 kg' },
        ],
        [
          { castor: 'front left', shown: '7.84 kg' },
          { castor: 'front right', shown: '7.12 kg' },
          { castor: 'rear', shown: '13.04 kg' },
        ],
      ],
      tilt: {
        inclinometer: { instrument: id('inclinometer'), despite: null },
        lifted: ['front left', 'front right'],
        axisHeight: '50 mm',
        axisHeightUncertainty: '1 mm',
        tilts: (
          [
            ['3 deg', 'up', '13.94 kg'],
            ['6 deg', 'up', '14.86 kg'],
            ['9 deg', 'up', '15.78 kg'],
            ['6 deg', 'down', '14.88 kg'],
            ['3 deg', 'down', '13.96 kg'],
          ] as const
        ).map(([angle, way, shown]) => ({ angle, way, lower: [{ castor: 'rear', shown }] })),
      },
      taken: taken(),
      ...OPERATOR,
    },
  });
  add({
    name: 'friction',
    body: {
      kind: 'friction',
      sample: id('sample A'),
      tread: 'grey rubber',
      floor: 'vinyl on concrete',
      instruments: [
        { instrument: id('inclinometer'), despite: null },
        { instrument: id('gauge'), despite: null },
      ],
      readings: [
        { kind: 'slip angle', angle: '30.5 deg' },
        { kind: 'slip angle', angle: '31.2 deg' },
        { kind: 'pull', force: '36 lbf', mass: '28 kg' },
      ],
      taken: taken(),
      ...OPERATOR,
    },
  });
  add({
    name: 'incline run',
    body: runBody('overbalance-transport-1', 'inclinometer', [
      { ...EMPTY_READING, load: '12.4 deg', result: 'held' },
    ]),
  });
  add({
    name: 'push run',
    body: runBody('unwanted-movement-push-1', 'gauge', [
      pushReading('8.4 lbf'),
      pushReading('36.9 N'),
      {
        ...pushReading('37.8 N'),
        trace: {
          file: SAMPLE_FILES.gauge.attachment,
          peak: { time: 1, force: 41.2 },
          hold: null,
          onset: { time: 0.92, force: 37.9, u: 0.6, timeU: 0.02 },
          overruled: { time: 0.9, force: 37.8, u: 0.5, reason: 'seen on the video' },
        },
      },
    ]),
  });
  add({
    name: 'diagnosis',
    body: {
      kind: 'diagnosis',
      run: id('push run'),
      mechanism: 'It turns about the two locked castors; the free one rolls.',
      proposed: ['lock the front right castor too', 'a tread that grips better'],
      chosen: 'lock the front right castor too',
      edits: [
        {
          kind: 'castor lock',
          castor: 'front right',
          lock: 'total',
          brakeTorque: 12,
          lockDirections: null,
        },
      ],
    },
  });
  add({
    name: 'review',
    body: { kind: 'review', statement: 'Seen and agreed.' },
    follows: ['push run', 'push run'],
  });
  add({
    name: 'cart B',
    body: {
      ...sampleCart('B', CART_B),
      follows: id('cart A'),
      because: [id('push run'), id('diagnosis')],
      change: 'The front right castor locks too.',
    },
  });
  add({ name: 'plan B', body: planBody(id('cart B')) });
  add({
    name: 'sample B',
    body: {
      kind: 'sample',
      name: 'First cart, rebuilt',
      serial: '0001',
      cart: id('cart B'),
      condition: 'front right castor changed',
      received: null,
      photos: [],
      notes: '',
    },
  });
  add({
    name: 'retest',
    body: {
      ...runBody('unwanted-movement-push-1', 'gauge', [
        { ...EMPTY_READING, load: '46 N', result: 'held' },
      ]),
      plan: id('plan B'),
      sample: id('sample B'),
      retestOf: id('push run'),
    },
  });
  add({
    name: 'note',
    body: { kind: 'note', about: id('sample B'), text: 'Written for the wrong cart.', photos: [] },
  });
  add({
    name: 'incline correction',
    body: runBody('overbalance-transport-1', 'inclinometer', [
      { ...EMPTY_READING, load: '12.1 deg', result: 'held' },
    ]),
    follows: ['incline run', 'incline run'],
    why: 'misread',
  });
  add({
    name: 'withdrawn note',
    body: { kind: 'withdrawal' },
    follows: ['note', 'note'],
    why: 'of another cart',
  });

  return {
    entries,
    id,
    entry: (name) => {
      const found = entries.find((entry) => entry.id === id(name));
      if (found === undefined) throw new Error(`sampleProject: no ${name}`);
      return found;
    },
    further: (number, body, follows) => {
      const own = sampleId(project, number);
      return {
        id: own,
        project: sampleId(project, 0),
        subject: follows?.subject ?? own,
        base: follows?.base ?? null,
        who: 'Ivo Tarn',
        at: sampleTime(10 * number),
        why: follows?.why ?? '',
        body,
      };
    },
  };

  function runBody(
    run: string,
    instrument: 'gauge' | 'inclinometer',
    readings: readonly RunReading[],
  ): RunBody {
    return {
      kind: 'run',
      plan: id('plan A'),
      run,
      sample: id('sample A'),
      instruments: [{ instrument: id(instrument), despite: null }],
      readings,
      deviations: '',
      retestOf: null,
      taken: taken(),
      ...OPERATOR,
    };
  }
}

function sampleCart(revision: string, text: string): CartBody {
  return {
    kind: 'cart',
    revision,
    file: `small-${revision.toLowerCase()}.cart.yaml`,
    text,
    partsLists: [],
    follows: null,
    because: [],
    change: '',
    edits: [],
  };
}

function planBody(cart: string): PlanBody {
  return { kind: 'plan', name: 'Stability', cart, plan: samplePlan(), program: '0.2.0' };
}

/** The entries as a store would have kept them. */
export function keptEntries(entries: readonly NewEntry[]): readonly KeptEntry[] {
  const kept: KeptEntry[] = [];
  for (const entry of entries) kept.push(chained(entry, kept.at(-1) ?? null, entry.at));
  return kept;
}
