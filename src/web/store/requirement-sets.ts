/** Requirement sets of the folder, and the one that a cart file asks for. */

import type { Cart, FieldNode } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import {
  applyRequirementFile,
  builtInSets,
  findSet,
  readRequirementFile,
  requirementSentence,
} from '../../requirements/index.js';
import type { FieldIssue } from './reading.js';

export interface RequirementText {
  readonly name: string;
  readonly text: string;
}

export interface KnownSets {
  readonly sets: readonly RequirementSet[];
  /** files left out, and why */
  readonly problems: readonly string[];
}

/** The built-in sets, and on them what each file says, in the order of the files: a later file may build
 * on an earlier one. A file with a mistake is left out whole. */
export function knownSets(files: readonly RequirementText[]): KnownSets {
  return files.reduce<KnownSets>(
    ({ sets, problems }, { name, text }) => {
      const read = readRequirementFile(text, name, sets);
      if (read.kind === 'ok') return { sets: applyRequirementFile(sets, read.value), problems };
      const [first] = read.issues.map(requirementSentence);
      const more = read.issues.length > 1 ? ` And ${read.issues.length - 1} more.` : '';
      return { sets, problems: [...problems, `Left out: ${first}.${more}`] };
    },
    { sets: builtInSets, problems: [] },
  );
}

export type AskedSet =
  | { readonly kind: 'found'; readonly set: RequirementSet }
  /** nothing can be judged until one is chosen */
  | { readonly kind: 'problem'; readonly issue: FieldIssue };

export function askedSet(
  cart: Pick<Cart, 'requirements'>,
  sets: readonly RequirementSet[],
  file: string,
): AskedSet {
  const { requirements } = cart;
  const set = requirements === null ? null : findSet(sets, requirements);
  if (set !== null) return { kind: 'found', set };
  const allowed = sets.map(({ id }) => id).join(', ');
  const what =
    requirements === null
      ? 'no requirement set is named'
      : `${requirements} is no requirement set known here`;
  return {
    kind: 'problem',
    issue: {
      issue: {
        code: requirements === null ? 'missing-field' : 'unknown-name',
        severity: 'error',
        file,
        line: null,
        column: null,
        path: 'requirements',
        actual: requirements,
        allowed,
      },
      path: ['requirements'],
      words: `${what}, so nothing is judged; allowed: ${allowed}`,
    },
  };
}

/** What a cart file asks for that cannot be read as a whole; null: nothing that is known. */
export function setOfFields(
  fields: FieldNode | null,
  sets: readonly RequirementSet[],
): RequirementSet | null {
  const node = fields === null ? null : nodeAt(fields, ['requirements']);
  return node?.kind === 'scalar' ? findSet(sets, node.text) : null;
}
