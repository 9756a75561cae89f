/** The record of a run as it is typed at the ramp: bare numbers, what is missing, which failure it repeats. */

import { describe, expect, it } from 'vitest';
import type { TestRun } from '../../src/test-plan/index.js';
import type { ProjectState, RecordState, RunBody } from '../../src/test-record/index.js';
import { projectState, readEntry, recordOf } from '../../src/test-record/index.js';
import { problemsFrom } from '../../src/web/test-day/form/use-form.js';
import { proposedRetest, retestChoices } from '../../src/web/test-day/runs/retest-choices.js';
import type { RunDraft } from '../../src/web/test-day/runs/run-draft.js';
import {
  bodyOf,
  draftOf,
  isEmpty,
  NO_READING,
  newDraft,
  usualUnits,
} from '../../src/web/test-day/runs/run-draft.js';
import { runProblemWords } from '../../src/web/test-day/runs/run-problem-words.js';
import type { SampleProject } from '../test-record/sample-entries.js';
import {
  EMPTY_READING,
  keptEntries,
  samplePlan,
  sampleProject,
} from '../test-record/sample-entries.js';

const [INCLINE, PUSH] = samplePlan().runs as [TestRun, TestRun];

const PROJECT_ID = '00000000-0000-4000-8000-000000000001';

function draft(changes: Partial<RunDraft>): RunDraft {
  const beginning = { sample: 'sample', operator: 'Mara Quist', now: '2026-11-25T09:30' } as const;
  const units = usualUnits('SI');
  return {
    ...newDraft({ run: PUSH, units, ...beginning, instruments: [], retestOf: '' }),
    ...changes,
  };
}

describe('numbers typed without a unit', () => {
  const reading = { ...NO_READING, load: '61', further: '90', direction: '90', castorLoad: '24' };

  it('are in the units that were said once', () => {
    const [read] = bodyOf(draft({ readings: [reading] }), 'plan', PUSH).readings;
    expect(read).toMatchObject({ load: '61 N', direction: '90 deg', castorLoad: '24 kg' });
    expect(read?.movement).toEqual({
      elastic: null,
      creepage: null,
      pivoting: null,
      further: '90 mm',
    });
  });
  it('are in those of the page where nothing else was said', () => {
    const us = draft({ units: usualUnits('US'), readings: [reading] });
    const [read] = bodyOf(us, 'plan', PUSH).readings;
    expect(read).toMatchObject({ load: '61 lbf', castorLoad: '24 lb' });
    expect(read?.movement?.further).toBe('90 in');
  });
  it('are degrees on an incline', () => {
    const [read] = bodyOf(draft({ readings: [reading] }), 'plan', INCLINE).readings;
    expect(read?.load).toBe('61 deg');
  });
  it('a unit that is typed stays, and so does what is no number', () => {
    const readings = [
      { ...NO_READING, load: '13.7 lbf' },
      { ...NO_READING, load: 'about 60' },
    ];
    const body = bodyOf(draft({ readings }), 'plan', PUSH);
    expect(body.readings.map(({ load }) => load)).toEqual(['13.7 lbf', 'about 60']);
  });
});

describe('a record that is corrected', () => {
  const content: RunBody = {
    ...bodyOf(draft({}), 'plan', PUSH),
    readings: [
      { ...EMPTY_READING, load: '13.7 lbf', result: 'held' },
      { ...EMPTY_READING, load: '61 N', result: 'held' },
    ],
  };
  const record = { content, newest: 'entry' } as unknown as RecordState<RunBody>;

  it('is shown in the units that it was written in', () => {
    const shown = draftOf(record, PUSH);
    expect(shown.units).toEqual({ force: 'lbf', length: 'mm', mass: 'kg' });
    expect(shown.readings.map(({ load }) => load)).toEqual(['13.7', '61 N']);
  });
  it('is the same again where nothing is changed', () => {
    expect(bodyOf(draftOf(record, PUSH), 'plan', PUSH).readings).toEqual(content.readings);
  });
});

