import { describe, expect, it } from 'vitest';
import type { FieldChange, FieldNode, FieldPath } from '../../src/document/index.js';
import {
  changeFields,
  editCart,
  readCart,
  readFields,
  writeStarterCart,
} from '../../src/document/index.js';
import { fieldId, fieldWords, textAt } from '../../src/web/describe/field-address.js';
import {
  freeName,
  kindChanges,
  typedChanges,
  wordChanges,
} from '../../src/web/describe/field-inputs.js';
import { itemSummary } from '../../src/web/describe/item-summary.js';
import { isBraked, lockChanges } from '../../src/web/describe/lock-changes.js';
import { scrubEdits } from '../../src/web/describe/scrub-edits.js';
import { errorsWithin, problemsOf, sectionOf } from '../../src/web/describe/sections.js';
import {
  amountOf,
  inOtherUnits,
  stepped,
  typedQuantity,
} from '../../src/web/describe/typed-amount.js';
import { readSheet } from '../../src/web/store/reading.js';

const STARTER = writeStarterCart();

function fieldsOf(text: string): FieldNode {
  const fields = readFields(text);
  if (fields === null) throw new Error('no fields');
  return fields;
}

function changed(text: string, changes: readonly FieldChange[]): string {
  const result = changeFields(text, changes);
  if (result.kind === 'refused') throw new Error(result.reason);
  return result.text;
}

function cartOf(text: string) {
  const read = readCart(text, 'c', new Map());
  if (read.kind === 'invalid') throw new Error(read.issues.map(({ path }) => path).join());
  return read.value;
}

describe('a typed quantity', () => {
  it('is stepped in the unit typed, with its decimal sign and its digits', () => {
    expect(stepped('320 mm', 'length', 5)).toBe('325 mm');
    expect(stepped('18.5 kg', 'mass', -1)).toBe('18.4 kg');
    expect(stepped('18,55 kg', 'mass', 2)).toBe('18,75 kg');
    expect(stepped('32 in', 'length', 1)).toBe('32.05 in');
    expect(stepped('1 1/2 in', 'length', 0)).toBe('1.5 in');
    expect(stepped('-1 deg', 'angle', 1)).toBe('0 deg');
    expect(stepped('0.5', null, 3)).toBe('0.53');
    expect(stepped('0.3Nm', 'moment', 1)).toBe('0.4 Nm');
    expect(stepped('outlasts the tread', 'moment', 1)).toBeNull();
    expect(stepped('7', 'length', 1)).toBeNull();
  });

  it('is shown in other units only where these differ from the one typed', () => {
    // the inch is 25.4 mm exactly (ISO 80000-1 and national laws)
    expect(inOtherUnits('254 mm', 'length', 'US')).toBe('10 in');
    expect(inOtherUnits('254 mm', 'length', 'SI')).toBe('');
    expect(inOtherUnits('254 mm', 'length', 'both')).toBe('10 in');
    expect(inOtherUnits('10 in', 'length', 'both')).toBe('254 mm');
    expect(inOtherUnits('0.254 m', 'length', 'both')).toBe('254 mm, 10 in');
    expect(inOtherUnits('10 deg', 'angle', 'both')).toBe('');
    expect(inOtherUnits('12', 'length', 'US')).toBe('');
  });

  it('is written in the unit asked, and means the same again', () => {
    expect(typedQuantity(0.45359237 * 3, 'mass', 'lb')).toBe('3 lb');
    expect(typedQuantity(0.1, 'length')).toBe('100 mm');
    const odd = typedQuantity(1 / 3, 'mass');
    // 12 digits
    expect(amountOf(odd, 'mass')).toBeCloseTo(1 / 3, 12);
  });
});

describe('a field', () => {
  it('has an id without spaces, another for every path', () => {
    const paths: FieldPath[] = [
      ['castor types', 0, 'wheel diameter'],
      ['positions', 0, 'use', 'a b'],
      ['positions', 0, 'use', 'a_b'],
      ['positions', 0, 'use', '1'],
      ['positions', 0, 'use', 1],
      ['positions', 0, 'use', 'a.b'],
      ['positions', 0, 'use', 'a', 'b'],
      ['positions', 0, 'use', '\ud800'],
    ];
    const ids = paths.map(fieldId);
    expect(new Set(ids).size).toBe(paths.length);
    expect(ids.filter((id) => /\s/.test(id))).toEqual([]);
  });

  it('is spoken of by what it is and whose it is', () => {
    const root = fieldsOf(STARTER);
    const words = (...path: FieldPath) => fieldWords(root, path);
    expect(words('mobility')).toBe('mobility');
    expect(words('parts', 0, 'mass')).toBe('mass of base');
    expect(words('castors', 1, 'at', 0)).toBe('x of castor front right');
    expect(words('floor', 'friction', 0, 'value')).toBe('value of friction of grey rubber');
    expect(words('positions', 0, 'transport', 'lift')).toBe('lift of position transport');
    expect(words('movers', 7)).toBe('mover 8');
    expect(itemSummary(root, ['movers', 1])).toBe('turn up, -90 deg to 90 deg, on lift');
    expect(itemSummary(root, ['positions', 0])).toBe('transport: lift 0 mm, arm 0 deg');
    expect(itemSummary(root, ['positions', 1])).toBe('use: movers free');
  });

  it('is taken out when it is emptied and may be left out, else left empty', () => {
    const path = ['parts', 0, 'mass tolerance'];
    const optional = { isText: false, required: false, others: [] };
    expect(typedChanges(path, ' ', optional)).toEqual([{ kind: 'remove', path }]);
    const empty = changed(STARTER, typedChanges(['name'], '', { ...optional, required: true }));
    expect(textAt(fieldsOf(empty), ['name'])).toBe('');
    const sheet = readSheet(empty, 'c', new Map());
    expect(sheet.issues.map(({ path: at, issue }) => [at, issue.severity])).toEqual([
      [['name'], 'error'],
    ]);
    const problems = problemsOf(sheet);
    expect([errorsWithin(problems, ['name']), problems.counts.get('cart')]).toEqual([1, 1]);
  });

  it('stands in a section, and in the text where no form has it', () => {
    expect(sectionOf(['castor types', 0, 'trail'])).toBe('castors');
    expect(sectionOf(['parts list'])).toBe('parts');
    expect(sectionOf(['colour'])).toBe('text');
    expect(sectionOf(null)).toBe('text');
  });
});

