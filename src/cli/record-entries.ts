/** Entries made on the command line, and what came of them. */

import { randomUUID } from 'node:crypto';
import type { RecordStore } from '../record-store/index.js';
import type {
  EntryBody,
  EntryProblem,
  KeptEntry,
  NewEntry,
  ProjectState,
} from '../test-record/index.js';
import {
  admit,
  canonicalJson,
  contentHash,
  projectState,
  readEntry,
  subjectTitle,
} from '../test-record/index.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';
import type { FileToKeep } from './record-files.js';
import { shortId } from './record-names.js';
import type { Surroundings } from './surroundings.js';

export interface WhoWishes {
  readonly who: string;
  readonly why?: string;
}

export interface EntryToMake extends WhoWishes {
  /** undefined: one of its own */
  readonly id?: string;
  /** null: it begins one, and the project too */
  readonly project: string | null;
  /** null: it begins a record */
  readonly follows: { readonly subject: string; readonly base: string } | null;
  readonly body: EntryBody;
}

export function newEntry(
  { id = randomUUID(), project, follows, who, why, body }: EntryToMake,
  { now }: Surroundings,
): NewEntry {
  return {
    id,
    project: project ?? id,
    subject: follows?.subject ?? id,
    base: follows?.base ?? null,
    who,
    at: now(),
    why: why ?? '',
    body,
  };
}

/** The same for the same content, so that a sheet that is added twice is kept once (a UUID of version 8,
 * RFC 9562, 5.8). */
export function idOfContent(content: unknown): string {
  const hash = contentHash(new TextEncoder().encode(canonicalJson(content)));
  const variant = ((Number.parseInt(hash.slice(16, 17), 16) & 0x3) | 0x8).toString(16);
  return [
    hash.slice(0, 8),
    hash.slice(8, 12),
    `8${hash.slice(13, 16)}`,
    `${variant}${hash.slice(17, 20)}`,
    hash.slice(20, 32),
  ].join('-');
}

export interface Submission {
  readonly store: RecordStore;
  /** null: the project begins with it */
  readonly state: ProjectState | null;
  readonly files: readonly FileToKeep[];
  /** a problem in a sentence of its own place; default: the record's */
  readonly sentence?: (problem: EntryProblem) => string;
  /** the command that makes a sheet anew after a conflict */
  readonly again?: string;
}

/**
 * Keeps entries one after another, their files first. Looked at before anything is written, so that what is
 * refused leaves no files behind; the store looks again.
 */
export async function submitted(
  entries: readonly NewEntry[],
  { store, state, files, sentence = wordsOf, again = '' }: Submission,
): Promise<Outcome<readonly KeptEntry[]>> {
  const unreadable = entries.flatMap((entry) => {
    const read = readEntry(entry);
    return read.kind === 'ok' ? [] : read.problems;
  });
  if (unreadable.length > 0) return bad(...unreadable.map(sentence));
  const [first] = entries;
  if (first !== undefined && files.length > 0) {
    const admission = admit(state, first);
    if (admission.kind === 'refused') return bad(...admission.problems.map(sentence));
  }
  for (const { bytes, attachment } of files) await store.putFile(bytes, attachment.media);
  const outcomes = await store.submit(entries);
  const problems = outcomes.flatMap((outcome, i) => {
    if (outcome.kind === 'refused') return outcome.problems.map(sentence);
    if (outcome.kind !== 'conflict') return [];
    return conflictWords(state, entries[i], outcome.since, again);
  });
  if (problems.length > 0) return bad(...problems);
  return fine(outcomes.flatMap((each) => ('entry' in each ? [each.entry] : [])));
}

function wordsOf({ message }: EntryProblem): string {
  return message;
}

/** Nothing of either is lost: theirs is kept, and the sheet is still there. */
function conflictWords(
  state: ProjectState | null,
  entry: NewEntry | undefined,
  since: readonly KeptEntry[],
  again: string,
): string[] {
  const title = state === null || entry === undefined ? '' : subjectTitle(state, entry.subject);
  return [
    `conflict: ${title} was written to since; nothing was kept of this. What came between:`,
    ...since.map((each) => `  ${entryWords(each)}`),
    `  To go on, look at it and write on top of it${again === '' ? '' : `: ${again}`}`,
  ];
}

/** 'entry 12 of 2026-11-25T09:30:00.000Z by B. Rush, why: ...' */
export function entryWords({ sequence, received, who, why }: KeptEntry): string {
  return `entry ${sequence} of ${received} by ${who}${why === '' ? '' : `, why: ${why}`}`;
}

function doneWords({ kind }: EntryBody): string {
  if (kind === 'review' || kind === 'withdrawal') return `${kind} of `;
  return '';
}

/** A line for each, and the head of the chain after them. */
export function keptWords(state: ProjectState, entries: readonly KeptEntry[]): string[] {
  return [
    ...entries.map(
      ({ subject, sequence, body }) =>
        `kept: ${doneWords(body)}${subjectTitle(state, subject)}, record ${shortId(subject)}, entry ${sequence}`,
    ),
    `head ${state.head.sequence}:${state.head.hash}`,
  ];
}

export async function stateOf(store: RecordStore, project: string): Promise<ProjectState> {
  return projectState(await store.entries(project));
}
