import { describe, expect, it } from 'vitest';
import type { Equipment } from '../../src/test-plan/index.js';
import type { InstrumentBody } from '../../src/test-record/index.js';
import {
  calibrationState,
  calibrationWords,
  dayOf,
} from '../../src/web/test-day/instruments/calibration.js';
import { standingOf, standingWords } from '../../src/web/test-day/instruments/fitting.js';
import {
  bodyOfFields,
  fieldsOf,
  NEW_INSTRUMENT,
} from '../../src/web/test-day/instruments/instrument-fields.js';
import { saidBack } from '../../src/web/test-day/instruments/instrument-kinds.js';

const TODAY = '2026-11-25';

describe('the due date of an instrument', () => {
  const cases = [
    [null, 'no due date'],
    ['2027-06-01', 'in date'],
    ['2026-12-25', 'in date, due in 30 days'],
    ['2026-12-26', 'in date'],
    ['2026-11-26', 'in date, due in 1 day'],
    ['2026-11-25', 'in date, last day today'],
    ['2026-11-24', 'expired 1 day ago'],
    ['2025-11-25', 'expired 365 days ago'],
  ] as const;
  for (const [due, words] of cases) {
    it(`${due ?? 'none'} reads "${words}"`, () => {
      expect(calibrationWords(calibrationState(due, TODAY))).toBe(words);
    });
  }
  it('is judged by the day of the clock that entries carry', () => {
    expect(dayOf('2026-11-25T23:59:00.000Z')).toBe(TODAY);
  });
});

const GAUGE: InstrumentBody = {
  kind: 'instrument',
  instrument: 'force gauge',
  name: 'Gauge 1',
  serial: '7',
  certificate: 'C-1',
  calibrated: '2026-01-01',
  due: '2027-01-01',
  uncertainty: '1 N',
  coverage: 2,
  resolution: '0.1 N',
  from: '0 N',
  to: '500 N',
  notes: '',
};

const NEEDED: Equipment = {
  id: 'force-gauge',
  name: 'force gauge',
  instrument: 'force gauge',
  from: { value: 0, dimension: 'force' },
  to: { value: 250, dimension: 'force' },
  resolution: { value: 0.2, dimension: 'force' },
  uncertainty: { value: 2, dimension: 'force' },
  why: 'pushes',
  runs: ['push-1'],
};

const standing = (change: Partial<InstrumentBody>, needed: Partial<Equipment> = {}) =>
  standingOf({ ...NEEDED, ...needed }, [{ ...GAUGE, ...change }], TODAY);

describe('whether an instrument fits what a plan needs', () => {
  it('fits by range, resolution, uncertainty and date', () => {
    expect(standingWords(standing({}))).toBe('Gauge 1 7: fits, in date');
  });
  it('is of its kind alone', () => {
    expect(standing({ instrument: 'scale' }).kind).toBe('missing');
    expect(standing({}, { instrument: null }).kind).toBe('no instrument');
  });
  it('fits in whichever unit: 57 lbf is 253.5 N, 56 lbf is 249.1 N', () => {
    // 1 lbf = 4.448 221 615 260 5 N, NIST SP 811 (2008), B.8
    expect(standing({ to: '57 lbf' }).kind).toBe('at hand');
    expect(standing({ to: '56 lbf' }).kind).toBe('does not fit');
  });
  it('does not fit where its range ends too soon or begins too late, its steps or uncertainty are too great', () => {
    const words = (change: Partial<InstrumentBody>, needed: Partial<Equipment> = {}) =>
      standingWords(standing(change, needed));
    expect(words({ to: '200 N' })).toBe('Gauge 1 7 (its range ends at 200 N): does not fit');
    expect(words({ from: '20 N' })).toContain('its range begins at 20 N');
    expect(words({ resolution: '0.5 N' })).toContain('its resolution is 0.5 N');
    expect(words({ uncertainty: '3 N' })).toContain('its uncertainty is 3 N');
  });
  it('compares uncertainties at the same coverage: 1.4 N at k = 1 is 2.8 N at k = 2', () => {
    expect(standing({ uncertainty: '1.4 N', coverage: 1 }).kind).toBe('does not fit');
    expect(standing({ uncertainty: '2.8 N', coverage: 3 }).kind).toBe('at hand');
  });
  it('takes a share of the reading at the greatest reading: 1 % of 250 N is 2.5 N', () => {
    expect(standing({ uncertainty: '1 %' }).kind).toBe('does not fit');
    expect(standing({ uncertainty: '0.5 %' }).kind).toBe('at hand');
  });
  it('is not known to fit where something is not stated, never taken as nothing', () => {
    expect(standing({ uncertainty: null }).kind).toBe('not known');
    expect(standing({ to: null }).kind).toBe('not known');
    expect(standing({ resolution: null }, { resolution: null }).kind).toBe('at hand');
  });
  it('is expired the day after its due date', () => {
    expect(standing({ due: TODAY }).kind).toBe('at hand');
    expect(standing({ due: '2026-11-24' }).kind).toBe('expired');
  });
  it('goes by the best of several', () => {
    const old = { ...GAUGE, name: 'Old', due: '2020-01-01' };
    const coarse = { ...GAUGE, name: 'Coarse', resolution: '5 N' };
    expect(standingOf(NEEDED, [coarse, old], TODAY).kind).toBe('expired');
    expect(standingWords(standingOf(NEEDED, [coarse, old, GAUGE], TODAY))).toBe(
      'Gauge 1 7: fits, in date',
    );
  });
});

describe('an instrument in a form', () => {
  it('comes back from the form as it was', () => {
    for (const body of [GAUGE, { ...GAUGE, due: null, uncertainty: null, from: null }]) {
      expect(bodyOfFields(fieldsOf(body))).toEqual(body);
    }
  });
  it('keeps what is no number wrong, so that it is refused', () => {
    expect(bodyOfFields({ ...NEW_INSTRUMENT, coverage: '' }).coverage).toBeNaN();
    expect(bodyOfFields({ ...NEW_INSTRUMENT, coverage: 'two' }).coverage).toBeNaN();
    expect(bodyOfFields({ ...NEW_INSTRUMENT, coverage: '2,5' }).coverage).toBe(2.5);
  });
  it('says a quantity back in both unit systems, or what is wrong with it', () => {
    const said = saidBack('34.2 lbf', 'force', false);
    expect(said.kind).toBe('ok');
    // 34.2 x 4.448 221 615 260 5 N
    expect(said.kind === 'ok' && said.words).toContain('152.1 N');
    expect(saidBack('5 kg', 'force', false).kind).toBe('problem');
    expect(saidBack('0.5 %', 'force', true).kind).toBe('ok');
    expect(saidBack('0.5 %', 'force', false).kind).toBe('problem');
    expect(saidBack('0.5 degC', 'temperature', false).kind).toBe('ok');
    expect(saidBack('12 ohm', null, false).kind).toBe('problem');
    expect(saidBack(' ', 'force', false).kind).toBe('nothing');
  });
});
