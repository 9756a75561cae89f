/** `standstill records plan`: a revision of the cart and the plan of its tests, in one go. */

import { CAUTIONS } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import type { DecisionRule } from '../../metrology/index.js';
import { ruleWords } from '../../metrology/index.js';
import type { TestPlan } from '../../test-plan/index.js';
import { planTests } from '../../test-plan/index.js';
import type { CartBody, NewEntry, ProjectState, RecordState } from '../../test-record/index.js';
import { recordOf } from '../../test-record/index.js';
import { loadCartFile } from '../cart-file.js';
import { EXIT } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import { messagePage } from '../page.js';
import { startProgress } from '../progress.js';
import { newest, nextRevision, valid } from '../record-blanks.js';
import { partsListsToKeep } from '../record-carts.js';
import type { WhoWishes } from '../record-entries.js';
import { keptWords, newEntry, stateOf, submitted } from '../record-entries.js';
import type { FileToKeep } from '../record-files.js';
import { projectStateNamed, recordNamed } from '../record-names.js';
import { withRecords } from '../record-place.js';
import type { RequirementWishes } from '../requirement-choice.js';
import { cautionLines } from '../sheet.js';
import { quoted } from '../shell-words.js';
import type { Surroundings } from '../surroundings.js';
import { checkFile } from './check.js';
import { say } from './records.js';

export interface PlanWishes extends WhoWishes, RequirementWishes {
  readonly rule: DecisionRule;
  readonly directions?: 'worst' | 'sides';
  readonly repeats?: number;
  /** what the revision is called; undefined: the next letter or number */
  readonly revision?: string;
  /** what is different from the revision before */
  readonly change?: string;
  /** failed runs and diagnoses that led to it */
  readonly because: readonly string[];
  /** what the plan is called */
  readonly name?: string;
}

interface CartToKeep {
  readonly cart: Cart;
  readonly body: Omit<CartBody, 'revision' | 'follows' | 'because' | 'change'>;
  readonly files: readonly FileToKeep[];
}

export async function planRecords(
  place: string,
  project: string,
  file: string,
  wishes: PlanWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const loaded = await cartToKeep(file);
  if (loaded.kind === 'bad input') return loaded;
  return withRecords(place, false, around, async (store) => {
    const state = await projectStateNamed(store, project);
    if (state.kind === 'bad input') return state;
    const revision = revisionOf(state.value, loaded.value, wishes, around);
    if (revision.kind === 'bad input') return revision;
    const plan = await planned(file, wishes, around);
    if (plan.kind === 'bad input') return plan;
    const { subject, entry, called } = revision.value;
    const name = wishes.name ?? planName(state.value, called);
    const body = {
      kind: 'plan',
      name,
      cart: subject,
      plan: plan.value,
      program: around.version,
    } as const;
    const make = { project: state.value.id, follows: null, body, who: wishes.who };
    const entries = [...(entry === null ? [] : [entry]), newEntry(make, around)];
    const files = entry === null ? [] : loaded.value.files;
    const kept = await submitted(entries, { store, state: state.value, files });
    if (kept.kind === 'bad input') return kept;
    const now = await stateOf(store, state.value.id);
    say(around, [
      ...(entry === null ? [`revision ${called} is there already, the same`] : []),
      ...keptWords(now, kept.value),
      ...planWords(
        plan.value,
        `${quoted(store.place)} ${quoted(project)}`,
        failedRuns(state.value, wishes),
      ),
    ]);
    const page = messagePage(around);
    around.out(page.print(cautionLines(page, CAUTIONS)));
    return fine(EXIT.holds, [...loaded.warnings, ...plan.warnings]);
  });
}

async function cartToKeep(file: string): Promise<Outcome<CartToKeep>> {
  const loaded = await loadCartFile(file);
  if (loaded.kind === 'bad input') return loaded;
  const { text, cart } = loaded.value;
  const lists = await partsListsToKeep(file, text);
  if (lists.kind === 'bad input') return lists;
  const partsLists = lists.value.map(({ attachment }) => attachment);
  const name = file.split(/[\\/]/).at(-1) ?? file;
  const body = { kind: 'cart', file: name, text, partsLists, edits: [] } as const;
  return fine({ cart, body, files: lists.value });
}

