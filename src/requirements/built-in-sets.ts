import { buildSet } from './build-set.js';
import { iec60601Edition30 } from './built-in/iec-60601-1-3-0.js';
import { iec60601Edition31 } from './built-in/iec-60601-1-3-1.js';
import { iec60601Edition32 } from './built-in/iec-60601-1-3-2.js';
import { iec61010Edition3 } from './built-in/iec-61010-1-3.js';
import { iec61010Edition2001 } from './built-in/iec-61010-1-2001.js';
import { iec62368Edition2018 } from './built-in/iec-62368-1-2018.js';
import type { SetDraft } from './draft.js';
import type { RequirementSet } from './requirement-set.js';

/** A set stands after the one it is based on. */
const DRAFTS: readonly SetDraft[] = [
  iec60601Edition30,
  iec60601Edition31,
  iec60601Edition32,
  iec61010Edition2001,
  iec61010Edition3,
  iec62368Edition2018,
];

/** The sets that come with the program; no value in them is confirmed. */
export const builtInSets: readonly RequirementSet[] = built(DRAFTS);

function built(drafts: readonly SetDraft[]): readonly RequirementSet[] {
  const sets: RequirementSet[] = [];
  for (const draft of drafts) {
    const base = sets.find((each) => each.id === draft['based on']) ?? null;
    if (base === null && draft['based on'] !== undefined) {
      throw new Error(`builtInSets: ${draft.id} stands before ${draft['based on']}`);
    }
    const result = buildSet(draft, base);
    if (result.kind === 'invalid') {
      throw new Error(`builtInSets: ${draft.id}: ${JSON.stringify(result.problems)}`);
    }
    sets.push(result.set);
  }
  return sets;
}

/** null: there is no set with this id. */
export function findSet(sets: readonly RequirementSet[], id: string): RequirementSet | null {
  return sets.find((each) => each.id === id) ?? null;
}
