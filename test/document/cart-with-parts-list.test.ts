import { describe, expect, test } from 'vitest';
import type { PartsList } from '../../src/document/index.js';
import { readCart, readPartsListCsv } from '../../src/document/index.js';
import { lineOf, SMALL_CART, spoiled } from './small-cart.js';

const LIST = `Name;Quantity;Mass [kg];Mass tolerance [kg];X [mm];Y [mm];Z [mm]
Base weldment;1;20,5;0,1;0;0;95
Bracket;4;0,25;0,01;10;20;300
Cable;1;0,3;;;;
`;

function listOf(text: string): PartsList {
  const result = readPartsListCsv(text, 'parts.csv');
  if (result.kind === 'invalid') throw new Error(JSON.stringify(result.issues));
  return result.value;
}

const LISTS = new Map([['parts.csv', listOf(LIST)]]);

/** The small cart with a parts list and its first part replaced. */
function cartText(part: string): string {
  const text = spoiled('mobility: mobile', 'mobility: mobile\nparts list: parts.csv');
  return spoiled('  - name: base\n    mass: 20 kg\n    at: [0 mm, 0 mm, 100 mm]\n', part, text);
}

function read(text: string, lists: ReadonlyMap<string, PartsList> = LISTS) {
  return readCart(text, 'small.cart.yaml', lists);
}

function issueOf(text: string, lists: ReadonlyMap<string, PartsList> = LISTS) {
  const result = read(text, lists);
  const issues = result.kind === 'invalid' ? result.issues : [];
  expect(issues).toHaveLength(1);
  return issues[0];
}

describe('masses from a parts list', () => {
  test('mass, tolerance and centre of mass of a row', () => {
    const result = read(cartText('  - name: base\n    from list: Base weldment\n'));
    expect(result.kind === 'ok' && result.value.parts[0]).toEqual({
      name: 'base',
      mass: 20.5,
      massTolerance: 0.1,
      massDistribution: 'rectangular',
      at: [0, 0, 0.095],
      atTolerance: 0,
      atDistribution: 'rectangular',
      on: null,
      massFrom: 'parts list',
    });
  });

  test('the quantity multiplies mass and tolerance', () => {
    const result = read(cartText('  - name: base\n    from list: " Bracket "\n    on: lift\n'));
    const part = result.kind === 'ok' ? result.value.parts[0] : undefined;
    expect(part?.mass).toBe(1);
    // four times 0.01: one rounding
    expect(part?.massTolerance).toBeCloseTo(0.04, 15);
    expect(part?.on).toBe('lift');
  });

  test('what the cart file says goes before what the list says', () => {
    const own = 'at: [1 mm, 2 mm, 3 mm]\n    mass tolerance: 0 kg\n';
    const result = read(cartText(`  - name: base\n    from list: Bracket\n    ${own}`));
    const part = result.kind === 'ok' ? result.value.parts[0] : undefined;
    expect(part?.at).toEqual([0.001, 0.002, 0.003]);
    expect(part?.massTolerance).toBe(0);
  });

  test('rows that no part takes are a warning', () => {
    const text = cartText('  - name: base\n    from list: Base weldment\n');
    const result = read(text);
    const warnings = result.kind === 'ok' ? result.warnings : [];
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatchObject({
      code: 'unused-row',
      severity: 'warning',
      line: lineOf('parts list:', text),
      actual: '"Bracket", "Cable"',
    });
  });
});

describe('refusals', () => {
  test('a row that is not there, with the nearest', () => {
    const text = cartText('  - name: base\n    from list: Base weldmant\n');
    const issue = issueOf(text);
    expect(issue).toMatchObject({
      code: 'not-in-parts-list',
      line: lineOf('weldmant', text),
      path: 'parts[1] "base" > from list',
      actual: '"Base weldmant"',
    });
    expect(issue?.allowed).toContain('nearest: Base weldment');
  });

  test('a row taken twice', () => {
    const row = (name: string) => `  - name: ${name}\n    from list: Bracket # ${name}\n`;
    const text = cartText(row('one') + row('two'));
    expect(issueOf(text)).toMatchObject({
      code: 'twice-from-parts-list',
      line: lineOf('# two', text),
      path: 'parts[2] "two" > from list',
    });
  });

  test('a row without a centre of mass', () => {
    const text = cartText('  - name: base\n    from list: Cable\n');
    const issue = issueOf(text);
    expect(issue).toMatchObject({
      code: 'no-place-in-parts-list',
      line: lineOf('Cable', text),
      path: 'parts[1] "base" > at',
    });
    expect(issue?.allowed).toContain('at: [x, y, z]');
  });

  test('a row below the floor', () => {
    const low = new Map([['parts.csv', listOf(LIST.replace('0;0;95', '0;0;-95'))]]);
    const text = cartText('  - name: base\n    from list: Base weldment\n');
    expect(issueOf(text, low)).toMatchObject({
      code: 'below-floor',
      line: lineOf('weldment', text),
    });
  });

  test('both a mass and a row', () => {
    const text = cartText('  - name: base\n    mass: 1 kg\n    from list: Base weldment\n');
    expect(issueOf(text)).toMatchObject({
      code: 'one-of-these',
      line: lineOf('from list', text),
      path: 'parts[1] "base"',
    });
  });

  test('a list that was not supplied: once, at its name', () => {
    const text = cartText('  - name: base\n    from list: Base weldment\n');
    expect(issueOf(text, new Map())).toMatchObject({
      code: 'parts-list-not-supplied',
      line: lineOf('parts list:', text),
      path: 'parts list',
      actual: 'parts.csv',
    });
  });

  test('a row where no list is named', () => {
    const text = spoiled('    mass: 20 kg\n', '    from list: Base weldment\n', SMALL_CART);
    expect(issueOf(text)).toMatchObject({
      code: 'no-parts-list',
      line: lineOf('weldment', text),
      path: 'parts[1] "base" > from list',
    });
  });

  test('a tolerance as large as the mass of all pieces', () => {
    const text = cartText(
      '  - name: base\n    from list: Bracket\n    mass tolerance: 1 kg # here\n',
    );
    expect(issueOf(text)).toMatchObject({
      code: 'tolerance-too-large',
      line: lineOf('# here', text),
    });
  });
});
