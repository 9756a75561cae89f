import { describe, expect, test } from 'vitest';
import { codesAndLines, issuesOf, refuses } from './refusal.js';
import { lineOf, SMALL_CART, spoiled } from './small-cart.js';

describe('fields', () => {
  refuses([
    {
      title: 'an unknown field, with the nearest known one',
      from: '    trail: 32 mm',
      to: '    trail: 32 mm\n    trial: 32 mm',
      at: 'trial: 32 mm',
      code: 'unknown-field',
      path: 'castor types[1] "swivel 100" > trial',
      allowed: 'nearest: trail',
    },
    {
      title: 'an unknown field at the top',
      from: 'markings:',
      to: 'marking:',
      at: 'marking:',
      code: 'unknown-field',
      path: 'marking',
      allowed: 'nearest: markings',
    },
    {
      title: 'a missing field',
      from: '    stiffness: 400 N/mm\n    rating: 60 kg',
      to: '    rating: 60 kg',
      at: '- name: swivel 100',
      code: 'missing-field',
      path: 'castor types[1] "swivel 100" > stiffness',
      allowed: 'N/mm',
    },
    {
      title: 'a field with nothing in it',
      from: 'mobility: mobile',
      to: 'mobility:',
      at: 'mobility:',
      code: 'missing-field',
      path: 'mobility',
      allowed: 'mobile, stationary',
    },
    {
      title: 'a word that is not one of the choices',
      from: 'lock: none',
      to: 'lock: maybe',
      at: 'lock: maybe',
      code: 'not-a-choice',
      path: 'castors[2] "front right" > lock',
      allowed: 'none, wheel, directional, total',
    },
    {
      title: 'yes where true is due',
      from: 'pushable: true',
      to: 'pushable: yes',
      at: 'pushable: yes',
      code: 'wrong-kind',
      path: 'outline[1] "base cover" > pushable',
      allowed: 'true or false',
    },
    {
      title: 'two of which only one may be',
      from: '    fluid: {least: 0.5 kg, most: 3 kg}',
      to: '    fluid: {least: 0.5 kg, most: 3 kg}\n    removable: {least: 0 kg, most: 3 kg}',
      at: 'removable: {least: 0 kg',
      code: 'one-of-these',
      path: 'loads[1] "bag"',
      allowed: 'either fluid',
    },
    {
      title: 'a number where a name is due',
      from: '  - name: step',
      to: '  - name: 12',
      at: 'name: 12',
      code: 'wrong-kind',
      path: 'surfaces[1] > name',
      allowed: 'in quotes',
    },
    {
      title: 'a name that every object has',
      from: '  - name: step',
      to: '  - name: __proto__',
      at: 'name: __proto__',
      code: 'bad-name',
      path: 'surfaces[1] "__proto__" > name',
      allowed: 'not __proto__',
    },
    {
      title: 'a __proto__ field',
      from: 'mobility: mobile',
      to: 'mobility: mobile\n__proto__: {polluted: true}',
      at: '__proto__',
      code: 'unknown-field',
      path: '__proto__',
      allowed: 'standstill, name',
    },
    {
      title: 'a list where a map is due',
      from: 'floor:\n  name: vinyl on concrete\n  friction:',
      to: 'floor:\n  - name: vinyl on concrete\n  - friction:',
      at: '  - name: vinyl on concrete',
      code: 'wrong-kind',
      path: 'floor',
      allowed: 'a floor with name and friction',
    },
  ]);

  test('a __proto__ among the movers of a position pollutes nothing', () => {
    const text = spoiled(
      '{lift: 0 mm, arm: 0 deg}',
      '{lift: 0 mm, arm: 0 deg, __proto__: {from: 1 mm}}',
    );
    expect(issuesOf(text).map(({ code }) => code)).toEqual(['unknown-name']);
    expect(({} as Record<string, unknown>).from).toBeUndefined();
  });
});