describe('a change of kind', () => {
  it('takes over what both kinds have', () => {
    const root = fieldsOf(STARTER);
    const fluid = kindChanges(root, ['loads', 0], 'removable', 'fluid', ['least', 'most']);
    const text = changed(STARTER, fluid);
    expect(cartOf(text).loads[0]).toMatchObject({ kind: 'fluid', least: 0.5, most: 4 });
    const use = kindChanges(root, ['positions', 0], 'transport', 'use', []);
    const moved = fieldsOf(changed(STARTER, use));
    expect(textAt(moved, ['positions', 0, 'use', 'arm'])).toBe('0 deg');
  });

  it('puts words into a list and takes them out again', () => {
    const sign = (text: string, isIn: boolean) =>
      changed(text, wordChanges(fieldsOf(text), ['markings'], 'no sitting', isIn));
    const signed = sign(STARTER, true);
    expect(cartOf(signed).markings).toEqual(['no sitting']);
    expect(cartOf(sign(signed, false)).markings).toEqual([]);
    expect(sign(signed, true)).toBe(signed);
  });

  it('finds a name that is free, letter case ignored', () => {
    expect(freeName('arm', [])).toBe('arm');
    expect(freeName('arm', ['Arm', 'arm 2'])).toBe('arm 3');
  });
});

describe('a drag of a field', () => {
  const cart = cartOf(STARTER);
  const root = fieldsOf(STARTER);

  it('does to the cart what the text typed would do', () => {
    const cases: readonly (readonly [FieldPath, string, number])[] = [
      [['parts', 0, 'mass'], '19 kg', 19],
      [['parts', 0, 'at', 2], '130 mm', 0.13],
      [['castors', 2, 'at', 1], '240 mm', 0.24],
      [['floor', 'friction', 0, 'value'], '0.55', 0.55],
      [['movers', 0, 'slide', 'to'], '450 mm', 0.45],
      [['positions', 0, 'transport', 'lift'], '10 mm', 0.01],
      [['positions', 0, 'loads', 'supplies', 'most'], '3 kg', 3],
    ];
    for (const [path, typed, value] of cases) {
      const edits = scrubEdits(cart, root, path, value);
      if (edits === null) throw new Error(path.join());
      const text = changed(STARTER, [{ kind: 'set', path, value: { typed } }]);
      expect(editCart(cart, edits), path.join()).toEqual(cartOf(text));
    }
  });

  it('is not offered where no edit of the cart shows it', () => {
    expect(scrubEdits(cart, root, ['loads', 0, 'at', 0], 1)).toBeNull();
    expect(scrubEdits(cart, root, ['parts', 9, 'mass'], 1)).toBeNull();
    expect(scrubEdits(cart, root, ['name'], 1)).toBeNull();
  });
});

describe('a lock', () => {
  const root = fieldsOf(`castors:
  - name: a
    lock: total
    brake torque: 12 Nm
    lock directions: [0 deg]
  - name: b
    lock: none
`);

  it('takes what only it has out of the file', () => {
    const changes = lockChanges(root, ['castors', 0], 'none', null);
    const words = changes.map((each) => `${each.kind} ${'path' in each ? each.path.at(-1) : ''}`);
    expect(words).toEqual(['set lock', 'remove brake torque', 'remove lock directions']);
    expect(lockChanges(root, ['castors', 0], 'wheel', null)).toHaveLength(2);
  });

  it('goes in with what its brake holds', () => {
    expect(lockChanges(root, ['castors', 1], 'wheel', 'outlasts the tread')).toEqual([
      { kind: 'set', path: ['castors', 1, 'lock'], value: 'wheel' },
      { kind: 'set', path: ['castors', 1, 'brake torque'], value: { typed: 'outlasts the tread' } },
    ]);
    expect(['none', 'wheel', 'directional', 'total'].filter(isBraked)).toEqual(['wheel', 'total']);
  });
});
