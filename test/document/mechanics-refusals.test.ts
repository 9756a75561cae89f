import { describe, expect, test } from 'vitest';
import { codesAndLines, issuesOf, refuses } from './refusal.js';
import { lineOf, SMALL_CART, spoiled } from './small-cart.js';

describe('movers', () => {
  refuses([
    {
      title: 'a range that ends before it starts',
      from: '      from: 0 mm',
      to: '      from: 500 mm # here',
      code: 'range-reversed',
      path: 'movers[1] "lift" > slide > from',
      allowed: 'at most 400 mm, the value of to',
    },
    {
      title: 'no end of the range',
      from: '      axis: up\n      from: 0 mm\n      to: 400 mm\n',
      to: '      axis: up # here\n      from: 0 mm\n',
      code: 'missing-field',
      path: 'movers[1] "lift" > slide > to',
      allowed: 'a length with its unit',
    },
    {
      title: 'a slide in degrees',
      from: '      to: 400 mm',
      to: '      to: 90 deg # here',
      code: 'wrong-dimension',
      path: 'movers[1] "lift" > slide > to',
      allowed: 'a length with its unit',
    },
    {
      title: 'a stop outside the range',
      from: 'stops: [-90 deg, 0 deg, 90 deg]',
      to: 'stops: [-90 deg, 0 deg, 91 deg] # here',
      code: 'stop-outside',
      path: 'movers[2] "arm" > turn > stops[3]',
      allowed: 'between from and to',
    },
    {
      title: 'a stop given twice',
      from: 'stops: [-90 deg, 0 deg, 90 deg]',
      to: 'stops: [0 deg, 0 deg, 90 deg] # here',
      code: 'duplicate-name',
      path: 'movers[2] "arm" > turn > stops[2]',
      allowed: 'each once',
    },
    {
      title: 'an axis of no length',
      from: 'axis: [0, 0, 2]',
      to: 'axis: [0, 0, 0] # here',
      code: 'zero-axis',
      path: 'movers[2] "arm" > turn > axis',
      allowed: 'a direction',
    },
    {
      title: 'an axis with a unit',
      from: 'axis: [0, 0, 2]',
      to: 'axis: [0, 0, 2 mm] # here',
      code: 'wrong-kind',
      path: 'movers[2] "arm" > turn > axis > z',
      allowed: 'a number without a unit',
    },
    {
      title: 'two movers that carry each other, once',
      from: '  - name: lift\n',
      to: '  - name: lift\n    on: arm # here\n',
      code: 'mover-cycle',
      path: 'movers[1] "lift" > on',
      allowed: 'movers that end at the base',
    },
    {
      title: 'a mover that carries itself',
      from: '  - name: lift\n',
      to: '  - name: lift\n    on: lift # here\n',
      code: 'mover-cycle',
      path: 'movers[1] "lift" > on',
      allowed: 'movers that end at the base',
    },
  ]);
});

describe('names', () => {
  refuses([
    {
      title: 'a mover that is not there, with the nearest',
      from: '    at: [0 mm, 0 mm, 900 mm]\n    on: lift',
      to: '    at: [0 mm, 0 mm, 900 mm]\n    on: lfit # here',
      code: 'unknown-name',
      path: 'parts[2] "head" > on',
      allowed: 'lift, arm; nearest: lift',
    },
    {
      title: 'a castor type that is not there, with the nearest',
      from: '    type: fixed 100',
      to: '    type: fixd 100 # here',
      code: 'unknown-name',
      path: 'castors[3] "rear" > type',
      allowed: 'nearest: fixed 100',
    },
    {
      title: 'a mover of a position that is not there',
      from: '{lift: 0 mm, arm: 0 deg}',
      to: '{lift: 0 mm, arms: 0 deg} # here',
      code: 'unknown-name',
      path: 'positions[1] "transport" > transport > arms',
      allowed: 'nearest: arm',
    },
    {
      title: 'a load of a position that is not there',
      from: '{bag: full, supplies: absent}',
      to: '{bag: full, suplies: absent} # here',
      code: 'unknown-name',
      path: 'positions[1] "transport" > loads > suplies',
      allowed: 'nearest: supplies',
    },
  ]);

  /** name of the second of a kind, the name it is given, the path */
  const twice: readonly (readonly [string, string, string])[] = [
    ['- name: head', '- name: base', 'parts[2] "base" > name'],
    ['- name: head', '- name: " BASE "', 'parts[2] "BASE" > name'],
    ['- name: fixed 100', '- name: Swivel 100', 'castor types[2] "Swivel 100" > name'],
    ['- name: front right', '- name: front left', 'castors[2] "front left" > name'],
    ['- name: supplies', '- name: Bag', 'loads[2] "Bag" > name'],
    ['- name: column', '- name: base cover', 'outline[2] "base cover" > name'],
    ['- name: lifting grip', '- name: push bar', 'handles[2] "push bar" > name'],
    ['- name: in use', '- name: Transport', 'positions[2] "Transport" > name'],
  ];
  test.each(twice)('%s as %s is a name given twice', (from, to, path) => {
    const text = spoiled(from, `${to} # here`);
    const found = issuesOf(text).filter(({ code }) => code === 'duplicate-name');
    expect(found.map(({ line }) => line)).toEqual([lineOf('# here', text)]);
    expect(found[0]?.path).toBe(path);
    expect(found[0]?.allowed).toContain('letter case ignored');
  });

  test('a mover name given twice', () => {
    const text = spoiled('  - name: arm\n', '  - name: LIFT # here\n');
    const found = issuesOf(text).filter(({ code }) => code === 'duplicate-name');
    expect(found.map(({ line }) => line)).toEqual([lineOf('# here', text)]);
  });
});

