import { describe, expect, test } from 'vitest';
import type {
  Admission,
  CartBody,
  EntryBody,
  InstrumentBody,
  NewEntry,
  ProjectState,
  RecordState,
  RunBody,
  SampleBody,
  WeighingBody,
} from '../../src/test-record/index.js';
import {
  admit,
  attachmentsOf,
  instrumentOn,
  isExpired,
  projectState,
  recordOf,
  withEntries,
} from '../../src/test-record/index.js';
import type { SampleName } from './sample-entries.js';
import {
  CART_B,
  EMPTY_READING,
  keptEntries,
  SAMPLE_FILES,
  sampleId,
  sampleInstrument,
  samplePlan,
  sampleProject,
  sampleTime,
} from './sample-entries.js';

const project = sampleProject();
const kept = keptEntries(project.entries);
const state = projectState(kept);

/** The state as it was before an entry came. */
function stateBefore(name: SampleName): ProjectState {
  return projectState(
    kept.slice(
      0,
      kept.findIndex(({ id }) => id === project.entry(name).id),
    ),
  );
}

/** Code and place of every problem, or what came of it. */
function told(admission: Admission): readonly string[] {
  if (admission.kind !== 'refused') return [admission.kind];
  return admission.problems.map(({ code, path }) => `${code} ${path.join('.')}`);
}

function bodyOf<B extends EntryBody>(name: SampleName, changes: Partial<B>): B {
  return { ...(project.entry(name).body as B), ...changes };
}

/** A new record with the body of one that is there, changed. */
function begun<B extends EntryBody>(name: SampleName, changes: Partial<B>): NewEntry {
  return project.further(100, bodyOf(name, changes));
}

/** Further content of a record that is there. */
function next<B extends EntryBody>(name: SampleName, changes: Partial<B>, why = ''): NewEntry {
  const subject = project.id(name);
  const base = state.records.get(subject)?.newest ?? '';
  return project.further(100, bodyOf(name, changes), { subject, base, why });
}

describe('a project', () => {
  const first = project.entry('project');

  test('is admitted entry by entry', () => {
    for (const [i, entry] of project.entries.entries()) {
      const there = i === 0 ? null : projectState(kept.slice(0, i));
      expect(admit(there, entry)).toEqual({ kind: 'admitted' });
    }
  });

  test('begins with its own entry only', () => {
    expect(told(admit(null, project.entry('cart A')))).toEqual(['reference project']);
    expect(told(admit(null, { ...first, subject: sampleId(1, 7) }))).toEqual(['rule id']);
    expect(told(admit(null, { ...first, project: sampleId(1, 7) }))).toEqual(['rule id']);
    expect(told(admit(null, { ...first, base: sampleId(1, 7) }))).toEqual(['rule id']);
  });

  test('is there once, and is not withdrawn', () => {
    expect(told(admit(state, project.further(100, first.body)))).toEqual(['rule body.kind']);
    const withdrawal = { subject: first.id, base: first.id, why: 'by mistake' };
    expect(told(admit(state, project.further(100, { kind: 'withdrawal' }, withdrawal)))).toEqual([
      'rule body.kind',
    ]);
  });

  test('takes nothing of another project', () => {
    const other = sampleProject(2);
    expect(told(admit(state, other.entry('cart A')))).toEqual(['reference project']);
    // the subject of another project under the id of this one
    const moved = { ...other.entry('review'), project: first.id };
    expect(told(admit(state, moved))).toEqual(['reference subject']);
  });
});

