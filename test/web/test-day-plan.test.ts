import { describe, expect, it } from 'vitest';
import type { RequirementSet } from '../../src/requirements/index.js';
import { builtInSets } from '../../src/requirements/index.js';
import type { ProjectState } from '../../src/test-record/index.js';
import { contentHash } from '../../src/test-record/index.js';
import { base64Of } from '../../src/web/store/reading.js';
import type { PlanWishes } from '../../src/web/test-day/plan/plan-words.js';
import {
  basisWords,
  counted,
  figuresOf,
  orderWords,
  readWishes,
  timesWords,
  USUAL_WISHES,
  unconfirmedValues,
} from '../../src/web/test-day/plan/plan-words.js';
import { reasonChoices } from '../../src/web/test-day/plan/reason-choices.js';
import { changeWords, isSameCart, nextRevision } from '../../src/web/test-day/plan/revisions.js';
import { plansOf } from '../../src/web/test-day/plan/use-plan.js';

describe('the label of the next revision', () => {
  const cases: readonly (readonly [readonly string[], string])[] = [
    [[], 'A'],
    [['A'], 'B'],
    [['A', 'B'], 'C'],
    [['Z'], 'AA'],
    [['AZ'], 'BA'],
    [['z'], 'aa'],
    [['1'], '2'],
    [['9'], '10'],
    [['A1', 'A2'], 'A3'],
    [['009'], '010'],
    [['prototype'], 'prototype 2'],
    [['prototype', 'prototype 2'], 'prototype 3'],
  ];
  for (const [labels, next] of cases) {
    it(`is ${next} after ${labels.length === 0 ? 'none' : labels.join(', ')}`, () => {
      expect(nextRevision(labels)).toBe(next);
    });
  }
  it('passes over one that is taken, in whichever case', () => {
    expect(nextRevision(['b', 'C', 'A'])).toBe('D');
  });
});

describe('whether the sheet holds another cart than a revision', () => {
  const bytes = new TextEncoder().encode('part,mass\nbase,12 kg\n');
  const list = { name: 'parts.csv', base64: base64Of(bytes), list: null, problems: [] };
  const text = 'standstill: 1\nparts list: parts.csv\n';
  const kept = { hash: contentHash(bytes), name: 'parts.csv', media: 'text/csv', bytes: 22 };

  it('is told by the text', () => {
    const sheet = { text: 'name: a\n', partsLists: new Map() };
    expect(isSameCart(sheet, { text: 'name: a\n', partsLists: [] })).toBe(true);
    expect(isSameCart(sheet, { text: 'name: b\n', partsLists: [] })).toBe(false);
  });
  it('is told by the bytes of the parts list that the text names', () => {
    const sheet = { text, partsLists: new Map([['parts.csv', list]]) };
    expect(isSameCart(sheet, { text, partsLists: [kept] })).toBe(true);
    expect(isSameCart(sheet, { text, partsLists: [{ ...kept, hash: '0'.repeat(64) }] })).toBe(
      false,
    );
    expect(isSameCart(sheet, { text, partsLists: [] })).toBe(false);
  });
});

describe('the wording of a change', () => {
  const difference = (n: number) => ({
    ...{ section: 'Castors', what: `castor ${n}`, field: 'lock' },
    ...{ a: 'none', b: 'total' },
  });
  it('names the thing, the field and both values', () => {
    expect(changeWords([difference(1)])).toBe('castor 1, lock: none -> total');
  });
  it('tells five and counts the rest', () => {
    const words = changeWords([1, 2, 3, 4, 5, 6, 7].map(difference));
    expect(words).toContain('castor 5, lock: none -> total; and 2 more');
    expect(words).not.toContain('castor 6');
  });
  it('is nothing where nothing differs', () => {
    expect(changeWords([])).toBe('');
  });
});

describe('what is wished of a plan', () => {
  const read = (wishes: Partial<PlanWishes>) => readWishes({ ...USUAL_WISHES, ...wishes });

  it('is read with a comma or a point, and per cent with or without its sign', () => {
    expect(read({ rule: 'guard band', multiple: '1,5' }).options?.rule).toEqual({
      kind: 'guard band',
      multiple: 1.5,
    });
    expect(read({ rule: 'shared risk', risk: '2.5 %' }).options?.rule).toEqual({
      kind: 'shared risk',
      greatestRisk: 0.025,
    });
    expect(read({ rule: 'simple acceptance', multiple: 'x' }).options?.rule).toEqual({
      kind: 'simple acceptance',
    });
  });
  it('leaves the repeats to the plan where none are given', () => {
    expect(read({ repeats: ' ' }).options).not.toHaveProperty('repeats');
    expect(read({ repeats: '4' }).options?.repeats).toBe(4);
  });
  it('is refused with its field, its value and what is allowed, all at once', () => {
    const { options, problems } = read({ rule: 'shared risk', risk: '60', repeats: '2.5' });
    expect(options).toBeNull();
    expect(problems.risk).toBe('"60"; allowed: more than 0 %, at most 50 %');
    expect(problems.repeats).toContain('"2.5"; allowed: a whole number from 1 to 20');
  });
  for (const multiple of ['', '-1', '6', '1e3', 'one', 'Infinity', '0x1']) {
    it(`takes no guard band of "${multiple}"`, () => {
      expect(read({ multiple }).options).toBeNull();
      expect(read({ multiple }).problems.multiple).toContain('allowed: a number from 0 to 5');
    });
  }
});

