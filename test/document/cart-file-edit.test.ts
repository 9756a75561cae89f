import { describe, expect, test } from 'vitest';
import type { CartEdit, CastorKind, PartsList } from '../../src/document/index.js';
import {
  editCart,
  editCartFile,
  readCart,
  readPartsListCsv,
  sentence,
} from '../../src/document/index.js';
import { cartDifference } from './agreeing-carts.js';
import { SMALL_CART, spoiled } from './small-cart.js';

type Lists = ReadonlyMap<string, PartsList>;

function edited(
  edits: readonly CartEdit[],
  text: string = SMALL_CART,
  lists: Lists = new Map(),
): string {
  const result = editCartFile(text, 'small.cart.yaml', edits, lists);
  if (result.kind === 'refused') throw new Error(result.issues.map(sentence).join('\n'));
  const before = readCart(text, 'small.cart.yaml', lists);
  const after = readCart(result.text, 'small.cart.yaml', lists);
  if (before.kind === 'invalid' || after.kind === 'invalid') throw new Error('unreadable');
  expect(cartDifference(after.value, editCart(before.value, edits))).toBeNull();
  return result.text;
}

function refused(edits: readonly CartEdit[], text: string = SMALL_CART): readonly string[] {
  const result = editCartFile(text, 'small.cart.yaml', edits);
  return result.kind === 'refused' ? result.issues.map(sentence) : [];
}

/** The small cart with several snippets replaced. */
function changed(...changes: readonly (readonly [from: string, to: string])[]): string {
  return changes.reduce((text, [from, to]) => spoiled(from, to, text), SMALL_CART);
}

const DEGREE = Math.PI / 180;

const SWIVEL: CastorKind = {
  wheelDiameter: 0.1,
  trail: 0.032,
  swivelMoment: 0.3,
  rollingLength: 0.0022,
  stiffness: 400_000,
  rating: 60,
  tread: 'grey rubber',
};

