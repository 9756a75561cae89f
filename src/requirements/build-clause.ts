/** One clause from its draft and the clause it changes, if any. */

import { conditionsOf, plainConditionsOf, surfacesOf } from './clause-conditions.js';
import type { ClauseDraft, Problem } from './draft.js';
import type { Clause, Question, RequirementValue } from './requirement-set.js';
import { isSameFigure, readValue } from './value-text.js';
import type { QuestionKind, ValueId } from './vocabulary.js';
import {
  CASTOR_TESTS,
  isValueId,
  POSITIONS,
  QUESTIONS,
  SURFACES,
  titlesOf,
  VALUE_KINDS,
} from './vocabulary.js';

export type Report = (problem: Problem) => void;

/**
 * @param base the clause of the same id in the set this one is based on; null: a new clause
 * @returns null when the clause cannot be made; every reason was then reported
 */
export function buildClause(
  draft: ClauseDraft,
  base: Clause | null,
  report: Report,
): Clause | null {
  let complete = true;
  const noting: Report = (problem) => {
    complete = false;
    report(problem);
  };
  if (base === null) reportMissingFields(draft, noting);
  const kind = questionKind(draft, base, noting);
  if (kind === null) return null;
  reportUnneededFields(draft, kind, noting);
  const question = questionOf(draft, kind, base, noting);
  const values = valuesOf(draft, kind, base, noting);
  if (!complete || question === null) return null;
  const surfaces = draft.surfaces ?? surfacesOf(base?.conditions ?? []);
  const plain = draft.conditions ?? plainConditionsOf(base?.conditions ?? []);
  return {
    id: draft.id,
    clause: draft.clause ?? base?.clause ?? '',
    title: draft.title ?? base?.title ?? '',
    asks: draft.asks ?? base?.asks ?? '',
    note: draft.note ?? base?.note ?? '',
    alternative: draft.alternative ?? base?.alternative ?? null,
    question,
    conditions: conditionsOf(plain, kind === 'downward force' ? surfaces : null, values),
    values,
  };
}

const NEW_CLAUSE_FIELDS = {
  clause: 'the number of the clause as text, such as "9.4.2.1"',
  title: 'a title',
  asks: 'what is asked, in your own words',
} as const;

function reportMissingFields(draft: ClauseDraft, report: Report): void {
  for (const [field, due] of Object.entries(NEW_CLAUSE_FIELDS)) {
    if (draft[field as keyof typeof NEW_CLAUSE_FIELDS] !== undefined) continue;
    const allowed = `${due} (only a clause of the set this one is based on may leave it out)`;
    report({ code: 'missing-field', path: [field], at: 'value', actual: null, allowed });
  }
}

function questionKind(
  draft: ClauseDraft,
  base: Clause | null,
  report: Report,
): QuestionKind | null {
  if (base === null) {
    if (draft.question !== undefined) return draft.question;
    const allowed = `one of ${Object.keys(QUESTIONS).join(', ')}`;
    report({ code: 'missing-field', path: ['question'], at: 'value', actual: null, allowed });
    return null;
  }
  const kind = base.question.kind;
  if (draft.question === undefined || draft.question === kind) return kind;
  report({
    code: 'question-changed',
    path: ['question'],
    at: 'value',
    actual: draft.question,
    allowed: `${kind}, as in the set this one is based on; ask another question in a clause with an id of its own`,
  });
  return null;
}

const QUESTION_FIELDS = ['positions', 'surfaces', 'test'] as const;

function reportUnneededFields(draft: ClauseDraft, kind: QuestionKind, report: Report): void {
  const due = QUESTIONS[kind].field;
  for (const field of QUESTION_FIELDS) {
    if (draft[field] === undefined || field === due) continue;
    const allowed = due === null ? `no such field with ${kind}` : `${due} with ${kind}`;
    report({ code: 'unneeded-field', path: [field], at: 'key', actual: field, allowed });
  }
}

