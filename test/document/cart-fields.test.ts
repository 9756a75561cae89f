import { describe, expect, test } from 'vitest';
import type { FieldChange, FieldInput, FieldPath, NamedKind } from '../../src/document/index.js';
import {
  changeFields,
  LONGEST_NAME,
  nodeAt,
  readCart,
  readFields,
  writeStarterCart,
} from '../../src/document/index.js';
import { SMALL_CART, spoiled } from './small-cart.js';

function changed(text: string, ...changes: FieldChange[]): string {
  const result = changeFields(text, changes);
  if (result.kind === 'refused') throw new Error(result.reason);
  return result.text;
}

function reasonOf(text: string, ...changes: FieldChange[]): string {
  const result = changeFields(text, changes);
  return result.kind === 'refused' ? result.reason : 'not refused';
}

function set(path: FieldPath, value: FieldInput): FieldChange {
  return { kind: 'set', path, value };
}

/** The lines that only the second text has. */
function newLines(before: string, after: string): readonly string[] {
  const old = before.split(/\r?\n/);
  return after.split(/\r?\n/).filter((line) => !old.includes(line));
}

function at(text: string, path: FieldPath) {
  const root = readFields(text);
  return root && nodeAt(root, path);
}

describe('fields as typed', () => {
  test('keep digits, units and kind', () => {
    const text = spoiled('mass: 20 kg', 'mass: "20.00 kg"', spoiled('value: 0.6', 'value: 0.60'));
    expect(at(text, ['parts', 0, 'mass'])).toEqual({
      kind: 'scalar',
      text: '20.00 kg',
      value: '20.00 kg',
    });
    expect(at(text, ['floor', 'friction', 0, 'value'])).toEqual({
      kind: 'scalar',
      text: '0.60',
      value: 0.6,
    });
    expect(at(text, ['castors', 1, 'at', 1])).toMatchObject({ text: '-220 mm' });
    expect(at(text, ['castors', 9])).toBeNull();
    expect(at(text, ['name', 0])).toBeNull();
  });

  test('are those of an alias where one stands', () => {
    const text = spoiled('mass: 5 kg', 'mass: *m', spoiled('mass: 20 kg', 'mass: &m 20 kg'));
    expect(at(text, ['parts', 1, 'mass'])).toMatchObject({ text: '20 kg' });
  });

  test('are read from a cart that is half described', () => {
    const text = 'name: Half\nparts:\n  - name: base\n    mass:\n  - 12\ncastors: soon\n';
    expect(at(text, ['parts', 0, 'mass'])).toEqual({ kind: 'scalar', text: '', value: null });
    expect(at(text, ['parts', 1])).toMatchObject({ value: 12 });
    expect(at(text, ['castors'])).toMatchObject({ text: 'soon' });
  });

  test.each(['', '# nothing', '- a list', 'a word', 'a: [', 'a: *b'])('%j has none', (text) => {
    expect(readFields(text)).toBeNull();
    expect(reasonOf(text, set(['name'], 'x'))).toContain('no YAML map');
  });
});

