import { describe, expect, test } from 'vitest';
import type { GuideView } from '../../src/web/guide/guide-steps.js';
import {
  doneTasks,
  GUIDE_EXAMPLE,
  GUIDE_STEPS,
  leftAsBegun,
  sectionText,
  tourStart,
  tourWords,
} from '../../src/web/guide/guide-steps.js';
import type { Workbench } from '../../src/web/store/state.js';
import type { Bench } from './fake-surroundings.js';
import { benchOf, fakeServer } from './fake-surroundings.js';

const [SEE, MOVE, MEND, OWN, VERDICT] = GUIDE_STEPS;

async function exampleOpen(): Promise<Bench> {
  const bench = benchOf(fakeServer());
  await bench.store.getState().begin();
  await bench.store.getState().openExample(GUIDE_EXAMPLE);
  return bench;
}

function viewOf({ store }: Bench): GuideView {
  return { ...store.getState(), undone: store.temporal.getState().futureStates.length };
}

type Found = NonNullable<Workbench['live']>['findings'][number];

/** What the engine would tell: findings by id with their reserve. */
function tell(bench: Bench, reserves: Readonly<Record<string, number>>): void {
  const { ticket } = bench.store.getState();
  const findings = Object.entries(reserves).map(([id, reserve]): Found => {
    const amounts = { demand: null, capacity: null, own: reserve, reserve };
    return { id, title: id, applies: true, reason: '', ...amounts, mode: 'slides' };
  });
  bench.fake.listener().live({ ticket, findings, atPose: null, took: 1 });
}

const NONE: ReadonlySet<string> = new Set();

function done(step: (typeof GUIDE_STEPS)[number] | undefined, bench: Bench, began: GuideView) {
  if (step === undefined) throw new Error('no such step');
  return [...doneTasks(step, viewOf(bench), began, NONE)];
}

describe('the first step', () => {
  test('ticks as the example is opened, its failing finding chosen and its worst shown', async () => {
    const empty = benchOf(fakeServer());
    expect(done(SEE, empty, viewOf(empty))).toEqual([]);
    const bench = await exampleOpen();
    const began = viewOf(bench);
    expect(done(SEE, bench, began)).toEqual([]);
    tell(bench, { push: 0.73, incline: 2 });
    expect(done(SEE, bench, began)).toEqual(['open']);
    bench.store.getState().choose('incline');
    expect(done(SEE, bench, began)).toEqual(['open']);
    bench.store.getState().choose('push');
    expect(done(SEE, bench, began)).toEqual(['open', 'choose']);
    const { pose } = bench.store.getState();
    if (pose === null) throw new Error('no pose');
    const push = { point: [0, 0, 0.9], direction: 0, force: 60 } as const;
    bench.store.getState().setPose({ ...pose, push });
    expect(done(SEE, bench, began)).toEqual(['open', 'choose', 'worst']);
  });
});

describe('the step of moving', () => {
  test('ticks by a mover, by a drag and by a change, and by nothing else', async () => {
    const bench = await exampleOpen();
    const began = viewOf(bench);
    bench.store.getState().choose('push');
    expect(done(MOVE, bench, began)).toEqual([]);
    const { pose, cart } = bench.store.getState();
    if (pose === null || cart === null) throw new Error('no pose');
    bench.store.getState().setPose({ ...pose, movers: { ...pose.movers, lift: 0.2 } });
    expect(done(MOVE, bench, began)).toEqual(['drag']);
    const moved = viewOf(bench);
    const part = cart.parts[0]?.name ?? '';
    bench.store.getState().drag([{ kind: 'part mass', part, mass: 20 }]);
    expect(done(MOVE, bench, moved)).toEqual(['drag']);
  });
});

