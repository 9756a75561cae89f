import { describe, expect, test } from 'vitest';
import type { FieldNode, FieldPath, NewItemKind } from '../../src/document/index.js';
import {
  cartJsonSchema,
  changeFields,
  fieldGuide,
  fieldOfIssue,
  listOfNewItem,
  newCartItem,
  nodeAt,
  readCart,
  readFields,
  writeStarterCart,
} from '../../src/document/index.js';
import { SMALL_CART, spoiled } from './small-cart.js';

function fieldsOf(text: string): FieldNode {
  const fields = readFields(text);
  if (fields === null) throw new Error('fieldsOf: no YAML map');
  return fields;
}

describe('the guide to a field', () => {
  test('says what it is, what is due and of what dimension', () => {
    expect(fieldGuide(['castor types', 0, 'trail'])).toMatchObject({
      kind: 'quantity',
      dimension: 'length',
      required: false,
      due: 'a length with its unit, from 0 mm to 500 mm, such as 32 mm',
      example: '32 mm',
      about: expect.stringContaining('How far the contact trails'),
    });
    expect(fieldGuide(['parts', 3, 'mass'])).toMatchObject({
      dimension: 'mass',
      oneOf: ['mass', 'from list'],
    });
    expect(fieldGuide(['castors', 0, 'lock'])).toMatchObject({
      kind: 'choice',
      choices: ['none', 'wheel', 'directional', 'total'],
      required: true,
      oneOf: [],
    });
    expect(fieldGuide(['castors', 0, 'brake torque'])).toMatchObject({
      dimension: 'moment',
      choices: ['outlasts the tread'],
    });
    expect(fieldGuide(['castors', 0, 'at', 1])).toMatchObject({ dimension: 'length' });
    expect(fieldGuide(['castors', 0, 'at'])).toMatchObject({ kind: 'point', fields: ['x', 'y'] });
    expect(fieldGuide(['movers', 0, 'slide', 'axis'])).toMatchObject({
      kind: 'choice',
      other: 'point',
      fields: ['x', 'y', 'z'],
    });
    expect(fieldGuide(['uncertainty', 'trail', 'tolerance'])).toMatchObject({ orShare: true });
    expect(fieldGuide(['castors'])).toMatchObject({
      kind: 'list',
      counts: { least: 3, most: 200 },
    });
    expect(fieldGuide(['description'])).toMatchObject({ kind: 'text', wraps: true });
    expect(fieldGuide(['outline', 0, 'pushable'])).toMatchObject({ kind: 'flag' });
    expect(fieldGuide(['floor', 'friction', 0, 'readings'])).toMatchObject({ kind: 'number' });
  });

  test('says which names a field may hold', () => {
    expect(fieldGuide(['parts', 0, 'on'])?.refersTo).toBe('mover');
    expect(fieldGuide(['castors', 0, 'type'])?.refersTo).toBe('castor type');
    expect(fieldGuide(['castor types', 0, 'tread'])?.refersTo).toBe('tread');
    expect(fieldGuide(['positions', 0, 'loads'])?.refersTo).toBe('load');
    expect(fieldGuide(['parts', 0, 'name'])?.refersTo).toBeNull();
  });

  test('says of a mover in a position whether a length or an angle is due', () => {
    const fields = fieldsOf(SMALL_CART);
    const of = (name: string) => fieldGuide(['positions', 0, 'transport', name], fields);
    expect(of('lift')).toMatchObject({ dimension: 'length', other: 'map', fields: ['from', 'to'] });
    expect(of('arm')).toMatchObject({ dimension: 'angle' });
    expect(fieldGuide(['positions', 0, 'use', 'arm', 'to'], fields)?.dimension).toBe('angle');
    expect(fieldGuide(['positions', 0, 'loads', 'bag'], fields)).toMatchObject({
      choices: ['absent', 'full'],
      fields: ['least', 'most'],
    });
  });

  test.each<[FieldPath]>([
    [['colour']],
    [['parts', 'x']],
    [['castors', 0, 'at', 2]],
    [['name', 'x']],
    [['__proto__']],
    [['floor', 0]],
  ])('there is none to %j', (path) => {
    expect(fieldGuide(path)).toBeNull();
  });

  test('there is one to every field of a cart, with the help that the schema has', () => {
    const fields = fieldsOf(SMALL_CART);
    const seen: string[] = [];
    walk(fields, [], (path) => {
      const guide = fieldGuide(path, fields);
      expect(guide, JSON.stringify(path)).not.toBeNull();
      expect(guide?.about).not.toBe('');
      seen.push(guide?.kind ?? '');
    });
    expect(new Set(seen)).toEqual(
      new Set([
        'version',
        'name',
        'choice',
        'list',
        'map',
        'quantity',
        'point',
        'number',
        'flag',
        'entries',
      ]),
    );
    const { properties } = cartJsonSchema() as {
      properties: Record<string, { description: string }>;
    };
    for (const [key, { description }] of Object.entries(properties)) {
      expect(fieldGuide([key])?.about).toBe(description);
    }
  });
});