describe('an entry sent again', () => {
  test.each(project.entries.map((entry, i) => [i, entry] as const))(
    'is there already (%d)',
    (i, entry) => {
      expect(admit(state, entry)).toEqual({ kind: 'already', entry: kept[i] });
    },
  );

  test('is there already when its keys come in another order', () => {
    const entry = project.entry('review');
    const turned = Object.fromEntries(Object.entries(entry).reverse()) as unknown as NewEntry;
    expect(admit(state, turned).kind).toBe('already');
  });

  test('with another content is refused, whatever record it is of', () => {
    const entry = project.entry('note');
    expect(told(admit(state, { ...entry, who: 'Ivo Tarn' }))).toEqual(['other content id']);
    const elsewhere = { ...project.further(100, entry.body), id: entry.id, subject: entry.id };
    expect(told(admit(state, elsewhere))).toEqual(['other content id']);
    expect(told(admit(state, { ...entry, project: sampleId(2, 0) }))).toEqual(['other content id']);
  });
});

describe('the line of a record', () => {
  test('splits for nobody: an older base is a conflict, with what came since', () => {
    const late = project.further(100, project.entry('push run').body, {
      subject: project.id('push run'),
      base: project.id('push run'),
      why: 'misread',
    });
    const came = kept.filter(({ id }) => id === project.id('review'));
    expect(admit(state, late)).toEqual({ kind: 'conflict', since: came });
  });

  test.each<[string, Partial<NewEntry>, string]>([
    ['of nobody', { subject: sampleId(1, 99), base: sampleId(1, 99) }, 'reference subject'],
    ['on a base of nobody', { base: sampleId(1, 99) }, 'reference base'],
    ['on a base of another record', { base: project.id('cart A') }, 'reference base'],
    ['without a base', { base: null }, 'rule subject'],
  ])('takes no entry %s', (_, changes, place) => {
    expect(told(admit(state, { ...next('sample A', {}), ...changes }))).toEqual([place]);
  });

  test('begins with content, and keeps its kind', () => {
    expect(told(admit(state, project.further(100, { kind: 'withdrawal' })))).toEqual([
      'rule body.kind',
    ]);
    const note = { ...next('sample A', {}), body: project.entry('note').body };
    expect(told(admit(state, note))).toEqual(['rule body.kind']);
  });
});

describe('a reviewed record', () => {
  test('takes content only with a reason', () => {
    expect(told(admit(state, next('push run', {})))).toEqual(['rule why']);
    expect(told(admit(state, next('push run', {}, ' \n')))).toEqual(['rule why']);
    // blanks that are no white space: zero width space, word joiner, soft hyphen, Hangul filler, empty braille
    for (const blank of ['\u200b', '\u2060 \u00ad', '\u3164', '\u2800']) {
      expect(told(admit(state, next('push run', {}, blank)))).toEqual(['rule why']);
    }
    expect(told(admit(state, next('push run', {}, 'misread')))).toEqual(['admitted']);
  });

  test('can be reviewed again, and withdrawn with a reason', () => {
    const follows = { subject: project.id('push run'), base: project.id('review') };
    const review = project.further(100, { kind: 'review', statement: 'Seen too.' }, follows);
    expect(told(admit(state, review))).toEqual(['admitted']);
    const withdrawal = project.further(100, { kind: 'withdrawal' }, follows);
    expect(told(admit(state, withdrawal))).toEqual(['rule why']);
    expect(told(admit(state, { ...withdrawal, why: 'of another cart' }))).toEqual(['admitted']);
  });
});

describe('an instrument that was used', () => {
  test('changes only with a reason: its due date is not moved in silence', () => {
    const later = { due: '2030-01-31' };
    expect(told(admit(state, next('gauge', later)))).toEqual(['rule why']);
    expect(told(admit(state, next('gauge', later, 'calibrated anew')))).toEqual(['admitted']);
    // before anything was done with it, it is still being written down
    const gauge = project.entry('gauge');
    const change = project.further(
      100,
      { ...(gauge.body as InstrumentBody), ...later },
      { subject: gauge.id, base: gauge.id, why: '' },
    );
    expect(told(admit(stateBefore('weighing'), change))).toEqual(['admitted']);
  });
});