describe('each kind of edit', () => {
  test('rename', () => {
    const text = edited([{ kind: 'rename', name: 'Large cart' }]);
    expect(text).toBe(changed(['name: Small cart', 'name: Large cart']));
  });

  test('castor lock: a lock that brakes takes its brake torque, one that holds its directions', () => {
    const lock = { kind: 'castor lock', castor: 'front right', lock: 'total' } as const;
    const text = edited([{ ...lock, brakeTorque: 8.5, lockDirections: [0, 180 * DEGREE] }]);
    const lines = 'lock: total\n    brake torque: 8.5 Nm\n    lock directions: [0 deg, 180 deg]';
    expect(text).toBe(changed(['lock: none', lines]));
    const plain = edited([{ ...lock, lock: 'wheel', brakeTorque: null, lockDirections: null }]);
    expect(plain).toBe(
      changed(['lock: none', 'lock: wheel\n    brake torque: outlasts the tread']),
    );
  });

  test('castor lock: what the lock no longer has goes, its comment stays', () => {
    const text = spoiled('brake torque: 12 Nm', 'brake torque: 12 Nm   # by the maker');
    const lock = { kind: 'castor lock', castor: 'front left', brakeTorque: null } as const;
    expect(edited([{ ...lock, lock: 'none', lockDirections: null }], text)).toBe(
      changed([
        'lock: total\n    brake torque: 12 Nm\n    lock directions: [0 deg, 90 deg]',
        'lock: none\n    # by the maker',
      ]),
    );
    expect(edited([{ ...lock, lock: 'directional', lockDirections: [90 * DEGREE] }], text)).toBe(
      changed([
        'lock: total\n    brake torque: 12 Nm\n    lock directions: [0 deg, 90 deg]',
        'lock: directional\n    # by the maker\n    lock directions: [90 deg]',
      ]),
    );
  });

  test('castor place', () => {
    const text = edited([{ kind: 'castor place', castor: 'front left', at: [0.275, 0.22] }]);
    expect(text).toBe(changed(['at: [250 mm, 220 mm]', 'at: [275 mm, 220 mm]']));
  });

  test('castor kind: castors changed alike share a new type, and the old one goes with its last', () => {
    const becomes = { ...SWIVEL, wheelDiameter: 0.125, rating: null };
    const one: CartEdit = { kind: 'castor kind', castor: 'front left', becomes };
    const type = `  - name: swivel 100
    wheel diameter: 100 mm
    trail: 32 mm
    swivel moment: 0.3 Nm
    rolling length: 2.2 mm
    stiffness: 400 N/mm
    rating: 60 kg
    tread: grey rubber
`;
    const copy = type
      .replace('swivel 100', 'swivel 100 (changed)')
      .replace('100 mm', '125 mm')
      .replace('60 kg', 'not stated');
    const left: [string, string] = [
      'type: swivel 100\n    at: [250 mm, 220 mm]',
      'type: swivel 100 (changed)\n    at: [250 mm, 220 mm]',
    ];
    const right: [string, string] = [
      'type: swivel 100\n    at: [250 mm, -220 mm]',
      'type: swivel 100 (changed)\n    at: [250 mm, -220 mm]',
    ];
    expect(edited([one])).toBe(changed([type, type + copy], left));
    const both = edited([one, { ...one, castor: 'front right' }]);
    expect(both).toBe(changed([type, copy], left, right));
    // and back: the name says no more than that it was changed
    const back: CartEdit = { kind: 'castor kind', castor: 'front left', becomes: SWIVEL };
    const again = edited([back], both);
    expect(again).toContain('- name: swivel 100 (changed 2)\n    wheel diameter: 100 mm\n');
    expect(again).toContain('rating: 60 kg\n    tread: grey rubber\n  - name: fixed 100');
  });

  test('castor kind: a type that has the values already is taken', () => {
    const becomes = { ...SWIVEL, trail: 0, swivelMoment: 0, rating: null };
    const text = changed(
      ['  - name: rear\n    type: fixed 100', '  - name: rear\n    type: fixed 80'],
      [
        '    rating: not stated\n    tread: grey rubber\n',
        `    rating: not stated
    tread: grey rubber
  - name: fixed 80
    wheel diameter: 80 mm   # drawing 7
    rolling length: 2.2 mm
    stiffness: 400 N/mm
    rating: not stated
    tread: grey rubber
`,
      ],
      [
        '  - name: rear\n',
        `  - name: middle
    type: fixed 100
    at: [0 mm, 0 mm]
    fixed: 0 deg
    lock: none
  - name: rear
`,
      ],
    );
    const after = edited([{ kind: 'castor kind', castor: 'rear', becomes }], text);
    expect(after).not.toContain('name: fixed 80');
    expect(after).toContain('    tread: grey rubber\n  # drawing 7\ncastors:');
    expect(after).toContain('  - name: rear\n    type: fixed 100\n');
  });

  test('friction of a tread that is there, and of one that is new', () => {
    const change = { kind: 'friction', value: 0.72, tolerance: 0.05, basis: 'measured' } as const;
    const line = '    - {tread: grey rubber, value: 0.6, tolerance: 0.1, basis: assumed}\n';
    expect(edited([{ ...change, tread: 'grey rubber' }])).toBe(
      changed([
        line,
        '    - {tread: grey rubber, value: 0.72, tolerance: 0.05, basis: measured}\n',
      ]),
    );
    expect(edited([{ ...change, tread: 'soft: new' }])).toBe(
      changed([
        line,
        `${line}    - {tread: "soft: new", value: 0.72, tolerance: 0.05, basis: measured}\n`,
      ]),
    );
  });

  test('friction: readings of the old value go', () => {
    const line = '{tread: grey rubber, value: 0.6, tolerance: 0.1, basis: assumed}';
    const read =
      '{tread: grey rubber, value: 0.6, tolerance: 0.1, tolerance distribution: t, readings: 10, basis: measured}';
    const change = { kind: 'friction', tread: 'grey rubber', value: 0.5, tolerance: 0.1 } as const;
    expect(edited([{ ...change, basis: 'assumed' }], changed([line, read]))).toBe(
      changed([line, '{tread: grey rubber, value: 0.5, tolerance: 0.1, basis: assumed}']),
    );
  });

  test('add part', () => {
    const part: CartEdit = {
      kind: 'add part',
      name: 'ballast',
      mass: 3.2,
      at: [-0.1, 0, 0.0805],
      on: 'lift',
    };
    expect(edited([part])).toBe(
      changed([
        '    on: lift\nmovers:',
        `    on: lift
  - name: ballast
    mass: 3.2 kg
    at: [-100 mm, 0 mm, 80.5 mm]
    on: lift
movers:`,
      ]),
    );
  });

  test('part mass and part place', () => {
    const text = edited([
      { kind: 'part mass', part: 'head', mass: 5.25 },
      { kind: 'part place', part: 'head', at: [0, 0.01, 0.9] },
    ]);
    expect(text).toBe(
      changed(
        ['mass: 5 kg', 'mass: 5.25 kg'],
        ['at: [0 mm, 0 mm, 900 mm]\n    on', 'at: [0 mm, 10 mm, 900 mm]\n    on'],
      ),
    );
  });

  test('mover range: stops outside go, positions are cut, what was the whole range stays what it was', () => {
    const arm: CartEdit = { kind: 'mover range', mover: 'arm', from: -DEGREE, to: 90 * DEGREE };
    expect(edited([arm])).toBe(
      changed(
        ['from: -90 deg', 'from: -1 deg'],
        ['stops: [-90 deg, 0 deg, 90 deg]', 'stops: [0 deg, 90 deg]'],
      ),
    );
    expect(edited([{ kind: 'mover range', mover: 'lift', from: 0, to: 0.3 }])).toBe(
      changed(
        ['      to: 400 mm', '      to: 300 mm'],
        ['lift: {from: 100 mm, to: 400 mm}', 'lift: {from: 100 mm, to: 300 mm}'],
      ),
    );
    const wide: CartEdit = {
      kind: 'mover range',
      mover: 'arm',
      from: -90 * DEGREE,
      to: 120 * DEGREE,
    };
    expect(edited([wide])).toBe(
      changed(
        ['      to: 90 deg', '      to: 120 deg'],
        [
          'lift: {from: 100 mm, to: 400 mm}',
          'lift: {from: 100 mm, to: 400 mm}\n      arm: {from: -90 deg, to: 90 deg}',
        ],
      ),
    );
  });

  test('position mover: a value, a range and what was left out', () => {
    const change = { kind: 'position mover', position: 'transport' } as const;
    expect(edited([{ ...change, mover: 'lift', from: 0, to: 0.05 }])).toBe(
      changed(['{lift: 0 mm, arm', '{lift: {from: 0 mm, to: 50 mm}, arm']),
    );
    expect(edited([{ ...change, mover: 'lift', from: 0.05, to: 0.05 }])).toBe(
      changed(['{lift: 0 mm, arm', '{lift: 50 mm, arm']),
    );
    const use = { kind: 'position mover', position: 'in use', from: 0, to: 0 } as const;
    expect(edited([{ ...use, mover: 'arm' }])).toBe(
      changed(['to: 400 mm}', 'to: 400 mm}\n      arm: 0 deg']),
    );
  });

  test('position load: words, a range, and left out again', () => {
    const bag = { kind: 'position load', position: 'transport', load: 'bag' } as const;
    const some = { least: 1, most: 2.5, mayBeAbsent: false };
    expect(edited([{ ...bag, state: some }])).toBe(
      changed(['bag: full', 'bag: {least: 1 kg, most: 2.5 kg}']),
    );
    const use = { kind: 'position load', position: 'in use', load: 'supplies' } as const;
    expect(edited([{ ...use, state: { least: 6, most: 6, mayBeAbsent: false } }])).toBe(
      changed(['{least: 1 kg, most: 2 kg}', 'full']),
    );
    const whole = { least: 1, most: 6, mayBeAbsent: true };
    expect(edited([{ ...use, state: whole }])).toBe(
      changed(['    loads:\n      supplies: {least: 1 kg, most: 2 kg}\n', '']),
    );
    expect(edited([{ ...bag, load: 'supplies', state: whole }])).toBe(
      changed(['{bag: full, supplies: absent}', '{bag: full}']),
    );
  });

  test('add marking: to the list, or to a new one', () => {
    const sign: CartEdit = { kind: 'add marking', marking: 'no pushing' };
    expect(edited([sign])).toBe(changed(['[no sitting]', '[no sitting, no pushing]']));
    const none = changed(['markings: [no sitting]\n', '\n# what it does\n']);
    expect(edited([sign], none)).toBe(
      changed(['markings: [no sitting]\n', '\nmarkings: [no pushing]\n\n# what it does\n']),
    );
  });

  test('raise: every height above the castors', () => {
    expect(edited([{ kind: 'raise', by: 0.025 }])).toBe(
      changed(
        ['at: [0 mm, 0 mm, 100 mm]', 'at: [0 mm, 0 mm, 125 mm]'],
        ['at: [0 mm, 0 mm, 900 mm]\n    on', 'at: [0 mm, 0 mm, 925 mm]\n    on'],
        ['about: [0 mm, 0 mm, 900 mm]', 'about: [0 mm, 0 mm, 925 mm]'],
        ['at: [0 mm, 100 mm, 1000 mm]', 'at: [0 mm, 100 mm, 1025 mm]'],
        ['at: [0 mm, 0 mm, 500 mm]', 'at: [0 mm, 0 mm, 525 mm]'],
        ['from: [-250 mm, -220 mm, 60 mm]', 'from: [-250 mm, -220 mm, 85 mm]'],
        ['to: [250 mm, 220 mm, 180 mm]', 'to: [250 mm, 220 mm, 205 mm]'],
        ['base: [0 mm, 0 mm, 180 mm]', 'base: [0 mm, 0 mm, 205 mm]'],
        ['height: 100 mm', 'height: 125 mm'],
        ['at: [-260 mm, 0 mm, 900 mm]', 'at: [-260 mm, 0 mm, 925 mm]'],
        ['at: [0 mm, 230 mm, 150 mm]', 'at: [0 mm, 230 mm, 175 mm]'],
      ),
    );
  });
});