async function planned(
  file: string,
  wishes: PlanWishes,
  around: Surroundings,
): Promise<Outcome<TestPlan>> {
  const checked = await checkFile(file, wishes, around);
  if (checked.kind === 'bad input') return checked;
  const { cart, report, set } = checked.value;
  const { rule, directions, repeats } = wishes;
  const progress = startProgress(around);
  const plan = planTests(cart, set, report, {
    rule,
    onProgress: progress.report,
    ...(directions === undefined ? {} : { directions }),
    ...(repeats === undefined ? {} : { repeats }),
  });
  progress.clear();
  return fine(plan, checked.warnings);
}

interface Revision {
  readonly subject: string;
  readonly called: string;
  /** null: it is there already */
  readonly entry: NewEntry | null;
}

/** The newest revision where it says the same, else a new one after it. */
function revisionOf(
  state: ProjectState,
  { body }: CartToKeep,
  wishes: PlanWishes,
  around: Surroundings,
): Outcome<Revision> {
  const before = newest(state, 'cart');
  const { revision: named, change, who, why } = wishes;
  const isNamed = named === undefined || named === before?.content.revision;
  if (before !== null && isSame(before, body) && isNamed) {
    return fine({ subject: before.subject, called: before.content.revision, entry: null });
  }
  const called = named ?? nextRevision(state);
  if (called === null) {
    return bad(`--revision: is missing; the newest is ${before?.content.revision}`);
  }
  if (valid(state, 'cart').some(({ content }) => content.revision === called)) {
    return bad(`--revision: ${called} is there already, with another content; allowed: a new name`);
  }
  if (before !== null && change === undefined) {
    const allowed = `what is different from revision ${before.content.revision}, in words`;
    return bad(`--change: is missing; allowed: ${allowed}`);
  }
  const because = becauseOf(state, wishes);
  if (because.kind === 'bad input') return because;
  const whole: CartBody = {
    ...body,
    revision: called,
    follows: before?.subject ?? null,
    because: because.value,
    change: change ?? '',
  };
  const make = {
    project: state.id,
    follows: null,
    body: whole,
    who,
    ...(why === undefined ? {} : { why }),
  };
  const entry = newEntry(make, around);
  return fine({ subject: entry.subject, called, entry });
}

function isSame(
  { content }: RecordState<CartBody>,
  { text, partsLists }: CartToKeep['body'],
): boolean {
  const hashes = (lists: CartBody['partsLists']) => lists.map(({ hash }) => hash).join();
  return content.text === text && hashes(content.partsLists) === hashes(partsLists);
}

function becauseOf(state: ProjectState, { because }: PlanWishes): Outcome<readonly string[]> {
  const found = because.map((text) => recordNamed(state, text, ['run', 'diagnosis'], '--because'));
  const problems = found.flatMap((each) => (each.kind === 'bad input' ? each.problems : []));
  if (problems.length > 0) return bad(...problems);
  return fine(found.flatMap((each) => (each.kind === 'ok' ? [each.value.subject] : [])));
}

function planName(state: ProjectState, revision: string): string {
  const name = `Tests of revision ${revision}`;
  const taken = valid(state, 'plan').map(({ content }) => content.name);
  for (let number = 2; ; number += 1) {
    const each = number === 2 && !taken.includes(name) ? name : `${name}, ${number}`;
    if (!taken.includes(each)) return each;
  }
}

/** Ids of the runs that the change is to mend. */
function failedRuns(state: ProjectState, wishes: PlanWishes): readonly string[] {
  const led = becauseOf(state, wishes);
  return (led.kind === 'ok' ? led.value : []).flatMap((subject) => {
    const run = recordOf(state, 'diagnosis', subject)?.content.run ?? subject;
    return recordOf(state, 'run', run)?.content.run ?? [];
  });
}

function planWords(plan: TestPlan, arguments_: string, failed: readonly string[]): string[] {
  const { runs, notTested, rule } = plan;
  const again = runs.find(({ id }) => failed.includes(id))?.id;
  const first = again ?? runs[0]?.id ?? 'RUN';
  return [
    `${runs.length} run${runs.length === 1 ? '' : 's'} planned, ${notTested.length} clause${notTested.length === 1 ? '' : 's'} without one`,
    ruleWords(rule),
    `See it: standstill records show ${arguments_}`,
    `A data sheet for ${again === undefined ? 'its first run' : 'the run that failed'}: standstill records blank ${arguments_} run --run ${first}`,
  ];
}
