/** Projects and records as people name them: by name, serial, or the start of an id. */

import type { ProjectSummary, RecordStore } from '../record-store/index.js';
import type { ProjectState, RecordKind, RecordState, Subject } from '../test-record/index.js';
import { projectState, recordTitle, subjectTitle } from '../test-record/index.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

/** Characters of an id that are shown: enough to tell the records of a project apart. */
const SHORT = 8;
/** Characters of an id that name something at least: fewer read like a name. */
const LEAST = 4;

export function shortId(id: string): string {
  return id.slice(0, SHORT);
}

function isStartOf(text: string, id: string): boolean {
  return text.length >= LEAST && id.startsWith(text.toLowerCase());
}

/** Among those that are named exactly so, else so in other case, else by the start of their id. */
function matching<T>(
  all: readonly T[],
  text: string,
  namesOf: (each: T) => readonly string[],
  idOf: (each: T) => string,
): readonly T[] {
  const folded = (name: string) => name.trim().toLowerCase();
  const tests: readonly ((each: T) => boolean)[] = [
    (each) => idOf(each) === text,
    (each) => namesOf(each).includes(text),
    (each) => namesOf(each).some((name) => folded(name) === folded(text)),
    (each) => isStartOf(text, idOf(each)),
  ];
  for (const test of tests) {
    const found = all.filter(test);
    if (found.length > 0) return found;
  }
  return [];
}

function oneOf<T>(
  found: readonly T[],
  all: readonly T[],
  words: { readonly place: string; readonly text: string; readonly kind: string },
  candidate: (each: T) => string,
): Outcome<T> {
  const [first] = found;
  if (first !== undefined && found.length === 1) return fine(first);
  const { place, text, kind } = words;
  const listed = (each: readonly T[]) => each.slice(0, MOST_LISTED).map(candidate).join('; ');
  if (found.length > 1) {
    return bad(`${place}: ${text} is any of ${found.length}; allowed: one of ${listed(found)}`);
  }
  const there = all.length === 0 ? 'none is there yet' : `one of ${listed(all)}`;
  const what = text === '' ? 'is missing' : `${text} is no ${kind}`;
  return bad(`${place}: ${what}; allowed: ${there}`);
}

/** A screen of them; more would only hide the sentence. */
const MOST_LISTED = 20;

/** A project by its name or the start of its id. */
export async function projectNamed(
  store: RecordStore,
  text: string,
): Promise<Outcome<ProjectSummary>> {
  const all = await store.projects();
  const found = matching(
    all,
    text,
    ({ name }) => [name],
    ({ id }) => id,
  );
  const words = { place: 'PROJECT', text, kind: `project of ${store.place}` };
  return oneOf(found, all, words, ({ id, name }) => `${shortId(id)} ${name}`);
}

export async function projectStateNamed(
  store: RecordStore,
  text: string,
): Promise<Outcome<ProjectState>> {
  const project = await projectNamed(store, text);
  if (project.kind === 'bad input') return project;
  return fine(projectState(await store.entries(project.value.id)));
}

/** What a record is called, without its kind. */
function namesOf({ content, subject }: RecordState): readonly string[] {
  switch (content.kind) {
    case 'project':
    case 'plan':
      return [content.name];
    case 'cart':
      return [content.revision, `revision ${content.revision}`];
    case 'instrument':
    case 'sample':
      return [content.serial, content.name].filter((name) => name !== '');
    case 'run':
      return [content.run];
    case 'weighing':
    case 'friction':
    case 'diagnosis':
    case 'note':
      return [subject];
  }
}

/** How a record is named in a data sheet: by what people read where that tells it from all others. */
export function recordHandle(state: ProjectState, subject: Subject): string {
  const record = state.records.get(subject);
  if (record === undefined) return subject;
  const [name] = namesOf(record);
  // a run is done again and again
  if (name === undefined || name === subject || record.kind === 'run') return shortId(subject);
  const found = recordNamed(state, name, [record.kind], '');
  return found.kind === 'ok' && found.value.subject === subject ? name : shortId(subject);
}

/**
 * A record by name, serial, run id or the start of its id; of several that are alike, the one that is not
 * withdrawn.
 *
 * @param kinds null: any
 * @param place where it was named, for messages
 */
export function recordNamed(
  state: ProjectState,
  text: string,
  kinds: readonly RecordKind[] | null,
  place: string,
): Outcome<RecordState> {
  const all = [...state.records.values()].filter(
    ({ kind }) => kinds === null || kinds.includes(kind),
  );
  const alike = matching(all, text, namesOf, ({ subject }) => subject);
  const valid = alike.filter(({ withdrawn }) => !withdrawn);
  const found = valid.length > 0 ? valid : alike;
  const kind = kinds === null ? 'record of this project' : kinds.join(' or ');
  return oneOf(found, all, { place, text, kind }, (each) => candidate(state, each));
}

function candidate(state: ProjectState, record: RecordState): string {
  const withdrawn = record.withdrawn ? ', withdrawn' : '';
  const apart = builtTo(state, record) + dayOf(record);
  return `${shortId(record.subject)} (${recordTitle(state, record)}${apart}${withdrawn})`;
}

/** Tells the states of a sample apart that was changed and kept its serial. */
function builtTo(state: ProjectState, { content }: RecordState): string {
  if (content.kind !== 'sample') return '';
  const name = content.name === '' ? '' : `, ${content.name}`;
  return `${name}, built to ${subjectTitle(state, content.cart)}`;
}

/** Tells the repeats of a run apart. */
function dayOf({ content }: RecordState): string {
  return 'taken' in content ? `, ${content.taken.slice(0, 16).replace('T', ' ')} UTC` : '';
}
