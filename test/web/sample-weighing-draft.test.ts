import { describe, expect, it } from 'vitest';
import { poseCart, startPose } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import { readCart } from '../../src/document/index.js';
import type { NewEntry, WeighingBody } from '../../src/test-record/index.js';
import { projectState, readEntry, recordOf, recordsOf } from '../../src/test-record/index.js';
import type { WeighingDraft } from '../../src/web/test-day/sample/weighing-draft.js';
import {
  filledIn,
  keptRepeats,
  keptTilts,
  newWeighing,
  poseOfDraft,
  stateOf,
  tippingTilt,
  weighingBodyOf,
  weighingDraftOf,
} from '../../src/web/test-day/sample/weighing-draft.js';
import { SMALL_CART } from '../document/small-cart.js';
import { keptEntries, sampleProject } from '../test-record/sample-entries.js';

const CART = smallCart();
const CASTORS = CART.castors.map(({ name }) => name);
const PROJECT = sampleProject();
const STATE = projectState(keptEntries(PROJECT.entries));
const NOW = '2026-11-25T09:00:00.000Z';
const DEGREE = Math.PI / 180;

function smallCart(): Cart {
  const read = readCart(SMALL_CART, 'small.cart.yaml');
  if (read.kind !== 'ok') throw new Error('the small cart is refused');
  return read.value;
}

function started(changes: Partial<WeighingDraft> = {}): WeighingDraft {
  const instruments = recordsOf(STATE, 'instrument');
  const start = { cart: CART, units: 'SI', operator: 'Mara Quist', now: NOW, instruments } as const;
  return { ...newWeighing(start), ...changes };
}

function body(draft: WeighingDraft): WeighingBody {
  return weighingBodyOf(draft, PROJECT.id('sample A'), CASTORS);
}

function entryOf(content: WeighingBody): NewEntry {
  return { ...PROJECT.further(100, content), at: '2026-11-26T09:00:00.000Z' };
}

const LEVEL = { 'front left': '7.82', 'front right': '7.14', rear: '13.04' };

describe('a new weighing', () => {
  it('begins in the transport position with movers, loads and castors as they are first shown', () => {
    const draft = started();
    expect(draft.position).toBe('transport');
    expect(draft.movers).toEqual({ lift: '0 mm', arm: '0 deg' });
    expect(draft.loads).toEqual({ bag: '3 kg', supplies: '0 kg' });
    // only those that swivel, trailing behind
    expect(draft.swivels).toEqual({ 'front left': '180 deg', 'front right': '180 deg' });
  });

  it('takes the wheel radius for the height of the axles, and nothing where wheels differ', () => {
    expect(started().axisHeight).toBe('50 mm');
    const [first, ...others] = CART.castors;
    if (first === undefined) throw new Error('no castor');
    const uneven = { ...CART, castors: [{ ...first, wheelDiameter: 0.125 }, ...others] };
    const start = { cart: uneven, units: 'SI', operator: '', now: NOW, instruments: [] } as const;
    expect(newWeighing(start).axisHeight).toBe('');
  });

  it('states no uncertainty for the user', () => {
    const draft = started();
    expect([draft.contactUncertainty, draft.axisHeightUncertainty]).toEqual(['', '']);
  });

  it('puts the only scale under every castor, and leaves it open where two are not enough', () => {
    const scale = PROJECT.id('scale');
    expect(Object.values(started().scaleOf)).toEqual([scale, scale, scale]);
    const record = recordOf(STATE, 'instrument', scale);
    if (record === null) throw new Error('no scale');
    const two = [record, { ...record, subject: PROJECT.id('gauge') }];
    const start = { cart: CART, units: 'SI', operator: '', now: NOW, instruments: two } as const;
    expect(Object.values(newWeighing(start).scaleOf)).toEqual(['', '', '']);
  });

  it('writes lengths and masses in the units of the reader', () => {
    const { movers, loads } = stateOf(CART, 'in use', 'US');
    expect(movers).toEqual({ lift: '3.93700787402 in', arm: '0 deg' });
    // 3 kg of 0.45359237 kg
    expect(loads).toMatchObject({ bag: '6.61386786555 lb' });
  });
});