describe('a reading', () => {
  it('is empty until something is typed or tapped', () => {
    expect(isEmpty(NO_READING)).toBe(true);
    expect(isEmpty({ ...NO_READING, result: 'held' })).toBe(false);
    expect(isEmpty({ ...NO_READING, note: 'the wheel squeaked' })).toBe(false);
  });
});

describe('what is missing', () => {
  const told = (path: readonly (string | number)[], actual = '"x"'): string =>
    runProblemWords({ code: 'value', path, actual, allowed: 'a force', message: 'place: wrong' });

  it('names the place as the form does', () => {
    expect(told(['body', 'readings', 1, 'load'])).toBe('Reading 2, force or angle: wrong');
    expect(told(['body', 'readings', 0, 'movement', 'further'])).toBe(
      'Reading 1, further movement: wrong',
    );
    expect(told(['body', 'operator'], '""')).toBe('Operator: not filled in yet');
  });
  it('says of a reading without anything in it only that', () => {
    expect(told(['body', 'readings', 2])).toBe('Reading 3: nothing filled in yet');
  });
});

describe('what stands beside a field', () => {
  const body = { ...bodyOf(draft({}), 'plan', PUSH), temperature: 'mild' };
  const read = readEntry({
    ...{ id: PROJECT_ID, project: PROJECT_ID, subject: PROJECT_ID, base: null },
    ...{ who: 'Mara Quist', at: '2026-11-25T09:30:00.000Z', why: '', body },
  });
  const all = read.kind === 'ok' ? [] : read.problems;

  it('does not name the field, whose label stands above it', () => {
    const temperature = all.find(({ path }) => path.includes('temperature'))?.message ?? '';
    expect(temperature).toMatch(/^temperature: "mild" /);
    expect(problemsFrom(all).at('temperature')).toBe(temperature.replace('temperature: ', ''));
  });
  it('is nothing where nothing is wrong', () => {
    expect(problemsFrom(all).at('operator')).toBeNull();
  });
});

describe('the failed runs that a run may repeat', () => {
  const project = sampleProject();
  const state = projectState(keptEntries(project.entries));
  const choices = (of: ProjectState, plan: 'plan A' | 'plan B', run = PUSH) => {
    const record = recordOf(of, 'plan', project.id(plan));
    if (record === null) throw new Error(plan);
    return retestChoices(of, record, run);
  };

  it('are those of its clause on a revision before', () => {
    const found = choices(state, 'plan B');
    expect(found.map(({ value }) => value)).toEqual([project.id('push run')]);
    expect(found[0]?.words).toMatch(
      /^Run unwanted-movement-push-1, worst found: failed on revision A, /,
    );
    expect(proposedRetest(found)).toBe(project.id('push run'));
  });
  it('are none on the revision that failed, and none of another clause', () => {
    expect(choices(state, 'plan A')).toEqual([]);
    expect(choices(state, 'plan B', INCLINE)).toEqual([]);
  });
  it('are offered and not proposed for a run done another way', () => {
    const found = choices(state, 'plan B', { ...PUSH, purpose: 'pushed to the left' });
    expect(found).toHaveLength(1);
    expect(proposedRetest(found)).toBe('');
  });
  it('are not proposed once a retest passes', () => {
    const closed = projectState(keptEntries([...project.entries, passing(project)]));
    const found = choices(closed, 'plan B');
    expect(found.map(({ value }) => value)).toEqual([project.id('push run')]);
    expect(proposedRetest(found)).toBe('');
  });
});

/** Stood 46 N three times where 41.2 N is asked, and 0.4 N is the uncertainty of the gauge. */
function passing(project: SampleProject) {
  const one = { ...EMPTY_READING, load: '46 N', result: 'held' as const };
  return project.further(100, {
    kind: 'run',
    plan: project.id('plan B'),
    run: PUSH.id,
    sample: project.id('sample B'),
    taken: '2026-11-26T09:00:00.000Z',
    operator: 'Mara Quist',
    temperature: null,
    instruments: [{ instrument: project.id('gauge'), despite: null }],
    readings: [one, one, one],
    photos: [],
    notes: '',
    deviations: '',
    retestOf: project.id('push run'),
  });
}
