import { describe, expect, test } from 'vitest';
import { asciiOnly, visible } from '../../src/cli/visible-text.js';

describe('visible', () => {
  test.each([
    ['an escape sequence', '\u001b[31mred', '<U+001B>[31mred'],
    ['a line feed', 'a\nb', 'a<U+000A>b'],
    ['a carriage return, which would overwrite the line', 'holds\rfails', 'holds<U+000D>fails'],
    ['a C1 control sequence introducer', '\u009b2J', '<U+009B>2J'],
    ['a delete', 'a\u007f', 'a<U+007F>'],
    ['a right-to-left override', 'abc\u202edef', 'abc<U+202E>def'],
    ['an isolate', '\u2066x\u2069', '<U+2066>x<U+2069>'],
    ['a zero-width space', 'a\u200bb', 'a<U+200B>b'],
    ['a byte order mark', '\ufeffa', '<U+FEFF>a'],
    ['a line separator', 'a\u2028b', 'a<U+2028>b'],
    ['a lone surrogate', 'a\ud800b', 'a<U+D800>b'],
    ['a tag character', 'a\u{e0041}', 'a<U+E0041>'],
    ['a joiner between ASCII letters, where it only hides', 'a\u200db', 'a<U+200D>b'],
  ])('writes out %s', (_what, text, shown) => {
    expect(visible(text)).toBe(shown);
  });

  test.each([
    ['accents', 'Übergröße, déjà vu'],
    ['wide characters', '点滴スタンド'],
    ['a compound emoji', '👩\u200d⚕'],
    ['a joiner in Persian', 'می\u200cخواهم'],
    ['combining marks', 'e\u0301'],
  ])('leaves %s as they are', (_what, text) => {
    expect(visible(text)).toBe(text);
  });

  test('cuts stacks of marks at four', () => {
    const shown = visible(`a${'\u0301'.repeat(6)}`);
    expect(shown).toBe(`a${'\u0301'.repeat(4)}<U+0301><U+0301>`);
  });

  test('changes nothing the second time, and leaves no control character, for every code unit', () => {
    for (let unit = 0; unit < 0x10000; unit += 1) {
      const once = visible(`x${String.fromCharCode(unit)}x`);
      expect(once).not.toMatch(/[\p{Cc}\p{Cs}]/u);
      if (visible(once) !== once) expect.fail(`U+${unit.toString(16)} is not stable`);
    }
  });
});

describe('asciiOnly', () => {
  test('spells the symbols of a working', () => {
    expect(asciiOnly('θ = atan(d/h) ≥ 10°')).toBe('theta = atan(d/h) >= 10 deg');
  });

  test('writes out every other character', () => {
    expect(asciiOnly('Büro 点')).toBe('B<U+00FC>ro <U+70B9>');
  });
});
