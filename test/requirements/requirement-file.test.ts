import { describe, expect, it } from 'vitest';
import type { Issue, RequirementSet } from '../../src/requirements/index.js';
import {
  applyRequirementFile,
  builtInSets,
  findSet,
  readRequirementFile,
  requirementSentence,
} from '../../src/requirements/index.js';

const HEAD = 'standstill requirements: 1\n';

/** An amended set with one clause changed, its values as given. */
function amending(values: string): string {
  return `${HEAD}sets:
  - id: house
    title: House rules
    based on: iec-60601-1-3.2
    clauses:
      - id: overbalance-use
        values: ${values}
`;
}

function confirming(...entries: readonly string[]): string {
  const rest = 'who: A. Example, when: 2026-11-02, copy: shelf 12';
  return `${HEAD}confirmations:\n${entries.map((each) => `  - {${each}, ${rest}}\n`).join('')}`;
}

const INCLINE_IN_USE = 'set: iec-60601-1-3.2, clause: overbalance-use, value: incline';

function issuesOf(text: string): readonly Issue[] {
  const read = readRequirementFile(text, 'house.yaml');
  return read.kind === 'ok' ? [] : read.issues;
}

/** code, line, column, path and value of every issue */
function told(text: string) {
  return issuesOf(text).map((each) => [each.code, each.line, each.column, each.path, each.actual]);
}

function applied(text: string): readonly RequirementSet[] {
  const read = readRequirementFile(text, 'house.yaml');
  if (read.kind === 'invalid') throw new Error(read.issues.map(requirementSentence).join('\n'));
  return applyRequirementFile(builtInSets, read.value);
}

function valueIn(sets: readonly RequirementSet[], set: string, clause: string, id: string) {
  const found = findSet(sets, set)?.clauses.find((each) => each.id === clause);
  return found?.values.find((each) => each.id === id);
}

/** Line and column, both from 1, of the last place where the text holds a piece. */
function placeOf(text: string, piece: string): readonly [number, number] {
  const before = text.slice(0, text.lastIndexOf(piece)).split('\n');
  return [before.length, (before.at(-1)?.length ?? 0) + 1];
}

describe('a requirement file', () => {
  it('may hold nothing but its version', () => {
    expect(applied(HEAD)).toEqual(builtInSets);
    expect(applied(`\ufeff${HEAD}`)).toEqual(builtInSets);
  });

  it('amends a built-in set under an id of its own', () => {
    const sets = applied(amending('{incline: {value: 7 deg, basis: seen, note: ours}}'));
    const changed = valueIn(sets, 'house', 'overbalance-use', 'incline');
    expect(changed).toMatchObject({
      text: '7 deg',
      basis: 'seen',
      note: 'ours',
      confirmation: null,
    });
    // one conversion from degrees, one rounding
    expect(changed?.value).toBeCloseTo((7 * Math.PI) / 180, 15);
    const kept = valueIn(sets, 'house', 'overbalance-use', 'mark-incline');
    expect(kept).toEqual(
      valueIn(builtInSets, 'iec-60601-1-3.2', 'overbalance-use', 'mark-incline'),
    );
    const house = findSet(sets, 'house');
    expect(house).toMatchObject({ standard: 'IEC 60601-1', title: 'House rules' });
    expect(house?.clauses.map((each) => each.id)).toEqual(
      findSet(builtInSets, 'iec-60601-1-3.2')?.clauses.map((each) => each.id),
    );
    expect(sets.slice(0, -1)).toEqual(builtInSets);
  });

  it('adds a clause, and a threshold to a clause', () => {
    const sets = applied(`${HEAD}sets:
  - id: house
    title: House rules
    based on: iec-62368-1-2018
    clauses:
      - id: overbalance
        conditions: [mobile]
        values: {mass-at-least: {value: 10 lb, basis: memory}}
      - id: step-test
        clause: "5.1"
        title: Step
        asks: No tipping on the step.
        question: downward force
        surfaces: [foothold]
        values:
          force: {value: 200 lbf, basis: seen}
          patch-length: {value: 4 in, basis: seen}
          patch-width: {value: 4 in, basis: seen}
          greatest-height: {value: 900 mm, basis: seen}
`);
    const house = findSet(sets, 'house');
    expect(house?.clauses.map((each) => each.id)).toEqual([
      'overbalance',
      'combined-force',
      'step-test',
    ]);
    // 10 lb = 4.5359237 kg exactly (international pound, 1959)
    expect(house?.clauses[0]?.conditions).toEqual([
      { kind: 'mobile' },
      { kind: 'mass at least', mass: 4.5359237 },
    ]);
    expect(house?.clauses[2]?.conditions).toEqual([
      { kind: 'has surface', surfaces: ['foothold'], greatestHeight: 0.9 },
    ]);
  });

  it('moves the limit of a surface with the value that states it', () => {
    const sets = applied(`${HEAD}sets:
  - id: house
    title: House rules
    based on: iec-60601-1-3.2
    clauses:
      - id: downward-force
        values: {greatest-height: {value: 1.2 m, basis: seen}}
`);
    const clause = findSet(sets, 'house')?.clauses.find((each) => each.id === 'downward-force');
    expect(clause?.conditions).toEqual([
      { kind: 'has surface', surfaces: ['foothold', 'seat'], greatestHeight: 1.2 },
    ]);
  });

  it('bases a set on another further up, never further down', () => {
    const two = (first: string, second: string) => `${HEAD}sets:
  - {id: one, title: One, based on: ${first}, clauses: [{id: propulsion, title: Push}]}
  - {id: two, title: Two, based on: ${second}, clauses: [{id: propulsion, note: again}]}
`;
    const sets = applied(two('iec-60601-1-3.0', 'one'));
    const clause = findSet(sets, 'two')?.clauses.find((each) => each.id === 'propulsion');
    expect(clause).toMatchObject({ title: 'Push', note: 'again' });
    expect(told(two('two', 'iec-60601-1-3.0'))).toEqual([
      ['unknown-name', 3, 37, 'sets[1] "one" > based on', 'two'],
    ]);
  });
});

