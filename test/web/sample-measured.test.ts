import { describe, expect, it } from 'vitest';
import type { Cart } from '../../src/document/index.js';
import { readCart } from '../../src/document/index.js';
import { expanded } from '../../src/metrology/index.js';
import type { Prediction } from '../../src/test-plan/index.js';
import type { EntryBody, NewEntry } from '../../src/test-record/index.js';
import { projectState, recordOf } from '../../src/test-record/index.js';
import {
  cartAsMeasured,
  frictionTestsOf,
  measuredKey,
  measuredSample,
  newestByTread,
  weighingsOf,
} from '../../src/web/test-day/sample/measured-model.js';
import {
  changeCountWords,
  predictionChanges,
} from '../../src/web/test-day/sample/prediction-changes.js';
import { sampleBodyOf, sampleDraftOf } from '../../src/web/test-day/sample/sample-draft.js';
import { sourceWords } from '../../src/web/test-day/sample/source-words.js';
import { SMALL_CART } from '../document/small-cart.js';
import { keptEntries, samplePlan, sampleProject } from '../test-record/sample-entries.js';

const PROJECT = sampleProject();
const SAMPLE = PROJECT.id('sample A');
const CART = smallCart();

function smallCart(): Cart {
  const read = readCart(SMALL_CART, 'small.cart.yaml');
  if (read.kind !== 'ok') throw new Error('the small cart is refused');
  return read.value;
}

function stateWith(...more: readonly NewEntry[]) {
  return projectState(keptEntries([...PROJECT.entries, ...more]));
}

function contentOf(name: 'weighing' | 'friction'): EntryBody {
  return PROJECT.entry(name).body;
}

/** The slip angles of the friction test alone, later. */
function slipAngles(number: number): NewEntry {
  const body = contentOf('friction');
  if (body.kind !== 'friction') throw new Error('no friction test');
  const readings = body.readings.filter(({ kind }) => kind === 'slip angle');
  return PROJECT.further(number, { ...body, readings, taken: '2026-11-25T16:00:00.000Z' });
}

function withdrawn(number: number, name: 'weighing' | 'friction'): NewEntry {
  const subject = PROJECT.id(name);
  const follows = { subject, base: PROJECT.entry(name).id, why: 'A castor turned.' };
  return PROJECT.further(number, { kind: 'withdrawal' }, follows);
}

describe('what counts of the measurements of a sample', () => {
  it('is the newest weighing by when it was done, not by when it was written', () => {
    const body = contentOf('weighing');
    if (body.kind !== 'weighing') throw new Error('no weighing');
    const earlier = PROJECT.further(100, { ...body, taken: '2026-11-25T07:00:00.000Z' });
    const records = weighingsOf(stateWith(earlier), SAMPLE);
    expect(records.map(({ subject }) => subject)).toEqual([PROJECT.id('weighing'), earlier.id]);
    expect(weighingsOf(stateWith(), PROJECT.id('sample B'))).toEqual([]);
  });

  it('is not one that was withdrawn', () => {
    const state = stateWith(withdrawn(100, 'weighing'));
    const measured = measuredSample(state, CART, SAMPLE);
    expect([measured.weighing, measured.reconciliation]).toEqual([null, null]);
    expect(weighingsOf(state, SAMPLE)).toHaveLength(1);
  });

  it('is the newest friction test of each tread', () => {
    const again = slipAngles(100);
    const state = stateWith(again);
    const counting = newestByTread(frictionTestsOf(state, SAMPLE));
    expect(counting.map(({ subject }) => subject)).toEqual([again.id]);
    expect(
      measuredSample(state, CART, SAMPLE).friction.map(({ record }) => record.subject),
    ).toEqual([again.id]);
  });

  it('has another key as soon as any of it changes', () => {
    const keys = [
      measuredSample(stateWith(), CART, SAMPLE),
      measuredSample(stateWith(withdrawn(100, 'weighing')), CART, SAMPLE),
      measuredSample(stateWith(withdrawn(100, 'friction')), CART, SAMPLE),
    ].map(measuredKey);
    expect(new Set(keys).size).toBe(3);
  });
});

