/** What is known of a data sheet before anything is measured. */

import type { Cart } from '../document/index.js';
import type { Measure, TestRun } from '../test-plan/index.js';
import { runWords } from '../test-plan/index.js';
import type {
  ContentOf,
  InstrumentBody,
  PlanBody,
  ProjectState,
  RecordState,
  RunReading,
  SampleBody,
} from '../test-record/index.js';
import { isExpired, recordsOf } from '../test-record/index.js';
import type { UnitSystem } from '../units/index.js';
import { LEFT_OUT } from './data-sheet-writing.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

export interface Known {
  readonly values: Readonly<Record<string, unknown>>;
  readonly heading: readonly string[];
}

type Kind = Parameters<typeof recordsOf>[1];

/** Records that count, in the order they were begun. */
export function valid<K extends Kind>(
  state: ProjectState,
  kind: K,
): readonly RecordState<ContentOf<K>>[] {
  return recordsOf(state, kind).filter(({ withdrawn }) => !withdrawn);
}

export function newest<K extends Kind>(
  state: ProjectState,
  kind: K,
): RecordState<ContentOf<K>> | null {
  return valid(state, kind).at(-1) ?? null;
}

/** The one there is; of several none, since a guess would be overlooked. */
function only<K extends Kind>(state: ProjectState, kind: K): RecordState<ContentOf<K>> | null {
  const [first, second] = valid(state, kind);
  return second === undefined ? (first ?? null) : null;
}

/** Instruments of some kinds, as they are written down when used on a day. */
function instrumentsFor(state: ProjectState, kinds: readonly string[], day: string) {
  return valid(state, 'instrument')
    .filter(({ content }) => kinds.includes(content.instrument))
    .map(({ subject, content }) => ({
      instrument: subject,
      despite: isExpired(content.due, day) ? '' : null,
    }));
}

function expiredWords(state: ProjectState, kinds: readonly string[], day: string): string[] {
  const expired = valid(state, 'instrument').filter(
    ({ content }) => kinds.includes(content.instrument) && isExpired(content.due, day),
  );
  return expired.map(
    ({ content }) =>
      `${nameOf(content)} was due for calibration on ${content.due}: use another, or say despite what.`,
  );
}

function nameOf({ instrument, name, serial }: InstrumentBody): string {
  return `${instrument} ${name}${serial === '' ? '' : ` (${serial})`}`;
}

export function sampleKnown(state: ProjectState): Known {
  return { values: { cart: newest(state, 'cart')?.subject }, heading: [] };
}

/** A revision after those that are there: B after A, 3 after 2; null: it has to be named. */
export function nextRevision(state: ProjectState): string | null {
  const last = newest(state, 'cart');
  if (last === null) return 'A';
  const { revision } = last.content;
  if (/^[A-Y]$/.test(revision)) return String.fromCharCode(revision.charCodeAt(0) + 1);
  return /^\d{1,6}$/.test(revision) ? String(Number(revision) + 1) : null;
}

export function cartKnown(state: ProjectState): Known {
  const values = { revision: nextRevision(state), follows: newest(state, 'cart')?.subject };
  return { values, heading: [] };
}

/** @param cart of the sample's revision; null: none is there */
export function weighingKnown(state: ProjectState, cart: Cart | null, day: string): Known {
  const castors = cart?.castors.map(({ name }) => name) ?? [];
  const swivelling = cart?.castors.filter(({ fixedDirection }) => fixedDirection === null) ?? [];
  const blank = (names: readonly string[]) => Object.fromEntries(names.map((name) => [name, null]));
  const shown = castors.map((castor) => ({ castor, shown: null }));
  const scales = instrumentsFor(state, ['scale'], day).map((each, _, all) => ({
    ...each,
    castors: all.length === 1 ? castors : [],
  }));
  const tilts = ['up', 'up', 'up', 'down', 'down', 'down'].map((way) => ({ way, lower: shown }));
  return {
    values: {
      sample: only(state, 'sample')?.subject,
      position: cart?.positions[0]?.name,
      movers: blank(cart?.movers.map(({ name }) => name) ?? []),
      loads: blank(cart?.loads.map(({ name }) => name) ?? []),
      swivels: blank(swivelling.map(({ name }) => name)),
      scales: scales.length === 0 ? [{ castors }] : scales,
      repeats: [shown, shown],
      tilt: { inclinometer: instrumentsFor(state, ['inclinometer'], day)[0], lifted: [], tilts },
    },
    heading: [
      '',
      'Under "lower" fill in the castors that stay down only, and leave those lifted blank.',
      ...expiredWords(state, ['scale', 'inclinometer'], day),
      '',
    ],
  };
}

