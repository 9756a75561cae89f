import { describe, expect, test } from 'vitest';
import { CART_PROBLEMS } from '../../src/document/cart-problems.js';
import type { FieldPath } from '../../src/document/index.js';
import {
  fieldOfIssue,
  nodeAt,
  readCart,
  readFields,
  readPartsListCsv,
} from '../../src/document/index.js';
import { SMALL_CART, spoiled } from './small-cart.js';

interface Found {
  readonly code: string;
  readonly field: FieldPath | null;
}

function fieldsFound(text: string): readonly Found[] {
  const result = readCart(text, 'small.cart.yaml');
  const issues = result.kind === 'invalid' ? result.issues : result.warnings;
  return issues.map((issue) => ({ code: issue.code, field: fieldOfIssue(issue) }));
}

const UNCERTAIN = `${SMALL_CART}uncertainty:\n  trail: {tolerance: 1 mm}\n`;

/** code, text, field */
const CASES: readonly (readonly [string, string, FieldPath | null])[] = [
  // the file as a whole
  ['empty-file', '', null],
  ['not-text', 'standstill: 1\nname: a\u0000b\n', null],
  ['control-character', 'standstill: 1\nname: \u001bx\n', null],
  ['yaml-syntax', spoiled('[no sitting]', '[no sitting'), null],
  ['tab-indent', spoiled('    mass: 20 kg', '\tmass: 20 kg'), null],
  ['yaml-tag', spoiled('mass: 20 kg', 'mass: !!str 20 kg'), null],
  ['yaml-directive', `%YAML 1.1\n---\n${SMALL_CART}`, null],
  ['several-documents', `${SMALL_CART}---\nx: 1\n`, null],
  ['unknown-alias', spoiled('mass: 20 kg', 'mass: *x'), null],
  ['too-deep', spoiled('[no sitting]', `${'['.repeat(30)}${']'.repeat(30)}`), null],
  ['merge-key', spoiled('    mass: 20 kg', '    <<: {a: 1}\n    mass: 20 kg'), null],
  ['duplicate-key', spoiled('mobility: mobile', 'mobility: mobile\nname: two'), null],
  ['key-not-a-name', spoiled('mobility: mobile', '[a]: c\nmobility: mobile'), null],
  ['not-a-cart-file', '- a\n', null],
  ['not-a-cart-file', 'name: x\n', ['standstill']],
  ['bad-version', spoiled('standstill: 1', 'standstill: one'), ['standstill']],
  ['too-new', spoiled('standstill: 1', 'standstill: 2'), ['standstill']],
  // structure
  ['unknown-field', spoiled('mobility: mobile', 'mobility: mobile\ncolour: x'), ['colour']],
  ['unknown-field', spoiled('mobility: mobile', 'mobility: mobile\nthe file: x'), ['the file']],
  ['missing-field', spoiled('mobility: mobile\n', ''), ['mobility']],
  ['missing-field', spoiled('mobility: mobile', 'mobility:'), ['mobility']],
  ['missing-field', spoiled(', basis: assumed}', '}'), ['floor', 'friction', 0, 'basis']],
  ['missing-field', spoiled('    trail: 32 mm\n', ''), ['castor types', 0, 'trail']],
  ['missing-mass', spoiled('    mass: 20 kg\n', ''), ['parts', 0, 'mass']],
  [
    'missing-brake-torque',
    spoiled('    brake torque: 12 Nm\n', ''),
    ['castors', 0, 'brake torque'],
  ],
  ['one-of-these', spoiled('    mass: 20 kg', '    mass: 20 kg\n    from list: x'), ['parts', 0]],
  ['wrong-kind', spoiled('pushable: true', 'pushable: yes'), ['outline', 0, 'pushable']],
  ['wrong-kind', spoiled('  - name: step\n', '  - 12\n  - name: step\n'), ['surfaces', 0]],
  ['not-a-choice', spoiled('lock: none', 'lock: maybe'), ['castors', 1, 'lock']],
  ['not-a-choice', spoiled('[no sitting]', '[no sitting, no way]'), ['markings', 1]],
  ['too-many', spoiled('at: [250 mm, 220 mm]', 'at: [1 mm, 2 mm, 3 mm]'), ['castors', 0, 'at']],
  ['too-few', spoiled('at: [250 mm, 220 mm]', 'at: [1 mm]'), ['castors', 0, 'at']],
  ['bad-name', spoiled('- name: step', '- name: __proto__'), ['surfaces', 0, 'name']],
  // quantities
  ['no-unit', spoiled('at: [250 mm, 220 mm]', 'at: [250 mm, 220]'), ['castors', 0, 'at', 1]],
  ['not-a-quantity', spoiled('mass: 20 kg', 'mass: heavy'), ['parts', 0, 'mass']],
  ['ambiguous-number', spoiled('mass: 20 kg', 'mass: 1,234 kg'), ['parts', 0, 'mass']],
  ['unknown-unit', spoiled('mass: 20 kg', 'mass: 20 stone'), ['parts', 0, 'mass']],
  [
    'wrong-dimension',
    spoiled('rating: 900 N', 'rating: 9 kg'),
    ['handles', 1, 'lifting', 'rating'],
  ],
  ['not-finite', spoiled('value: 0.6', 'value: .nan'), ['floor', 'friction', 0, 'value']],
  ['out-of-limits', spoiled('value: 0.6', 'value: 9'), ['floor', 'friction', 0, 'value']],
  [
    'out-of-limits',
    spoiled('[0 deg, 90 deg]', '[0 deg, 900 deg]'),
    ['castors', 0, 'lock directions', 1],
  ],
  ['zero-axis', spoiled('axis: [0, 0, 2]', 'axis: [0, 0, 0]'), ['movers', 1, 'turn', 'axis']],
  // names
  ['duplicate-name', spoiled('- name: head', '- name: base'), ['parts', 1, 'name']],
  ['duplicate-name', spoiled('[no sitting]', '[no sitting, no sitting]'), ['markings', 1]],
  ['unknown-name', spoiled('type: fixed 100', 'type: x'), ['castors', 2, 'type']],
  [
    'unknown-name',
    spoiled('{lift: 0 mm, arm: 0 deg}', '{lift: 0 mm, "a > b": 0 deg}'),
    ['positions', 0, 'transport', 'a > b'],
  ],
  [
    'duplicate-key',
    spoiled('{lift: 0 mm, arm: 0 deg}', '{lift: 0 mm, arm: 0 deg, "arm ": 0 deg}'),
    ['positions', 0, 'transport', 'arm '],
  ],
  // meaning
  [
    'range-reversed',
    spoiled('{from: 100 mm, to', '{from: 500 mm, to'),
    ['positions', 1, 'use', 'lift', 'from'],
  ],
  ['range-outside', spoiled('lift: 0 mm', 'lift: 9 m'), ['positions', 0, 'transport', 'lift']],
  [
    'stop-outside',
    spoiled('[-90 deg, 0 deg, 90 deg]', '[0 deg, 91 deg]'),
    ['movers', 1, 'turn', 'stops', 1],
  ],
  ['no-stop-in-range', spoiled('arm: 0 deg', 'arm: 1 deg'), ['positions', 0, 'transport', 'arm']],
  ['mover-cycle', spoiled('- name: lift\n', '- name: lift\n    on: arm\n'), ['movers', 0, 'on']],
  ['castors-in-line', spoiled('at: [-250 mm, 0 mm]', 'at: [250 mm, 0 mm]'), ['castors']],
  [
    'castors-coincide',
    spoiled('[250 mm, -220 mm]\n    lock', '[250 mm, 220 mm]\n    lock'),
    ['castors', 1, 'at'],
  ],
  [
    'unneeded-field',
    spoiled('lock: none', 'lock: none\n    brake torque: 1 Nm'),
    ['castors', 1, 'brake torque'],
  ],
  ['fixed-castor', spoiled('type: fixed 100', 'type: swivel 100'), ['castors', 2, 'type']],
  ['no-transport-position', spoiled('transport: {lift', 'use: {lift'), ['positions']],
  ['no-use-position', spoiled('    use:\n', '    transport:\n'), ['positions']],
  ['no-extent', spoiled('220 mm, 180 mm]', '220 mm, 60 mm]'), ['outline', 0, 'box', 'to', 2]],
  ['below-floor', spoiled('0 mm, 500 mm]', '0 mm, -5 mm]'), ['loads', 1, 'at', 2]],
  [
    'no-friction-for-tread',
    spoiled('not stated\n    tread: grey rubber', 'not stated\n    tread: x'),
    ['castor types', 1, 'tread'],
  ],
  [
    'tolerance-too-large',
    spoiled('mass tolerance: 0.1 kg', 'mass tolerance: 5 kg'),
    ['parts', 1, 'mass tolerance'],
  ],
  [
    'tolerance-too-large',
    spoiled('{tolerance: 1 mm}', '{tolerance: 40 mm}', UNCERTAIN),
    ['uncertainty', 'trail', 'tolerance'],
  ],
  ['load-state', spoiled('bag: full', 'bag: absent'), ['positions', 0, 'loads', 'bag']],
  ['parts-list-not-supplied', `${SMALL_CART}parts list: p.csv\n`, ['parts list']],
  ['no-parts-list', spoiled('mass: 20 kg', 'from list: x'), ['parts', 0, 'from list']],
  // warnings
  [
    'unused-entry',
    spoiled(
      '  friction:\n',
      '  friction:\n    - {tread: x, value: 1, tolerance: 0, basis: measured}\n',
    ),
    ['floor', 'friction', 0, 'tread'],
  ],
];

