/** The verdict of a run from what was read. Budgets are checked against sums of squares done here. */

import { describe, expect, test } from 'vitest';
import { judgeRun } from '../../src/judgement/index.js';
import type { DecisionRule } from '../../src/metrology/index.js';
import type { RunReading } from '../../src/test-record/index.js';
import {
  aRecord,
  aRun,
  criterion,
  DEGREE,
  GUARDED,
  gaveWay,
  held,
  INSTRUMENTS,
  inclineLoading,
  instrumentsWith,
  pushLoading,
  reading,
  SIMPLE,
  trace,
} from './run-record.js';

const TEN = { value: 10 * DEGREE, dimension: 'angle' } as const;
const INCLINE = aRun(inclineLoading(), [criterion('load held', TEN)]);
/** 80 N are asked, 1 m above the floor */
const PUSH = aRun(pushLoading(80, 1), [criterion('load held', { value: 80, dimension: 'force' })]);

function judge(
  readings: readonly RunReading[],
  { run = INCLINE, rule = SIMPLE as DecisionRule, instruments = INSTRUMENTS, record = {} } = {},
) {
  return judgeRun(run, aRecord(readings, record), instruments, rule);
}

/** Inclinometer: U 0.1 deg, k 2, step 0.1 deg. */
const ANGLE_U = Math.hypot(0.05, 0.1 / Math.sqrt(12)) * DEGREE;

describe('held at a load', () => {
  test('10 deg typed meets 10 deg asked by simple acceptance: the rounding of units is no failure', () => {
    const { decision, criteria, stoodAt, gaveWayAt } = judge([held('10 deg')]);
    expect(decision).toBe('pass');
    expect(criteria[0]?.measured?.u).toBeCloseTo(ANGLE_U, 12);
    expect(criteria[0]?.measured?.lines.map(({ source }) => source)).toEqual([
      'calibration of Level 1 (TH-0101)',
      'resolution of Level 1 (TH-0101)',
    ]);
    expect(stoodAt?.value).toBeCloseTo(10 * DEGREE, 12);
    expect(gaveWayAt).toBeNull();
  });

  test('with a guard band of U it has to be held at U above what is asked', () => {
    const U = 2 * ANGLE_U; // 0.115 deg
    expect(judge([held('10.1 deg')], { rule: GUARDED }).decision).toBe('not decided');
    expect(judge([held('10.12 deg')], { rule: GUARDED }).decision).toBe('pass');
    const { criteria } = judge([held('10.1 deg')], { rule: GUARDED });
    expect(criteria[0]?.conformity?.acceptanceLimit).toBeCloseTo(10 * DEGREE + U, 12);
    expect(criteria[0]?.because).toBe(
      'It stood at 10.1 deg (U 0.12 deg, k = 2.00); 10 deg is asked. It passes from 10.12 deg on: load it that far.',
    );
  });

  test('at less than asked it is not decided by any rule: it was not loaded enough to fail', () => {
    for (const rule of [SIMPLE, GUARDED, { kind: 'shared risk', greatestRisk: 0.05 } as const]) {
      const { decision, criteria } = judge([held('8 deg')], { rule });
      expect(decision).toBe('not decided');
      expect(criteria[0]?.conformity?.decision).toBe('not decided');
      expect(criteria[0]?.conformity?.risk).toBeNull();
    }
  });
});