describe('a value that is set', () => {
  test.each([
    [{ typed: '0.60' }, 'value: 0.60', 0.6],
    [{ typed: ' 1e-1 ' }, 'value: 1e-1', 0.1],
    [{ typed: '0.60 mm' }, 'value: 0.60 mm', '0.60 mm'],
    [{ typed: 'a: b # c' }, 'value: "a: b # c"', 'a: b # c'],
    [{ typed: 'true' }, 'value: true', true],
    ['0.60', 'value: "0.60"', '0.60'],
    ['true', 'value: "true"', 'true'],
    [0.25, 'value: 0.25', 0.25],
    [false, 'value: false', false],
  ])('%j is written as %s', (value, written, read) => {
    const text = changed(SMALL_CART, set(['floor', 'friction', 0, 'value'], value));
    expect(text).toBe(spoiled('value: 0.6', written));
    expect(at(text, ['floor', 'friction', 0, 'value'])).toMatchObject({ value: read });
  });

  test('as nothing leaves the field there, and the reader asks for it', () => {
    const text = changed(SMALL_CART, set(['parts', 0, 'mass'], { typed: '' }));
    expect(text).toBe(spoiled('mass: 20 kg', 'mass:'));
    const result = readCart(text, 'small.cart.yaml');
    expect(result.kind === 'invalid' && result.issues).toMatchObject([
      { code: 'missing-field', path: 'parts[1] "base" > mass' },
    ]);
    expect(changed(text, set(['parts', 0, 'mass'], { typed: '20 kg' }))).toBe(SMALL_CART);
  });

  test('keeps its quotes and what stands around it', () => {
    const text = spoiled('mass: 20 kg', "mass:   '20 kg'   # weighed");
    expect(changed(text, set(['parts', 0, 'mass'], { typed: '21 kg' }))).toBe(
      spoiled('mass: 20 kg', "mass:   '21 kg'   # weighed"),
    );
  });

  test('goes where it belongs when it is not there', () => {
    const text = changed(
      SMALL_CART,
      set(['parts', 0, 'mass tolerance'], { typed: '0.1 kg' }),
      set(['castors', 2, 'lock directions'], [{ typed: '0 deg' }]),
      set(['floor', 'friction', 0, 'tolerance distribution'], 'normal'),
      set(['description'], 'Two lines\nof text'),
      set(['uncertainty', 'trail', 'tolerance'], { typed: '1 mm' }),
    );
    expect(text).toContain('    mass: 20 kg\n    mass tolerance: 0.1 kg\n    at:');
    expect(text).toContain('    brake torque: outlasts the tread\n    lock directions: [0 deg]\n');
    expect(text).toContain('tolerance: 0.1, tolerance distribution: normal, basis: assumed}');
    expect(text).toContain('name: Small cart\ndescription: "Two lines\\nof text"\nmobility:');
    expect(text.endsWith('\nuncertainty:\n  trail: {tolerance: 1 mm}\n')).toBe(true);
  });

  test('goes before the first field of an item where it belongs there', () => {
    const text = changed(
      spoiled('- name: base\n    mass', '- mass'),
      set(['parts', 0, 'name'], 'base'),
    );
    expect(text).toBe(SMALL_CART);
  });

  test('of another kind replaces what stands there, comments kept', () => {
    const text = spoiled('      axis: up\n', '      axis: up # the column\n');
    const slide = { map: { axis: [0, 0, 1], from: { typed: '0 mm' }, to: { typed: '1 m' } } };
    expect(newLines(text, changed(text, set(['movers', 0, 'slide'], slide)))).toEqual([
      '      axis: [0, 0, 1] # the column',
      '      to: 1 m',
    ]);
    const word = changed(text, set(['movers', 0, 'slide'], { typed: 'later' }));
    expect(newLines(text, word)).toEqual(['    # the column', '    slide: later']);
    const range = { map: { from: { typed: '0 mm' }, to: { typed: '9 mm' } } };
    expect(changed(text, set(['positions', 0, 'transport', 'lift'], range))).toContain(
      'transport: {lift: {from: 0 mm, to: 9 mm}, arm: 0 deg}',
    );
  });

  test('through an alias changes no other', () => {
    const shared = spoiled('at: [0 mm, 0 mm, 100 mm]', 'at: &p [0 mm, 0 mm, 100 mm]');
    const text = spoiled('at: [0 mm, 0 mm, 500 mm]', 'at: *p', shared);
    const one = changed(text, set(['loads', 1, 'at', 2], { typed: '7 mm' }));
    expect(one).toBe(spoiled('at: *p', 'at: [0 mm, 0 mm, 7 mm]', text));
    const other = changed(text, set(['parts', 0, 'at', 2], { typed: '7 mm' }));
    expect(at(other, ['loads', 1, 'at', 2])).toMatchObject({ text: '100 mm' });
  });

  test('is written in the style of the file: JSON, other line ends, a byte order mark', () => {
    const json = '{"name": "a", "parts": [{"name": "base"}]}';
    expect(
      changed(
        json,
        set(['parts', 0, 'mass'], { typed: '5 kg' }),
        set(['parts', 0, 'at'], [0, { typed: '1 mm' }]),
      ),
    ).toBe('{"name": "a", "parts": [{"name": "base", "mass": "5 kg", "at": [0, "1 mm"]}]}');
    const text = `\ufeff${SMALL_CART.replaceAll('\n', '\r\n')}`;
    const longer = changed(text, {
      kind: 'insert',
      path: ['parts'],
      index: 'end',
      value: { map: { name: 'lamp', mass: { typed: '1 kg' } } },
    });
    expect(longer).toBe(
      text.replace(
        '    on: lift\r\nmovers',
        '    on: lift\r\n  - name: lamp\r\n    mass: 1 kg\r\nmovers',
      ),
    );
  });
});