describe('confirmations', () => {
  it('are recorded on the value, however the figure is written', () => {
    const sets = applied(
      confirming(
        `${INCLINE_IN_USE}, reads: 5°`,
        'set: iec-60601-1-3.2, clause: downward-force, value: patch-width, reads: 200 mm',
        'set: iec-60601-1-3.2, clause: handles, value: factor, reads: 4',
      ),
    );
    const confirmation = { who: 'A. Example', when: '2026-11-02', copy: 'shelf 12' };
    for (const [clause, id] of [
      ['overbalance-use', 'incline'],
      ['downward-force', 'patch-width'],
      ['handles', 'factor'],
    ] as const) {
      expect(valueIn(sets, 'iec-60601-1-3.2', clause, id)?.confirmation).toEqual(confirmation);
    }
    expect(valueIn(sets, 'iec-60601-1-3.1', 'handles', 'factor')?.confirmation).toBeNull();
    expect(valueIn(builtInSets, 'iec-60601-1-3.2', 'handles', 'factor')?.confirmation).toBeNull();
  });

  it('that read another figure are refused with the way out', () => {
    const text = confirming(`${INCLINE_IN_USE}, reads: 6 deg`);
    expect(told(text)).toEqual([
      ['confirmation-mismatch', 3, 76, 'confirmations[1] > reads', '6 deg'],
    ]);
    expect(issuesOf(text)[0]?.allowed).toMatch(/^5 deg, .*first amend the set/);
  });

  it('in a wrong or no unit are refused', () => {
    expect(told(confirming(`${INCLINE_IN_USE}, reads: 5 kg`))[0]?.[0]).toBe('wrong-dimension');
    expect(told(confirming(`${INCLINE_IN_USE}, reads: 5`))[0]?.[0]).toBe('no-unit');
  });

  it('of one value twice are refused, alike or not', () => {
    const alike = confirming(`${INCLINE_IN_USE}, reads: 5 deg`, `${INCLINE_IN_USE}, reads: 5 deg`);
    expect(told(alike)).toEqual([
      ['confirmed-twice', 4, 60, 'confirmations[2] > value', 'incline'],
    ]);
    const unlike = confirming(`${INCLINE_IN_USE}, reads: 5 deg`, `${INCLINE_IN_USE}, reads: 6 deg`);
    expect(told(unlike).map(([code]) => code)).toEqual([
      'confirmed-twice',
      'confirmation-mismatch',
    ]);
  });

  it('of what is not there are refused', () => {
    expect(
      told(
        confirming(
          'set: iec-60601-1-3.3, clause: overbalance-use, value: incline, reads: 5 deg',
          'set: iec-60601-1-3.2, clause: overbalance, value: incline, reads: 5 deg',
          'set: iec-60601-1-3.2, clause: overbalance-use, value: angle, reads: 5 deg',
        ),
      ),
    ).toEqual([
      ['unknown-name', 3, 11, 'confirmations[1] > set', 'iec-60601-1-3.3'],
      ['unknown-name', 4, 36, 'confirmations[2] > clause', 'overbalance'],
      ['unknown-name', 5, 60, 'confirmations[3] > value', 'angle'],
    ]);
  });

  it.each(['2026-02-29', '2026-13-01', '2026-04-31', '02.11.2026', '2026-1-1', 'yesterday'])(
    'need a day of the calendar, not %s',
    (when) => {
      const text = confirming(`${INCLINE_IN_USE}, reads: 5 deg`).replace('2026-11-02', when);
      expect(told(text)).toEqual([
        ['bad-date', ...placeOf(text, when), 'confirmations[1] > when', when],
      ]);
    },
  );

  it('take 29 February in leap years', () => {
    const text = confirming(`${INCLINE_IN_USE}, reads: 5 deg`).replace('2026-11-02', '2024-02-29');
    expect(issuesOf(text)).toEqual([]);
  });

  const based = (extra: string) => `${amending('{mark-incline: {value: 9 deg, basis: seen}}')}
confirmations:
  - {${INCLINE_IN_USE}, reads: 5 deg, who: A, when: 2026-11-02, copy: B}
  - {set: iec-60601-1-3.2, clause: overbalance-use, value: mark-incline, reads: 10 deg, who: A, when: 2026-11-02, copy: B}
${extra}`;

  it('pass on to what is based on a set, but not to a changed value', () => {
    const sets = applied(based(''));
    expect(valueIn(sets, 'house', 'overbalance-use', 'incline')?.confirmation?.who).toBe('A');
    expect(valueIn(sets, 'house', 'overbalance-use', 'mark-incline')?.confirmation).toBeNull();
  });

  it('do not pass on to another edition', () => {
    const text = based('').replace('title: House rules', 'title: House rules\n    edition: "4"');
    expect(valueIn(applied(text), 'house', 'overbalance-use', 'incline')?.confirmation).toBeNull();
  });

  it('of a changed value are recorded in the amended set', () => {
    const sets = applied(
      based(
        '  - {set: house, clause: overbalance-use, value: mark-incline, reads: 9 deg, who: C, when: 2026-11-03, copy: D}\n',
      ),
    );
    expect(valueIn(sets, 'house', 'overbalance-use', 'mark-incline')?.confirmation?.who).toBe('C');
  });
});

