import type { ValueConfirmation } from '../../requirements/index.js';
import {
  addConfirmation,
  readRequirementFile,
  requirementSentence,
} from '../../requirements/index.js';
import type { UnitSystem } from '../../units/index.js';
import { EXIT } from '../exit-codes.js';
import { fileExists, readText, replaceText, writeNew } from '../files.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage, messagePage } from '../page.js';
import type { RequirementFileWish } from '../requirement-choice.js';
import { allRequirementSets, setNamed } from '../requirement-choice.js';
import { requirementListSheet, requirementSetSheet } from '../sheets/requirements.js';
import type { Surroundings } from '../surroundings.js';

export async function listRequirements(
  wishes: PageWishes & RequirementFileWish,
  around: Surroundings,
): Promise<Outcome<number>> {
  const sets = await allRequirementSets(wishes);
  if (sets.kind === 'bad input') return sets;
  const page = makePage(wishes, around);
  around.out(page.print(requirementListSheet(page, sets.value)));
  return fine(EXIT.holds, sets.warnings);
}

export async function showRequirements(
  id: string,
  wishes: PageWishes & RequirementFileWish & { readonly units: UnitSystem },
  around: Surroundings,
): Promise<Outcome<number>> {
  const sets = await allRequirementSets(wishes);
  if (sets.kind === 'bad input') return sets;
  const set = setNamed(sets.value, id, 'SET');
  if (set.kind === 'bad input') return set;
  const page = makePage(wishes, around);
  around.out(page.print(requirementSetSheet(page, set.value, wishes.units)));
  return fine(EXIT.holds, sets.warnings);
}

export interface ConfirmWishes {
  readonly set: string;
  readonly clauseId: string;
  readonly valueId: string;
  /** the figure as the copy states it */
  readonly value: string;
  readonly who: string;
  readonly copy: string;
  /** ISO 8601 date; today where it is left out */
  readonly when?: string;
  /** requirement file to write to */
  readonly into: string;
}

function confirmationOf(wishes: ConfirmWishes, around: Surroundings): ValueConfirmation {
  return {
    set: wishes.set,
    clause: wishes.clauseId,
    value: wishes.valueId,
    reads: wishes.value,
    who: wishes.who,
    when: wishes.when ?? around.today(),
    copy: wishes.copy,
  };
}

/** The text of the file, null where there is none yet; one that is wrong already is not added to. */
async function currentText(file: string): Promise<Outcome<string | null>> {
  if (!(await fileExists(file))) return fine(null);
  const text = await readText(file);
  if (text.kind === 'bad input') return text;
  const read = readRequirementFile(text.value, file);
  return read.kind === 'ok' ? text : bad(...read.issues.map(requirementSentence));
}

/** Writes the confirmation only where the file with it in is right as a whole. */
export async function confirmRequirement(
  wishes: ConfirmWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const { into } = wishes;
  const before = await currentText(into);
  if (before.kind === 'bad input') return before;
  const after = addConfirmation(before.value, confirmationOf(wishes, around));
  const read = readRequirementFile(after, into);
  if (read.kind === 'invalid') {
    return bad(...read.issues.map(requirementSentence), `${into}: nothing was written`);
  }
  const write = before.value === null ? writeNew : replaceText;
  const written = await write(into, after);
  if (written.kind === 'bad input') return written;
  const value = `${wishes.set} ${wishes.clauseId} ${wishes.valueId}`;
  around.out(`${messagePage(around).show(`${into}: ${value} confirmed as ${wishes.value}`)}\n`);
  return fine(EXIT.holds);
}
