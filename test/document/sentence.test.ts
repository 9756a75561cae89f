import { expect, test } from 'vitest';
import type { Issue } from '../../src/document/index.js';
import { readPartsListCsv, sentence } from '../../src/document/index.js';
import { issuesOf } from './refusal.js';
import { spoiled } from './small-cart.js';

const ISSUE: Issue = {
  code: 'no-unit',
  severity: 'error',
  file: 'examples/x.cart.yaml',
  line: 12,
  column: 9,
  path: 'castors[2] "front left" > at > x',
  actual: '32',
  allowed: 'a length with its unit, such as 32 mm',
};

test('a sentence names place, field, value, problem and what is allowed', () => {
  expect(sentence(ISSUE)).toBe(
    'examples/x.cart.yaml:12:9 castors[2] "front left" > at > x: 32 has no unit; ' +
      'allowed: a length with its unit, such as 32 mm',
  );
});

test('where nothing is there, and where there is no line', () => {
  const missing = { ...ISSUE, code: 'missing-field', actual: null, allowed: 'a name' };
  expect(sentence({ ...missing, line: null, column: null, path: 'name' })).toBe(
    'examples/x.cart.yaml name: is missing; allowed: a name',
  );
});

test('a warning says that it is one', () => {
  expect(sentence({ ...ISSUE, severity: 'warning' })).toContain(
    'x.cart.yaml:12:9 (warning) castors',
  );
});

test('a code from elsewhere still makes a sentence', () => {
  expect(sentence({ ...ISSUE, code: 'constructor' })).toContain(
    ': 32 is not allowed; allowed: a length',
  );
});

test('the sentence of a real issue', () => {
  const [issue] = issuesOf(spoiled('    trail: 32 mm', '    trail: 32'));
  expect(issue && sentence(issue)).toBe(
    'small.cart.yaml:38:12 castor types[1] "swivel 100" > trail: 32 has no unit; ' +
      'allowed: a length with its unit, from 0 mm to 500 mm, such as 32 mm',
  );
});

test('issues of a parts list have their own words', () => {
  const result = readPartsListCsv('Name;Mass [kg]\nbase;0\n', 'parts.csv');
  const issues = result.kind === 'invalid' ? result.issues : [];
  const issue = issues.find(({ code }) => code === 'zero-mass');
  expect(issue && sentence(issue)).toContain('parts.csv:2');
  expect(issue && sentence(issue)).not.toContain('is not allowed');
});
