/** What a project adds up to: newest records, failures and their chains. */

import { describe, expect, test } from 'vitest';
import { instrumentsAt, projectOverview } from '../../src/judgement/index.js';
import type { EntryBody, NewEntry, RunBody } from '../../src/test-record/index.js';
import { projectState } from '../../src/test-record/index.js';
import type { SampleProject } from '../test-record/sample-entries.js';
import {
  EMPTY_READING,
  keptEntries,
  pushReading,
  sampleInstrument,
  sampleProject,
} from '../test-record/sample-entries.js';

const INCLINE = 'overbalance-transport-1';
const PUSH = 'unwanted-movement-push-1';

function overview(project: SampleProject, further: readonly NewEntry[] = []) {
  return projectOverview(projectState(keptEntries([...project.entries, ...further])));
}

function runBody(
  project: SampleProject,
  run: string,
  load: string,
  changes: Partial<RunBody> = {},
): RunBody {
  const instrument = project.id(run === INCLINE ? 'inclinometer' : 'gauge');
  const one = { ...EMPTY_READING, load, result: 'held' as const };
  return {
    kind: 'run',
    plan: project.id('plan A'),
    run,
    sample: project.id('sample A'),
    instruments: [{ instrument, despite: null }],
    readings: [one, one, one],
    deviations: '',
    retestOf: null,
    taken: '2026-11-26T09:00:00.000Z',
    operator: 'Mara Quist',
    temperature: null,
    photos: [],
    notes: '',
    ...changes,
  };
}

const passing = (project: SampleProject, changes: Partial<RunBody> = {}): RunBody =>
  runBody(project, PUSH, '46 N', { plan: project.id('plan B'), ...changes });

describe('the sample project', () => {
  const project = sampleProject();
  const { plans, chains } = overview(project);

  test('plan by plan, run by run', () => {
    expect(plans.map(({ plan }) => plan.subject)).toEqual([
      project.id('plan A'),
      project.id('plan B'),
    ]);
    const [first, second] = plans;
    // one of three repeats of the incline; every reading of the push below the 41.2 N asked
    expect(first?.runs.map(({ run, decision }) => [run.id, decision])).toEqual([
      [INCLINE, 'not decided'],
      [PUSH, 'fail'],
    ]);
    expect(first).toMatchObject({ decision: 'fail', counts: { fail: 1, 'not decided': 1 } });
    expect(second?.runs.map(({ decision }) => decision)).toEqual(['not done', 'not decided']);
    expect(second?.decision).toBe('not decided');
  });

  test('the corrected reading counts, and the overruled onset', () => {
    const [incline, push] = plans[0]?.runs ?? [];
    expect(incline?.done[0]?.judgement.stoodAt?.value).toBeCloseTo((12.1 * Math.PI) / 180, 12);
    // 8.4 lbf = 37.37 N, 36.9 N, and 37.8 N of the user: the least decides
    expect(push?.done[0]?.judgement.criteria[0]?.measured?.value).toBe(36.9);
    const readings = [8.4 * 4.4482216152605, 36.9, 37.8];
    const mean = readings.reduce((p, q) => p + q, 0) / 3;
    expect(push?.done[0]?.judgement.gaveWayAt?.value).toBeCloseTo(mean, 9);
  });

  test('failure, diagnosis, change, retest: one chain, open until the retest passes', () => {
    expect(chains).toEqual([
      {
        failure: project.id('push run'),
        diagnoses: [project.id('diagnosis')],
        revisions: [project.id('cart B')],
        retests: [
          { record: project.id('retest'), decision: 'not decided', isOnLaterRevision: true },
        ],
        closed: false,
      },
    ]);
  });

  test('a passing retest on the later revision closes it', () => {
    const retest = project.further(100, passing(project, { retestOf: project.id('push run') }));
    const [chain] = overview(project, [retest]).chains;
    expect(chain?.closed).toBe(true);
    expect(chain?.retests.map(({ decision }) => decision)).toEqual(['not decided', 'pass']);
  });
});