describe('the body of a weighing', () => {
  it('keeps quantities as typed, bare numbers in the unit of the table', () => {
    const repeats = [{ ...LEVEL, rear: '28.75 lb' }];
    const made = body(started({ repeats, contactUncertainty: ' 1/16 in ' }));
    expect(made.repeats).toEqual([
      [
        { castor: 'front left', shown: '7.82 kg' },
        { castor: 'front right', shown: '7.14 kg' },
        { castor: 'rear', shown: '28.75 lb' },
      ],
    ]);
    expect(made.contactUncertainty).toBe('1/16 in');
  });

  it('leaves out rows in which nothing was typed, and no others', () => {
    const draft = started({ repeats: [{}, LEVEL, { rear: ' ' }, { rear: '13' }] });
    expect(keptRepeats(draft)).toEqual([1, 3]);
    expect(body(draft).repeats.map((row) => row.map(({ shown }) => shown))).toEqual([
      ['7.82 kg', '7.14 kg', '13.04 kg'],
      ['', '', '13 kg'],
    ]);
  });

  it('reads the lower castors only, whatever was typed before others were lifted', () => {
    const shown = { ...LEVEL, rear: '13.94' };
    const draft = started({
      isTilted: true,
      lifted: ['front left', 'front right'],
      tilts: [
        { angle: '', way: 'up', shown: { 'front left': '7' } },
        { angle: '3', way: 'down', shown },
      ],
    });
    expect(keptTilts(draft, CASTORS)).toEqual([1]);
    expect(body(draft).tilt?.tilts).toEqual([
      { angle: '3 deg', way: 'down', lower: [{ castor: 'rear', shown: '13.94 kg' }] },
    ]);
  });

  it('is taken by the record when it is filled in, and refused by the empty cell when not', () => {
    const whole = body(started({ repeats: [LEVEL], contactUncertainty: '2 mm' }));
    expect(readEntry(entryOf(whole)).kind).toBe('ok');
    const half = body(started({ repeats: [{ rear: '13' }], contactUncertainty: '2 mm' }));
    const read = readEntry(entryOf(half));
    if (read.kind === 'ok') throw new Error('taken with an empty cell');
    expect(read.problems.map(({ path }) => path)).toEqual([
      ['body', 'repeats', 0, 0, 'shown'],
      ['body', 'repeats', 0, 1, 'shown'],
    ]);
  });

  it('comes back from a record as it was', () => {
    const record = recordOf(STATE, 'weighing', PROJECT.id('weighing'));
    if (record === null) throw new Error('no weighing');
    const draft = weighingDraftOf(record, CART, 'SI');
    expect(draft.repeats[0]).toEqual(LEVEL);
    expect(draft.base).toBe(record.newest);
    expect(body(draft)).toEqual(record.content);
  });

  it('is not filled in where a cell of the row is empty', () => {
    const tilts = [{ angle: '3', way: 'up', shown: {} }] as const;
    const draft = filledIn(
      started({ repeats: [LEVEL, { rear: '13' }], isTilted: true, lifted: ['rear'], tilts }),
      CASTORS,
    );
    expect(draft.repeats).toEqual([LEVEL]);
    expect(draft.isTilted).toBe(false);
  });
});

describe('the drawing of a weighing', () => {
  it('follows what can be read, and stays as first shown where it cannot', () => {
    const typed = started({
      movers: { lift: '100 mm', arm: 'ninety' },
      loads: { bag: '2 kg', supplies: '-1 kg' },
      swivels: { 'front left': '90 deg', 'front right': '' },
    });
    const pose = poseOfDraft(CART, typed);
    expect(pose.movers).toEqual({ lift: 0.1, arm: 0 });
    expect(pose.loads).toEqual({ bag: 2, supplies: 0 });
    expect(pose.swivels['front left']).toBeCloseTo(Math.PI / 2, 12);
    expect(pose.swivels['front right']).toBeCloseTo(Math.PI, 12);
  });

  it('tells the tilt at which the cart falls over its lower castors: tan = distance / height', () => {
    const pose = startPose(CART, 'transport');
    const { centreOfMass, castors } = poseCart(CART, pose);
    const contact = castors.find(({ name }) => name === 'front left')?.contact ?? [0, 0];
    // over the line through both front contacts, rear lifted; the centre of mass lies to the left of it
    // by so little that the way downhill is straight forward all the same
    const expected = Math.atan((contact[0] - centreOfMass[0]) / centreOfMass[2]);
    expect(tippingTilt(CART, pose, ['rear'])).toBeCloseTo(expected, 9);
    expect((expected ?? 0) / DEGREE).toBeGreaterThan(20);
  });

  it('tells no tilt where all castors are lifted, or none', () => {
    const pose = startPose(CART, 'transport');
    expect(tippingTilt(CART, pose, [])).toBeNull();
    expect(tippingTilt(CART, pose, CASTORS)).toBeNull();
  });
});
