/** The sections of the description, and which of them a field stands in. */

import type { FieldPath } from '../../document/index.js';
import type { FieldIssue, Reading } from '../store/reading.js';
import { fieldKey } from './field-address.js';

export interface Section {
  readonly id: string;
  readonly words: string;
  /** keys at the root of the cart file */
  readonly keys: readonly string[];
}

export const SECTIONS: readonly Section[] = [
  {
    id: 'cart',
    words: 'Cart',
    keys: ['standstill', 'name', 'description', 'mobility', 'requirements', 'markings'],
  },
  { id: 'parts', words: 'Parts', keys: ['parts', 'parts list'] },
  { id: 'movers', words: 'Movers', keys: ['movers'] },
  { id: 'loads', words: 'Loads', keys: ['loads'] },
  { id: 'castors', words: 'Castors', keys: ['castor types', 'castors'] },
  { id: 'floor', words: 'Floor', keys: ['floor'] },
  { id: 'outline', words: 'Outline', keys: ['outline'] },
  { id: 'surfaces', words: 'Surfaces', keys: ['surfaces'] },
  { id: 'handles', words: 'Handles', keys: ['handles'] },
  { id: 'positions', words: 'Positions', keys: ['positions'] },
  { id: 'uncertainty', words: 'Uncertainty', keys: ['uncertainty'] },
  { id: 'text', words: 'Text', keys: [] },
];

/** Where a field is shown: in the text where no form has a place for it. */
export function sectionOf(path: FieldPath | null): string {
  const key = path?.[0];
  return SECTIONS.find(({ keys }) => keys.some((each) => each === key))?.id ?? 'text';
}

/** A section that is there, whatever was asked. */
export function knownSection(id: string): string {
  return SECTIONS.some((each) => each.id === id) ? id : 'parts';
}

export interface Problems {
  readonly errors: readonly FieldIssue[];
  readonly warnings: readonly FieldIssue[];
  /** errors and warnings by the key of their field */
  readonly byField: ReadonlyMap<string, readonly FieldIssue[]>;
  /** errors by section */
  readonly counts: ReadonlyMap<string, number>;
}

const KNOWN = new WeakMap<Reading, Problems>();

/** Made once for a reading. */
export function problemsOf(reading: Reading): Problems {
  const known = KNOWN.get(reading);
  if (known !== undefined) return known;
  const byField = new Map<string, FieldIssue[]>();
  const counts = new Map<string, number>();
  const [errors, warnings]: [FieldIssue[], FieldIssue[]] = [[], []];
  for (const each of reading.issues) {
    const isError = each.issue.severity === 'error';
    (isError ? errors : warnings).push(each);
    const section = sectionOf(each.path);
    if (isError) counts.set(section, (counts.get(section) ?? 0) + 1);
    if (each.path === null) continue;
    const key = fieldKey(each.path);
    const there = byField.get(key);
    if (there === undefined) byField.set(key, [each]);
    else there.push(each);
  }
  const problems = { errors, warnings, byField, counts };
  KNOWN.set(reading, problems);
  return problems;
}

/** How many errors an item has, and all that is in it. */
export function errorsWithin(problems: Problems, path: FieldPath): number {
  return problems.errors.filter(
    (each) => each.path !== null && path.every((step, index) => each.path?.[index] === step),
  ).length;
}

/** '3 problems', '1 problem and 2 warnings', 'nothing to mend'. */
export function problemWords(errors: number, warnings: number): string {
  const some = [counted(errors, 'problem'), counted(warnings, 'warning')].filter(
    (each) => each !== '',
  );
  return some.length === 0 ? 'nothing to mend' : some.join(' and ');
}

function counted(count: number, noun: string): string {
  if (count === 0) return '';
  return count === 1 ? `1 ${noun}` : `${count} ${noun}s`;
}
