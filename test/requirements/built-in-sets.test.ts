import { describe, expect, it } from 'vitest';
import type { Basis, Clause, RequirementSet } from '../../src/requirements/index.js';
import { builtInSets, findSet, QUESTIONS, VALUE_KINDS } from '../../src/requirements/index.js';

/** clause id, number, value id, SI value, text, basis */
type Row = readonly [string, string, string, number, string, Basis];

const DEG = Math.PI / 180;
const COMMON = 'common practice';

// The figures by clause and edition, as collected for this project with the basis of each: typed here
// a second time, and in SI by hand.

const EDITION_3_0: readonly Row[] = [
  ['overbalance-transport', '9.4.2.1', 'incline', 10 * DEG, '10 deg', 'memory'],
  ['overbalance-use', '9.4.2.2', 'incline', 5 * DEG, '5 deg', 'memory'],
  ['overbalance-use', '9.4.2.2', 'mark-incline', 10 * DEG, '10 deg', 'memory'],
  ['horizontal-force', '9.4.2.3 a)', 'mass-at-least', 25, '25 kg', 'memory'],
  ['horizontal-force', '9.4.2.3 a)', 'weight-fraction', 0.25, '25 %', 'memory'],
  ['horizontal-force', '9.4.2.3 a)', 'force-cap', 220, '220 N', 'memory'],
  ['horizontal-force', '9.4.2.3 a)', 'greatest-height', 1.5, '1.5 m', 'memory'],
  ['downward-force', '9.4.2.3 b)', 'force', 800, '800 N', 'memory'],
  ['downward-force', '9.4.2.3 b)', 'patch-length', 0.2, '20 cm', 'memory'],
  ['downward-force', '9.4.2.3 b)', 'patch-width', 0.2, '20 cm', 'memory'],
  ['downward-force', '9.4.2.3 b)', 'greatest-height', 1, '1 m', 'memory'],
  ['downward-force', '9.4.2.3 b)', 'foothold-patch-width', 0.05, '5 cm', 'memory'],
  ['propulsion', '9.4.2.4.2', 'force-limit', 200, '200 N', 'secondary'],
  ['propulsion', '9.4.2.4.2', 'greatest-height', 1, '1 m', 'memory'],
  ['propulsion', '9.4.2.4.2', 'speed', 0.4, '0.4 m/s', 'memory'],
  ['propulsion', '9.4.2.4.2', 'speed-tolerance', 0.1, '0.1 m/s', 'memory'],
  ['threshold', '9.4.2.4.3', 'step-height', 0.02, '20 mm', 'memory'],
  ['threshold', '9.4.2.4.3', 'speed', 0.4, '0.4 m/s', 'memory'],
  ['threshold', '9.4.2.4.3', 'speed-tolerance', 0.1, '0.1 m/s', 'memory'],
  ['threshold', '9.4.2.4.3', 'step-width', 0.08, '80 mm', 'memory'],
  ['threshold', '9.4.2.4.3', 'passes', 10, '10', 'memory'],
  ['unwanted-movement-transport', '9.4.3.1', 'incline', 10 * DEG, '10 deg', 'memory'],
  ['unwanted-movement-transport', '9.4.3.1', 'movement', 0.05, '50 mm', COMMON],
  ['unwanted-movement-transport', '9.4.3.1', 'floor-covering-least', 0.002, '2 mm', 'memory'],
  ['unwanted-movement-transport', '9.4.3.1', 'floor-covering-most', 0.004, '4 mm', 'memory'],
  ['unwanted-movement-use', '9.4.3.2', 'incline', 5 * DEG, '5 deg', COMMON],
  ['unwanted-movement-use', '9.4.3.2', 'movement', 0.05, '50 mm', COMMON],
  ['unwanted-movement-use', '9.4.3.2', 'floor-covering-least', 0.002, '2 mm', 'memory'],
  ['unwanted-movement-use', '9.4.3.2', 'floor-covering-most', 0.004, '4 mm', 'memory'],
  ['handles', '9.4.4', 'mass-above', 20, '20 kg', 'memory'],
  ['handles', '9.4.4', 'factor', 4, '4', 'secondary'],
  ['handles', '9.4.4', 'grip-width', 0.07, '7 cm', 'memory'],
  ['handles', '9.4.4', 'duration', 60, '1 min', 'memory'],
  ['castor-rating', COMMON, 'factor', 1, '1', COMMON],
  ['castor-missing', COMMON, 'castors-removed', 1, '1', COMMON],
];