describe('gave way at a load', () => {
  test.each([
    ['9.8 deg', 'fail', 'fail'],
    // within U = 0.115 deg of what is asked
    ['9.9 deg', 'fail', 'not decided'],
    ['10.1 deg', 'pass', 'not decided'],
    ['10.2 deg', 'pass', 'pass'],
  ] as const)('at %s: %s by simple acceptance, %s with a guard band', (load, simple, guarded) => {
    expect(judge([gaveWay(load)]).decision).toBe(simple);
    expect(judge([gaveWay(load)], { rule: GUARDED }).decision).toBe(guarded);
  });

  test('shared risk of 5 % decides from 1.645 u on', () => {
    const rule = { kind: 'shared risk', greatestRisk: 0.05 } as const;
    const at = (inside: number) => `${10 + (inside * ANGLE_U) / DEGREE} deg`;
    expect(judge([gaveWay(at(1.6))], { rule }).decision).toBe('not decided');
    expect(judge([gaveWay(at(1.7))], { rule }).decision).toBe('pass');
    expect(judge([gaveWay(at(-1.7))], { rule }).decision).toBe('fail');
  });

  test('the least favourable of the repeats decides, not the mean', () => {
    const run = { ...INCLINE, repeats: 3 };
    const readings = [held('11 deg'), gaveWay('9.5 deg', 'pivots'), gaveWay('12.5 deg', 'slides')];
    const { decision, criteria, gaveWayAt, stoodAt, seen } = judge(readings, { run });
    expect(decision).toBe('fail');
    expect(criteria[0]?.measured?.value).toBeCloseTo(9.5 * DEGREE, 12);
    expect(criteria[0]?.because).toMatch(/the least favourable of 3 readings \(reading 2\)/);
    // mean of 9.5 and 12.5; s = 3 / sqrt 2, s / sqrt n = 1.5, one degree of freedom
    expect(gaveWayAt?.value).toBeCloseTo(11 * DEGREE, 12);
    const scatter = gaveWayAt?.lines.find(({ type }) => type === 'A');
    expect(scatter?.u).toBeCloseTo(1.5 * DEGREE, 12);
    expect(scatter?.dof).toBe(1);
    expect(gaveWayAt?.u).toBeCloseTo(Math.hypot(1.5 * DEGREE, ANGLE_U), 12);
    expect(stoodAt?.value).toBeCloseTo(11 * DEGREE, 12);
    expect(seen).toEqual(['pivots', 'slides']);
  });

  test('a pass needs every repeat of the plan; a failure does not wait for the rest', () => {
    const run = { ...INCLINE, repeats: 3 };
    const { decision, criteria } = judge([held('11 deg'), held('11 deg')], { run });
    expect(decision).toBe('not decided');
    expect(criteria[0]?.because).toBe(
      '2 of 3 repeats done, and nothing against it so far: the rest is due.',
    );
    expect(judge([gaveWay('8 deg')], { run }).decision).toBe('fail');
  });

  test('a reading without a result, or without a load, keeps a pass from being one', () => {
    const open = judge([held('11 deg'), reading({ load: '11 deg' })]);
    expect(open.decision).toBe('not decided');
    expect(open.criteria[0]?.because).toBe('Reading 2: whether it held is not written down.');
    expect(judge([reading({ result: 'held' })]).criteria[0]?.because).toBe(
      'Reading 1: it held, and which load is not written down.',
    );
    expect(judge([reading({ note: 'rain' })]).decision).toBe('not decided');
    expect(judge([held('80 N')]).criteria[0]?.because).toBe(
      "Reading 1: its load '80 N' is no angle.",
    );
  });
});