describe('the step of mending', () => {
  test('ticks when less falls short than before, and then by undo', async () => {
    const bench = await exampleOpen();
    tell(bench, { push: 0.73, incline: 0.9 });
    const began = viewOf(bench);
    const lock = { kind: 'castor lock', castor: 'front right', lock: 'wheel' } as const;
    const edit = { ...lock, brakeTorque: null, lockDirections: null };
    bench.store.getState().edit('lock', [edit]);
    expect(bench.store.getState().reading.cart?.castors[1]?.lock).toBe('wheel');
    // what is known is still of the cart before
    expect(done(MEND, bench, began)).toEqual([]);
    tell(bench, { push: 1.15, incline: 1.2 });
    expect(done(MEND, bench, began)).toEqual(['mend']);
    bench.store.getState().undo();
    tell(bench, { push: 0.73, incline: 0.9 });
    expect(done(MEND, bench, began)).toEqual([]);
    const known = doneTasks(MEND as never, viewOf(bench), began, new Set(['mend']));
    expect([...known]).toEqual(['mend', 'undo']);
  });
});

describe('the step of own numbers', () => {
  test('ticks each section that is no longer as the starter has it', async () => {
    const bench = await exampleOpen();
    const began = viewOf(bench);
    await bench.store.getState().newCart();
    expect(done(OWN, bench, began)).toEqual(['new']);
    const set = (path: readonly (string | number)[], value: string | { typed: string }): void => {
      expect(bench.store.getState().change('x', [{ kind: 'set', path, value }])).toBe(true);
    };
    set(['name'], 'Pier cart');
    expect(done(OWN, bench, began)).toEqual(['new', 'name']);
    set(['parts', 0, 'mass'], { typed: '30 kg' });
    set(['castors', 0, 'at', 0], { typed: '260 mm' });
    expect(done(OWN, bench, began)).toEqual(['new', 'name', 'parts', 'castors']);
    expect(leftAsBegun(bench.store.getState()).join()).toBe(
      'movers,loads,castor types,floor,outline,surfaces,handles,positions',
    );
    set(['movers', 0, 'slide', 'to'], { typed: '350 mm' });
    set(['positions', 0, 'transport', 'lift'], { typed: '10 mm' });
    expect(done(OWN, bench, began)).toHaveLength(OWN?.tasks.length ?? 0);
  });
});

describe('the last step', () => {
  test('ticks by the proof, a finding that is read, and a file that is saved', async () => {
    const bench = await exampleOpen();
    const began = viewOf(bench);
    await bench.store.getState().save();
    expect(done(VERDICT, bench, began)).toEqual(['save']);
    bench.store.getState().choose('push');
    const { ticket } = bench.store.getState();
    const report = { findings: [{ id: 'push', verdict: 'not decided' }] } as never;
    bench.fake.listener().proofEnd({ ticket, stage: 'quick', report });
    expect(done(VERDICT, bench, began)).toEqual(['rests', 'save']);
    bench.fake.listener().proofEnd({ ticket, stage: 'full', report });
    expect(done(VERDICT, bench, began)).toEqual(['proof', 'rests', 'save']);
  });
});

describe('what is done', () => {
  test('stays done, and nothing new is the same set', async () => {
    const bench = await exampleOpen();
    const known = new Set(['drag']);
    expect(doneTasks(MOVE as never, viewOf(bench), viewOf(bench), known)).toBe(known);
  });
});

describe('the lines of a section', () => {
  test('are those up to the next key, without comments', () => {
    const text =
      'name: a # b\nparts:  # all\n  - name: x\n\n# remark\n  - name: y # z\nmovers: []\n';
    expect(sectionText(text, 'name')).toBe('name: a');
    expect(sectionText(text, 'parts')).toBe('parts:\n  - name: x\n  - name: y');
    expect(sectionText(text, 'movers')).toBe('movers: []');
    expect(sectionText(text, 'part')).toBe('');
  });

  test('hold a list written without indent, and Windows line ends', () => {
    expect(sectionText('parts:\r\n- name: x\r\nloads: []\r\n', 'parts')).toBe('parts:\n- name: x');
  });
});

describe('the tour', () => {
  test('begins at the beginning, where it was left, and anew after its end', () => {
    expect([null, 0, 3, GUIDE_STEPS.length].map(tourStart)).toEqual([0, 0, 3, 0]);
    expect(new Set([null, 0, 3, GUIDE_STEPS.length].map(tourWords)).size).toBe(4);
  });
});
