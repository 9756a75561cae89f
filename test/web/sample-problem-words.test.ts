import { describe, expect, it } from 'vitest';
import { readCart } from '../../src/document/index.js';
import type { EntryBody } from '../../src/test-record/index.js';
import { readEntry } from '../../src/test-record/index.js';
import { newConditions } from '../../src/web/test-day/sample/conditions-draft.js';
import type { FrictionDraft } from '../../src/web/test-day/sample/friction-draft.js';
import { frictionBodyOf, slipRow } from '../../src/web/test-day/sample/friction-draft.js';
import type { PlaceOf } from '../../src/web/test-day/sample/problem-words.js';
import {
  frictionPlace,
  problemWords,
  weighingPlace,
} from '../../src/web/test-day/sample/problem-words.js';
import type { WeighingDraft } from '../../src/web/test-day/sample/weighing-draft.js';
import { newWeighing, weighingBodyOf } from '../../src/web/test-day/sample/weighing-draft.js';
import { SMALL_CART } from '../document/small-cart.js';
import { sampleProject } from '../test-record/sample-entries.js';

const PROJECT = sampleProject();
const NOW = '2026-11-25T09:00:00.000Z';

function told(body: EntryBody, placeOf: PlaceOf): readonly string[] {
  const read = readEntry({ ...PROJECT.further(100, body), at: '2026-11-26T09:00:00.000Z' });
  return read.kind === 'ok' ? [] : read.problems.map((problem) => problemWords(problem, placeOf));
}

function weighing(changes: Partial<WeighingDraft>): readonly string[] {
  const read = readCart(SMALL_CART, 'small.cart.yaml');
  if (read.kind !== 'ok') throw new Error('the small cart is refused');
  const cart = read.value;
  const start = { cart, units: 'SI', operator: 'Mara Quist', now: NOW, instruments: [] } as const;
  const draft = { ...newWeighing(start), ...changes };
  const castors = cart.castors.map(({ name }) => name);
  const body = weighingBodyOf(draft, PROJECT.id('sample A'), castors);
  return told(body, weighingPlace(draft, castors));
}

const SCALE = PROJECT.id('scale');
const FILLED: Partial<WeighingDraft> = {
  scaleOf: { 'front left': SCALE, 'front right': SCALE, rear: SCALE },
  contactUncertainty: '1 mm',
  repeats: [{ 'front left': '7.82', 'front right': '7.14', rear: '13.04' }],
};

describe('what is missing in a weighing', () => {
  it('is nothing where all is filled in', () => {
    expect(weighing(FILLED)).toEqual([]);
  });

  it('is told by the names of the form, not as the record is laid out', () => {
    expect(weighing({})).toEqual([
      'Scale under front left, front right, rear: not filled in yet',
      'Standard uncertainty of where a castor stands: not filled in yet',
      'Level weighings filled in: none yet',
    ]);
  });

  it('names the row of the form, empty rows before it or not, and the castor', () => {
    const repeats = [{}, { 'front left': '7.82', rear: 'heavy' }];
    const [empty, wrong, ...others] = weighing({ ...FILLED, repeats });
    expect(empty).toBe('Weighing 2, front right: not filled in yet');
    expect(wrong).toMatch(/^Weighing 2, rear: "heavy" .*allowed: a mass with its unit/);
    expect(others).toEqual([]);
  });

  it('names the tilt and the lower castor', () => {
    const tilts = [
      { angle: '', way: 'up', shown: {} },
      { angle: '', way: 'up', shown: { rear: '14' } },
      { angle: '6', way: 'up', shown: {} },
    ] as const;
    const lifted = ['front left', 'front right'];
    const tilted = { ...FILLED, isTilted: true, inclinometer: PROJECT.id('inclinometer'), lifted };
    expect(weighing({ ...tilted, axisHeightUncertainty: '1 mm', tilts })).toEqual([
      'Tilt 2, angle: not filled in yet',
      'Tilt 3, rear: not filled in yet',
    ]);
    expect(weighing({ ...tilted, lifted: [], tilts: [] })).toEqual([
      'Castors lifted onto blocks: none yet',
      'Standard uncertainty of that height: not filled in yet',
      'Tilts filled in: none yet',
    ]);
  });
});

describe('what is missing in a friction test', () => {
  it('names the reading and what of it', () => {
    const draft: FrictionDraft = {
      ...newConditions('Mara Quist', NOW),
      ...{ tread: '', floor: 'vinyl', instruments: [], forceUnit: 'N', massUnit: 'kg' },
      readings: [slipRow('slip angle'), { ...slipRow('pull'), force: '120' }],
    };
    expect(told(frictionBodyOf(draft, PROJECT.id('sample A')), frictionPlace(draft))).toEqual([
      'Tread: not filled in yet',
      'Reading 2, mass: not filled in yet',
    ]);
  });
});
