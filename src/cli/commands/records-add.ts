/** `standstill records blank` and `add`: data sheets to fill in, and what was written into them. */

import { diagnose, instrumentsAt, judgeRun } from '../../judgement/index.js';
import type { RecordStore } from '../../record-store/index.js';
import type { EntryBody, PlanBody, ProjectState, RecordState } from '../../test-record/index.js';
import { entriesOf, recordOf, recordsOf } from '../../test-record/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { DataSheet } from '../data-sheet.js';
import { inLineOrder, readDataSheet } from '../data-sheet.js';
import { isSheetKind, SHEET_KINDS } from '../data-sheet-shapes.js';
import { dataSheetText } from '../data-sheet-writing.js';
import { EXIT } from '../exit-codes.js';
import { readText, writeNew } from '../files.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import { together } from '../reading-remarks.js';
import type { Known } from '../record-blanks.js';
import {
  cartKnown,
  frictionKnown,
  newest,
  plannedRun,
  runKnown,
  sampleKnown,
  weighingKnown,
} from '../record-blanks.js';
import { cartOfRevision } from '../record-carts.js';
import type { WhoWishes } from '../record-entries.js';
import { idOfContent, keptWords, newEntry, stateOf, submitted } from '../record-entries.js';
import type { FileToKeep } from '../record-files.js';
import { fileToKeep, traceToKeep } from '../record-files.js';
import { projectStateNamed, recordHandle, recordNamed } from '../record-names.js';
import { withRecords } from '../record-place.js';
import { quoted } from '../shell-words.js';
import type { Surroundings } from '../surroundings.js';
import { say } from './records.js';

export interface BlankWishes {
  /** id of a run of a plan; for a diagnosis, a record of a failed run */
  readonly run?: string;
  /** a record to be corrected, reviewed or withdrawn */
  readonly record?: string;
  /** file to write; undefined: standard output */
  readonly into?: string;
  readonly units: UnitSystem;
}

export async function blankSheet(
  place: string,
  project: string,
  kind: string,
  wishes: BlankWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withRecords(place, false, around, async (store) => {
    const state = await projectStateNamed(store, project);
    if (state.kind === 'bad input') return state;
    if (kind === 'plan') return bad('KIND: a plan is made by the program: standstill records plan');
    if (!isSheetKind(kind)) {
      return bad(`KIND: ${kind} is no data sheet; allowed: ${SHEET_KINDS.join(', ')}`);
    }
    const record = recordFor(state.value, kind, wishes);
    if (record.kind === 'bad input') return record;
    const known = await knownOf(store, state.value, { kind, wishes, record: record.value, around });
    if (known.kind === 'bad input') return known;
    const text = dataSheetText(state.value, { kind, record: record.value, ...known.value });
    if (wishes.into === undefined) around.out(text);
    else {
      const written = await writeNew(wishes.into, text);
      if (written.kind === 'bad input') return written;
      say(around, [
        `${wishes.into} written. When it is filled in: standstill records add ${quoted(store.place)} ${quoted(project)} ${wishes.into} --who NAME`,
      ]);
    }
    return fine(EXIT.holds, known.warnings);
  });
}

type Kind = DataSheet['kind'];

function recordFor(
  state: ProjectState,
  kind: Kind,
  { record }: BlankWishes,
): Outcome<RecordState | null> {
  if (kind === 'project') return recordNamed(state, state.id, null, 'PROJECT');
  const isContent = kind !== 'review' && kind !== 'withdrawal';
  if (record !== undefined) {
    return recordNamed(state, record, isContent ? [kind] : null, '--record');
  }
  return isContent ? fine(null) : recordNamed(state, '', null, '--record');
}

interface Asked {
  readonly kind: Kind;
  readonly wishes: BlankWishes;
  readonly record: RecordState | null;
  readonly around: Surroundings;
}

async function knownOf(
  store: RecordStore,
  state: ProjectState,
  { kind, wishes, record, around }: Asked,
): Promise<Outcome<Known>> {
  if (kind === 'review' || kind === 'withdrawal') return fine({ values: {}, heading: [] });
  if (record !== null) return fine({ values: { ...record.content }, heading: [] });
  const day = around.now();
  switch (kind) {
    case 'cart':
      return fine(cartKnown(state));
    case 'sample':
      return fine(sampleKnown(state));
    case 'weighing':
    case 'friction': {
      const revision = newest(state, 'sample')?.content.cart ?? newest(state, 'cart')?.subject;
      const cart = revision === undefined ? null : await cartNamed(store, state, revision);
      if (cart?.kind === 'bad input') return cart;
      const known = kind === 'weighing' ? weighingKnown : frictionKnown;
      return fine(known(state, cart?.value ?? null, day));
    }
    case 'run': {
      const planned = plannedRun(state, wishes.run ?? '');
      if (planned.kind === 'bad input') return planned;
      const { plan, run } = planned.value;
      const known = runKnown(state, plan, run, { units: wishes.units, day });
      return fine({
        ...known,
        values: { ...known.values, retestOf: failureOf(state, run.finding) },
      });
    }
    case 'diagnosis':
      return diagnosisKnown(store, state, wishes);
    default:
      return fine({ values: {}, heading: [] });
  }
}