describe('quantities', () => {
  refuses([
    {
      title: 'a bare number',
      from: '    trail: 32 mm',
      to: '    trail: 32',
      at: 'trail: 32',
      code: 'no-unit',
      path: 'castor types[1] "swivel 100" > trail',
      allowed: 'a length with its unit, from 0 mm to 500 mm, such as 32 mm',
    },
    {
      title: 'a bare number in a list of coordinates',
      from: 'at: [250 mm, -220 mm]',
      to: 'at: [250 mm, -220]',
      at: '-220]',
      code: 'no-unit',
      path: 'castors[2] "front right" > at > y',
      allowed: 'a length with its unit',
    },
    {
      title: 'a bare number in quotes',
      from: 'mass: 20 kg',
      to: 'mass: "20"',
      at: 'mass: "20"',
      code: 'no-unit',
      path: 'parts[1] "base" > mass',
      allowed: 'a mass with its unit',
    },
    {
      title: 'the wrong dimension',
      from: 'mass: 20 kg',
      to: 'mass: 20 mm',
      at: 'mass: 20 mm',
      code: 'wrong-dimension',
      path: 'parts[1] "base" > mass',
      allowed: 'a mass with its unit',
    },
    {
      title: 'a force where a mass is due',
      from: 'mass: 20 kg',
      to: 'mass: 20 lbf',
      at: 'mass: 20 lbf',
      code: 'wrong-dimension',
      path: 'parts[1] "base" > mass',
      allowed: 'write lb for a mass',
    },
    {
      title: 'an unknown unit',
      from: 'mass: 20 kg',
      to: 'mass: 20 stone',
      at: '20 stone',
      code: 'unknown-unit',
      path: 'parts[1] "base" > mass',
      allowed: 'a mass with its unit',
    },
    {
      title: 'no number at all',
      from: 'mass: 20 kg',
      to: 'mass: heavy',
      at: 'heavy',
      code: 'not-a-quantity',
      path: 'parts[1] "base" > mass',
      allowed: 'a mass with its unit',
    },
    {
      title: 'NaN with a unit',
      from: 'mass: 20 kg',
      to: 'mass: NaN kg',
      at: 'NaN kg',
      code: 'not-a-quantity',
      path: 'parts[1] "base" > mass',
      allowed: 'a mass with its unit',
    },
    {
      title: '.nan',
      from: 'value: 0.6',
      to: 'value: .nan',
      at: '.nan',
      code: 'not-finite',
      path: 'floor > friction[1] > value',
      allowed: 'more than 0, at most 2',
    },
    {
      title: '.inf where a quantity is due',
      from: 'mass: 20 kg',
      to: 'mass: .inf',
      at: '.inf',
      code: 'not-finite',
      path: 'parts[1] "base" > mass',
      allowed: 'a mass with its unit',
    },
    {
      title: 'a number too large for a number',
      from: 'value: 0.6',
      to: 'value: 1e999',
      at: '1e999',
      code: 'not-finite',
      path: 'floor > friction[1] > value',
      allowed: 'more than 0, at most 2',
    },
    {
      title: 'a unit on a coefficient',
      from: 'value: 0.6',
      to: 'value: 0.6 mm',
      at: '0.6 mm',
      code: 'wrong-kind',
      path: 'floor > friction[1] > value',
      allowed: 'a number without a unit',
    },
    {
      title: 'a quantity of 100 kB',
      from: 'mass: 20 kg',
      to: `mass: "${'9'.repeat(100_000)} kg"`,
      at: '999',
      code: 'not-a-quantity',
      path: 'parts[1] "base" > mass',
      allowed: 'a mass with its unit',
    },
  ]);
});