describe('what undoes a failure', () => {
  const project = sampleProject();
  const failure = () => project.id('push run');

  function planA(further: readonly NewEntry[]) {
    const { plans, chains } = overview(project, further);
    return { push: plans[0]?.runs[1], chains };
  }

  test('doing it again on the same plan does not, even as a retest', () => {
    const again = runBody(project, PUSH, '46 N', { retestOf: failure() });
    const { push, chains } = planA([project.further(100, again)]);
    expect(push?.done.length).toBe(2);
    expect(push?.done[1]?.judgement.decision).toBe('pass');
    expect(push?.decision).toBe('fail');
    expect(chains[0]?.closed).toBe(false);
    expect(chains[0]?.retests.at(-1)).toMatchObject({ isOnLaterRevision: false, decision: 'pass' });
  });

  test('withdrawing it does: then it counts nowhere', () => {
    const withdrawal = project.further(
      100,
      { kind: 'withdrawal' },
      { subject: failure(), base: project.id('review'), why: 'the ramp was wet' },
    );
    const { push, chains } = planA([withdrawal]);
    expect(push?.decision).toBe('not done');
    expect(chains).toEqual([]);
  });

  test('a retest that fails belongs to the chain, and the next passing one closes it', () => {
    const failed: EntryBody = {
      ...passing(project, { retestOf: failure() }),
      readings: [pushReading('30 N')],
    };
    const first = project.further(100, failed);
    const { chains } = overview(project, [first]);
    expect(chains.length).toBe(1);
    expect(chains[0]?.closed).toBe(false);
    const second = project.further(
      101,
      passing(project, { retestOf: first.id, taken: '2026-11-27T09:00:00.000Z' }),
    );
    const closed = overview(project, [first, second]).chains;
    expect(closed.length).toBe(1);
    expect(closed[0]?.retests.map(({ decision }) => decision)).toEqual([
      'not decided',
      'fail',
      'pass',
    ]);
    expect(closed[0]?.closed).toBe(true);
  });

  test('records count in the order they were done, not in the order they arrived', () => {
    const late = runBody(project, INCLINE, '13 deg', { taken: '2026-11-27T09:00:00.000Z' });
    const early = runBody(project, INCLINE, '9.9 deg', { taken: '2026-11-26T07:00:00.000Z' });
    const { plans } = overview(project, [project.further(100, late), project.further(101, early)]);
    const incline = plans[0]?.runs[0];
    expect(incline?.done.map(({ judgement }) => judgement.decision)).toEqual([
      'not decided',
      'not decided',
      'pass',
    ]);
    expect(incline?.decision).toBe('pass');
  });
});

describe('instruments as they were when they were used', () => {
  test('a later calibration does not judge an earlier run; a correction of the earlier one does', () => {
    const project = sampleProject();
    const gauge = project.id('gauge');
    const corrected = project.further(100, sampleInstrument({ uncertainty: '0.8 N' }), {
      subject: gauge,
      base: gauge,
    });
    const recalibrated = project.further(
      101,
      sampleInstrument({ calibrated: '2027-03-01', due: '2028-03-01', uncertainty: '2 N' }),
      { subject: gauge, base: corrected.id },
    );
    const state = projectState(keptEntries([...project.entries, corrected, recalibrated]));
    const at = (day: string) => instrumentsAt(state, day).get(gauge)?.uncertainty;
    expect(at('2026-11-25T09:00:00.000Z')).toBe('0.8 N');
    expect(at('2027-03-01T00:00:00.000Z')).toBe('2 N');
    // before the first: the newest, and the judgement says so
    expect(at('2025-01-01T00:00:00.000Z')).toBe('2 N');
  });
});

describe('a large project', () => {
  test('500 runs: every one is counted once', () => {
    const project = sampleProject();
    const many = Array.from({ length: 500 }, (_, i) =>
      project.further(
        100 + i,
        runBody(project, INCLINE, `${11 + 0.001 * i} deg`, {
          taken: new Date(Date.UTC(2027, 0, 1) + i * 60_000).toISOString(),
        }),
      ),
    );
    const { plans } = overview(project, many);
    const incline = plans[0]?.runs[0];
    expect(incline?.done.length).toBe(501);
    expect(incline?.decision).toBe('pass');
    expect(plans[0]?.counts).toEqual({ pass: 1, fail: 1, 'not decided': 0, 'not done': 0 });
  });
});