describe('a push', () => {
  test('the height of the push is in the budget: dF = F dh / h', () => {
    const { criteria } = judge([gaveWay('90 N')], { run: PUSH });
    const height = (90 / 1) * Math.hypot(0.0005, 0.001 / Math.sqrt(12));
    const gauge = Math.hypot(0.2, 0.1 / Math.sqrt(12));
    expect(criteria[0]?.measured?.u).toBeCloseTo(Math.hypot(height, gauge), 12);
  });

  test('pounds and newtons of the same force are the same: 18 lbf is 80.068 N', () => {
    // 1 lbf = 4.4482216152605 N exactly
    const { criteria } = judge([gaveWay('18 lbf')], { run: PUSH });
    expect(criteria[0]?.measured?.value).toBeCloseTo(18 * 4.4482216152605, 10);
    expect(criteria[0]?.decision).toBe('pass');
  });

  test('where it gave way the onset in the file counts, with its uncertainty and without the display', () => {
    const given = reading({
      load: '84 N',
      result: 'gave way',
      mode: 'slides',
      trace: trace(84, { force: 78, u: 0.6 }),
    });
    const { criteria, decision, remarks } = judge([given], { run: PUSH });
    expect(decision).toBe('fail');
    const height = 78 * Math.hypot(0.0005, 0.001 / Math.sqrt(12));
    expect(criteria[0]?.measured?.u).toBeCloseTo(Math.hypot(0.2, 0.6, height), 12);
    expect(remarks).toContain(
      'Reading 1: 84 N is written down and the onset of slip in the trace is at 78 N: the trace counts',
    );
  });

  test('the onset that the user put in its place counts, and the reason is kept', () => {
    const overruled = { time: 0.9, force: 81, u: 0.5, reason: 'seen on the video' };
    const given = reading({
      result: 'gave way',
      mode: 'slides',
      trace: trace(84, { force: 78, u: 0.6 }, { overruled }),
    });
    const { criteria, remarks } = judge([given], { run: PUSH });
    expect(criteria[0]?.measured?.value).toBe(81);
    expect(remarks.join(' ')).toContain('overruled, 81 N counts: seen on the video');
  });

  test('a trace alone: an onset is a slip; without one somebody has to say whether it held', () => {
    const slipped = judge([reading({ trace: trace(84, { force: 82, u: 0.5 }) })], { run: PUSH });
    expect(slipped.gaveWayAt?.value).toBe(82);
    const open = judge([reading({ trace: trace(84, null) })], { run: PUSH });
    expect(open.criteria[0]?.because).toBe('Reading 1: whether it held is not written down.');
    const level = trace(90, null, { hold: 86 });
    const stood = judge([reading({ result: 'held', trace: level })], { run: PUSH });
    expect(stood.stoodAt?.value).toBe(86);
    expect(stood.decision).toBe('pass');
  });

  test('loaded another way it has to be good too, and is not compared with the prediction', () => {
    const sideways = { ...gaveWay('70 N'), direction: '90 deg' };
    const { decision, gaveWayAt, remarks } = judge([held('88 N'), sideways], { run: PUSH });
    expect(decision).toBe('fail');
    expect(gaveWayAt).toBeNull();
    expect(remarks.join(' ')).toContain('Reading 2 was loaded towards left (90 deg)');
    const byEye = { ...gaveWay('84 N'), direction: '3 deg' };
    expect(judge([byEye], { run: PUSH }).gaveWayAt?.value).toBe(84);
  });
});

describe('what the file of a gauge says against what was written down', () => {
  const cases = [
    ['held at 90 N', { ...held('90 N'), trace: trace(30, null) }, /held at 90 N.*up to 30 N only/],
    [
      'gave way at 90 N',
      { ...gaveWay('90 N'), trace: trace(30, null) },
      /given way at 90 N.*up to 30 N only/,
    ],
    [
      'an onset that the user put above the peak',
      reading({
        result: 'gave way',
        mode: 'slides',
        trace: trace(75, null, { overruled: { time: 1, force: 81, u: 0.5, reason: 'seen' } }),
      }),
      /given way at 81 N.*up to 75 N only/,
    ],
  ] as const;

  test.each(cases)('%s, and the file never comes so far: no pass', (_, given, because) => {
    const { decision, criteria } = judge([given], { run: PUSH });
    expect(decision).toBe('not decided');
    expect(criteria[0]?.because).toMatch(because);
    // a file and a display differ by less than 2 %
    const near = { ...held('90 N'), trace: trace(89, null) };
    expect(judge([near], { run: PUSH }).decision).toBe('pass');
  });

  test('held, and a slip in the file far below that: said', () => {
    const slipped = { ...held('90 N'), trace: trace(91, { force: 50, u: 0.5 }) };
    expect(judge([slipped], { run: PUSH }).remarks).toContain(
      'Reading 1: it is said to have held at 90 N, and the onset of slip in the trace is at 50 N',
    );
    const later = { ...held('90 N'), trace: trace(96, { force: 94, u: 0.5 }) };
    expect(judge([later], { run: PUSH }).remarks).toEqual([]);
  });
});