describe('an issue is about a field', () => {
  test.each(CASES)('%s', (code, text, field) => {
    expect(fieldsFound(text)).toContainEqual({ code, field });
  });

  test('with a case here for every problem of a cart file', () => {
    const tried = new Set(CASES.map(([code]) => code));
    const elsewhere = [
      // about the file as a whole, as are those of YAML above
      ...['file-too-large', 'too-many-aliases', 'alias-expands-too-far', 'too-many-issues'],
      // no older version to come from; edits
      ...['migration-failed', 'not-written'],
      // below, with a parts list
      ...['not-in-parts-list', 'twice-from-parts-list', 'no-place-in-parts-list', 'unused-row'],
      // lists of parts and of castors, and studies
      ...['missing-heading', 'cell-without-heading', 'not-a-study-file', 'bad-study-version'],
      ...['catalogue-not-supplied', 'other-currency', 'not-in-catalogue', 'varied-twice'],
      ...['too-many-variants', 'missing-cost'],
    ];
    const codes = Object.keys(CART_PROBLEMS).filter((code) => !elsewhere.includes(code));
    expect(codes.filter((code) => !tried.has(code))).toEqual([]);
  });

  test('that stands in the tree, or in what stands there', () => {
    for (const [, text, field] of CASES) {
      const root = field && readFields(text);
      if (root && field) expect(nodeAt(root, field.slice(0, -1))).not.toBeNull();
    }
    expect(CASES.filter(([, , field]) => field !== null).length).toBeGreaterThan(40);
  });

  test('of the row of a parts list where the cart speaks of one', () => {
    const list = readPartsListCsv('name,mass\nhub,2 kg\nplate,1 kg\n', 'p.csv');
    if (list.kind === 'invalid') throw new Error('the parts list does not read');
    const text = `${spoiled('mass: 20 kg', 'from list: hub', spoiled('mass: 5 kg\n    mass tolerance: 0.1 kg', 'from list: hub'))}parts list: p.csv\n`;
    const lists = new Map([['p.csv', list.value]]);
    const codes = (cart: string) => {
      const result = readCart(cart, 'c', lists);
      const issues = result.kind === 'invalid' ? result.issues : result.warnings;
      return issues.map((issue) => [issue.code, fieldOfIssue(issue)]);
    };
    expect(codes(text)).toEqual([['twice-from-parts-list', ['parts', 1, 'from list']]]);
    const missing = text.replace('from list: hub', 'from list: hob');
    expect(codes(missing)).toEqual([['not-in-parts-list', ['parts', 0, 'from list']]]);
    const elsewhere = spoiled(
      '    at: [0 mm, 0 mm, 100 mm]\n',
      '',
      text.replace(/hub(?![\s\S]*hub)/, 'plate'),
    );
    expect(codes(elsewhere)).toEqual([['no-place-in-parts-list', ['parts', 0, 'at']]]);
    const one = `${spoiled('mass: 20 kg', 'from list: hub')}parts list: p.csv\n`;
    expect(codes(one)).toEqual([['unused-row', ['parts list']]]);
  });

  test('of a parts list itself, none', () => {
    const list = readPartsListCsv('name,mass\nhub,2\n', 'p.csv');
    const issues = list.kind === 'invalid' ? list.issues : [];
    expect(issues.length).toBeGreaterThan(0);
    expect(issues.map(fieldOfIssue)).toEqual(issues.map(() => null));
  });
});