export function frictionKnown(state: ProjectState, cart: Cart | null, day: string): Known {
  const treads = [...new Set(cart?.castors.map(({ tread }) => tread) ?? [])];
  const kinds = ['inclinometer', 'force gauge'];
  return {
    values: {
      sample: only(state, 'sample')?.subject,
      tread: treads.length === 1 ? treads[0] : undefined,
      instruments: instrumentsFor(state, kinds, day),
      readings: [1, 2, 3].map(() => ({ kind: 'slip angle' })),
    },
    heading: [
      ...(treads.length > 1 ? [`Treads of the cart: ${treads.join(', ')}.`] : []),
      ...expiredWords(state, kinds, day),
    ],
  };
}

/** A run of the newest plan that has it. */
export function plannedRun(
  state: ProjectState,
  id: string,
): Outcome<{ readonly plan: RecordState<PlanBody>; readonly run: TestRun }> {
  const plans = [...valid(state, 'plan')].reverse();
  for (const plan of plans) {
    const run = plan.content.plan.runs.find((each) => each.id === id);
    if (run !== undefined) return fine({ plan, run });
  }
  const [last] = plans;
  if (last === undefined) return bad('--run: there is no plan yet; allowed: first records plan');
  const allowed = last.content.plan.runs.map((each) => each.id).join(', ');
  const what = id === '' ? 'is missing' : `${id} is no run of any plan`;
  return bad(`--run: ${what}; allowed: ${allowed}`);
}

export function runKnown(
  state: ProjectState,
  plan: RecordState<PlanBody>,
  run: TestRun,
  { units, day }: { readonly units: UnitSystem; readonly day: string },
): Known {
  const kinds = plan.content.plan.equipment
    .filter(({ runs }) => runs.includes(run.id))
    .flatMap(({ instrument }) => (instrument === null ? [] : [instrument]));
  return {
    values: {
      plan: plan.subject,
      run: run.id,
      sample: sampleOf(state, plan)?.subject,
      instruments: instrumentsFor(state, kinds, day),
      readings: Array.from({ length: run.repeats }, () => blankReading(run)),
      retestOf: undefined,
    },
    heading: runHeading(run, units, expiredWords(state, kinds, day)),
  };
}

/** Of the revision that the plan is for. */
function sampleOf(
  state: ProjectState,
  { content: { cart } }: RecordState<PlanBody>,
): RecordState<SampleBody> | null {
  const samples = valid(state, 'sample').filter(({ content }) => content.cart === cart);
  return samples.length === 1 ? (samples[0] ?? null) : null;
}

type ReadingField = keyof RunReading;

/** What is written down of each measure, besides a note. */
const FIELDS_OF: Readonly<Record<Measure, readonly ReadingField[]>> = {
  'load held': ['load', 'result', 'mode'],
  'further movement': ['result', 'mode', 'movement'],
  'force to move': ['forceToMove'],
  'castor load': ['castorLoad'],
  outcome: ['done'],
};
const READING_FIELDS: readonly ReadingField[] = [
  'direction',
  'load',
  'result',
  'mode',
  'movement',
  'forceToMove',
  'castorLoad',
  'done',
  'trace',
];
const GAUGED: readonly TestRun['loading']['kind'][] = ['push', 'press', 'propulsion', 'lifting'];

/** Shows the fields that its criteria are decided by. */
function blankReading(run: TestRun): Partial<Record<ReadingField, unknown>> {
  const shown = new Set(run.criteria.flatMap(({ measure }) => FIELDS_OF[measure]));
  if (GAUGED.includes(run.loading.kind)) shown.add('trace');
  const others = READING_FIELDS.filter((field) => !shown.has(field));
  return Object.fromEntries(others.map((field) => [field, LEFT_OUT]));
}

function runHeading(run: TestRun, units: UnitSystem, expired: readonly string[]): string[] {
  const words = runWords(run, units);
  const list = (texts: readonly string[]) => texts.map((text) => `  - ${text}`);
  return [
    '',
    `${run.id}: ${run.title} (${run.clause}), ${run.purpose}`,
    `Asked: ${run.asks}`,
    '',
    'Set-up',
    ...words.setUp.map(({ label, text }) => `  ${label}: ${text}`),
    '',
    'Steps',
    ...words.steps.map((step, i) => `  ${i + 1}. ${step}`),
    '',
    `Loading: ${words.loading}`,
    `Predicted by the model, not measured: ${words.prediction}`,
    '',
    'Accepted when',
    ...list(words.acceptance),
    'Write down',
    ...list(words.record),
    ...(run.cautions.length === 0 ? [] : ['', 'Take care', ...list(run.cautions)]),
    ...(expired.length === 0 ? [] : ['', ...expired]),
    '',
  ];
}