describe('parts from a parts list', () => {
  const CSV = `Name,Quantity,Mass [lb],Mass tolerance [lb],X [mm],Y [mm],Z [mm]
Bracket,4,0.5,0.01,10,20,300
`;
  const list = readPartsListCsv(CSV, 'parts.csv');
  if (list.kind === 'invalid') throw new Error(list.issues.map(sentence).join('\n'));
  const lists = new Map([['parts.csv', list.value]]);
  const text = changed(
    ['mobility: mobile', 'mobility: mobile\nparts list: parts.csv'],
    [
      '  - name: base\n    mass: 20 kg\n    at: [0 mm, 0 mm, 100 mm]\n',
      '  - name: base\n    from list: "Bracket"   # four\n    on: lift\n',
    ],
  );
  const part = '  - name: base\n    from list: "Bracket"   # four\n    on: lift\n';

  test('a mass that is stated takes the place of the row, with what else the row gave', () => {
    const after = edited([{ kind: 'part mass', part: 'base', mass: 1.5 }], text, lists);
    // 4 x 0.01 lb = 0.018143... kg
    const stated = `  - name: base
    mass: 1.5 kg   # four
    mass tolerance: 0.0181436948 kg
    at: [10 mm, 20 mm, 300 mm]
    on: lift
`;
    expect(after).toBe(spoiled(part, stated, text));
    const result = editCartFile(text, 'a', [{ kind: 'part mass', part: 'base', mass: 1.5 }], lists);
    const warnings = result.kind === 'ok' ? result.warnings.map(({ code }) => code) : [];
    expect(warnings).toEqual(['unused-row']);
  });

  test('a place goes before that of the row, which still gives the mass', () => {
    const after = edited([{ kind: 'part place', part: 'base', at: [0, 0, 0.31] }], text, lists);
    const stated = part.replace('# four\n', '# four\n    at: [0 mm, 0 mm, 310 mm]\n');
    expect(after).toBe(spoiled(part, stated, text));
  });

  test('a raise raises them too', () => {
    const after = edited([{ kind: 'raise', by: 0.01 }], text, lists);
    expect(after).toContain('"Bracket"   # four\n    at: [10 mm, 20 mm, 310 mm]\n');
  });
});