const CHANGED_IN_3_1: readonly Row[] = [
  ['horizontal-force', '9.4.2.3 a)', 'weight-fraction', 0.15, '15 %', 'memory'],
  ['horizontal-force', '9.4.2.3 a)', 'force-cap', 150, '150 N', 'memory'],
  ['threshold', '9.4.2.4.3', 'mass-above', 45, '45 kg', 'secondary'],
  ['threshold', '9.4.2.4.3', 'step-height', 0.01, '10 mm', 'secondary'],
  ['threshold', '9.4.2.4.3', 'speed', 0.8, '0.8 m/s', 'memory'],
  ['unwanted-movement-transport', '9.4.3.1', 'incline', 10 * DEG, '10 deg', COMMON],
  ['unwanted-movement-push', '9.4.3.2', 'weight-fraction', 0.15, '15 %', COMMON],
  ['unwanted-movement-push', '9.4.3.2', 'force-cap', 150, '150 N', 'memory'],
  ['unwanted-movement-push', '9.4.3.2', 'greatest-height', 1.5, '1.5 m', 'memory'],
  ['unwanted-movement-push', '9.4.3.2', 'movement', 0.05, '50 mm', COMMON],
  ['unwanted-movement-push', '9.4.3.2', 'floor-covering-least', 0.002, '2 mm', 'memory'],
  ['unwanted-movement-push', '9.4.3.2', 'floor-covering-most', 0.004, '4 mm', 'memory'],
];

const LABORATORY_2001: readonly Row[] = [
  ['overbalance', '7.3', 'incline', 10 * DEG, '10 deg', 'seen'],
  ['horizontal-force', '7.3', 'weight-fraction', 0.2, '20 %', 'seen'],
  ['horizontal-force', '7.3', 'force-cap', 250, '250 N', 'seen'],
  ['horizontal-force', '7.3', 'greatest-height', 2, '2 m', 'seen'],
  ['downward-force', '7.3', 'force', 800, '800 N', 'seen'],
  ['downward-force', '7.3', 'patch-length', 0, '0 mm', 'memory'],
  ['downward-force', '7.3', 'patch-width', 0, '0 mm', 'memory'],
  ['downward-force', '7.3', 'greatest-height', 1, '1 m', 'seen'],
];

const LABORATORY_3: readonly Row[] = [
  ['overbalance', '7.4', 'incline', 10 * DEG, '10 deg', 'memory'],
  ['horizontal-force', '7.4', 'weight-fraction', 0.2, '20 %', 'memory'],
  ['horizontal-force', '7.4', 'force-cap', 250, '250 N', 'memory'],
  ['horizontal-force', '7.4', 'greatest-height', 2, '2 m', 'memory'],
  ['downward-force', '7.4', 'force', 800, '800 N', 'memory'],
  ['downward-force', '7.4', 'patch-length', 0, '0 mm', 'memory'],
  ['downward-force', '7.4', 'patch-width', 0, '0 mm', 'memory'],
  ['downward-force', '7.4', 'greatest-height', 1, '1 m', 'memory'],
  ['castor-rating', '7.4', 'factor', 4, '4', 'secondary'],
  ['castor-missing', '7.4', 'castors-removed', 1, '1', 'secondary'],
];