describe('an uncertainty that is not known', () => {
  const cases = [
    ['no instrument', { record: { instruments: [] } }, /No instrument that measures the angle/],
    [
      'no certificate',
      { instruments: instrumentsWith('level', { uncertainty: null }) },
      /The uncertainty of Level 1 \(TH-0101\) is not stated/,
    ],
    [
      'outside its range',
      { instruments: instrumentsWith('level', { to: '8 deg' }) },
      /The angle of 11 deg lies outside the range of Level 1/,
    ],
  ] as const;

  test.each(cases)('%s: simple acceptance decides with a remark, other rules do not', (...args) => {
    const [, given, remark] = args;
    const simple = judge([held('11 deg')], given);
    expect(simple.decision).toBe('pass');
    expect(simple.uncertaintyKnown).toBe(false);
    expect(simple.criteria[0]?.conformity).toBeNull();
    expect(simple.remarks.join(' ')).toMatch(remark);
    const guarded = judge([held('11 deg')], { ...given, rule: GUARDED });
    expect(guarded.decision).toBe('not decided');
    expect(guarded.criteria[0]?.because).toContain('decides nothing');
    const risky = { kind: 'shared risk', greatestRisk: 0.5 } as const;
    expect(judge([gaveWay('9 deg')], { ...given, rule: risky }).decision).toBe('not decided');
  });

  test('the uncertainty of a certificate is that over its coverage factor', () => {
    const { criteria } = judge([held('11 deg')], {
      instruments: instrumentsWith('level', { uncertainty: '0.12 deg', coverage: 3 }),
    });
    expect(criteria[0]?.measured?.lines[0]?.u).toBeCloseTo(0.04 * DEGREE, 12);
  });

  test('of several instruments of one kind the least certain counts', () => {
    const instruments = new Map([
      ...INSTRUMENTS,
      ...instrumentsWith('level', { name: 'Level 9', uncertainty: '0.4 deg' }),
    ]);
    const both = new Map([...INSTRUMENTS, ['other', instruments.get('level') as never]]);
    const record = {
      instruments: ['level', 'other'].map((instrument) => ({ instrument, despite: null })),
    };
    const { criteria, remarks } = judge([held('11 deg')], { instruments: both, record });
    expect(criteria[0]?.measured?.lines[0]?.u).toBeCloseTo(0.2 * DEGREE, 12);
    expect(remarks.join(' ')).toContain('the least certain counts');
  });

  test('an expired instrument is named with the reason, or that there is none', () => {
    const instruments = instrumentsWith('level', { due: '2026-10-31' });
    const despite = 'checked against Level 2 this morning';
    const used = { instruments: [{ instrument: 'level', despite }] };
    expect(judge([held('11 deg')], { instruments, record: used }).remarks).toEqual([
      `Level 1 (TH-0101) was used past its calibration, which was due on 2026-10-31: ${despite}.`,
    ]);
    expect(judge([held('11 deg')], { instruments }).remarks.join(' ')).toContain(
      'no reason is stated',
    );
  });
});

