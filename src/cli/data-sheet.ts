/** Reads a data sheet: what it says, about which record, and where each thing stands in it. */

import type { EntryProblem, ProjectState, RecordKind, RecordState } from '../test-record/index.js';
import { placeWords, readEntry } from '../test-record/index.js';
import type { SheetKind } from './data-sheet-shapes.js';
import {
  FRAME_LABELS,
  isSheetKind,
  SHEET_KEY,
  SHEET_KINDS,
  SHEET_VERSION,
  SHEETS,
} from './data-sheet-shapes.js';
import type { SheetText } from './data-sheet-text.js';
import { keyText, readSheetText, textOf } from './data-sheet-text.js';
import type { Reading, Step } from './data-sheet-values.js';
import { placeKey, readFields } from './data-sheet-values.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';
import type { FileToKeep } from './record-files.js';
import { recordNamed } from './record-names.js';

export interface DataSheet {
  readonly kind: SheetKind;
  /** the record that it corrects, reviews or withdraws; null: it begins one */
  readonly record: RecordState | null;
  /** id of the entry of that record that the sheet was made from; null: it begins one */
  readonly base: string | null;
  readonly why: string;
  /** body of the entry, its values not looked at yet */
  readonly body: Readonly<Record<string, unknown>>;
  readonly files: readonly FileToKeep[];
  /** what was found in files */
  readonly remarks: readonly string[];
  /** a problem of the entry in a sentence that names the sheet, its line and its field */
  readonly sentence: (problem: EntryProblem) => string;
}

/** @param file path of the sheet: the files that it names lie beside it */
export async function readDataSheet(
  text: string,
  file: string,
  state: ProjectState,
): Promise<Outcome<DataSheet>> {
  const sheet = readSheetText(text, file);
  if (sheet.kind === 'bad input') return sheet;
  const frame = readFrame(sheet.value, state);
  if (frame.kind === 'bad input') return frame;
  const { kind, record, base, why } = frame.value;
  const reading: Reading = {
    sheet: sheet.value,
    state,
    record,
    problems: [],
    warnings: [],
    complained: new Set(),
    remarks: [],
    files: [],
    places: new Map(),
  };
  const at = { path: ['body'], label: '' };
  reading.places.set(placeKey(['why']), {
    line: sheet.value.lineOf(nodeOf(sheet.value, 'why') ?? sheet.value.root),
    label: 'why',
  });
  const values = await readFields(reading, sheet.value.root, SHEETS[kind].fields, at, FRAME_LABELS);
  const body = { kind, ...values, ...editsOf(kind, record) };
  const { files, remarks, places, warnings } = reading;
  const sentence = (problem: EntryProblem) => problemWords(file, places, problem);
  if (reading.problems.length > 0) {
    const further = furtherProblems(body, reading).map(sentence);
    return bad(...inLineOrder(file, [...reading.problems, ...further]));
  }
  return fine({ kind, record, base, why, body, files, remarks, sentence }, warnings);
}

/** Of an entry that says nothing wrong but in its body. */
const FRAME = {
  id: '00000000-0000-4000-8000-000000000000',
  project: '00000000-0000-4000-8000-000000000000',
  subject: '00000000-0000-4000-8000-000000000000',
  base: null,
  who: '-',
  at: '2099-12-31T00:00:00.000Z',
  why: '',
} as const;

/** As they stand in the sheet; what has no line comes last. */
export function inLineOrder(file: string, problems: readonly string[]): readonly string[] {
  const lineOf = (problem: string): number => {
    const number = problem.startsWith(`${file}:`)
      ? /^\d+/.exec(problem.slice(file.length + 1))
      : null;
    return number === null ? Number.POSITIVE_INFINITY : Number(number[0]);
  };
  return problems
    .map((problem) => ({ problem, line: lineOf(problem) }))
    .sort((a, b) => (a.line === b.line ? 0 : a.line - b.line))
    .map(({ problem }) => problem);
}