async function cartNamed(store: RecordStore, state: ProjectState, revision: string) {
  const record = recordOf(state, 'cart', revision);
  if (record === null) return bad(`revision ${revision}: is not there`);
  return cartOfRevision(store, record.content);
}

/** The failed run of an earlier plan that a run of this clause repeats: the one that was diagnosed. */
function failureOf(state: ProjectState, finding: string): string | undefined {
  const plan = newest(state, 'plan')?.subject;
  const diagnosed = recordsOf(state, 'diagnosis').map(({ content }) => content.run);
  const alike = diagnosed.filter((subject) => {
    const content = recordOf(state, 'run', subject)?.content;
    if (content === undefined || content.plan === plan) return false;
    const runs = recordOf(state, 'plan', content.plan)?.content.plan.runs ?? [];
    return runs.find(({ id }) => id === content.run)?.finding === finding;
  });
  return alike.at(-1);
}

/** What the model says of a failure, as a beginning. */
async function diagnosisKnown(
  store: RecordStore,
  state: ProjectState,
  { run: named }: BlankWishes,
): Promise<Outcome<Known>> {
  const found = recordNamed(state, named ?? '', ['run'], '--run');
  if (found.kind === 'bad input') return found;
  const record = recordOf(state, 'run', found.value.subject);
  const plan = record && recordOf(state, 'plan', record.content.plan);
  const run = plan?.content.plan.runs.find(({ id }) => id === record?.content.run);
  if (record === null || !plan || run === undefined) {
    return bad(`--run: ${named} is of no plan that is there`);
  }
  const cart = await cartNamed(store, state, plan.content.cart);
  if (cart.kind === 'bad input') return cart;
  const { rule, requirementSet } = plan.content.plan;
  const judgement = judgeRun(run, record.content, instrumentsAt(state, record.content.taken), rule);
  const { mechanism, mends } = diagnose(cart.value, requirementSet, run, record.content, judgement);
  return fine({
    values: { run: record.subject, mechanism: mechanism.join('\n'), proposed: mends },
    heading: [
      `${run.id}: ${judgement.decision}.`,
      'Mechanism and proposals are those of the model: change what was seen otherwise.',
    ],
  });
}

export interface AddWishes extends WhoWishes {
  readonly photo: readonly string[];
  readonly trace: readonly string[];
}

export async function addSheet(
  place: string,
  project: string,
  file: string,
  wishes: AddWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const text = await readText(file, MOST_SHEET);
  if (text.kind === 'bad input') return text;
  return withRecords(place, false, around, async (store) => {
    const state = await projectStateNamed(store, project);
    if (state.kind === 'bad input') return state;
    const read = await readDataSheet(text.value, file, state.value);
    if (read.kind === 'bad input') return read;
    const sheet = await withExtras(read.value, wishes);
    if (sheet.kind === 'bad input') return sheet;
    const asked = { sheet: sheet.value, file, project, wishes, around };
    const kept = await keptSheet(store, state.value, asked);
    if (kept.kind === 'bad input') return kept;
    const now = await stateOf(store, state.value.id);
    say(around, [...sheet.value.remarks, ...keptWords(now, kept.value)]);
    const lines = kept.value.flatMap(({ subject }) => judgedWords(now, subject));
    say(around, lines);
    return fine(EXIT.holds, [...read.warnings, ...sheet.warnings, ...kept.warnings]);
  });
}

/** Bytes: a sheet of some hundred readings takes a tenth of it. */
const MOST_SHEET = 1024 * 1024;

interface SheetToKeep {
  readonly file: string;
  /** as it was named */
  readonly project: string;
  readonly sheet: DataSheet;
  readonly wishes: AddWishes;
  readonly around: Surroundings;
}

async function keptSheet(
  store: RecordStore,
  state: ProjectState,
  { sheet, file, project, wishes, around }: SheetToKeep,
) {
  const { record, base, kind } = sheet;
  const follows = record === null || base === null ? null : { subject: record.subject, base };
  // read by `readEntry` before it is kept
  const body = sheet.body as unknown as EntryBody;
  const id = idOfContent([state.id, record?.subject ?? null, base, body]);
  const why = wishes.why ?? sheet.why;
  const entry = newEntry({ id, project: state.id, follows, who: wishes.who, why, body }, around);
  const already = entriesOf(state).find((each) => each.id === id);
  if (already !== undefined)
    return fine([already], [`${file}: was kept before; nothing was added`]);
  const handle = record === null ? '' : recordHandle(state, record.subject);
  const outcome = await submitted([entry], {
    store,
    state,
    files: sheet.files,
    sentence: sheet.sentence,
    again: `standstill records blank ${quoted(store.place)} ${quoted(project)} ${kind} --record ${quoted(handle)}`,
  });
  return outcome.kind === 'ok' ? outcome : bad(...inLineOrder(file, outcome.problems));
}