const TECHNOLOGY_2018: readonly Row[] = [
  ['overbalance', '8.6', 'incline', 10 * DEG, '10 deg', 'secondary'],
  ['combined-force', '8.6', 'weight-fraction', 0.13, '13 %', 'secondary'],
  ['combined-force', '8.6', 'force-cap', 250, '250 N', 'secondary'],
  ['combined-force', '8.6', 'greatest-height', 1.5, '1.5 m', 'secondary'],
  ['combined-force', '8.6', 'down-fraction', 0.5, '50 %', 'secondary'],
  ['combined-force', '8.6', 'down-cap', 100, '100 N', 'secondary'],
];

function amended(rows: readonly Row[], changes: readonly Row[]): readonly Row[] {
  const key = (row: Row) => `${row[0]}/${row[2]}`;
  const kept = rows.filter((row) => !changes.some((change) => key(change) === key(row)));
  return [...kept, ...changes];
}

const EXPECTED: Readonly<Record<string, readonly Row[]>> = {
  'iec-60601-1-3.0': EDITION_3_0,
  'iec-60601-1-3.1': amended(EDITION_3_0, CHANGED_IN_3_1),
  'iec-60601-1-3.2': amended(EDITION_3_0, CHANGED_IN_3_1),
  'iec-61010-1-2001': LABORATORY_2001,
  'iec-61010-1-3': LABORATORY_3,
  'iec-62368-1-2018': TECHNOLOGY_2018,
};

function required(id: string): RequirementSet {
  const set = findSet(builtInSets, id);
  if (set === null) throw new Error(`no set ${id}`);
  return set;
}

function clauseOf(set: string, id: string): Clause {
  const clause = required(set).clauses.find((each) => each.id === id);
  if (clause === undefined) throw new Error(`no clause ${id}`);
  return clause;
}

function figure(set: string, clause: string, id: string): number {
  const value = clauseOf(set, clause).values.find((each) => each.id === id);
  if (value === undefined) throw new Error(`no value ${id}`);
  return value.value;
}

function rowsOf(set: RequirementSet): readonly Row[] {
  return set.clauses.flatMap((clause) =>
    clause.values.map(
      (value): Row => [clause.id, clause.clause, value.id, value.value, value.text, value.basis],
    ),
  );
}

function inOrder(rows: readonly Row[]): readonly Row[] {
  return [...rows].sort((a, b) => `${a[0]}/${a[2]}`.localeCompare(`${b[0]}/${b[2]}`));
}