describe('names that hold what separates the steps of a path', () => {
  const hostile = [
    'a" > trail',
    'x > y',
    '[2]',
    'castors[1] "a" > at',
    '"',
    ' > name',
    '"a" > b > "c"',
  ];
  test.each(hostile)('%j', (name) => {
    const named = spoiled('- name: front left', `- name: ${JSON.stringify(name)}`);
    const text = spoiled('at: [250 mm, 220 mm]', 'at: [250 mm, 220]', named);
    expect(fieldsFound(text)).toEqual([{ code: 'no-unit', field: ['castors', 0, 'at', 1] }]);
    const extra = spoiled(
      '    lock: total',
      `    ${JSON.stringify(`trail" > ${name}`)}: 1\n    lock: total`,
      named,
    );
    expect(fieldsFound(extra)).toEqual([
      { code: 'unknown-field', field: ['castors', 0, `trail" > ${name}`] },
    ]);
  });

  test('of movers that read like a mover and its field', () => {
    const movers = spoiled('- name: arm\n', '- name: lift > from\n');
    const text = spoiled(
      '{lift: 0 mm, arm: 0 deg}',
      '{lift: {from: 0 mm, to: 1 mm}, lift > from: 999 deg}',
      movers.replace('    on: arm\n', ''),
    );
    expect(fieldsFound(text)).toEqual([
      { code: 'out-of-limits', field: ['positions', 0, 'transport', 'lift > from'] },
    ]);
    const other = text
      .replace('999 deg', '0 deg')
      .replace('{from: 0 mm, to: 1', '{from: 99 m, to: 1');
    expect(fieldsFound(other)).toEqual([
      { code: 'out-of-limits', field: ['positions', 0, 'transport', 'lift', 'from'] },
    ]);
  });

  test('that are longer than a path shows', () => {
    const key = 'y'.repeat(300);
    expect(fieldsFound(spoiled('mobility: mobile', `mobility: mobile\n${key}: 1`))).toEqual([
      { code: 'unknown-field', field: [key] },
    ]);
  });
});
