import { describe, expect, test } from 'vitest';
import { pad, textWidth, wrapText } from '../../src/cli/text-width.js';

describe('textWidth', () => {
  // Columns by Unicode Standard Annex 11: wide and fullwidth two, combining none, others one.
  test.each([
    ['castor', 6],
    ['größe', 5],
    ['e\u0301', 1],
    ['点滴', 4],
    ['ｶﾀ', 2],
    ['カタ', 4],
    ['한국', 4],
    ['Ａ', 2],
    ['🛒', 2],
    ['👩\u200d⚕\ufe0f', 2],
    ['', 0],
  ])('%s', (text, width) => {
    expect(textWidth(text)).toBe(width);
  });

  test('a padded column of mixed scripts ends in one place', () => {
    const names = ['rear left', '点滴スタンド', 'e\u0301te\u0301', '한국'];
    expect(names.map((name) => textWidth(pad(name, 14, 'left')))).toEqual([14, 14, 14, 14]);
    expect(pad('点', 4, 'right')).toBe('  点');
  });
});

describe('wrapText', () => {
  test('breaks at spaces', () => {
    expect(wrapText('lift at the top, arm out', 12)).toEqual(['lift at the', 'top, arm out']);
  });

  test('keeps a number and its unit together', () => {
    expect(wrapText('lift stands at 400 mm', 18)).toEqual(['lift stands at', '400 mm']);
    expect(wrapText('a push of 15 % of it', 13)).toEqual(['a push of', '15 % of it']);
  });

  test('cuts a long name after its hyphens, then anywhere', () => {
    expect(wrapText('overbalance-transport', 14)).toEqual(['overbalance-', 'transport']);
    expect(wrapText('x'.repeat(25), 10)).toEqual(['x'.repeat(10), 'x'.repeat(10), 'x'.repeat(5)]);
  });

  test('counts wide characters twice when it cuts', () => {
    expect(wrapText('点滴スタンド', 5)).toEqual(['点滴', 'スタ', 'ンド']);
  });

  test('no line is wider than asked, at every width, and no letter is lost', () => {
    const text = 'the 点滴スタンド 12.5 kg overbalance-transport é\u0301 end';
    for (let width = 8; width <= 60; width += 1) {
      const lines = wrapText(text, width);
      expect(Math.max(...lines.map(textWidth))).toBeLessThanOrEqual(width);
      expect(lines.join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''));
    }
  });

  test('an empty text is one empty line', () => {
    expect(wrapText('', 10)).toEqual(['']);
  });
});