describe('built-in requirement sets', () => {
  it('are those of the table', () => {
    expect(builtInSets.map((set) => set.id)).toEqual(Object.keys(EXPECTED));
    expect(findSet(builtInSets, 'iec-60601-1-4')).toBeNull();
  });

  it.each(Object.entries(EXPECTED))('%s has every figure of the table and no other', (id, rows) => {
    const found = inOrder(rowsOf(required(id)));
    const due = inOrder(rows);
    const withoutSi = (row: Row) => [row[0], row[1], row[2], row[4], row[5]];
    expect(found.map(withoutSi)).toEqual(due.map(withoutSi));
    for (const [index, row] of due.entries()) {
      // degrees are converted in another order of operations: one rounding, 2e-16 of the value
      expect(Math.abs((found[index]?.[3] ?? Number.NaN) - row[3])).toBeLessThanOrEqual(
        1e-15 * row[3],
      );
    }
  });

  it.each(builtInSets.map((set) => [set.id, set] as const))('%s is complete', (_, set) => {
    const ids = set.clauses.map((clause) => clause.id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const clause of set.clauses) {
      const given = clause.values.map((value) => value.id);
      expect(new Set(given).size).toBe(given.length);
      expect(given).toEqual(
        expect.arrayContaining(Object.keys(QUESTIONS[clause.question.kind].required)),
      );
      expect(clause.title).not.toBe('');
      expect(clause.asks).toMatch(/\.$/);
      expect(clause.clause).not.toBe('');
      expect(clause.alternative === null || ids.includes(clause.alternative)).toBe(true);
    }
  });

  it('carry no confirmation, and a title and dimension for every value', () => {
    for (const value of builtInSets.flatMap((set) => set.clauses.flatMap((each) => each.values))) {
      expect(value.confirmation).toBeNull();
      expect(value.title).not.toBe('');
      expect(value.dimension).toBe(VALUE_KINDS[value.id as keyof typeof VALUE_KINDS].dimension);
    }
  });

  it('has the same figures in editions 3.1 and 3.2', () => {
    expect(required('iec-60601-1-3.2').clauses).toEqual(required('iec-60601-1-3.1').clauses);
  });

  it('keeps edition 3.0 free of the push with locks on', () => {
    const ids = required('iec-60601-1-3.0').clauses.map((clause) => clause.id);
    expect(ids).not.toContain('unwanted-movement-push');
    expect(ids).toContain('unwanted-movement-use');
  });

  it('says where a figure is unresolved, and takes the stricter', () => {
    const note = (set: string, clause: string, id: string) =>
      clauseOf(set, clause).values.find((each) => each.id === id)?.note;
    expect(note('iec-60601-1-3.0', 'unwanted-movement-transport', 'incline')).toMatch(
      /unresolved: 6 deg or 10 deg.*stricter, 10 deg/,
    );
    expect(note('iec-60601-1-3.1', 'unwanted-movement-transport', 'incline')).toBe('');
    expect(note('iec-60601-1-3.0', 'downward-force', 'foothold-patch-width')).toMatch(/unresolved/);
    expect(note('iec-61010-1-3', 'overbalance', 'incline')).toMatch(/not checked/);
  });

  it('asks the physical questions that the clauses ask', () => {
    const questions = required('iec-60601-1-3.2').clauses.map((each) => [each.id, each.question]);
    expect(Object.fromEntries(questions)).toEqual({
      'overbalance-transport': { kind: 'overbalance', positions: 'transport' },
      'overbalance-use': { kind: 'overbalance', positions: 'use' },
      'horizontal-force': { kind: 'horizontal force' },
      'downward-force': { kind: 'downward force' },
      propulsion: { kind: 'propulsion' },
      threshold: { kind: 'threshold' },
      'unwanted-movement-transport': { kind: 'holding on incline', positions: 'transport' },
      'unwanted-movement-use': { kind: 'holding on incline', positions: 'use' },
      'unwanted-movement-push': { kind: 'holding against push' },
      handles: { kind: 'handles' },
      'castor-rating': { kind: 'castor load' },
      'castor-missing': { kind: 'castor missing', test: 'ratings' },
    });
    expect(clauseOf('iec-61010-1-3', 'castor-missing').question).toEqual({
      kind: 'castor missing',
      test: 'balance',
    });
  });

  it('takes either of the two demands of IEC 62368-1', () => {
    expect(clauseOf('iec-62368-1-2018', 'overbalance').alternative).toBe('combined-force');
    expect(clauseOf('iec-62368-1-2018', 'combined-force').alternative).toBe('overbalance');
  });
});

describe('where the cap of a horizontal force binds', () => {
  // m/s^2, standard gravity (3rd CGPM, 1901)
  const GRAVITY = 9.80665;

  // masses of the project's figures; tolerance: half their last printed digit
  it.each([
    ['iec-60601-1-3.0', 89.7],
    ['iec-60601-1-3.1', 102.0],
    ['iec-60601-1-3.2', 102.0],
    ['iec-61010-1-2001', 127.5],
  ])('%s: above %s kg', (set, mass) => {
    const fraction = figure(set, 'horizontal-force', 'weight-fraction');
    const cap = figure(set, 'horizontal-force', 'force-cap');
    expect(Math.abs(cap / (fraction * GRAVITY) - mass)).toBeLessThanOrEqual(0.05);
  });

  it('asks 17.1 lbf of a cart of 114 lb', () => {
    // 1 lbf weighs 1 lb under standard gravity, so that the shares are equal; 17.1 as printed
    const fraction = figure('iec-60601-1-3.2', 'unwanted-movement-push', 'weight-fraction');
    expect(fraction * 114).toBeCloseTo(17.1, 10);
  });
});
