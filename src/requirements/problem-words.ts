import type { Issue } from './issue.js';

/** What is wrong, by code, as it reads after the actual value (or after the field when there is
 * none). */
const WORDS: Readonly<Record<string, string>> = {
  'file-too-large': 'is too large to read',
  'control-character': 'is a character that a text file does not hold',
  'empty-file': 'holds nothing',
  'too-many-issues': 'issues are not listed',
  'yaml-syntax': 'is not well-formed YAML',
  'yaml-feature': 'is not used in requirement files',
  'too-deep': 'is nested too deeply',
  'duplicate-key': 'is given twice',
  'key-not-a-name': 'is not a name that a field can have',
  'not-a-requirement-file': 'is not a requirement file',
  'bad-version': 'is not a version of the requirement file',
  'too-new': 'is newer than this program reads',
  'unknown-field': 'is not a field here',
  'missing-field': 'is missing',
  'unneeded-field': 'does not belong here',
  'wrong-kind': 'is not what is due here',
  'not-a-choice': 'is not one of the words allowed',
  'bad-text': 'is not a usable text',
  'bad-date': 'is not a date',
  'no-unit': 'has no unit',
  'not-a-number': 'is not a number with a unit',
  'not-a-bare-number': 'is not a bare number',
  'ambiguous-number': 'can be read as two different numbers',
  'unknown-unit': 'has a unit that is not known',
  'wrong-dimension': 'is the wrong kind of quantity',
  'out-of-limits': 'is outside the limits',
  'duplicate-name': 'is given twice',
  'unknown-name': 'is not the id of one',
  'missing-value': 'is missing, and the question cannot be asked without it',
  'unneeded-value': 'is not a value of this question',
  'question-changed': 'is another question',
  'confirmation-mismatch': 'is not what the set has',
  'confirmed-twice': 'is confirmed twice',
};

/** The issue in one line of plain words: `file:line:column path: actual problem; allowed: ...`. */
export function requirementSentence(issue: Issue): string {
  const place = [issue.file, issue.line, issue.column].filter((each) => each !== null).join(':');
  const severity = issue.severity === 'warning' ? ' (warning)' : '';
  const problem = Object.hasOwn(WORDS, issue.code) ? WORDS[issue.code] : 'is not allowed';
  const what = issue.actual === null ? problem : `${issue.actual} ${problem}`;
  return `${place}${severity} ${issue.path}: ${what}; allowed: ${issue.allowed}`;
}