describe('names', () => {
  const hostile: readonly string[] = [
    ...[
      'a: b',
      'a # b',
      '"a"',
      "it's",
      '- a',
      '{a}',
      '[a]',
      '&a',
      '*a',
      '!a',
      '%a',
      '@a',
      '`a`',
      'a, b',
    ],
    ...['true', 'No', '12', '1e3', 'null', '~', 'a\\b', 'x > y', 'x" > "y', '😀', 'עגלה', 'é'],
    'x'.repeat(LONGEST_NAME),
  ];
  test.each(hostile)('%j is the same when it is read, also as a key', (name) => {
    const text = changed(SMALL_CART, { kind: 'rename', what: 'mover', from: 'lift', to: name });
    const result = readCart(text, 'small.cart.yaml');
    expect(result.kind === 'ok' && result.value.movers[0]?.name).toBe(name.normalize('NFC'));
    expect(result.kind === 'ok' && result.value.movers[1]?.on).toBe(name.normalize('NFC'));
    expect(result.kind === 'ok' && result.value.positions[1]?.movers[name]?.from).toBeCloseTo(0.1);
  });

  test.each(['__proto__', 'x'.repeat(5000), 'a\u0007b', 'a\u202eb', '\ufffd'])(
    '%j can be set, and the reader says what it thinks of it',
    (name) => {
      const text = changed(SMALL_CART, set(['handles', 0, 'name'], name));
      expect(at(text, ['handles', 0, 'name'])).toEqual({ kind: 'scalar', text: name, value: name });
      expect(text).not.toMatch(/\p{Cc}(?<!\n)|\ufffd/u);
    },
  );

  test('stand on one line', () => {
    expect(reasonOf(SMALL_CART, set(['parts', 0, 'name'], 'a\nb'))).toBe(
      'parts[1] > name: it has to stand on one line',
    );
    expect(reasonOf(SMALL_CART, set(['parts', 0], { map: { 'a\nb': 1 } }))).toContain('one line');
    expect(reasonOf(SMALL_CART, set(['description'], { typed: 'a\nb' }))).toContain('one line');
    expect(reasonOf(SMALL_CART, set(['description'], '\ud83d'))).toContain('half of a character');
  });
});

describe('what is refused, with the text left alone', () => {
  test.each<[string, FieldChange, string]>([
    [
      'a field of a value',
      set(['name', 'x'], 'y'),
      'name holds one value, so name > x has no place',
    ],
    ['an item of a map', set(['floor', 0], 'y'), 'floor holds fields'],
    ['a field of a list', set(['parts', 'x'], 'y'), 'parts holds a list'],
    ['an item past the end', set(['parts', 5], 'y'), 'parts has 2 items, so there is no item 6'],
    ['a field without a name', set([''], 'y'), 'a field needs a name'],
    ['the whole file', set([], 'y'), 'the whole file is no field'],
    ['no number', set(['name'], Number.NaN), 'name: NaN is not a finite number'],
    [
      'an item before one past the end',
      { kind: 'insert', path: ['parts'], index: 4, value: 1 },
      '2 items',
    ],
    [
      'an item of no list',
      { kind: 'insert', path: ['name'], index: 0, value: 1 },
      'name is no list',
    ],
    ['a move of no item', { kind: 'move', path: ['parts', 7], to: 0 }, 'parts[8] is no item'],
    ['a move to no place', { kind: 'move', path: ['parts', 0], to: 2 }, 'none can be item 3'],
    ['the last field', { kind: 'remove', path: [] }, 'the whole file is no field'],
  ])('%s', (_, change, reason) => {
    expect(reasonOf(SMALL_CART, set(['name'], 'Changed'), change)).toContain(reason);
  });

  test('a field that stands in a form that nobody writes', () => {
    expect(changed('? name\n: x\n', set(['name'], [1]))).toBe('? name\n: [1]\n');
    expect(reasonOf('name: x\nfloor: {friction}\n', set(['floor', 'friction'], 'y'))).toBe(
      'floor > friction is written in a way that cannot be changed here: change it in the text',
    );
  });

  test('all of the changes where one is refused', () => {
    const result = changeFields(SMALL_CART, [set(['name'], 'A'), set(['name', 'x'], 'y')]);
    expect(result.kind).toBe('refused');
  });

  test('nothing where nothing is to be taken out', () => {
    expect(changed(SMALL_CART, { kind: 'remove', path: ['loads', 7, 'at'] })).toBe(SMALL_CART);
  });
});

