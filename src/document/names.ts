import type { IssueLog } from './issue-log.js';
import { folded, nearestName } from './nearest-name.js';
import type { DraftList, Located } from './shape.js';

export interface Named {
  readonly fields: { readonly name: Located<string> | undefined };
}

/** The names of one kind of thing in a cart file. */
export interface Names<D> {
  /** "a mover" */
  readonly kind: string;
  readonly known: ReadonlyMap<string, D>;
  /** false: an entry could not be read, so that a name not known here may still be right */
  readonly complete: boolean;
}

/** The items of a list field: none when it is not there, and incomplete when it cannot be read. */
export function itemsOf<T>(field: Located<DraftList<T>> | null | undefined): DraftList<T> {
  return field?.value ?? { items: [], complete: field === null };
}

/** Collects the names of a kind; names that differ only in letter case or white space are the same
 * name given twice. */
export function namesOf<D extends Named>(
  drafts: DraftList<D>,
  kind: string,
  log: IssueLog,
): Names<D> {
  const known = new Map<string, D>();
  const seen = new Map<string, string>();
  let { complete } = drafts;
  for (const draft of drafts.items) {
    const { name } = draft.fields;
    if (name === undefined) {
      complete = false;
      continue;
    }
    const first = seen.get(folded(name.value));
    if (first === undefined) {
      seen.set(folded(name.value), name.value);
      known.set(name.value, draft);
    } else {
      reportDuplicate(name, first, kind, log);
    }
  }
  return { kind, known, complete };
}

export function reportDuplicate(
  name: Located<string>,
  first: string,
  kind: string,
  log: IssueLog,
): void {
  log.report({
    code: 'duplicate-name',
    offset: name.offset,
    path: name.path,
    actual: `"${name.value}"`,
    allowed: `a name that no other ${kind} has, letter case ignored ("${first}" is taken)`,
  });
}

/** True when the name is known, or could be the name of an entry that was not readable. */
export function checkName(
  reference: Located<string>,
  names: Names<unknown>,
  log: IssueLog,
): boolean {
  if (names.known.has(reference.value)) return true;
  if (!names.complete) return false;
  log.report({
    code: 'unknown-name',
    offset: reference.offset,
    path: reference.path,
    actual: `"${reference.value}"`,
    allowed: allowedNames(reference.value, names),
  });
  return false;
}

/** How many names an issue lists. */
const MOST_LISTED = 12;

export function allowedNames(name: string, names: Names<unknown>): string {
  const known = [...names.known.keys()];
  if (known.length === 0) return `the name of a ${names.kind}, and there is none`;
  const nearest = nearestName(name, known);
  const listed = known.slice(0, MOST_LISTED).join(', ');
  const more = known.length > MOST_LISTED ? ` and ${known.length - MOST_LISTED} more` : '';
  const hint = nearest === null ? '' : `; nearest: ${nearest}`;
  return `the name of a ${names.kind}: ${listed}${more}${hint}`;
}

/** The mover that carries something: null for the base, undefined when it cannot be told. */
export function carrier(
  on: Located<string> | null | undefined,
  movers: Names<unknown>,
  log: IssueLog,
): string | null | undefined {
  if (on === null || on === undefined) return on;
  return checkName(on, movers, log) ? on.value : undefined;
}