describe('the cart as measured', () => {
  it('has the friction that was measured, its expanded uncertainty as the tolerance', () => {
    const measured = measuredSample(stateWith(slipAngles(100)), CART, SAMPLE);
    const [counting] = measured.friction;
    if (counting?.outcome.kind !== 'ok') throw new Error('comes to no result');
    const { coefficient } = counting.outcome.result;
    // tan 30.5 deg and tan 31.2 deg
    expect(coefficient.value).toBeCloseTo((0.589_045 + 0.605_622) / 2, 5);
    const made = cartAsMeasured(CART, measured);
    expect(made.kind === 'ok' && made.cart.floor.friction[0]).toMatchObject({
      tread: 'grey rubber',
      value: coefficient.value,
      tolerance: expanded(coefficient).U,
      basis: 'measured',
    });
  });

  it('keeps the friction of the file where a test comes to nothing, and says why', () => {
    // pulled, and no scale is named
    const measured = measuredSample(stateWith(), CART, SAMPLE);
    expect(measured.problems[0]).toMatch(/^Friction of grey rubber: .*scale/);
    const made = cartAsMeasured(CART, measured);
    expect(made.kind === 'ok' && made.cart.floor.friction).toEqual(CART.floor.friction);
  });

  it('is not there where nothing counts', () => {
    const state = stateWith(withdrawn(100, 'weighing'), withdrawn(101, 'friction'));
    expect(cartAsMeasured(CART, measuredSample(state, CART, SAMPLE)).kind).toBe('nothing measured');
  });

  it('is refused in words where a coefficient is not known to better than itself', () => {
    const measured = measuredSample(stateWith(), CART, SAMPLE);
    const record = measured.friction[0]?.record;
    if (record === undefined) throw new Error('no friction test');
    const coefficient = { value: 0.5, u: 0.3, dof: null, lines: [] };
    const result = { coefficient, each: [0.5], spread: null, remarks: [] };
    const friction = [{ record, outcome: { kind: 'ok', result } as const }];
    const made = cartAsMeasured(CART, { ...measured, friction });
    expect(made).toMatchObject({ kind: 'refused' });
    expect(made.kind === 'refused' && made.reason).toMatch(
      /^friction of 'grey rubber' 0.5, U 0.6;/,
    );
  });
});

describe('predictions made again', () => {
  const { runs } = samplePlan();
  const again = (verdicts: readonly Prediction['verdict'][]) =>
    runs.map((run, i): Prediction => ({ ...run.prediction, verdict: verdicts[i] ?? 'holds' }));

  it('are set beside those of the plan, run by run', () => {
    const planned = runs.map(({ prediction }) => prediction.verdict);
    expect(
      changeCountWords(
        predictionChanges(
          runs,
          runs.map((r) => r.prediction),
          'SI',
        ),
      ),
    ).toBe(`No verdict changes in ${runs.length} runs.`);
    const turned = planned.map((verdict, i) => (i === 0 ? 'not decided' : verdict));
    const changes = predictionChanges(runs, again(turned), 'SI');
    expect(changes.map(({ isChanged }) => isChanged)).toEqual([true, false]);
    expect(changes[0]?.measuredWords).toContain('not decided');
    expect(changeCountWords(changes)).toBe('The predicted verdict changes in 1 of 2 runs.');
  });

  it('leave out runs that were not predicted again', () => {
    expect(predictionChanges(runs, [], 'SI')).toEqual([]);
  });
});

describe('a sample', () => {
  it('comes back from its record as it was', () => {
    const record = recordOf(stateWith(), 'sample', SAMPLE);
    if (record === null) throw new Error('no sample');
    expect(sampleBodyOf(sampleDraftOf(record))).toEqual(record.content);
  });
});

describe('the source of an uncertainty', () => {
  it('has the name of a scale, not the id of its record', () => {
    const state = stateWith();
    const scale = recordOf(state, 'instrument', PROJECT.id('scale'))?.content;
    const words = sourceWords(`scale '${PROJECT.id('scale')}'`, state);
    expect(words).toBe(`scale ${scale?.name} ${scale?.serial}`);
    expect(sourceWords("place of castor 'rear'", state)).toBe("place of castor 'rear'");
    expect(sourceWords("scale 'gone'", state)).toBe("scale 'gone'");
  });
});