/** Photos and traces named on the command line, beside those of the sheet. */
async function withExtras(
  sheet: DataSheet,
  { photo, trace }: AddWishes,
): Promise<Outcome<DataSheet>> {
  if (photo.length > 0 && !('photos' in sheet.body)) {
    return bad(`--photo: a ${sheet.kind} has no photos; allowed: of a sample, a note or a test`);
  }
  const photos = await allOf(photo.map((path) => photoToKeep(path, sheet.kind)));
  const readings = await withTraces(sheet, trace);
  if (photos.kind === 'bad input') return photos;
  if (readings.kind === 'bad input') return readings;
  const already = (sheet.body.photos ?? []) as readonly unknown[];
  const all = [...already, ...photos.value.map(({ attachment }) => attachment)];
  const body = {
    ...sheet.body,
    ...(photo.length === 0 ? {} : { photos: all }),
    ...readings.value.fields,
  };
  const files = [...sheet.files, ...photos.value, ...readings.value.files];
  const remarks = [...sheet.remarks, ...readings.value.remarks];
  return fine({ ...sheet, body, files, remarks }, readings.warnings);
}

/** A note takes any file that a record keeps. */
async function photoToKeep(path: string, kind: Kind): Promise<Outcome<FileToKeep>> {
  const file = await fileToKeep(path);
  if (file.kind === 'bad input' || kind === 'note') return file;
  if (file.value.attachment.media.startsWith('image/')) return file;
  return bad(
    `--photo: ${path} is no image; allowed: JPEG, PNG, WebP (a note takes other files too)`,
  );
}

interface Traced {
  readonly fields: Readonly<Record<string, unknown>>;
  readonly files: readonly FileToKeep[];
  readonly remarks: readonly string[];
}

/** The first trace is of the first reading, and so on; a reading that has one keeps it. */
async function withTraces(sheet: DataSheet, paths: readonly string[]): Promise<Outcome<Traced>> {
  if (paths.length === 0) return fine({ fields: {}, files: [], remarks: [] });
  if (sheet.kind !== 'run') return bad(`--trace: a ${sheet.kind} has no traces; allowed: of a run`);
  const readings = sheet.body.readings as readonly object[];
  const without = readings.filter((each) => 'trace' in each && each.trace === null).length;
  if (without < paths.length) {
    return bad(
      `--trace: ${paths.length} given, and ${without} of the readings have none; allowed: a reading in the sheet for each`,
    );
  }
  const traces = await allOf(paths.map(traceToKeep));
  if (traces.kind === 'bad input') return traces;
  const left = traces.value.map(({ taken }) => taken);
  const traced = readings.map((each) =>
    'trace' in each && each.trace === null ? { ...each, trace: left.shift() ?? null } : each,
  );
  return fine(
    {
      fields: { readings: traced },
      files: traces.value.map(({ file }) => file),
      remarks: traces.value.flatMap(({ remarks }) => remarks),
    },
    traces.warnings,
  );
}

async function allOf<T>(promises: readonly Promise<Outcome<T>>[]): Promise<Outcome<readonly T[]>> {
  const all = await Promise.all(promises);
  const problems = all.flatMap((each) => (each.kind === 'bad input' ? each.problems : []));
  if (problems.length > 0) return bad(...problems);
  const good = all.flatMap((each) => (each.kind === 'ok' ? [each] : []));
  return fine(
    good.map(({ value }) => value),
    good.flatMap(({ warnings }) => warnings),
  );
}

/** A run is judged at once: whoever is at the ramp can still repeat it. */
function judgedWords(state: ProjectState, subject: string): string[] {
  const record = recordOf(state, 'run', subject);
  const plan: RecordState<PlanBody> | null = record && recordOf(state, 'plan', record.content.plan);
  const run = plan?.content.plan.runs.find(({ id }) => id === record?.content.run);
  if (record === null || plan === null || run === undefined || record.withdrawn) return [];
  const { rule } = plan.content.plan;
  const { decision, criteria, remarks } = judgeRun(
    run,
    record.content,
    instrumentsAt(state, record.content.taken),
    rule,
  );
  return [
    `${run.id}: ${decision}`,
    ...criteria.map(({ criterion, because }) => `  ${criterion.id}: ${because}`),
    ...together(remarks).map((remark) => `  ${remark}`),
    'A qualified person decides and signs.',
  ];
}