describe('a plan in words', () => {
  const runs = [{}, {}] as never;
  it('says what the order spares', () => {
    expect(orderWords({ runs, changes: { planned: 3, byClause: 5 } })).toBe(
      '2 runs. Effort of the set-up changes between them: 3 in this order, 5 in the order of the clauses.',
    );
    expect(orderWords({ runs, changes: { planned: 3, byClause: 3 } })).toContain('needs no more');
  });
  it('counts in one and many', () => {
    expect([counted(1, 'run'), counted(0, 'run'), counted(2, 'entry', 'entries')]).toEqual([
      '1 run',
      '0 runs',
      '2 entries',
    ]);
    expect([timesWords(0), timesWords(1), timesWords(2)]).toEqual([
      '',
      'recorded',
      'recorded 2 times',
    ]);
  });
  it('names the values of the clauses tested that nobody confirmed, and no others', () => {
    const [set] = builtInSets as readonly [RequirementSet];
    const [tested, other] = set.clauses;
    if (tested === undefined || other === undefined) throw new Error('a set without two clauses');
    const runsOf = [{ finding: tested.id }];
    expect(unconfirmedValues(set, runsOf).map(({ value }) => value.id)).toEqual(
      tested.values.map(({ id }) => id),
    );
    const confirmation = { who: 'A', when: '2026-01-01', copy: 'shelf 3' };
    const confirmed = {
      ...set,
      clauses: [
        { ...tested, values: tested.values.map((value) => ({ ...value, confirmation })) },
        other,
      ],
    };
    expect(unconfirmedValues(confirmed, runsOf)).toEqual([]);
  });
  it('says on what a value rests', () => {
    const value = { basis: 'memory', note: 'high' } as never;
    expect(basisWords(value)).toBe('from memory, high');
  });
});

/** Records as far as they are looked at here. */
function stateOf(records: readonly (readonly [string, object, boolean])[]): ProjectState {
  const all = records.map(([subject, content, withdrawn]) => {
    const { kind } = content as { kind: string };
    return [subject, { subject, kind, content, withdrawn }] as const;
  });
  return { id: 'p', records: new Map(all), head: { sequence: 0, hash: '' } } as never;
}

describe('what can have led to a change of the cart', () => {
  const plan = {
    kind: 'plan',
    plan: { runs: [{ id: 'push-1', title: 'Pushed', purpose: 'to the left' }] },
  };
  const run = { kind: 'run', plan: 'plan', run: 'push-1', taken: '2026-11-25T09:00:00.000Z' };
  const failed = { ...run, readings: [{ result: 'held' }, { result: 'gave way' }] };
  const held = { ...run, taken: '2026-11-26T09:00:00.000Z', readings: [{ result: 'held' }] };
  const diagnosis = { kind: 'diagnosis', run: 'r1', mechanism: 'slides to the left' };

  it('is a diagnosis or a run, the newest first, with what gave way', () => {
    const state = stateOf([
      ['plan', plan, false],
      ['r1', failed, false],
      ['r2', held, false],
      ['d1', diagnosis, false],
    ]);
    expect(reasonChoices(state)).toEqual([
      {
        subject: 'd1',
        words: 'diagnosis of Pushed, to the left (2026-11-25, gave way): slides to the left',
      },
      { subject: 'r2', words: 'Pushed, to the left (2026-11-26)' },
      { subject: 'r1', words: 'Pushed, to the left (2026-11-25, gave way)' },
    ]);
  });
  it('is nothing that was withdrawn', () => {
    const state = stateOf([
      ['plan', plan, false],
      ['r1', failed, true],
    ]);
    expect(reasonChoices(state)).toEqual([]);
  });
});

describe('the plan that is shown', () => {
  const plan = { kind: 'plan', plan: { runs: [] } };
  const state = stateOf([
    ['a', plan, false],
    ['b', plan, false],
    ['c', plan, true],
  ]);
  it('is the one chosen, else the newest that counts', () => {
    expect(plansOf(state, 'a').plan?.subject).toBe('a');
    expect(plansOf(state, null).plan?.subject).toBe('b');
    expect(plansOf(state, 'gone').plan?.subject).toBe('b');
    expect(plansOf(null, 'a').plan).toBeNull();
  });
});

describe('the figures of a run', () => {
  const of = (kind: string, capacity: number | null, demand: number, dimension: string) =>
    figuresOf(
      {
        loading: { kind },
        prediction: {
          capacity: capacity === null ? null : { value: capacity, dimension },
          demand: { value: demand, dimension },
          margin: capacity === null ? null : { value: capacity - demand, dimension },
          reserve: capacity === null ? null : capacity / demand,
        },
      } as never,
      'SI',
    );
  it('have the sign of the margin and never a reserve rounded up', () => {
    expect(of('push', 60, 82, 'force')).toEqual({
      ...{ label: 'stands up to', capacity: '60 N', demandLabel: 'asked', demand: '82 N' },
      ...{ margin: '-22 N', reserve: '0.731' },
    });
    expect(of('push', 170, 82, 'force').margin).toBe('+88 N');
  });
  it('are called by what is done', () => {
    expect(of('propulsion', 45, 200, 'force').label).toBe('takes');
    expect(of('propulsion', 45, 200, 'force').demandLabel).toBe('allowed');
  });
  it('are left out where nothing can be computed', () => {
    const { capacity, margin, reserve } = of('threshold', null, 0.8, 'speed');
    expect([capacity, margin, reserve]).toEqual([null, null, null]);
  });
});
