/** `standstill records`: projects, what is in them, and who wrote it. */

import { projectOverview } from '../../judgement/index.js';
import type { EntryProblem } from '../../test-record/index.js';
import { readEntry } from '../../test-record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { EXIT } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import type { Line, Page, PageWishes } from '../page.js';
import { makePage, messagePage } from '../page.js';
import type { WhoWishes } from '../record-entries.js';
import { newEntry, submitted } from '../record-entries.js';
import { projectStateNamed, recordNamed } from '../record-names.js';
import { withRecords } from '../record-place.js';
import { logJson, recordJson, recordsJson } from '../records-json.js';
import { span } from '../sheet.js';
import { recordLog } from '../sheets/record-log.js';
import { projectListSheet, projectSheet, recordSheet } from '../sheets/records.js';
import { quoted } from '../shell-words.js';
import type { Surroundings } from '../surroundings.js';
import { wrapText } from '../text-width.js';

export interface NewProjectWishes extends WhoWishes {
  readonly project: string;
  readonly customer?: string;
  readonly notes?: string;
}

export async function startProject(
  place: string,
  { project: name, customer = '', notes = '', ...wishes }: NewProjectWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const body = { kind: 'project', name, customer, notes } as const;
  const entry = newEntry({ project: null, follows: null, body, ...wishes }, around);
  // before a file is made for it
  const read = readEntry(entry);
  if (read.kind === 'refused') return bad(...read.problems.map(optionWords));
  return withRecords(place, true, around, async (store) => {
    const same = (await store.projects()).find((each) => isSameName(each.name, name));
    if (same !== undefined) {
      return bad(
        `--project: ${same.name} is in ${store.place} already, with ${same.entries} ${same.entries === 1 ? 'entry' : 'entries'}; allowed: a name that tells them apart, such as with a year`,
      );
    }
    const kept = await submitted([entry], { store, state: null, files: [] });
    if (kept.kind === 'bad input') return kept;
    say(around, [
      `kept: project ${name}, ${entry.id}, in ${store.place}`,
      `Next, its cart and a plan: standstill records plan ${quoted(store.place)} ${quoted(name)} CART.cart.yaml --rule guard-band --who NAME`,
    ]);
    return fine(EXIT.holds);
  });
}

/** Names are compared as they are looked up: see `projectNamed`. */
function isSameName(one: string, other: string): boolean {
  return one.trim().toLowerCase() === other.trim().toLowerCase();
}

/** The fields of a project come from options. */
function optionWords({ path, message }: EntryProblem): string {
  const field = path.at(-1);
  return `${field === 'name' ? '--project' : `--${String(field)}`}${message.slice(message.indexOf(': '))}`;
}

/** On a terminal prose is wrapped, and a command to copy stays on its line; elsewhere each is a line. */
export function say(around: Surroundings, lines: readonly string[]): void {
  const page = messagePage(around);
  const set = (line: string): Line[] =>
    around.columns === null || line.includes('standstill ')
      ? [[span(page, line)]]
      : hanging(page, line);
  around.out(page.print(lines.flatMap(set)));
}

/** Under itself, two columns further in. */
function hanging(page: Page, line: string): Line[] {
  const indent = line.length - line.trimStart().length;
  const [first, ...rest] = wrapText(page.show(line.trim()), page.width - indent - 2);
  return [first ?? '', ...rest].map((piece, i) => [
    { text: ' '.repeat(i === 0 ? indent : indent + 2) + piece, tone: 'plain' },
  ]);
}

export async function listProjects(
  place: string,
  wishes: PageWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withRecords(place, false, around, async (store) => {
    const page = makePage(wishes, around);
    const sheet = { place: store.place, projects: await store.projects() };
    around.out(page.print(projectListSheet(page, sheet)));
    return fine(EXIT.holds);
  });
}

export interface ShowWishes extends PageWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
}

export async function showRecords(
  place: string,
  project: string,
  record: string | undefined,
  wishes: ShowWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withRecords(place, false, around, async (store) => {
    const state = await projectStateNamed(store, project);
    if (state.kind === 'bad input') return state;
    const page = makePage(wishes, around);
    const today = around.today();
    if (record === undefined) {
      const sheet = { place: store.place, state: state.value, today };
      const overview = projectOverview(state.value);
      if (wishes.json) around.out(recordsJson({ ...sheet, overview }, around.version));
      else around.out(page.print(projectSheet(page, { ...sheet, overview, units: wishes.units })));
      return fine(EXIT.holds);
    }
    const found = recordNamed(state.value, record, null, 'RECORD');
    if (found.kind === 'bad input') return found;
    const shown = { state: state.value, record: found.value };
    if (wishes.json) around.out(recordJson(shown, around.version));
    else around.out(page.print(recordSheet(page, shown)));
    return fine(EXIT.holds);
  });
}

export interface LogWishes extends PageWishes {
  readonly json: boolean;
}

export async function showLog(
  place: string,
  project: string,
  wishes: LogWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  return withRecords(place, false, around, async (store) => {
    const state = await projectStateNamed(store, project);
    if (state.kind === 'bad input') return state;
    const entries = await store.entries(state.value.id);
    const page = makePage(wishes, around);
    const log = { state: state.value, entries };
    around.out(wishes.json ? logJson(log, around.version) : page.print(recordLog(page, log)));
    return fine(EXIT.holds);
  });
}