describe('a requirement file that is refused', () => {
  it.each([
    ['', 'empty-file'],
    ['# nothing yet\n', 'empty-file'],
    ['standstill: 1\nname: a cart\n', 'not-a-requirement-file'],
    ['- 1\n', 'not-a-requirement-file'],
    ['standstill requirements: 2\n', 'too-new'],
    ['standstill requirements: one\n', 'bad-version'],
    ['standstill requirements: 0\n', 'bad-version'],
    [`${HEAD}sets: [\n`, 'yaml-syntax'],
    [`${HEAD}${HEAD}`, 'duplicate-key'],
    [`${HEAD}? [a]\n: 1\n`, 'key-not-a-name'],
    [`${HEAD}1: a\n`, 'key-not-a-name'],
    [`${HEAD}sets: &a []\n`, 'yaml-feature'],
    [`${HEAD}sets: *a\n`, 'yaml-feature'],
    [`${HEAD}sets: !!js 1\n`, 'yaml-feature'],
    [`%YAML 1.1\n---\n${HEAD}`, 'yaml-feature'],
    [`${HEAD}---\n${HEAD}`, 'yaml-syntax'],
    [`${HEAD}# \u0007\n`, 'control-character'],
    [`${HEAD}# ${'x'.repeat(500_000)}\n`, 'file-too-large'],
    [`${HEAD}sets:\n`, 'missing-field'],
    [`${HEAD}__proto__: 1\n`, 'unknown-field'],
  ])('%j: %s', (text, code) => {
    expect(issuesOf(text)[0]?.code).toBe(code);
  });

  // Each of these exhausts the memory or minutes of a YAML reader that is not guarded.
  it.each(['? ', '- ', '[', '{a: ', '[\n ', '- ? ', ': '])(
    'a hundred thousand times %j',
    (piece) => {
      expect(issuesOf(`${HEAD}sets:\n  ${piece.repeat(100_000)}`)[0]?.code).toBe('too-deep');
    },
  );

  it('names file, line, field, value and what is allowed', () => {
    const [issue] = issuesOf(amending('{incline: {value: 5 kg, basis: seen}}'));
    expect(issue).toEqual({
      code: 'wrong-dimension',
      severity: 'error',
      file: 'house.yaml',
      line: 8,
      column: 35,
      path: 'sets[1] "house" > clauses[1] "overbalance-use" > values > incline > value',
      actual: '5 kg',
      allowed: 'an angle with its unit, more than 0 deg, at most 45 deg, such as 10 deg',
    });
    expect(issue === undefined ? '' : requirementSentence(issue)).toBe(
      'house.yaml:8:35 sets[1] "house" > clauses[1] "overbalance-use" > values > incline > value: 5 kg is the wrong kind of quantity; allowed: an angle with its unit, more than 0 deg, at most 45 deg, such as 10 deg',
    );
  });

  it.each([
    ['{incline: {value: 7, basis: seen}}', 'no-unit'],
    ['{incline: {value: seven deg, basis: seen}}', 'not-a-number'],
    ['{incline: {value: 7 grad, basis: seen}}', 'unknown-unit'],
    ['{incline: {value: 0 deg, basis: seen}}', 'out-of-limits'],
    ['{incline: {value: -5 deg, basis: seen}}', 'out-of-limits'],
    ['{incline: {value: 46 deg, basis: seen}}', 'out-of-limits'],
    ['{incline: {value: .nan, basis: seen}}', 'no-unit'],
    ['{incline: {value: 11 deg, basis: seen}}', 'out-of-limits'],
    ['{incline: {value: 7 deg}}', 'missing-field'],
    ['{incline: {value: 7 deg, basis: heard}}', 'not-a-choice'],
    ['{incline: {value: 7 deg, basis: seen, source: x}}', 'unknown-field'],
    ['{incline: {value: 7 deg, basis: seen, note: }}', 'missing-field'],
    ['{incline: 7 deg}', 'wrong-kind'],
    ['{slope: {value: 7 deg, basis: seen}}', 'unknown-field'],
    ['{force: {value: 7 N, basis: seen}}', 'unneeded-value'],
    ['[7 deg]', 'wrong-kind'],
  ])('values: %s: %s', (values, code) => {
    expect(issuesOf(amending(values)).map((each) => each.code)).toEqual([code]);
  });

  const fresh = (fields: string) => `${HEAD}sets:
  - id: house
    title: House rules
    standard: ours
    edition: first
    clauses:
      - id: pushed
        clause: "1"
        title: Push
        asks: It stays.
${fields}`;

  it('lists every value that a question is short of', () => {
    expect(
      told(
        fresh(
          '        question: holding against push\n        values: {movement: {value: 50 mm, basis: seen}}\n',
        ),
      ),
    ).toEqual(
      ['weight-fraction', 'force-cap', 'greatest-height'].map((id) => [
        'missing-value',
        13,
        17,
        `sets[1] "house" > clauses[1] "pushed" > values > ${id}`,
        null,
      ]),
    );
  });

  it.each([
    ['        question: pushing\n', 'not-a-choice'],
    ['', 'missing-field'],
    [
      '        question: overbalance\n        values: {incline: {value: 5 deg, basis: seen}}\n',
      'missing-field',
    ],
    ['        question: castor missing\n', 'missing-field'],
    ['        question: castor missing\n        test: weight\n', 'not-a-choice'],
    [
      '        question: castor missing\n        test: balance\n        positions: use\n',
      'unneeded-field',
    ],
    [
      '        question: castor load\n        values: {factor: {value: 4 kg, basis: seen}}\n',
      'not-a-bare-number',
    ],
    [
      '        question: castor load\n        values: {factor: {value: 0, basis: seen}}\n',
      'out-of-limits',
    ],
    [
      '        question: castor missing\n        test: balance\n        values: {castors-removed: {value: 2, basis: seen}}\n',
      'out-of-limits',
    ],
    [
      '        question: castor missing\n        test: balance\n        conditions: [wheels]\n',
      'not-a-choice',
    ],
    [
      '        question: castor missing\n        test: balance\n        conditions: [mobile, mobile]\n',
      'duplicate-name',
    ],
    [
      '        question: castor missing\n        test: balance\n        alternative: other\n',
      'unknown-name',
    ],
    [
      '        question: castor missing\n        test: balance\n        alternative: pushed\n',
      'unknown-name',
    ],
  ])('a new clause with%s: %s', (fields, code) => {
    expect(issuesOf(fresh(fields)).map((each) => each.code)).toEqual([code]);
  });

  it('asks for the clause number as text', () => {
    const text = fresh('        question: castor missing\n        test: balance\n').replace(
      '"1"',
      '8.6',
    );
    expect(told(text)).toEqual([
      ['wrong-kind', 9, 17, 'sets[1] "house" > clauses[1] "pushed" > clause', '8.6'],
    ]);
    expect(issuesOf(text)[0]?.allowed).toMatch(/in quotes, such as "8\.6"/);
  });

  it('does not let an amended clause ask another question', () => {
    const text = amending('{}').replace('values: {}', 'question: castor load');
    expect(told(text)).toEqual([
      [
        'question-changed',
        8,
        19,
        'sets[1] "house" > clauses[1] "overbalance-use" > question',
        'castor load',
      ],
    ]);
  });

  it('refuses ids given twice, and those of built-in sets', () => {
    const set = (id: string) =>
      `  - {id: ${id}, title: T, based on: iec-60601-1-3.2, clauses: [{id: handles, note: a}]}\n`;
    expect(told(`${HEAD}sets:\n${set('a')}${set('b')}${set('a')}`)).toEqual([
      ['duplicate-name', 5, 10, 'sets[3] "a" > id', 'a'],
    ]);
    expect(told(`${HEAD}sets:\n${set('iec-61010-1-3')}`)).toEqual([
      ['duplicate-name', 3, 10, 'sets[1] "iec-61010-1-3" > id', 'iec-61010-1-3'],
    ]);
    const twice = set('a').replace('{id: handles, note: a}', '{id: handles}, {id: handles}');
    expect(told(`${HEAD}sets:\n${twice}`)).toEqual([
      ['duplicate-name', 3, 80, 'sets[1] "a" > clauses[2] "handles" > id', 'handles'],
    ]);
  });

  it('collects problems of all entries, without blaming one for another', () => {
    const text = `${amending('{incline: {value: 5 kg, basis: seen}}')}
confirmations:
  - {set: house, clause: handles, value: factor, reads: 4, who: A, when: 2026-11-02, copy: B}
  - {${INCLINE_IN_USE}, reads: 6 deg, who: A, when: 2026-11-02, copy: B}
  - {set: hause, clause: handles, value: factor, reads: 4, who: A, when: 2026-11-02, copy: B}
  - {set: house, clause: handles, value: factor, reads: 4, who: A, when: 2026-11-02}
`;
    expect(told(text).map(([code, line]) => [code, line])).toEqual([
      ['wrong-dimension', 8],
      ['confirmation-mismatch', 12],
      ['unknown-name', 13],
      ['missing-field', 14],
    ]);
  });

  it.each(['.nan', '1e999', '07.0', '-.inf'])('quotes %s as it is written', (written) => {
    const [issue] = issuesOf(amending(`{incline: {value: ${written}, basis: seen}}`));
    expect(issue).toMatchObject({ code: 'no-unit', actual: written });
    expect(issuesOf(`${HEAD}${written}: 1\n`)[0]).toMatchObject({
      code: 'key-not-a-name',
      actual: written,
    });
  });

  it('keeps control sequences and long texts out of its messages', () => {
    const sly = amending('{incline: {value: "\\e[31m5 deg", basis: seen}}');
    expect(issuesOf(sly)[0]?.actual).toBe('\\u{1b}[31m5 deg');
    const long = amending(`{incline: {value: ${'9'.repeat(400)} deg, basis: seen}}`);
    expect(issuesOf(long)[0]?.actual).toHaveLength(80);
  });

  it('lists at most 200 problems, and says how many more', () => {
    const entries = Array.from({ length: 300 }, () => `${INCLINE_IN_USE}, reads: 7 deg`);
    const issues = issuesOf(confirming(...entries));
    expect(issues).toHaveLength(201);
    expect(issues[200]).toMatchObject({ code: 'too-many-issues', actual: '399 more' });
  });
});

describe('applying a file', () => {
  it('throws when the file was read against other sets', () => {
    const read = readRequirementFile(confirming(`${INCLINE_IN_USE}, reads: 5 deg`), 'a.yaml');
    if (read.kind === 'invalid') throw new Error('the file is valid');
    expect(() => applyRequirementFile([], read.value)).toThrow(/unknown-name/);
  });
});