describe('a withdrawn record', () => {
  test('takes content with a reason, and nothing else', () => {
    const follows = { subject: project.id('note'), base: project.id('withdrawn note'), why: 'x' };
    const review = project.further(100, { kind: 'review', statement: 'Seen.' }, follows);
    expect(told(admit(state, review))).toEqual(['rule body.kind']);
    const again = project.further(100, { kind: 'withdrawal' }, follows);
    expect(told(admit(state, again))).toEqual(['rule body.kind']);
    expect(told(admit(state, next('note', {})))).toEqual(['rule why']);
    expect(told(admit(state, next('note', {}, 'it was right')))).toEqual(['admitted']);
  });

  const without = withEntries(state, [
    keptAfter({
      ...project.further(
        101,
        { kind: 'withdrawal' },
        { subject: project.id('gauge'), base: project.id('gauge'), why: 'was dropped' },
      ),
    }),
  ]);

  test('is referred to by nothing new', () => {
    expect(told(admit(without, begun('push run', {})))).toEqual([
      'reference body.instruments.0.instrument',
    ]);
  });

  test('stays in a record that refers to it already', () => {
    expect(told(admit(without, next('push run', {}, 'misread')))).toEqual(['admitted']);
  });
});

describe('what an entry refers to', () => {
  const nobody = sampleId(1, 99);

  test.each<[string, NewEntry, readonly string[]]>([
    ['a plan of no cart', begun('plan A', { cart: nobody }), ['reference body.cart']],
    [
      'a plan of a sample',
      begun('plan A', { cart: project.id('sample A') }),
      ['reference body.cart'],
    ],
    ['a sample of no cart', begun('sample A', { cart: nobody }), ['reference body.cart']],
    [
      'a revision of no cart',
      begun<CartBody>('cart B', { revision: 'C', follows: nobody }),
      ['reference body.follows'],
    ],
    [
      'a revision because of an instrument',
      begun<CartBody>('cart B', { revision: 'C', because: [project.id('gauge')] }),
      ['reference body.because.0'],
    ],
    ['a weighing of no sample', begun('weighing', { sample: nobody }), ['reference body.sample']],
    ['a run of no plan', begun('push run', { plan: nobody }), ['reference body.plan']],
    ['a run on no sample', begun('push run', { sample: nobody }), ['reference body.sample']],
    [
      'a run of no run of the plan',
      begun<RunBody>('push run', { run: 'push-9' }),
      ['reference body.run'],
    ],
    [
      'a retest of a weighing',
      begun<RunBody>('retest', { retestOf: project.id('weighing') }),
      ['reference body.retestOf'],
    ],
    [
      'a diagnosis of a plan',
      begun('diagnosis', { run: project.id('plan A') }),
      ['reference body.run'],
    ],
    ['a note about nothing', begun('note', { about: nobody }), ['reference body.about']],
  ])('is there and of its kind: %s is refused', (_, entry, places) => {
    expect(told(admit(state, entry))).toEqual(places);
  });

  test('may be any record for a note', () => {
    for (const subject of state.records.keys()) {
      if (subject === project.id('note')) continue;
      expect(told(admit(state, begun('note', { about: subject })))).toEqual(['admitted']);
    }
  });
});