describe('the form of what is written', () => {
  test('each value keeps its own unit, as it is spelt and spaced', () => {
    const text = changed(
      ['mass: 20 kg', 'mass: 44.1lbs'],
      ['at: [0 mm, 0 mm, 100 mm]', 'at: ["0\\"", 0 cm, 4 in]'],
      ['brake torque: 12 Nm', "brake torque: '106 lbf·in'"],
    );
    const edits: CartEdit[] = [
      { kind: 'part mass', part: 'base', mass: 22.6796185 },
      { kind: 'part place', part: 'base', at: [0.0508, 0.03, 0.127] },
      {
        kind: 'castor lock',
        castor: 'front left',
        lock: 'total',
        // 100 lbf in: 100 x 4.4482216152605 N x 0.0254 m
        brakeTorque: 100 * 4.4482216152605 * 0.0254,
        lockDirections: [0, 90 * DEGREE],
      },
    ];
    const after = edited(edits, text);
    expect(after).toContain('mass: 50lbs\n');
    expect(after).toContain('at: ["2\\"", 3 cm, 5 in]\n');
    expect(after).toContain("brake torque: '100 lbf·in'\n");
  });

  test('what is new takes the unit of its nearest neighbour', () => {
    const inches = SMALL_CART.replace(
      '  - name: head\n    mass: 5 kg',
      '  - name: head\n    mass: 11 lb',
    );
    const part = { name: 'ballast', mass: 0.45359237, at: [0, 0, 0.1] as const, on: null };
    const after = edited([{ kind: 'add part', ...part }], inches);
    expect(after).toContain('  - name: ballast\n    mass: 1 lb\n    at: [0 mm, 0 mm, 100 mm]\n');
  });

  test('numbers are as long as they need to be', () => {
    const after = edited([
      { kind: 'part mass', part: 'base', mass: 0.1 + 0.2 },
      { kind: 'part place', part: 'base', at: [1 / 3, 0.3 - 0.1 - 0.2, 0.1] },
    ]);
    expect(after).toContain('mass: 0.3 kg\n    at: [333.33333333 mm, 0 mm, 100 mm]\n');
  });

  test('a value that others share by an alias is written out for them first', () => {
    const text = changed(
      ['at: [250 mm, 220 mm]', 'at: [&x 250 mm, 220 mm]'],
      ['at: [250 mm, -220 mm]', 'at: [*x , -220 mm]'],
      ['bag: full, supplies: absent', 'bag: full, supplies: &none absent'],
      ['supplies: {least: 1 kg, most: 2 kg}', 'supplies: *none'],
      ['    box:\n', '    box: &box\n'],
    );
    const moved = edited([{ kind: 'castor place', castor: 'front left', at: [0.3, 0.22] }], text);
    expect(moved).toContain('at: [&x 300 mm, 220 mm]');
    expect(moved).toContain('at: [250 mm , -220 mm]');
    expect(moved).toContain('supplies: *none');
    const other = edited([{ kind: 'castor place', castor: 'front right', at: [0.3, -0.2] }], text);
    expect(other).toContain('at: [&x 250 mm, 220 mm]');
    expect(other).toContain('at: [300 mm , -200 mm]');
    const map = changed(
      ['transport: {lift: 0 mm, arm: 0 deg}', 'transport: &still {lift: 0 mm, arm: 0 deg}'],
      ['use:\n      lift: {from: 100 mm, to: 400 mm}', 'use: *still'],
    );
    const change = { kind: 'position mover', position: 'in use', mover: 'lift' } as const;
    const apart = edited([{ ...change, from: 0.1, to: 0.1 }], map);
    expect(apart).toContain('transport: &still {lift: 0 mm, arm: 0 deg}\n');
    expect(apart).toContain('use: {lift: 100 mm, arm: 0 deg}\n');
    const named = edited([{ kind: 'mover range', mover: 'lift', from: 0, to: 0.3 }], map);
    expect(named).toBe(spoiled('      to: 400 mm', '      to: 300 mm', map));
  });

  test('comments of a part that is last stay with it', () => {
    const text = spoiled(
      '    on: lift\nmovers:',
      '    on: lift\n    # weighed\n\n# moving\nmovers:',
    );
    const part = { name: 'ballast', mass: 1, at: [0, 0, 0.1] as const, on: null };
    expect(edited([{ kind: 'add part', ...part }], text)).toContain(
      '    # weighed\n  - name: ballast\n    mass: 1 kg\n    at: [0 mm, 0 mm, 100 mm]\n\n# moving\n',
    );
  });
});