describe('castors', () => {
  refuses([
    {
      title: 'three in a line',
      from: '    at: [-250 mm, 0 mm]',
      to: '    at: [250 mm, 0 mm]',
      at: '- name: front left',
      code: 'castors-in-line',
      path: 'castors',
      allowed: 'beside the line of the others',
    },
    {
      title: 'two at one place',
      from: '    at: [250 mm, -220 mm]',
      to: '    at: [250 mm, 0.22 m] # here',
      code: 'castors-coincide',
      path: 'castors[2] "front right" > at',
      allowed: 'at least 1 mm from castors[1] "front left"',
    },
    {
      title: 'a wheel lock without a word on its brake',
      from: '    lock: wheel\n    brake torque: outlasts the tread\n',
      to: '    lock: wheel # here\n',
      code: 'missing-brake-torque',
      path: 'castors[3] "rear" > brake torque',
      allowed: 'outlasts the tread',
    },
    {
      title: 'a total lock without a word on its brake',
      from: '    lock: total\n    brake torque: 12 Nm\n',
      to: '    lock: total # here\n',
      code: 'missing-brake-torque',
      path: 'castors[1] "front left" > brake torque',
      allowed: 'a moment such as 12 Nm',
    },
    {
      title: 'a brake torque without a lock',
      from: '    lock: none',
      to: '    lock: none\n    brake torque: 12 N m # here',
      code: 'unneeded-field',
      path: 'castors[2] "front right" > brake torque',
      allowed: 'no brake torque with lock: none',
    },
    {
      title: 'lock directions without a lock',
      from: '    lock: none',
      to: '    lock: none\n    lock directions: [0 deg] # here',
      code: 'unneeded-field',
      path: 'castors[2] "front right" > lock directions',
      allowed: 'no lock directions with lock: none',
    },
    {
      title: 'no word on the lock',
      from: '  - name: front right\n    type: swivel 100\n    at: [250 mm, -220 mm]\n    lock: none\n',
      to: '  - name: front right # here\n    type: swivel 100\n    at: [250 mm, -220 mm]\n',
      code: 'missing-field',
      path: 'castors[2] "front right" > lock',
      allowed: 'none, wheel, directional, total',
    },
    {
      title: 'a fixed castor of a type with a trail',
      from: '    type: fixed 100',
      to: '    type: swivel 100 # here',
      code: 'fixed-castor',
      path: 'castors[3] "rear" > type',
      allowed: 'a castor type without trail and swivel moment',
    },
    {
      title: 'a fixed castor with a total lock',
      from: '    lock: wheel\n',
      to: '    lock: total # here\n',
      code: 'fixed-castor',
      path: 'castors[3] "rear" > lock',
      allowed: 'none or wheel',
    },
    {
      title: 'a fixed castor with a directional lock',
      from: '    lock: wheel\n    brake torque: outlasts the tread\n',
      to: '    lock: directional # here\n',
      code: 'fixed-castor',
      path: 'castors[3] "rear" > lock',
      allowed: 'none or wheel',
    },
  ]);

  test('a swivelling castor of a type without trail, once for all castors of the type', () => {
    const text = spoiled('    trail: 32 mm\n', '');
    expect(codesAndLines(text)).toEqual([['missing-field', lineOf('- name: swivel 100', text)]]);
    expect(issuesOf(text)[0]?.path).toBe('castor types[1] "swivel 100" > trail');
  });

  test('fewer than three', () => {
    const from = SMALL_CART.indexOf('  - name: front right');
    const to = SMALL_CART.indexOf('floor:');
    const text = SMALL_CART.slice(0, from) + SMALL_CART.slice(to);
    const [issue] = issuesOf(text);
    expect(issue?.code).toBe('too-few');
    expect(issue?.path).toBe('castors');
    expect(issue?.actual).toBe('a list of 1');
    expect(issue?.allowed).toBe('a list of 3 to 200');
    expect(issue?.line).toBe(lineOf('- name: front left', text));
  });
});