describe('names', () => {
  test.each<[string, Partial<WeighingBody>, readonly string[]]>([
    ['a position', { position: 'asleep' }, ['reference body.position']],
    [
      'a mover',
      { movers: { lift: '0 mm', arm: '0 deg', wing: '0 deg' } },
      ['reference body.movers.wing'],
    ],
    ['no mover', { movers: { lift: '0 mm' } }, ['value body.movers']],
    [
      'a turn of what slides',
      { movers: { lift: '3 deg', arm: '0 deg' } },
      ['value body.movers.lift'],
    ],
    ['no load', { loads: { bag: '3 kg' } }, ['value body.loads']],
    [
      'the turn of a fixed castor',
      { swivels: { 'front left': '0 deg', 'front right': '0 deg', rear: '0 deg' } },
      ['reference body.swivels.rear'],
    ],
    ['no swivel', { swivels: { 'front left': '0 deg' } }, ['value body.swivels']],
    ['not every castor', { scales: someCastors() }, ['value body.scales']],
  ])('in a weighing are those of the cart, all of them: %s is refused', (_, changes, places) => {
    expect(told(admit(state, begun('weighing', changes)))).toEqual(places);
  });

  test('of a tread are those of the floor', () => {
    expect(told(admit(state, begun('friction', { tread: 'glass' })))).toEqual([
      'reference body.tread',
    ]);
  });

  test('in a plan are those of the cart, each told with what there is', () => {
    const plan = samplePlan();
    const [run, ...rest] = plan.runs;
    if (run === undefined) throw new Error('no run');
    const spoiled = {
      ...run,
      setUp: { ...run.setUp, position: 'asleep', movers: { wing: 1 }, loads: { stone: 1 } },
      pose: { ...run.pose, swivels: { rear: 0 } },
    };
    const admission = admit(
      state,
      begun('plan A', { plan: { ...plan, runs: [spoiled, ...rest] } }),
    );
    expect(told(admission)).toEqual([
      'reference body.plan.runs.0.setUp.position',
      'reference body.plan.runs.0.setUp.movers.wing',
      'reference body.plan.runs.0.setUp.loads.stone',
      'reference body.plan.runs.0.pose.swivels.rear',
    ]);
    expect(admission.kind === 'refused' && admission.problems[1]?.message).toBe(
      'plan, runs 1, set up, movers, wing: "wing" is no mover of the cart; allowed: lift, arm',
    );
  });
});

describe('an instrument', () => {
  test.each([
    [null, '2026-11-25T09:30:00.000Z', false],
    ['2026-11-25', '2026-11-25T23:59:59.999Z', false],
    ['2026-11-25', '2026-11-26T00:00:00.000Z', true],
    ['2026-11-24', '2026-11-25T00:00:00.000Z', true],
    ['2027-01-01', '2026-12-31T12:00:00.000Z', false],
  ])('due %s and used at %s is expired: %s', (due, taken, expected) => {
    expect(isExpired(due, taken)).toBe(expected);
  });

  const tape = { instrument: project.id('old tape'), despite: null };

  test('past its due date needs a reason, told with both days', () => {
    const admission = admit(state, begun<RunBody>('push run', { instruments: [tape] }));
    expect(told(admission)).toEqual(['rule body.instruments.0.despite']);
    expect(admission.kind === 'refused' && admission.problems[0]?.message).toBe(
      'instruments 1, despite: is missing, and "Tape 9" was used on 2026-11-25, past its due date 2026-10-31; allowed: the reason why it was used all the same',
    );
    const despite = { ...tape, despite: 'Checked against a new one, see note.' };
    expect(told(admit(state, begun('push run', { instruments: [despite] })))).toEqual(['admitted']);
  });

  test('goes by the day it was used, not by the day it was written down', () => {
    const taken = '2026-10-31T23:00:00.000Z';
    expect(told(admit(state, begun('push run', { instruments: [tape], taken })))).toEqual([
      'admitted',
    ]);
  });

  test('before its calibration needs a reason too', () => {
    const taken = '2026-03-01T10:00:00.000Z';
    expect(told(admit(state, begun('push run', { taken })))).toEqual([
      'rule body.instruments.0.despite',
    ]);
  });

  test('calibrated anew still goes by the certificate of its time', () => {
    const renewed = sampleInstrument({ calibrated: '2026-11-26', due: '2027-11-26' });
    const old = sampleInstrument({ calibrated: '2025-11-20', due: '2026-11-20' });
    const mistyped = sampleInstrument({ calibrated: '2025-11-20', due: '2036-11-20' });
    const begins = project.further(101, mistyped);
    const renews = project.further(102, renewed, { subject: begins.id, base: begins.id });
    const corrects = project.further(103, old, { subject: begins.id, base: renews.id });
    const after = projectState(keptEntries([...project.entries, begins, renews, corrects]));
    const used = [{ instrument: begins.id, despite: null }];
    const run = (taken: string) =>
      told(admit(after, begun('push run', { instruments: used, taken })));
    expect(run('2026-11-25T09:00:00.000Z')).toEqual(['rule body.instruments.0.despite']);
    expect(run('2026-11-19T09:00:00.000Z')).toEqual(['admitted']);
    expect(run('2026-11-27T09:00:00.000Z')).toEqual(['admitted']);
    const record = recordOf(after, 'instrument', begins.id) as RecordState<InstrumentBody>;
    expect(instrumentOn(record, '2026-11-25T09:00:00.000Z')).toEqual(old);
    expect(instrumentOn(record, '2026-11-27T09:00:00.000Z')).toEqual(renewed);
    // none was calibrated by then: the newest content
    expect(instrumentOn(record, '2020-01-01T09:00:00.000Z')).toEqual(old);
  });

  test('is of the kind that its use needs', () => {
    const gauge = { instrument: project.id('gauge'), despite: null };
    const body = project.entry('weighing').body as WeighingBody;
    if (body.tilt === null) throw new Error('no tilt');
    const wrong = begun<WeighingBody>('weighing', {
      scales: [{ ...gauge, castors: ['front left', 'front right', 'rear'] }],
      tilt: { ...body.tilt, inclinometer: { instrument: project.id('scale'), despite: null } },
    });
    expect(told(admit(state, wrong))).toEqual([
      'rule body.scales.0.instrument',
      'rule body.tilt.inclinometer.instrument',
    ]);
  });
});

