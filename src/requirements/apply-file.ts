/** A user's sets and confirmations laid over the built-in sets. */

import { buildSet } from './build-set.js';
import type { Problem, RequirementFile, SetDraft, ValueConfirmation } from './draft.js';
import type { Clause, RequirementSet, RequirementValue } from './requirement-set.js';
import { allowedValue, isSameFigure, readValue } from './value-text.js';
import { isValueId } from './vocabulary.js';

/** A file as far as it could be read: null stands for an entry that could not. */
export interface PartialFile {
  readonly sets: readonly (SetDraft | null)[];
  readonly confirmations: readonly (ValueConfirmation | null)[];
  /** ids of sets that could not be read: a reference to one is not unknown */
  readonly unreadable: ReadonlySet<string>;
}

export interface AppliedFile {
  readonly sets: readonly RequirementSet[];
  readonly problems: readonly Problem[];
}

interface Work {
  readonly file: PartialFile;
  /** null: a set that the file has but that could not be made */
  readonly sets: Map<string, RequirementSet | null>;
  readonly problems: Problem[];
}

/**
 * The built-in sets with their confirmations, then the file's own sets in its order. A set may be
 * based on a built-in one or on one further up in the file, and takes over what is confirmed there.
 */
export function applyPartially(
  builtIns: readonly RequirementSet[],
  file: PartialFile,
): AppliedFile {
  const work: Work = { file, sets: new Map(), problems: [] };
  reportConfirmedTwice(work);
  for (const set of builtIns) addSet(set, work);
  for (const [index, draft] of file.sets.entries()) {
    if (draft !== null) addDraft(draft, index, work);
  }
  reportUnknownSets(work);
  return { sets: [...work.sets.values()].filter((set) => set !== null), problems: work.problems };
}

/**
 * @param file as `readRequirementFile` returned it, read against the same built-in sets
 * @returns the built-in sets and the file's own, with everything the file confirms
 * @throws when the file does not go with these built-in sets
 */
export function applyRequirementFile(
  builtIns: readonly RequirementSet[],
  file: RequirementFile,
): readonly RequirementSet[] {
  const { sets, problems } = applyPartially(builtIns, { ...file, unreadable: new Set() });
  const [first] = problems;
  if (first === undefined) return sets;
  const place = first.path.join(' > ');
  throw new Error(`applyRequirementFile: ${first.code} at ${place}: ${first.actual}`);
}

function addDraft(draft: SetDraft, index: number, work: Work): void {
  const at = ['sets', index] as const;
  if (work.sets.has(draft.id)) {
    const allowed = 'an id that no other set has; a built-in set stays as it is: base a set on it';
    const path = [...at, 'id'];
    work.problems.push({ code: 'duplicate-name', path, at: 'value', actual: draft.id, allowed });
    return;
  }
  const base = baseOf(draft, index, work);
  if (base === undefined) {
    work.sets.set(draft.id, null);
    return;
  }
  const built = buildSet(draft, base);
  if (built.kind === 'ok') {
    addSet(built.set, work);
    return;
  }
  work.sets.set(draft.id, null);
  work.problems.push(...built.problems.map((each) => ({ ...each, path: [...at, ...each.path] })));
}

/** undefined: there is one, but it cannot be used. */
function baseOf(draft: SetDraft, index: number, work: Work): RequirementSet | null | undefined {
  const id = draft['based on'];
  if (id === undefined) return null;
  const base = work.sets.get(id);
  if (base !== undefined) return base ?? undefined;
  if (work.file.unreadable.has(id)) return undefined;
  work.problems.push({
    code: 'unknown-name',
    path: ['sets', index, 'based on'],
    at: 'value',
    actual: id,
    allowed: `a built-in set or one further up in the file: ${[...work.sets.keys()].join(', ')}`,
  });
  return undefined;
}

function addSet(set: RequirementSet, work: Work): void {
  let confirmed = set;
  for (const [index, each] of work.file.confirmations.entries()) {
    if (each?.set === set.id) confirmed = confirm(confirmed, each, index, work);
  }
  work.sets.set(set.id, confirmed);
}

function confirm(
  set: RequirementSet,
  confirmation: ValueConfirmation,
  index: number,
  work: Work,
): RequirementSet {
  const clause = named(set.clauses, confirmation.clause, index, 'clause', work);
  if (clause === null) return set;
  const value = named(clause.values, confirmation.value, index, 'value', work);
  if (value === null || !readsAlike(confirmation, set, value, index, work)) return set;
  const { who, when, copy } = confirmation;
  const values = replaced(clause.values, { ...value, confirmation: { who, when, copy } });
  return { ...set, clauses: replaced(set.clauses, { ...clause, values }) };
}

function named<T extends Clause | RequirementValue>(
  among: readonly T[],
  id: string,
  index: number,
  field: 'clause' | 'value',
  work: Work,
): T | null {
  const found = among.find((each) => each.id === id);
  if (found !== undefined) return found;
  const path = ['confirmations', index, field];
  const allowed = `the id of a ${field} there: ${among.map((each) => each.id).join(', ')}`;
  work.problems.push({ code: 'unknown-name', path, at: 'value', actual: id, allowed });
  return null;
}

function replaced<T extends { readonly id: string }>(among: readonly T[], by: T): readonly T[] {
  return among.map((each) => (each.id === by.id ? by : each));
}

function readsAlike(
  confirmation: ValueConfirmation,
  set: RequirementSet,
  value: RequirementValue,
  index: number,
  work: Work,
): boolean {
  if (!isValueId(value.id)) throw new Error(`readsAlike: ${set.id} has a value ${value.id}`);
  const path = ['confirmations', index, 'reads'];
  const actual = confirmation.reads;
  const read = readValue(confirmation.reads, value.id);
  if (read.kind === 'error') {
    const allowed = allowedValue(value.id);
    work.problems.push({ code: read.code, path, at: 'value', actual, allowed });
    return false;
  }
  if (isSameFigure(read.value, value.value)) return true;
  const allowed = `${value.text}, the figure of ${set.id}; if your copy reads otherwise, first amend the set (a set of your own, based on ${set.id}, with this value changed), then confirm the value there`;
  work.problems.push({ code: 'confirmation-mismatch', path, at: 'value', actual, allowed });
  return false;
}

function reportConfirmedTwice(work: Work): void {
  const first = new Map<string, number>();
  for (const [index, each] of work.file.confirmations.entries()) {
    if (each === null) continue;
    const key = JSON.stringify([each.set, each.clause, each.value]);
    const earlier = first.get(key);
    if (earlier === undefined) {
      first.set(key, index);
      continue;
    }
    work.problems.push({
      code: 'confirmed-twice',
      path: ['confirmations', index, 'value'],
      at: 'value',
      actual: each.value,
      allowed: `one confirmation of a value; confirmations[${earlier + 1}] confirms it already`,
    });
  }
}

function reportUnknownSets(work: Work): void {
  for (const [index, each] of work.file.confirmations.entries()) {
    if (each === null || work.sets.has(each.set) || work.file.unreadable.has(each.set)) continue;
    work.problems.push({
      code: 'unknown-name',
      path: ['confirmations', index, 'set'],
      at: 'value',
      actual: each.set,
      allowed: `the id of a set: ${[...work.sets.keys()].join(', ')}`,
    });
  }
}
