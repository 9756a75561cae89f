/** `standstill records`: projects, what is in them, and who wrote it. */

import { projectOverview } from '../../judgement/index.js';
import type { UnitSystem } from '../../units/index.js';
import { EXIT } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage, messagePage } from '../page.js';
import type { WhoWishes } from '../record-entries.js';
import { newEntry, submitted } from '../record-entries.js';
import { projectStateNamed, recordNamed } from '../record-names.js';
import { withRecords } from '../record-place.js';
import { logJson, recordJson, recordsJson } from '../records-json.js';
import { recordLog } from '../sheets/record-log.js';
import { projectListSheet, projectSheet, recordSheet } from '../sheets/records.js';
import type { Surroundings } from '../surroundings.js';

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
  return withRecords(place, true, around, async (store) => {
    const body = { kind: 'project', name, customer, notes } as const;
    const entry = newEntry({ project: null, follows: null, body, ...wishes }, around);
    const kept = await submitted([entry], { store, state: null, files: [] });
    if (kept.kind === 'bad input') return kept;
    say(around, [
      `kept: project ${name}, ${entry.id}, in ${store.place}`,
      `Next, its cart and a plan: standstill records plan ${quoted(store.place)} ${quoted(name)} CART.cart.yaml --rule guard-band --who NAME`,
    ]);
    return fine(EXIT.holds);
  });
}

/** For a shell, as far as a name needs it. */
export function quoted(name: string): string {
  return /^[\w./:@-]+$/.test(name) ? name : `"${name}"`;
}

export function say(around: Surroundings, lines: readonly string[]): void {
  const page = messagePage(around);
  around.out(lines.map((line) => `${page.show(line)}\n`).join(''));
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