/** What else is wrong, so that all is told at once. */
function furtherProblems(body: object, { complained }: Reading): readonly EntryProblem[] {
  const read = readEntry({ ...FRAME, body });
  if (read.kind === 'ok') return [];
  const isNew = ({ path }: EntryProblem): boolean =>
    !path.some((_, i) => complained.has(placeKey(path.slice(0, i + 1) as Step[])));
  return read.problems.filter(isNew);
}

/** Edits are made by the program: a sheet leaves them as they are. */
function editsOf(kind: SheetKind, record: RecordState | null) {
  if (kind !== 'cart' && kind !== 'diagnosis') return {};
  const { content } = record ?? {};
  return { edits: content !== undefined && 'edits' in content ? content.edits : [] };
}

type Frame = Pick<DataSheet, 'kind' | 'record' | 'base' | 'why'>;

function readFrame(sheet: SheetText, state: ProjectState): Outcome<Frame> {
  const { file, root, lineOf } = sheet;
  const textAt = (label: string): string | null => textOf(nodeOf(sheet, label)) ?? null;
  const place = (label: string) => `${file}:${lineOf(nodeOf(sheet, label) ?? root)} ${label}`;
  const version = textAt(SHEET_KEY);
  if (version !== SHEET_VERSION) {
    const said = version === null ? 'is missing' : `is ${version}`;
    return bad(`${place(SHEET_KEY)}: ${said}; allowed: ${SHEET_VERSION}`);
  }
  const kind = textAt('kind') ?? '';
  if (!isSheetKind(kind)) {
    const said = kind === '' ? 'is missing' : `is ${kind}`;
    return bad(`${place('kind')}: ${said}; allowed: ${SHEET_KINDS.join(', ')}`);
  }
  const record = recordOfFrame(state, kind, textAt('record'), place('record'));
  if (record.kind === 'bad input') return record;
  const base = baseOf(record.value, textAt('follows'), place('follows'));
  if (base.kind === 'bad input') return base;
  return fine({ kind, record: record.value, base: base.value, why: textAt('why') ?? '' });
}

function nodeOf({ root }: SheetText, label: string) {
  return root.items.find(({ key }) => keyText(key).toLowerCase() === label)?.value;
}

function recordOfFrame(
  state: ProjectState,
  kind: SheetKind,
  named: string | null,
  place: string,
): Outcome<RecordState | null> {
  const isContent = kind !== 'review' && kind !== 'withdrawal';
  // there is one in every project
  const text = named ?? (kind === 'project' ? state.id : null);
  if (text !== null)
    return recordNamed(state, text, isContent ? [kind satisfies RecordKind] : null, place);
  return isContent ? fine(null) : bad(`${place}: is missing; allowed: a record of the project`);
}

/** The entry that the writer knew as the newest: of an old print it is an older one. */
function baseOf(
  record: RecordState | null,
  follows: string | null,
  place: string,
): Outcome<string | null> {
  if (record === null) {
    return follows === null ? fine(null) : bad(`${place}: needs the field record beside it`);
  }
  if (follows === null) return fine(record.newest);
  const entry = record.entries.find(({ id }) => id.startsWith(follows.toLowerCase()));
  if (entry !== undefined) return fine(entry.id);
  const known = record.entries.map(({ id }) => id).join(', ');
  return bad(`${place}: ${follows} is no entry of that record; allowed: ${known}`);
}

/** The innermost place of the problem that stands in the sheet. */
function problemWords(file: string, places: Reading['places'], problem: EntryProblem): string {
  const { path } = problem;
  for (let length = path.length; length > 0; length -= 1) {
    const found = places.get(placeKey(path.slice(0, length) as Step[]));
    if (found === undefined) continue;
    const rest = path
      .slice(length)
      .map((step) => ` > ${typeof step === 'number' ? step + 1 : step}`);
    return `${file}:${found.line} ${found.label}${rest.join('')}: ${afterPlace(problem)}`;
  }
  return `${file} ${problem.message}`;
}

/** What a problem's sentence says after the place, which the sheet names better. */
function afterPlace({ path, message }: EntryProblem): string {
  const place = `${placeWords(path)}: `;
  return message.startsWith(place) ? message.slice(place.length) : message;
}