function walk(node: FieldNode, path: FieldPath, visit: (path: FieldPath) => void): void {
  visit(path);
  if (node.kind === 'map')
    for (const entry of node.entries) walk(entry.node, [...path, entry.key], visit);
  if (node.kind === 'list')
    for (const [i, item] of node.items.entries()) walk(item, [...path, i], visit);
}

describe('a new item', () => {
  /** kind, the name it has in the starter cart, the fields that are left to the user */
  const kinds: readonly (readonly [NewItemKind, string, readonly string[]])[] = [
    ['part', 'part 4', ['at', 'mass']],
    ['slide', 'mover 3', ['slide > axis', 'slide > from', 'slide > to']],
    ['turn', 'mover 3', ['turn > about', 'turn > axis', 'turn > from', 'turn > to']],
    ['fluid', 'load 3', ['at', 'fluid > least', 'fluid > most']],
    ['removable', 'load 3', ['at', 'removable > least', 'removable > most']],
    ['castor', 'castor 5', ['at', 'lock']],
    [
      'castor type',
      'castor type 2',
      ['rating', 'rolling length', 'stiffness', 'tread', 'wheel diameter'],
    ],
    ['friction', 'tread 2', ['basis', 'tolerance', 'value']],
    ['box', 'body 4', ['box > from', 'box > to', 'pushable']],
    [
      'cylinder',
      'body 4',
      ['cylinder > base', 'cylinder > height', 'cylinder > radius', 'pushable'],
    ],
    ['foothold', 'surface 2', ['foothold > from', 'foothold > height', 'foothold > to']],
    ['seat', 'surface 2', ['seat > from', 'seat > height', 'seat > to']],
    [
      'work surface',
      'surface 2',
      ['work surface > from', 'work surface > height', 'work surface > to'],
    ],
    ['pushing', 'handle 2', ['pushing > at']],
    ['lifting', 'handle 2', ['lifting > at', 'lifting > rating']],
    ['transport', 'position 3', []],
    ['use', 'position 3', []],
  ];
  test.each(kinds)('%s is called "%s" and asks for %j', (kind, name, due) => {
    const text = writeStarterCart();
    const path = listOfNewItem(kind);
    const value = newCartItem(kind, fieldsOf(text));
    const result = changeFields(text, [{ kind: 'insert', path, index: 'end', value }]);
    if (result.kind === 'refused') throw new Error(result.reason);
    const list = nodeAt(fieldsOf(result.text), path);
    const index = list?.kind === 'list' ? list.items.length - 1 : -1;
    const key = kind === 'friction' ? 'tread' : 'name';
    expect(nodeAt(fieldsOf(result.text), [...path, index, key])).toMatchObject({ text: name });
    const read = readCart(result.text, 'cart');
    const issues = read.kind === 'invalid' ? read.issues : [];
    const fields = issues.map((issue) => fieldOfIssue(issue) ?? []);
    expect(
      fields.every((each) => each.slice(0, path.length + 1).join() === [...path, index].join()),
    ).toBe(true);
    expect(fields.map((each) => each.slice(path.length + 1).join(' > ')).sort()).toEqual(due);
  });

  test('of a part has no mass, and that is an error', () => {
    expect(newCartItem('part', fieldsOf(SMALL_CART))).toEqual({ map: { name: 'part 3' } });
  });

  test('takes a name that is free', () => {
    const text = spoiled('- name: base\n', '- name: Part 3\n');
    expect(newCartItem('part', fieldsOf(text))).toEqual({ map: { name: 'part 4' } });
    expect(newCartItem('part', fieldsOf('name: x\n'))).toEqual({ map: { name: 'part 1' } });
  });

  test('of a castor has the type where there is one, of a friction value the tread without one', () => {
    expect(newCartItem('castor', fieldsOf(SMALL_CART))).toEqual({ map: { name: 'castor 4' } });
    expect(newCartItem('castor', fieldsOf(writeStarterCart()))).toEqual({
      map: { name: 'castor 5', type: 'swivel 100' },
    });
    const text = spoiled('not stated\n    tread: grey rubber', 'not stated\n    tread: soft');
    expect(newCartItem('friction', fieldsOf(text))).toEqual({ map: { tread: 'soft' } });
  });
});