describe('sizes', () => {
  /** field of the small cart, an absurd value for it, what the limit says */
  const absurd: readonly (readonly [string, string, string])[] = [
    ['mass: 20 kg', 'mass: -20 kg', 'more than 0 kg'],
    ['mass: 20 kg', 'mass: 0 kg', 'more than 0 kg'],
    ['mass: 20 kg', 'mass: 20000 kg', 'at most 5000 kg'],
    ['at: [0 mm, 0 mm, 500 mm]', 'at: [0 mm, 0 mm, 500 m]', 'from -10 m to 10 m'],
    ['    trail: 32 mm', '    trail: 320 cm', '500 mm'],
    ['trail: 32 mm', 'trail: -32 mm', 'from 0 mm'],
    ['    trail: 32 mm', '    trail: 0 mm', 'at least 1 mm for a castor that swivels'],
    ['swivel moment: 0.3 Nm', 'swivel moment: 300 Nm', '100 Nm'],
    ['rating: 60 kg', 'rating: 0 kg', 'more than 0 kg'],
    ['brake torque: 12 Nm', 'brake torque: 0 Nm', 'more than 0 Nm'],
    ['value: 0.6', 'value: 0', 'more than 0, at most 2'],
    ['value: 0.6', 'value: 2.5', 'more than 0, at most 2'],
    ['tolerance: 0.1, ', 'tolerance: -0.1, ', 'from 0 to 2'],
    ['radius: 40 mm', 'radius: 0 mm', 'more than 0 m'],
    ['height: 800 mm', 'height: -800 mm', 'more than 0 m'],
    ['from: -90 deg', 'from: -400 deg', 'from -360 deg'],
    ['rating: 900 N', 'rating: 0 N', 'more than 0 N'],
    ['mass tolerance: 0.1 kg', 'mass tolerance: -0.1 kg', 'from 0 kg'],
    ['{least: 0.5 kg, most: 3 kg}', '{least: -0.5 kg, most: 3 kg}', 'from 0 kg'],
    ['lock directions: [0 deg, 90 deg]', 'lock directions: [0 deg, 900 deg]', 'from -360 deg'],
  ];
  test.each(absurd)('%s as %s', (from, to, allowed) => {
    const text = spoiled(from, to);
    expect(codesAndLines(text)).toEqual([['out-of-limits', lineOf(to, text)]]);
    expect(issuesOf(text)[0]?.allowed).toContain(allowed);
  });

  /** fields that both castor types have: only the first is spoiled */
  const ofFirstType: readonly (readonly [string, string, string])[] = [
    ['wheel diameter: 100 mm', 'wheel diameter: 5 mm', '10 mm to 1 m'],
    ['wheel diameter: 100 mm', 'wheel diameter: 2 m', '10 mm to 1 m'],
    ['stiffness: 400 N/mm', 'stiffness: 0 N/mm', 'from 1 N/mm'],
    ['rolling length: 2.2 mm', 'rolling length: 0 mm', 'more than 0 mm'],
    ['rolling length: 2.2 mm', 'rolling length: 50 mm', 'half of 100 mm'],
  ];
  test.each(ofFirstType)('%s as %s', (from, to, allowed) => {
    const text = SMALL_CART.replace(from, to);
    expect(codesAndLines(text)).toEqual([['out-of-limits', lineOf(to, text)]]);
    expect(issuesOf(text)[0]?.allowed).toContain(allowed);
  });

  /** key of the list, one item of it (# is a number), the most it may hold */
  const lists: readonly (readonly [string, string, number])[] = [
    ['parts', '{name: p#, mass: 1 kg, at: [0 mm, 0 mm, 0 mm]}', 5000],
    ['movers', '{name: m#, slide: {axis: up, from: 0 mm, to: 1 mm}}', 64],
    ['loads', '{name: l#, fluid: {least: 0 kg, most: 1 kg}, at: [0 mm, 0 mm, 0 mm]}', 200],
    ['castors', '{name: c#, type: swivel 100, at: [# mm, 0.# m], lock: none}', 200],
  ];
  test.each(lists)('more %s than a cart has', (key, item, most) => {
    const items = Array.from(
      { length: most + 1 },
      (_, i) => `  - ${item.replaceAll('#', `${i}`)}\n`,
    );
    const text = spoiled(`\n${key}:\n`, `\n${key}:\n${items.join('')}`);
    const found = issuesOf(text).filter(({ code }) => code === 'too-many');
    expect(found).toHaveLength(1);
    expect(found[0]?.path).toBe(key);
    expect(found[0]?.line).toBe(lineOf(item.replaceAll('#', '0'), text));
    expect(found[0]?.allowed).toContain(` to ${most}`);
  });
});

describe('masses', () => {
  refuses([
    {
      title: 'a part without a mass',
      from: '  - name: base\n    mass: 20 kg\n',
      to: '  - name: base # here\n',
      code: 'missing-mass',
      path: 'parts[1] "base" > mass',
      allowed: 'either mass',
    },
    {
      title: 'a load without a mass',
      from: '    removable: {least: 1 kg, most: 6 kg}\n',
      to: '',
      at: '- name: supplies',
      code: 'missing-mass',
      path: 'loads[2] "supplies" > fluid',
      allowed: 'removable: {least, most}',
    },
    {
      title: 'a part without a place',
      from: '  - name: base\n    mass: 20 kg\n    at: [0 mm, 0 mm, 100 mm]\n',
      to: '  - name: base # here\n    mass: 20 kg\n',
      code: 'missing-field',
      path: 'parts[1] "base" > at',
      allowed: 'at: [x, y, z]',
    },
    {
      title: 'a tolerance as large as the mass',
      from: 'mass tolerance: 0.1 kg',
      to: 'mass tolerance: 5 kg',
      at: 'mass tolerance: 5 kg',
      code: 'tolerance-too-large',
      path: 'parts[2] "head" > mass tolerance',
      allowed: 'less than the mass, which is 5 kg',
    },
    {
      title: 'a load whose least is above its most',
      from: '{least: 1 kg, most: 6 kg}',
      to: '{least: 7 kg, most: 6 kg}',
      at: 'least: 7 kg',
      code: 'range-reversed',
      path: 'loads[2] "supplies" > removable > least',
      allowed: 'at most 6 kg',
    },
    {
      title: 'a load that is never there',
      from: '{least: 1 kg, most: 6 kg}',
      to: '{least: 0 kg, most: 0 kg}',
      at: 'most: 0 kg',
      code: 'out-of-limits',
      path: 'loads[2] "supplies" > removable > most',
      allowed: 'more than 0 kg',
    },
    {
      title: 'a centre of mass below the floor',
      from: 'at: [0 mm, 0 mm, 500 mm]',
      to: 'at: [0 mm, 0 mm, -500 mm]',
      at: '-500 mm',
      code: 'below-floor',
      path: 'loads[2] "supplies" > at > z',
      allowed: 'at least 0 mm',
    },
  ]);
});
