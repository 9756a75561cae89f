import { describe, expect, test } from 'vitest';
import { partsListFileOf, readCart, sentence } from '../../src/document/index.js';
import { codesAndLines, issuesOf } from './refusal.js';
import { lineOf, SMALL_CART, spoiled } from './small-cart.js';

describe('text that is no cart file', () => {
  /** title, text, code, line */
  const texts: readonly (readonly [string, string, string, number | null])[] = [
    ['nothing', '', 'empty-file', null],
    ['only comments', '# a cart\n\n# to be\n', 'empty-file', null],
    ['a list', '- a\n- b\n', 'not-a-cart-file', 1],
    ['a word', '\nhello\n', 'not-a-cart-file', 2],
    ['a map of something else', '# other\nversion: 3\n', 'not-a-cart-file', 2],
    ['binary', 'standstill: 1\nname: a\u0000b\n', 'not-text', 2],
    ['bytes that were not UTF-8', 'standstill: 1\n# 10\ufffd\n', 'not-text', 2],
    ['half a character', 'standstill: 1\nname: \ud83d\n', 'not-text', 2],
    ['a byte order mark inside', 'standstill: 1\nname: a\ufeffb\n', 'not-text', 2],
    ['a control sequence', 'standstill: 1\nname: \u001b[31mred\n', 'control-character', 2],
    ['a return without a line feed', 'standstill: 1\rname: a\n', 'control-character', 1],
  ];
  test.each(texts)('%s', (_, text, code, line) => {
    expect(codesAndLines(text)).toEqual([[code, line]]);
  });
});

describe('versions', () => {
  test.each([
    ['standstill: 2', 'too-new'],
    ['standstill: 1000000', 'too-new'],
    ['standstill: 0', 'bad-version'],
    ['standstill: 1.5', 'bad-version'],
    ['standstill: "1"', 'bad-version'],
    ['standstill: one', 'bad-version'],
    ['standstill: .nan', 'bad-version'],
    ['standstill: [1]', 'bad-version'],
    ['standstill:', 'bad-version'],
  ])('%s is refused as %s, and nothing else is looked at', (line, code) => {
    const text = spoiled('standstill: 1', line, spoiled('mass: 20 kg', 'mass: 20'));
    expect(codesAndLines(text)).toEqual([[code, 1]]);
  });
});

describe('YAML that a cart file does not use', () => {
  const base = SMALL_CART;

  /** title, text, code, what the named line holds */
  const texts: readonly (readonly [string, string, string, string])[] = [
    [
      'a key given twice',
      spoiled('mobility: mobile', 'mobility: mobile\nname: two', base),
      'duplicate-key',
      'name: two',
    ],
    ['a tag', spoiled('mass: 20 kg', 'mass: !!str 20 kg', base), 'yaml-tag', '!!str'],
    ['a tag of its own', spoiled('mass: 20 kg', 'mass: !mass 20 kg', base), 'yaml-tag', '!mass'],
    ['a tag on a map', spoiled('floor:\n', 'floor: !!omap # here\n', base), 'yaml-tag', '# here'],
    ['a directive', `%YAML 1.1\n---\n${base}`, 'yaml-directive', '%YAML'],
    [
      'a merge key',
      spoiled('    mass: 20 kg', '    <<: {mass: 20 kg}\n    mass: 20 kg', base),
      'merge-key',
      '<<',
    ],
    ['a second document', `${base}---\nstandstill: 1\n`, 'several-documents', '---'],
    [
      'a list as a key',
      spoiled('mobility: mobile', '[a, b]: c\nmobility: mobile', base),
      'key-not-a-name',
      '[a, b]',
    ],
    [
      'an alias to nothing',
      spoiled('at: [0 mm, 0 mm, 500 mm]', 'at: *nowhere', base),
      'unknown-alias',
      '*nowhere',
    ],
    [
      'a tab as indentation',
      spoiled('    mass: 20 kg', '\tmass: 20 kg', base),
      'tab-indent',
      '\tmass',
    ],
    [
      'a list that is not closed',
      spoiled('at: [0 mm, 0 mm, 500 mm]', 'at: [0 mm, 0 mm, 500 mm', base),
      'yaml-syntax',
      'castor types:',
    ],
    [
      'a quote that is not closed',
      `${base}# "\ndescription: "open\n`,
      'yaml-syntax',
      'description: "open',
    ],
    [
      'uneven indentation',
      spoiled('    mass: 20 kg', '   mass: 20 kg', base),
      'yaml-syntax',
      '   mass: 20 kg',
    ],
    [
      'deep nesting',
      spoiled('markings: [no sitting]', `markings: ${'['.repeat(30)}${']'.repeat(30)}`, base),
      'too-deep',
      '[[[',
    ],
    [
      'deep nesting of dashes',
      spoiled('markings: [no sitting]', `markings:\n  ${'- '.repeat(30)}a`, base),
      'too-deep',
      '- - -',
    ],
  ];
  test.each(texts)('%s', (_, text, code, at) => {
    const [first] = issuesOf(text);
    expect(first?.code).toBe(code);
    expect(first?.line).toBe(lineOf(at, text));
    expect(first?.allowed).not.toBe('');
  });

  test('a circle of aliases', () => {
    const text = spoiled('markings: [no sitting]', 'markings: &m [*m]');
    expect(codesAndLines(text)).toEqual([['unknown-alias', lineOf('&m', text)]]);
  });

  test('more aliases than a cart needs', () => {
    const uses = Array.from({ length: 51 }, () => '*a').join(', ');
    const text = spoiled('markings: [no sitting]', `markings: &a [no sitting]\nx: [${uses}]`);
    const [issue] = issuesOf(text);
    expect(issue).toMatchObject({ code: 'too-many-aliases', line: lineOf('x: [', text) });
    expect(issue?.allowed).toContain('50');
  });

  test('aliases that multiply are refused in less than a second', () => {
    const names = 'abcdefghij';
    const lines = [...names].map((name, i) => {
      const item = i === 0 ? '1 mm' : `*${names[i - 1]}`;
      return `${name}: &${name} [${Array.from({ length: 5 }, () => item).join(', ')}]`;
    });
    const start = performance.now();
    const [issue] = issuesOf(`standstill: 1\n${lines.join('\n')}\n`);
    expect(issue?.code).toBe('alias-expands-too-far');
    expect(issue?.allowed).toContain('150000 values');
    // about 1 ms; written out it would be 5^10 values
    expect(performance.now() - start).toBeLessThan(1000);
  });
});