describe('floor', () => {
  refuses([
    {
      title: 'a tread without a friction value',
      from: '    rating: not stated\n    tread: grey rubber',
      to: '    rating: not stated\n    tread: gray rubber # here',
      code: 'no-friction-for-tread',
      path: 'castor types[2] "fixed 100" > tread',
      allowed: 'nearest: grey rubber',
    },
    {
      title: 'a tolerance as large as the value',
      from: 'tolerance: 0.1, ',
      to: 'tolerance: 0.6, ',
      at: 'tolerance: 0.6',
      code: 'tolerance-too-large',
      path: 'floor > friction[1] > tolerance',
      allowed: 'less than the value, which is 0.6',
    },
    {
      title: 'no basis',
      from: ', basis: assumed}',
      to: '}',
      at: 'tolerance: 0.1}',
      code: 'missing-field',
      path: 'floor > friction[1] > basis',
      allowed: 'assumed, measured',
    },
  ]);

  test('a tread given twice', () => {
    const text = spoiled(
      '  friction:\n',
      '  friction:\n    - {tread: grey rubber, value: 0.5, tolerance: 0, basis: measured}\n',
    );
    expect(codesAndLines(text)).toEqual([['duplicate-name', lineOf('basis: assumed', text)]]);
  });
});

describe('outline and surfaces', () => {
  refuses([
    {
      title: 'a box with no extent',
      from: 'to: [250 mm, 220 mm, 180 mm]',
      to: 'to: [250 mm, 220 mm, 60 mm] # here',
      code: 'no-extent',
      path: 'outline[1] "base cover" > box > to > z',
      allowed: 'more than 60 mm',
    },
    {
      title: 'a box inside out',
      from: 'to: [250 mm, 220 mm, 180 mm]',
      to: 'to: [-251 mm, 220 mm, 180 mm] # here',
      code: 'no-extent',
      path: 'outline[1] "base cover" > box > to > x',
      allowed: 'more than -250 mm',
    },
    {
      title: 'a box below the floor',
      from: 'from: [-250 mm, -220 mm, 60 mm]',
      to: 'from: [-250 mm, -220 mm, -60 mm] # here',
      code: 'below-floor',
      path: 'outline[1] "base cover" > box > from > z',
      allowed: 'at least 0 mm',
    },
    {
      title: 'a cylinder below the floor',
      from: 'base: [0 mm, 0 mm, 180 mm]',
      to: 'base: [0 mm, 0 mm, -1 mm]',
      at: '-1 mm',
      code: 'below-floor',
      path: 'outline[2] "column" > cylinder > base > z',
      allowed: 'at least 0 mm',
    },
    {
      title: 'a foothold with no extent',
      from: 'to: [300 mm, 100 mm]',
      to: 'to: [300 mm, -100 mm]',
      at: 'to: [300 mm, -100 mm]',
      code: 'no-extent',
      path: 'surfaces[1] "step" > foothold > to > y',
      allowed: 'more than -100 mm',
    },
    {
      title: 'a sign given twice',
      from: 'markings: [no sitting]',
      to: 'markings: [no sitting, no sitting]',
      at: 'markings:',
      code: 'duplicate-name',
      path: 'markings[2]',
      allowed: 'each sign once',
    },
  ]);
});