describe('values that may not be more', () => {
  const movement = (further: string | null, elastic: string | null = '3 mm') =>
    reading({ movement: { elastic, creepage: '1 mm', pivoting: '0 mm', further } });
  const MOVES = aRun(pushLoading(80, 1), [
    criterion('further movement', { value: 0.05, dimension: 'length' }, 'at most'),
  ]);

  test('the greatest of the repeats decides', () => {
    expect(judge([movement('12 mm'), movement('49 mm')], { run: MOVES }).decision).toBe('pass');
    const { decision, criteria } = judge([movement('12 mm'), movement('2 in')], { run: MOVES });
    expect(decision).toBe('fail');
    expect(criteria[0]?.measured?.value).toBeCloseTo(0.0508, 12);
    // tape: U 1 mm, step 1 mm; U = 2 x 0.577 mm
    expect(judge([movement('49 mm')], { run: MOVES, rule: GUARDED }).decision).toBe('not decided');
    expect(judge([movement('48 mm')], { run: MOVES, rule: GUARDED }).decision).toBe('pass');
  });

  test('a displacement transducer that was used counts before the tape beside it', () => {
    const instruments = new Map([...INSTRUMENTS]);
    const [tape] = [...instrumentsWith('tape', {}).values()].filter(
      ({ instrument }) => instrument === 'tape',
    );
    if (tape === undefined) throw new Error('no tape');
    const better = {
      instrument: 'displacement',
      name: 'Transducer 4',
      uncertainty: '0.2 mm',
    } as const;
    instruments.set('transducer', { ...tape, ...better, resolution: '0.1 mm' });
    const used = ['tape', 'transducer'].map((instrument) => ({ instrument, despite: null }));
    const { criteria } = judge([movement('12 mm')], {
      run: MOVES,
      instruments,
      record: { instruments: used },
    });
    const u = Math.hypot(0.0001, 0.0001 / Math.sqrt(12));
    expect(criteria[0]?.measured?.u).toBeCloseTo(u, 12);
  });

  test('what was not split off counts as further movement, and a remark says so', () => {
    const { remarks } = judge([movement('12 mm', null)], { run: MOVES });
    expect(remarks.join(' ')).toContain('Reading 1: elastic not written down');
    expect(judge([movement(null)], { run: MOVES }).decision).toBe('not decided');
  });

  test('the greatest force to move it, from the file where nothing was typed', () => {
    const run = aRun(
      { kind: 'propulsion', height: 1, direction: 0, force: 200, speed: 0.4, speedTolerance: 0.1 },
      [criterion('force to move', { value: 200, dimension: 'force' }, 'at most')],
    );
    const pass = judge([reading({ forceToMove: '90 N' }), reading({ trace: trace(110, null) })], {
      run,
    });
    expect(pass.decision).toBe('pass');
    expect(pass.criteria[0]?.measured?.value).toBe(110);
    expect(pass.valueFound?.value).toBe(100);
    expect(judge([reading({ forceToMove: '46 lbf' })], { run }).decision).toBe('fail');
  });

  test('another way of moving it is no repeat, and is not compared with the prediction', () => {
    const run = aRun(
      { kind: 'propulsion', height: 1, direction: 0, force: 200, speed: 0.4, speedTolerance: 0.1 },
      [criterion('force to move', { value: 200, dimension: 'force' }, 'at most')],
      { repeats: 3 },
    );
    const back = reading({ forceToMove: '40 N', direction: '180 deg' });
    const found = judge([reading({ forceToMove: '90 N' }), back, back], { run });
    expect(found.criteria[0]?.because).toContain('1 of 3 repeats done');
    expect(found.decision).toBe('not decided');
    expect(found.valueFound?.value).toBe(90);
    expect(found.remarks.join(' ')).toContain('Reading 2 was loaded towards back (180 deg)');
    const over = reading({ forceToMove: '210 N', direction: '180 deg' });
    expect(judge([over], { run }).decision).toBe('fail');
    // movement read on a push the other way is none of the run's
    const aside = { ...movement('4 mm'), direction: '90 deg' };
    expect(judge([aside], { run: MOVES }).decision).toBe('not decided');
  });

  test('the peak of the file counts where it is clearly more than what was written down', () => {
    const run = aRun(
      { kind: 'propulsion', height: 1, direction: 0, force: 150, speed: 0.4, speedTolerance: 0.1 },
      [criterion('force to move', { value: 150, dimension: 'force' }, 'at most')],
    );
    const both = (peak: number) => reading({ forceToMove: '90 N', trace: trace(peak, null) });
    const { decision, remarks } = judge([both(180)], { run });
    expect(decision).toBe('fail');
    expect(remarks).toContain(
      'Reading 1: 90 N is written down and the peak of the trace is 180 N: the trace counts',
    );
    expect(judge([both(91)], { run }).criteria[0]?.measured?.value).toBe(90);
    const tipped = {
      ...reading({ forceToMove: '90 N', result: 'gave way' }),
      mode: 'tips',
    } as const;
    expect(judge([tipped], { run }).remarks).toContain(
      'Reading 1: it gave way (tips), which decides nothing in such a run.',
    );
  });

  test('a castor against its rating; without a rating nothing is decided', () => {
    const loading = { kind: 'weighing', castor: 'front left', removed: false } as const;
    const rated = aRun(loading, [
      criterion('castor load', { value: 60, dimension: 'mass' }, 'at most'),
    ]);
    expect(judge([reading({ castorLoad: '59.9 kg' })], { run: rated }).decision).toBe('pass');
    expect(judge([reading({ castorLoad: '60.1 kg' })], { run: rated }).decision).toBe('fail');
    const unrated = aRun(loading, [criterion('castor load', null, 'at most')]);
    const open = judge([reading({ castorLoad: '59.9 kg' })], { run: unrated });
    expect(open.decision).toBe('not decided');
    expect(open.criteria[0]?.because).toContain('not stated');
  });
});