describe('large files', () => {
  test('51 MB are refused before they are parsed', () => {
    const start = performance.now();
    const issues = issuesOf(`${SMALL_CART}${'# filling\n'.repeat(5_100_000)}`);
    expect(issues).toHaveLength(1);
    expect(issues[0]).toMatchObject({ code: 'file-too-large', line: null });
    expect(issues[0]?.allowed).toBe('at most 2000000 characters');
    // a length is compared; parsing as much would take half a minute
    expect(performance.now() - start).toBeLessThan(2000);
  });

  test('2 MB of marks are refused by their number, with the line', () => {
    const [issue] = issuesOf(`standstill: 1\nx: [\n${',\n'.repeat(900_000)}]`);
    expect(issue?.code).toBe('file-too-large');
    expect(issue?.line).toBeGreaterThan(1000);
    expect(issue?.allowed).toContain('600000 words and marks');
  });
});

describe('the parts list that a file names', () => {
  test('is told before the rest is read', () => {
    expect(partsListFileOf(SMALL_CART)).toBeNull();
    expect(partsListFileOf(`${SMALL_CART}parts list: sub/parts.csv\n`)).toBe('sub/parts.csv');
    expect(partsListFileOf('standstill: 1\nparts list: p.XLSX\nparts: nonsense\n')).toBe('p.XLSX');
    expect(partsListFileOf('[')).toBeNull();
    expect(partsListFileOf('')).toBeNull();
  });

  test.each([
    '/etc/parts.csv',
    '../parts.csv',
    'a/../../p.csv',
    'C:\\p.csv',
    'parts.txt',
    'http://x/p.csv',
  ])('%s is refused', (name) => {
    const text = `${SMALL_CART}parts list: ${name} # here\n`;
    expect(partsListFileOf(text)).toBeNull();
    const [issue] = issuesOf(text);
    expect(issue).toMatchObject({
      code: 'wrong-kind',
      line: lineOf('# here', text),
      path: 'parts list',
    });
    expect(issue?.allowed).toContain('beside or below the cart file');
  });
});

test('issues show what cannot be seen, on one line of at most 80 characters', () => {
  const text = spoiled('lock: none', `lock: "\\e[31m\\n${'x'.repeat(500)}\\u202e"`);
  const result = readCart(text, 'small.cart.yaml');
  const [issue] = result.kind === 'invalid' ? result.issues : [];
  expect(issue?.actual).toContain('\\u{1b}[31m\\n');
  expect(issue?.actual?.length).toBeLessThanOrEqual(80);
  expect(issue && sentence(issue)).not.toMatch(/[\p{C}]/u);
});

test('a key with a line end in it shows it written out, in the path too', () => {
  const text = spoiled('mobility: mobile', '"a\\n\\e[31mb": 1\nmobility: mobile');
  const [issue] = issuesOf(text);
  expect(issue).toMatchObject({ code: 'unknown-field', path: 'a\\n\\u{1b}[31mb' });
});
