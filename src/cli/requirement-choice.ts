/** Which requirement set a check is made against. */

import type { Cart } from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';
import {
  applyRequirementFile,
  builtInSets,
  findSet,
  readRequirementFile,
  requirementSentence,
} from '../requirements/index.js';
import { readText } from './files.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

export interface RequirementFileWish {
  /** --requirement-file */
  readonly requirementFile?: string;
}

export interface RequirementWishes extends RequirementFileWish {
  /** --requirements */
  readonly requirements?: string;
}

/** The built-in sets with what the user's file confirms, and the sets of that file. */
export async function allRequirementSets({
  requirementFile,
}: RequirementFileWish): Promise<Outcome<readonly RequirementSet[]>> {
  if (requirementFile === undefined) return fine(builtInSets);
  const text = await readText(requirementFile);
  if (text.kind === 'bad input') return text;
  const read = readRequirementFile(text.value, requirementFile);
  if (read.kind === 'invalid') return bad(...read.issues.map(requirementSentence));
  return fine(
    applyRequirementFile(builtInSets, read.value),
    read.warnings.map(requirementSentence),
  );
}

/** The set of this id among them; `place` is where the id was given. */
export function setNamed(
  sets: readonly RequirementSet[],
  id: string,
  place: string,
): Outcome<RequirementSet> {
  const set = findSet(sets, id);
  if (set !== null) return fine(set);
  const allowed = sets.map((each) => each.id).join(', ');
  return bad(`${place}: ${id} is not the id of a requirement set; allowed: ${allowed}`);
}

/** The set asked for on the command line, else the one that the cart file names. */
export function chosenSet(
  sets: readonly RequirementSet[],
  cart: Cart,
  file: string,
  { requirements }: RequirementWishes,
): Outcome<RequirementSet> {
  if (requirements !== undefined) return setNamed(sets, requirements, '--requirements');
  if (cart.requirements !== null) return setNamed(sets, cart.requirements, `${file} requirements`);
  const allowed = sets.map((each) => each.id).join(', ');
  return bad(
    `${file} requirements: is missing, and --requirements is not given; allowed: ${allowed}`,
  );
}