describe('done or not done', () => {
  const run = aRun({ kind: 'lifting', handle: 'grip', force: 900, duration: 60 }, [
    criterion('outcome', null),
  ]);

  test.each([
    [[true], 'pass'],
    [[true, false], 'fail'],
    [[null], 'not decided'],
    [[], 'not decided'],
  ] as const)('%j is %s', (done, decision) => {
    const readings = done.map((each) => reading({ done: each, note: 'x' }));
    expect(judge(readings, { run }).decision).toBe(decision);
  });

  const over = aRun(
    {
      kind: 'threshold',
      height: 0.01,
      width: null,
      direction: 0,
      speed: 0.8,
      speedTolerance: 0.1,
      passes: 10,
    },
    [criterion('outcome', null)],
  );

  test.each([
    ['met, and gave way', over, { done: true, result: 'gave way', mode: 'tips' }, /to have given/],
    ['gave way, and no word of it', over, { result: 'gave way', mode: 'tips' }, /it gave way/],
    ['lifted with less', run, { done: true, load: '100 N', result: 'held' }, /with 100 N, and 900/],
    ['lifted, and gave way', run, { done: true, result: 'gave way', mode: 'other' }, /given way/],
  ] as const)('%s: no pass', (_, tested, given, because) => {
    const { decision, criteria } = judge([reading(given)], { run: tested });
    expect(decision).toBe('not decided');
    expect(criteria[0]?.because).toMatch(because);
  });

  test('as often as the plan asks', () => {
    const twice = { ...run, repeats: 2 };
    const { decision, criteria } = judge([reading({ done: true })], { run: twice });
    expect(decision).toBe('not decided');
    expect(criteria[0]?.because).toContain('1 of 2 repeats done');
    const both = [reading({ done: true }), reading({ done: true })];
    expect(judge(both, { run: twice }).decision).toBe('pass');
  });

  test('a handle that gave way beyond what is asked has borne it', () => {
    const given = { done: true, load: '1100 N', result: 'gave way', mode: 'other' } as const;
    expect(judge([reading(given)], { run }).decision).toBe('pass');
    // what is asked is printed with four digits, and typed as it is printed
    expect(judge([reading({ done: true, load: '899.9 N' })], { run }).decision).toBe('pass');
  });

  test('a run with several criteria passes by all of them', () => {
    const both = aRun(pushLoading(80, 1), [
      criterion('load held', { value: 80, dimension: 'force' }),
      criterion('further movement', { value: 0.05, dimension: 'length' }, 'at most'),
    ]);
    const moved = { elastic: '1 mm', creepage: '0 mm', pivoting: '0 mm', further: '4 mm' };
    expect(judge([{ ...held('88 N'), movement: moved }], { run: both }).decision).toBe('pass');
    expect(judge([held('88 N')], { run: both }).decision).toBe('not decided');
    expect(
      judge([{ ...held('88 N'), movement: { ...moved, further: '60 mm' } }], { run: both })
        .decision,
    ).toBe('fail');
    expect(judge([held('88 N')], { run: { ...both, criteria: [] } }).decision).toBe('not decided');
  });
});

describe('what the plan asks for besides what is read', () => {
  test.each([
    [{ down: 100 }, /The downward force of 100 N is not read off/],
    [{ slant: 12 * DEGREE }, /The slant of 12 deg is not read off/],
  ])('is told: %o', (besides, words) => {
    const run = { ...PUSH, loading: { ...pushLoading(80, 1), ...besides } };
    const plain = judge([held('80 N')], { run: PUSH });
    expect(judge([held('80 N')], { run }).remarks.join(' ')).toMatch(words);
    expect(plain.remarks.join(' ')).not.toMatch(/is not read off/);
  });
});