describe('refusals', () => {
  test('a name that the file does not have', () => {
    expect(refused([{ kind: 'part mass', part: 'hed', mass: 1 }])).toEqual([
      'small.cart.yaml:4:1 parts: "hed" names nothing that is known here; allowed: the name of a part: base, head; nearest: head',
    ]);
  });

  test('a value that the reader would refuse, at the line of the thing it belongs to', () => {
    expect(refused([{ kind: 'castor place', castor: 'front right', at: [0.25, 0.22] }])).toEqual([
      'small.cart.yaml:57:5 castors[2] "front right" > at: [250 mm, 220 mm] stands where another castor stands; allowed: a place at least 1 mm from castors[1] "front left" > at',
    ]);
    expect(refused([{ kind: 'rename', name: 'a\u202eb' }])[0]).toContain(
      'small.cart.yaml:2:1 name: "a\\u{202e}b" is not a usable name',
    );
  });

  test('edits are judged together: castors may change places', () => {
    const [one, two]: [CartEdit, CartEdit] = [
      { kind: 'castor place', castor: 'front left', at: [0.25, -0.22] },
      { kind: 'castor place', castor: 'front right', at: [0.25, 0.22] },
    ];
    expect(refused([one])).toHaveLength(1);
    expect(edited([one, two])).toContain('at: [250 mm, -220 mm]\n    lock: total');
  });

  test('a file that cannot be read', () => {
    const text = spoiled('    mass: 20 kg\n', '');
    expect(refused([{ kind: 'rename', name: 'x' }], text)[0]).toContain('parts[1] "base" > mass');
  });
});
