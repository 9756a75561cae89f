/** A requirement set from its draft. */

import type { Report } from './build-clause.js';
import { buildClause } from './build-clause.js';
import type { Problem, SetDraft } from './draft.js';
import type { Clause, RequirementSet } from './requirement-set.js';

export type BuildResult =
  | { readonly kind: 'ok'; readonly set: RequirementSet }
  | { readonly kind: 'invalid'; readonly problems: readonly Problem[] };

/**
 * Clauses of the base keep their order; new ones follow. A clause or value that the draft does not
 * name stays as it is in the base, with its confirmation, unless standard or edition change: what was
 * read in one edition says nothing about another.
 *
 * @param base the set named by `based on`; null when the draft names none
 */
export function buildSet(draft: SetDraft, base: RequirementSet | null): BuildResult {
  const problems: Problem[] = [];
  const report: Report = (problem) => problems.push(problem);
  const standard = draft.standard ?? base?.standard;
  const edition = draft.edition ?? base?.edition;
  if (standard === undefined) reportMissing('standard', report);
  if (edition === undefined) reportMissing('edition', report);
  reportTwice(draft, report);
  const isSameText = standard === base?.standard && edition === base?.edition;
  const before = base === null ? [] : isSameText ? base.clauses : base.clauses.map(unconfirmed);
  const clauses = clausesOf(draft, before, report);
  reportAlternatives(draft, clauses, report);
  if (problems.length > 0 || standard === undefined || edition === undefined) {
    return { kind: 'invalid', problems };
  }
  return { kind: 'ok', set: { id: draft.id, title: draft.title, standard, edition, clauses } };
}

function reportMissing(field: string, report: Report): void {
  const allowed = 'text, in every set that is not based on another';
  report({ code: 'missing-field', path: [field], at: 'value', actual: null, allowed });
}

function reportTwice(draft: SetDraft, report: Report): void {
  for (const [index, { id }] of draft.clauses.entries()) {
    const first = draft.clauses.findIndex((each) => each.id === id);
    if (first === index) continue;
    report({
      code: 'duplicate-name',
      path: ['clauses', index, 'id'],
      at: 'value',
      actual: id,
      allowed: `each clause of a set once; clauses[${first + 1}] has this id`,
    });
  }
}

function clausesOf(draft: SetDraft, before: readonly Clause[], report: Report): readonly Clause[] {
  const clauses = new Map(before.map((each) => [each.id, each]));
  for (const [index, each] of draft.clauses.entries()) {
    const base = before.find((clause) => clause.id === each.id) ?? null;
    const built = buildClause(each, base, (problem) =>
      report({ ...problem, path: ['clauses', index, ...problem.path] }),
    );
    if (built !== null) clauses.set(built.id, built);
  }
  return [...clauses.values()];
}

function reportAlternatives(draft: SetDraft, clauses: readonly Clause[], report: Report): void {
  const known = new Set([...clauses, ...draft.clauses].map((each) => each.id));
  for (const [index, { id, alternative }] of draft.clauses.entries()) {
    if (alternative === undefined || (known.has(alternative) && alternative !== id)) continue;
    const others = [...known].filter((each) => each !== id);
    report({
      code: 'unknown-name',
      path: ['clauses', index, 'alternative'],
      at: 'value',
      actual: alternative,
      allowed: `another clause of this set: ${others.join(', ')}`,
    });
  }
}

function unconfirmed(clause: Clause): Clause {
  const values = clause.values.map((value) => ({ ...value, confirmation: null }));
  return { ...clause, values };
}