describe('items', () => {
  const lamp = { map: { name: 'lamp', mass: { typed: '1 kg' }, at: [{ typed: '1 mm' }, 0, 0] } };
  const texts: readonly (readonly [string, string])[] = [
    ['the small cart', SMALL_CART],
    ['the starter cart', writeStarterCart()],
    ['other line ends', writeStarterCart().replaceAll('\n', '\r\n')],
    ['items set apart by blank lines', writeStarterCart().replaceAll('\n  - ', '\n\n  - ')],
    ['no last line end', SMALL_CART.trimEnd()],
  ];
  describe.each(texts)('%s', (_, text) => {
    test.each(['parts', 'movers', 'loads', 'castor types', 'castors', 'outline', 'positions'])(
      'an item put anywhere into %s and taken out again leaves every byte',
      (list) => {
        const node = at(text, [list]);
        const count = node?.kind === 'list' ? node.items.length : 0;
        for (let index = 0; index <= count; index += 1) {
          const longer = changed(text, { kind: 'insert', path: [list], index, value: lamp });
          expect(at(longer, [list, index, 'name'])).toMatchObject({ text: 'lamp' });
          expect(changed(longer, { kind: 'remove', path: [list, index] })).toBe(text);
        }
        expect(count).toBeGreaterThan(0);
      },
    );

    test('a field put in and taken out again leaves every byte', () => {
      for (const path of [
        ['parts', 0, 'on'],
        ['castors', 1, 'fixed'],
        ['castor types', 0, 'trai'],
      ]) {
        const longer = changed(text, set(path, 'lift'));
        expect(longer).not.toBe(text);
        expect(changed(longer, { kind: 'remove', path })).toBe(text);
      }
    });

    test('an item moved and moved back leaves every byte', () => {
      const moved = changed(text, { kind: 'move', path: ['castors', 0], to: 2 });
      expect(at(moved, ['castors', 2, 'name'])).toMatchObject({ text: 'front left' });
      expect(changed(moved, { kind: 'move', path: ['castors', 2], to: 0 })).toBe(text);
    });
  });

  test('are written as the examples write them', () => {
    const text = changed(
      'standstill: 1\n\nparts:\n  - name: base\n\npositions: []    # to come\n',
      { kind: 'insert', path: ['parts'], index: 'end', value: lamp },
      {
        kind: 'insert',
        path: ['floor', 'friction'],
        index: 'end',
        value: { map: { tread: 'grey' } },
      },
      {
        kind: 'insert',
        path: ['positions'],
        index: 0,
        value: { map: { name: 'in use', use: { map: { lift: { typed: '0 mm' } } } } },
      },
      { kind: 'insert', path: ['markings'], index: 'end', value: 'no sitting' },
    );
    expect(text).toBe(
      [
        'standstill: 1\n\nparts:\n  - name: base\n  - name: lamp\n    mass: 1 kg\n    at: [1 mm, 0, 0]\n',
        'floor:\n  friction:\n    - {tread: grey}\n',
        'markings: [no sitting]\n',
        'positions:    # to come\n  - name: in use\n    use: {lift: 0 mm}\n',
      ].join('\n'),
    );
  });

  test('many at once are put in as one after the other', () => {
    const values = ['a', 'b', 'c'].map((name) => ({ map: { name } }));
    const inserts = values.map(
      (value): FieldChange => ({ kind: 'insert', path: ['parts'], index: 'end', value }),
    );
    const oneByOne = inserts.reduce((text, each) => changed(text, each), SMALL_CART);
    expect(changed(SMALL_CART, ...inserts)).toBe(oneByOne);
  });

  test('a list whose last item goes stays, with nothing in it and its comments above', () => {
    const text = spoiled('  - name: step\n', '  - name: step # a plate\n');
    const bare = changed(text, { kind: 'remove', path: ['surfaces', 0] });
    expect(bare).toContain('\n# a plate\nsurfaces: []\nhandles:');
    const loads = changed(text, { kind: 'remove', path: ['positions', 1, 'loads', 'supplies'] });
    expect(loads).toContain('\n    loads: {}\n');
  });

  test('comments above an item go with it, those above the first stay', () => {
    const text =
      'parts:\n  # all parts\n  - name: a # first\n  # weighed\n  - name: b\n    # deeper\n';
    expect(changed(text, { kind: 'move', path: ['parts', 1], to: 0 })).toBe(
      'parts:\n  # all parts\n  # weighed\n  - name: b\n    # deeper\n  - name: a # first\n',
    );
  });
});

