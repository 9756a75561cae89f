/** Small wordings of `standstill records`: commands to copy, remarks together, problems in order. */

import { describe, expect, test } from 'vitest';
import { inLineOrder } from '../../src/cli/data-sheet.js';
import { together } from '../../src/cli/reading-remarks.js';
import { quoted } from '../../src/cli/shell-words.js';

describe('a name in a command to copy', () => {
  test.each([
    ['day.sqlite', 'day.sqlite'],
    ['Telehealth cart', '"Telehealth cart"'],
    ['远程医疗推车', '"远程医疗推车"'],
    // what a POSIX shell would run or end the argument at stands in single quotes
    ['the "old" one', `'the "old" one'`],
    ['$(reboot)', `'$(reboot)'`],
    ['`reboot`', "'`reboot`'"],
    ["A. Reed's $5", `'A. Reed'\\''s $5'`],
  ])('%s is one argument', (name, argument) => {
    expect(quoted(name)).toBe(argument);
  });
});

test('remarks that say the same of several readings stand together', () => {
  const remarks = [
    'Done otherwise than planned: x',
    'Reading 1: it held.',
    'Reading 2: it slid.',
    'Reading 2: it held.',
    'Reading 3: it held.',
  ];
  expect(together(remarks)).toEqual([
    'Done otherwise than planned: x',
    'Readings 1, 2 and 3: it held.',
    'Reading 2: it slid.',
  ]);
});

test('problems stand in the order of their lines, those without one last', () => {
  const problems = ['a: other', 's.yaml:65 x', 's.yaml:9 y', 's.yaml why: z', 's.yaml:65 w'];
  expect(inLineOrder('s.yaml', problems)).toEqual([
    's.yaml:9 y',
    's.yaml:65 x',
    's.yaml:65 w',
    'a: other',
    's.yaml why: z',
  ]);
});
