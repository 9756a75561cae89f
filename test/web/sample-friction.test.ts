import { describe, expect, it } from 'vitest';
import type { Friction } from '../../src/document/index.js';
import { projectState, readEntry, recordOf } from '../../src/test-record/index.js';
import type { FrictionDraft } from '../../src/web/test-day/sample/friction-draft.js';
import {
  filledInSlips,
  frictionBodyOf,
  frictionDraftOf,
  keptReadings,
  nextRow,
  slipRow,
} from '../../src/web/test-day/sample/friction-draft.js';
import { frictionComparison } from '../../src/web/test-day/sample/friction-words.js';
import { keptEntries, sampleProject } from '../test-record/sample-entries.js';

const PROJECT = sampleProject();
const STATE = projectState(keptEntries(PROJECT.entries));

function recorded() {
  const record = recordOf(STATE, 'friction', PROJECT.id('friction'));
  if (record === null) throw new Error('no friction test');
  return record;
}

function draft(readings: FrictionDraft['readings']): FrictionDraft {
  return { ...frictionDraftOf(recorded()), forceUnit: 'N', massUnit: 'kg', readings };
}

describe('a friction test', () => {
  it('comes back from a record as it was, with the units it was typed in', () => {
    const record = recorded();
    const made = frictionDraftOf(record);
    expect([made.forceUnit, made.massUnit]).toEqual(['lbf', 'kg']);
    expect(made.readings.map(({ angle, force, mass }) => [angle, force, mass])).toEqual([
      ['30.5', '', ''],
      ['31.2', '', ''],
      ['', '36', '28'],
    ]);
    expect(frictionBodyOf(made, record.content.sample)).toEqual(record.content);
  });

  it('leaves out rows without an angle or a force: the mass alone reads nothing', () => {
    const rows = [
      slipRow('slip angle'),
      { ...slipRow('pull'), force: '120', mass: '28' },
      nextRow([{ ...slipRow('pull'), force: '120', mass: '28' }]),
    ];
    expect(rows[2]).toEqual({ kind: 'pull', angle: '', force: '', mass: '28' });
    expect(keptReadings(draft(rows))).toEqual([1]);
    expect(frictionBodyOf(draft(rows), PROJECT.id('sample A')).readings).toEqual([
      { kind: 'pull', force: '120 N', mass: '28 kg' },
    ]);
  });

  it('is refused by the record where a pull lacks its mass, and not reckoned before', () => {
    const half = draft([{ ...slipRow('pull'), force: '120' }]);
    const read = readEntry(PROJECT.further(100, frictionBodyOf(half, PROJECT.id('sample A'))));
    if (read.kind === 'ok') throw new Error('taken without a mass');
    expect(read.problems.map(({ path }) => path)).toContainEqual(['body', 'readings', 0, 'mass']);
    expect(filledInSlips(half).readings).toEqual([]);
  });
});

describe('measured friction beside the stated', () => {
  const stated: Friction = {
    tread: 'grey rubber',
    value: 0.6,
    tolerance: 0.1,
    distribution: 'rectangular',
    readings: null,
    basis: 'assumed',
  };
  const measured = (value: number) => ({ value, u: 0.01, dof: null });

  it('counts on the low ends: 0.5 of the file against value less U', () => {
    // U = 0.02
    expect(frictionComparison(stated, measured(0.52)).kind).toBe('enough');
    expect(frictionComparison(stated, measured(0.519)).kind).toBe('perhaps less');
    expect(frictionComparison(stated, measured(0.481)).kind).toBe('perhaps less');
    expect(frictionComparison(stated, measured(0.479)).kind).toBe('less');
  });

  it('says both figures', () => {
    const { words } = frictionComparison(stated, measured(0.51));
    expect(words).toContain('0.5 that the predictions count on (0.6 ± 0.1, assumed)');
    expect(words).toContain('its low end is 0.49');
  });
});