function questionOf(
  draft: ClauseDraft,
  kind: QuestionKind,
  base: Clause | null,
  report: Report,
): Question | null {
  const missing = (field: string, words: readonly string[]) => {
    const allowed = `one of ${words.join(', ')}`;
    report({ code: 'missing-field', path: [field], at: 'value', actual: null, allowed });
    return null;
  };
  const before = base?.question;
  if (kind === 'overbalance' || kind === 'holding on incline') {
    const known = before !== undefined && 'positions' in before ? before.positions : undefined;
    const positions = draft.positions ?? known;
    return positions === undefined ? missing('positions', POSITIONS) : { kind, positions };
  }
  if (kind === 'castor missing') {
    const test = draft.test ?? (before?.kind === kind ? before.test : undefined);
    return test === undefined ? missing('test', CASTOR_TESTS) : { kind, test };
  }
  if (kind === 'downward force' && base === null && draft.surfaces === undefined) {
    return missing('surfaces', SURFACES);
  }
  return { kind };
}

function valuesOf(
  draft: ClauseDraft,
  kind: QuestionKind,
  base: Clause | null,
  report: Report,
): readonly RequirementValue[] {
  const titles = titlesOf(kind);
  const given = new Map<string, RequirementValue>(base?.values.map((each) => [each.id, each]));
  for (const id of Object.keys(draft.values ?? {})) {
    const value = buildValue(draft, id, titles, report);
    if (value === null) given.delete(id);
    else given.set(id, value);
  }
  reportMissingValues(draft, kind, given, report);
  reportDisorder(draft, given, report);
  const order = Object.keys(titles);
  return [...given.values()].sort((a, b) => order.indexOf(a.id) - order.indexOf(b.id));
}

function buildValue(
  draft: ClauseDraft,
  id: string,
  titles: Readonly<Record<string, string>>,
  report: Report,
): RequirementValue | null {
  const title = titles[id];
  const written = isValueId(id) ? draft.values?.[id] : undefined;
  if (!isValueId(id) || title === undefined || written === undefined) {
    const allowed = `for this question: ${Object.keys(titles).join(', ')}`;
    report({ code: 'unneeded-value', path: ['values', id], at: 'key', actual: id, allowed });
    return null;
  }
  const read = readValue(written.value, id);
  if (read.kind === 'error') {
    const { code, allowed } = read;
    const path = ['values', id, 'value'];
    report({ code, path, at: 'value', actual: String(written.value), allowed });
    return null;
  }
  return requirementValue(id, title, read, written);
}

function requirementValue(
  id: ValueId,
  title: string,
  read: { readonly value: number; readonly text: string },
  written: { readonly basis: RequirementValue['basis']; readonly note?: string | undefined },
): RequirementValue {
  return {
    id,
    title,
    value: read.value,
    dimension: VALUE_KINDS[id].dimension,
    text: read.text,
    basis: written.basis,
    note: written.note ?? '',
    confirmation: null,
  };
}

function reportMissingValues(
  draft: ClauseDraft,
  kind: QuestionKind,
  given: ReadonlyMap<string, RequirementValue>,
  report: Report,
): void {
  const written = Object.keys(draft.values ?? {});
  const missing = Object.keys(QUESTIONS[kind].required).filter(
    (id) => !given.has(id) && !written.includes(id),
  );
  for (const id of missing) {
    const needs = Object.keys(QUESTIONS[kind].required).join(', ');
    report({
      code: 'missing-value',
      path: ['values', id],
      at: 'value',
      actual: null,
      allowed: `a value each for ${needs}`,
    });
  }
}

/** Values of one clause of which the first must not exceed the second. */
const ORDERED = [
  ['incline', 'mark-incline'],
  ['speed-tolerance', 'speed'],
  ['floor-covering-least', 'floor-covering-most'],
] as const;

function reportDisorder(
  draft: ClauseDraft,
  given: ReadonlyMap<string, RequirementValue>,
  report: Report,
): void {
  for (const [small, large] of ORDERED) {
    const [less, more] = [given.get(small), given.get(large)];
    if (less === undefined || more === undefined || less.value <= more.value) continue;
    if (isSameFigure(less.value, more.value)) continue;
    const written = draft.values?.[small] === undefined ? large : small;
    const allowed =
      written === small ? `at most ${large}, ${more.text}` : `at least ${small}, ${less.text}`;
    const path = ['values', written, 'value'];
    const actual = written === small ? less.text : more.text;
    report({ code: 'out-of-limits', path, at: 'value', actual, allowed });
  }
}
