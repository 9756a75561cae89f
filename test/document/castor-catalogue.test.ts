import { describe, expect, test } from 'vitest';
import { readCastorCatalogue, sentence } from '../../src/document/index.js';
import { SMALL_CATALOGUE, smallCatalogue } from './small-study.js';

function read(text: string) {
  return readCastorCatalogue(new TextEncoder().encode(text), 'castors.csv');
}

function saysOf(text: string): readonly string[] {
  const result = read(text);
  return result.kind === 'invalid' ? result.issues.map(sentence) : result.warnings.map(sentence);
}

describe('a catalogue of castors', () => {
  test('gives each row in SI, by its headings and their units', () => {
    const { castors } = smallCatalogue();
    expect(castors[0]).toEqual({
      name: 'grey 100',
      kind: {
        ...{ wheelDiameter: 0.1, trail: 0.032, swivelMoment: 0.3, rollingLength: 0.0022 },
        ...{ rating: 60, stiffness: 4e5, tread: 'grey rubber' },
      },
      ...{ mass: 0.5, cost: 7.5, brakeTorque: 10, line: 2 },
    });
    expect(castors[1]).toMatchObject({ name: 'soft, 125', brakeTorque: null, line: 3 });
  });

  test('warns of a column that says nothing used', () => {
    expect(saysOf(SMALL_CATALOGUE)).toEqual([
      expect.stringMatching(
        /^castors\.csv:1:\d+ \(warning\) headings: order number is used by nothing/,
      ),
    ]);
  });

  test('is the same with semicolons and decimal commas, tabs, and other line ends', () => {
    const plain = SMALL_CATALOGUE.replace('"soft, 125"', 'soft 125');
    const { castors } = smallCatalogue(plain);
    const commas = plain.replaceAll(',', ';').replaceAll('.', ',').replaceAll('\n', '\r\n');
    expect(smallCatalogue(commas).castors).toEqual(castors);
    expect(smallCatalogue(plain.replaceAll(',', '\t')).castors).toEqual(castors);
  });

  test.each([
    [
      'a number without a unit',
      '0.3 Nm',
      '0.3',
      '2:17 castor "grey 100" > swivel moment: 0.3 has no unit',
    ],
    [
      'a value beyond the limits',
      ',100,32',
      ',9000,32',
      'castor "grey 100" > wheel diameter: 9000 mm is outside the limits',
    ],
    [
      'an unknown unit',
      '[kg],cost',
      '[stones],cost',
      'castor "grey 100" > mass: 0.5 stones has a unit that is not known',
    ],
    ['a field that must be there', ',60,grey', ',,grey', 'castor "grey 100" > rating: is missing'],
    [
      'a decimal comma that parts a number in two',
      'A1',
      'A1,5',
      'castors.csv:2:61 line 2: 5 stands under no heading; allowed: no more cells than',
    ],
    ['a name twice', '"soft, 125"', 'Grey 100', '"Grey 100" is given twice'],
    ['a heading twice', 'order number', 'tread', 'headings: tread is given twice'],
    ['a heading that must be there', 'stiffness [N/mm]', 'spring', 'lacks a heading'],
    [
      'a quotation that nothing closes',
      '"soft, 125"',
      '"soft 125',
      'opens a quotation that nothing closes',
    ],
  ])('is refused for %s', (_what, from, to, says) => {
    const said = saysOf(SMALL_CATALOGUE.replace(from, to));
    expect(said.join('\n')).toContain(says);
  });

  test('with a heading of thousands of spaces is read at once', () => {
    const spaces = ' '.repeat(30_000);
    const hostile = Array.from({ length: 30 }, (_, i) => `a${spaces}${i}`).join(',');
    expect(read(`${hostile}\n1\n`).kind).toBe('invalid');
  });

  test('is refused without rows, and as no text at all', () => {
    expect(saysOf(SMALL_CATALOGUE.split('\n')[0] ?? '').join()).toContain('at least one row');
    expect(saysOf('').join()).toContain('holds nothing');
    expect(saysOf('PK\u0003\u0004\u0000').join()).toContain('castors.csv');
  });
});