describe('positions', () => {
  refuses([
    {
      title: 'a mover named twice, once with white space',
      from: '{lift: 0 mm, arm: 0 deg}',
      to: '{lift: 0 mm, arm: 0 deg, "arm ": 90 deg} # here',
      code: 'duplicate-key',
      path: 'positions[1] "transport" > transport > arm ',
      allowed: 'each name once',
    },
    {
      title: 'a range outside the range of the mover',
      from: '{from: 100 mm, to: 400 mm}',
      to: '{from: 100 mm, to: 401 mm} # here',
      code: 'range-outside',
      path: 'positions[2] "in use" > use > lift > to',
      allowed: '0 mm to 400 mm',
    },
    {
      title: 'a range that ends before it starts',
      from: '{from: 100 mm, to: 400 mm}',
      to: '{from: 300 mm, to: 200 mm} # here',
      code: 'range-reversed',
      path: 'positions[2] "in use" > use > lift > from',
      allowed: 'at most 200 mm',
    },
    {
      title: 'a value between the stops of the mover',
      from: 'arm: 0 deg}',
      to: 'arm: 45 deg} # here',
      code: 'no-stop-in-range',
      path: 'positions[1] "transport" > transport > arm',
      allowed: 'one of its stops (-90 deg, 0 deg, 90 deg)',
    },
    {
      title: 'an angle for a slide',
      from: '{lift: 0 mm,',
      to: '{lift: 0 deg,',
      at: 'lift: 0 deg',
      code: 'wrong-dimension',
      path: 'positions[1] "transport" > transport > lift',
      allowed: 'a length with its unit',
    },
    {
      title: 'a load state outside the range of the load',
      from: '{least: 1 kg, most: 2 kg}',
      to: '{least: 1 kg, most: 7 kg} # here',
      code: 'range-outside',
      path: 'positions[2] "in use" > loads > supplies > most',
      allowed: '1 kg to 6 kg',
    },
    {
      title: 'a fluid that is never absent',
      from: '{bag: full,',
      to: '{bag: absent,',
      at: 'bag: absent',
      code: 'load-state',
      path: 'positions[1] "transport" > loads > bag',
      allowed: 'at least 0.5 kg is never absent',
    },
    {
      title: 'a load state in a word of its own',
      from: '{bag: full,',
      to: '{bag: half,',
      at: 'bag: half',
      code: 'not-a-choice',
      path: 'positions[1] "transport" > loads > bag',
      allowed: 'absent, full',
    },
  ]);

  test('none for use', () => {
    const text = spoiled('    use:\n', '    transport:\n');
    expect(codesAndLines(text)).toEqual([['no-use-position', lineOf('- name: transport', text)]]);
  });

  test('none for transport', () => {
    const text = spoiled(
      '    transport: {lift: 0 mm, arm: 0 deg}',
      '    use: {lift: 0 mm, arm: 0 deg}',
    );
    expect(codesAndLines(text)).toEqual([
      ['no-transport-position', lineOf('- name: transport', text)],
    ]);
  });
});

describe('several problems', () => {
  test('all at once, in the order of the file, of structure and of meaning', () => {
    const text = [
      ['mass: 20 kg', 'mass: 20'],
      ['    trail: 32 mm', '    trail: 32 mm\n    colour: red'],
      ['    type: fixed 100', '    type: fixed 200'],
      ['{from: 100 mm, to: 400 mm}', '{from: 100 mm, to: 900 mm}'],
    ].reduce((spoilt, [from = '', to = '']) => spoiled(from, to, spoilt), SMALL_CART);
    expect(codesAndLines(text)).toEqual([
      ['no-unit', lineOf('mass: 20', text)],
      ['unknown-field', lineOf('colour', text)],
      ['unknown-name', lineOf('fixed 200', text)],
      ['range-outside', lineOf('900 mm}', text)],
    ]);
  });

  test('an unreadable mover makes no noise at the places that name it', () => {
    const text = spoiled('      axis: up', '      axis: sideways');
    expect(codesAndLines(text)).toEqual([['not-a-choice', lineOf('sideways', text)]]);
  });

  test('no more than 200 are listed, and the rest is counted', () => {
    const rows = Array.from({ length: 300 }, (_, i) => `  - {name: p${i}, mass: ${i + 1}}\n`);
    const issues = issuesOf(spoiled('\nparts:\n', `\nparts:\n${rows.join('')}`));
    expect(issues).toHaveLength(201);
    // each of the 300 has a mass without a unit and no place
    expect(issues.at(-1)).toMatchObject({ code: 'too-many-issues', actual: '400 more' });
  });
});