describe('a rename', () => {
  function rename(what: NamedKind, from: string, to: string): FieldChange {
    return { kind: 'rename', what, from, to };
  }

  test('of a mover is followed by all that it carries and by the positions', () => {
    const text = changed(SMALL_CART, rename('mover', ' lift ', 'column lift'));
    expect(text).toBe(
      SMALL_CART.replace('- name: lift', '- name: column lift')
        .replaceAll('on: lift', 'on: column lift')
        .replace('{lift: 0 mm', '{column lift: 0 mm')
        .replace('      lift: {from', '      column lift: {from'),
    );
  });

  test.each<[NamedKind, string, readonly (readonly [string, string])[]]>([
    [
      'load',
      'supplies',
      [
        ['- name: supplies', '- name: new'],
        ['supplies: absent', 'new: absent'],
        ['      supplies: {', '      new: {'],
      ],
    ],
    [
      'castor type',
      'fixed 100',
      [
        ['- name: fixed 100', '- name: new'],
        ['type: fixed 100', 'type: new'],
      ],
    ],
    ['part', 'head', [['- name: head', '- name: new']]],
    ['castor', 'rear', [['- name: rear', '- name: new']]],
    ['body', 'column', [['- name: column', '- name: new']]],
    ['surface', 'step', [['- name: step', '- name: new']]],
    ['handle', 'push bar', [['- name: push bar', '- name: new']]],
    ['position', 'in use', [['- name: in use', '- name: new']]],
  ])('of a %s: %s', (what, from, replacements) => {
    const wanted = replacements.reduce((text, [old, now]) => spoiled(old, now, text), SMALL_CART);
    const text = changed(SMALL_CART, rename(what, from, 'new'));
    expect(text).toBe(wanted);
    expect(changed(text, rename(what, 'new', from))).toBe(SMALL_CART);
  });

  test('of a tread is followed by castor types and friction', () => {
    const text = changed(SMALL_CART, rename('tread', 'grey rubber', 'soft grey'));
    expect(text).toBe(SMALL_CART.replaceAll('grey rubber', 'soft grey'));
  });

  test('to other letters of the same name is one, as the reader tells them apart', () => {
    const text = changed(SMALL_CART, rename('mover', 'lift', 'Lift'));
    expect(readCart(text, 'small.cart.yaml').kind).toBe('ok');
    expect(changed(SMALL_CART, rename('mover', 'lift', ' lift '))).toBe(SMALL_CART);
  });

  test.each([
    ['arm', 'another mover is called "arm"'],
    [' ARM', 'another mover is called "arm"'],
    ['a\nb', '"a\\nb" is no usable name'],
    ['', 'is no usable name'],
    ['__proto__', 'not __proto__'],
    ['x'.repeat(LONGEST_NAME + 1), 'a name of 1 to 80 characters'],
  ])('to %j is refused', (to, reason) => {
    expect(reasonOf(SMALL_CART, rename('mover', 'lift', to))).toContain(reason);
  });

  test('that would give an entry a key which YAML takes for its own is refused', () => {
    expect(reasonOf(SMALL_CART, rename('mover', 'lift', '<<'))).toContain('change it in the text');
  });

  test('of what is not there, or there twice, is refused', () => {
    expect(reasonOf(SMALL_CART, rename('mover', 'Lift', 'x'))).toBe('there is no mover "Lift"');
    const twice = spoiled('- name: head', '- name: base');
    expect(reasonOf(twice, rename('part', 'base', 'x'))).toContain('the name of 2 entries');
  });

  test('that would give a position two entries of one name is refused', () => {
    const text = spoiled('{lift: 0 mm, arm: 0 deg}', '{lift: 0 mm, arm: 0 deg, hoist: 0 mm}');
    expect(reasonOf(text, rename('mover', 'lift', 'hoist'))).toBe(
      'positions[1] > transport already says something of "hoist"',
    );
  });
});