describe('a run', () => {
  const withLoad = (name: SampleName, load: string) =>
    told(admit(state, begun<RunBody>(name, { readings: [{ ...EMPTY_READING, load }] })));

  test('is read in the unit of what is done to the cart', () => {
    expect(withLoad('push run', '12 deg')).toEqual(['value body.readings.0.load']);
    expect(withLoad('push run', '12 lbf')).toEqual(['admitted']);
    expect(withLoad('incline run', '12 N')).toEqual(['value body.readings.0.load']);
    expect(withLoad('incline run', '0.2 rad')).toEqual(['admitted']);
  });

  test('on a sample of another revision says why', () => {
    const sample = project.id('sample B');
    const admission = admit(state, begun('push run', { sample }));
    expect(told(admission)).toEqual(['rule body.deviations']);
    expect(admission.kind === 'refused' && admission.problems[0]?.message).toContain(
      'the sample is of revision B, the plan of revision A',
    );
    const blank = admit(state, begun('push run', { sample, deviations: '\u200b' }));
    expect(told(blank)).toEqual(['rule body.deviations']);
    const deviations = 'The castors are the same in this run.';
    expect(told(admit(state, begun('push run', { sample, deviations })))).toEqual(['admitted']);
  });

  test('is a retest of a run of the same finding, not of itself', () => {
    const retest = (retestOf: SampleName) =>
      told(admit(state, begun<RunBody>('retest', { retestOf: project.id(retestOf) })));
    expect(retest('push run')).toEqual(['admitted']);
    expect(retest('retest')).toEqual(['admitted']);
    expect(retest('incline run')).toEqual(['rule body.retestOf']);
    const itself = next<RunBody>('retest', { retestOf: project.id('retest') });
    expect(told(admit(state, itself))).toEqual(['rule body.retestOf']);
    // the first run as a retest of its own retest
    const circle = next<RunBody>('push run', { retestOf: project.id('retest') }, 'mixed up');
    expect(told(admit(state, circle))).toEqual(['rule body.retestOf']);
  });
});

describe('what others stand on', () => {
  test('is the file of a cart: it does not change once it is planned for or built', () => {
    expect(told(admit(state, next<CartBody>('cart A', { text: CART_B })))).toEqual([
      'rule body.text',
    ]);
    expect(told(admit(state, next<CartBody>('cart A', { change: 'first' })))).toEqual(['admitted']);
    const early = stateBefore('plan A');
    expect(told(admit(early, next<CartBody>('cart A', { text: CART_B })))).toEqual(['admitted']);
  });

  test('is the revision of a sample that was measured', () => {
    const rebuilt = next<SampleBody>('sample A', { cart: project.id('cart B') });
    expect(told(admit(state, rebuilt))).toEqual(['rule body.cart']);
    const unmeasured = begun<SampleBody>('sample A', {});
    const there = withEntries(state, [keptAfter(unmeasured)]);
    const moved = project.further(101, bodyOf('sample A', { cart: project.id('cart B') }), {
      subject: unmeasured.id,
      base: unmeasured.id,
    });
    expect(told(admit(there, moved))).toEqual(['admitted']);
  });

  test('are the runs of a plan that were done, and it changes only with a reason', () => {
    expect(told(admit(state, next('plan A', {})))).toEqual(['rule why']);
    expect(told(admit(state, next('plan A', {}, 'a run more')))).toEqual(['admitted']);
    const shorter = { ...samplePlan(), runs: samplePlan().runs.slice(0, 1) };
    expect(told(admit(state, next('plan A', { plan: shorter }, 'too long')))).toEqual([
      'rule body.plan.runs',
    ]);
    const other = next('plan A', { cart: project.id('cart B') }, 'new revision');
    expect(told(admit(state, other))).toEqual(['rule body.cart']);
    const early = stateBefore('incline run');
    expect(told(admit(early, next('plan A', { plan: shorter })))).toEqual(['admitted']);
  });

  test('is the line of revisions: each has a name of its own, says what is different, and no end', () => {
    const revision = (changes: Partial<CartBody>) =>
      told(admit(state, begun<CartBody>('cart B', { revision: 'C', ...changes })));
    expect(revision({})).toEqual(['admitted']);
    expect(revision({ revision: 'A' })).toEqual(['rule body.revision']);
    expect(revision({ change: ' ' })).toEqual(['rule body.change']);
    const circle = next<CartBody>('cart A', { follows: project.id('cart B'), change: 'back' });
    expect(told(admit(state, circle))).toEqual(['rule body.follows']);
  });
});

test('all problems of an entry are told at once', () => {
  const entry = begun<RunBody>('push run', {
    sample: project.id('sample B'),
    instruments: [{ instrument: project.id('old tape'), despite: null }],
    readings: [{ ...EMPTY_READING, load: '12 deg' }],
    retestOf: project.id('incline run'),
    taken: sampleTime(0),
  });
  expect(told(admit(state, entry))).toEqual([
    'rule body.instruments.0.despite',
    'rule body.deviations',
    'value body.readings.0.load',
    'rule body.retestOf',
  ]);
});

test('the files of an entry are its photos, parts lists and traces, each once', () => {
  const { photo, gauge } = SAMPLE_FILES;
  expect(attachmentsOf(project.entry('push run'))).toEqual([gauge.attachment.hash]);
  expect(attachmentsOf(project.entry('sample A'))).toEqual([photo.attachment.hash]);
  const photos = [photo.attachment, photo.attachment];
  expect(attachmentsOf(begun('push run', { photos }))).toEqual([
    photo.attachment.hash,
    gauge.attachment.hash,
  ]);
  const partsLists = [gauge.attachment];
  expect(attachmentsOf(begun('cart A', { partsLists }))).toEqual([gauge.attachment.hash]);
  expect(attachmentsOf(project.entry('review'))).toEqual([]);
});

function someCastors(): WeighingBody['scales'] {
  const body = project.entry('weighing').body as WeighingBody;
  return body.scales.map((scale) => ({ ...scale, castors: ['front left', 'rear'] }));
}

/** As it would follow all there is. */
function keptAfter(entry: NewEntry) {
  const all = keptEntries([...project.entries, entry]);
  const last = all.at(-1);
  if (last === undefined) throw new Error('nothing kept');
  return last;
}
