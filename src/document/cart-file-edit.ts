/**
 * Changes written back into the text of a cart file.
 *
 * The edits are made to the cart in memory (`editCart`); what then differs is written, field by field,
 * as patches of the text (`yaml-source.ts` says why patches). So there is one meaning of an edit, a
 * change back and forth writes nothing, and the result is read again and compared before anybody sees
 * it.
 */

import type { Cart } from './cart.js';
import { editCart } from './cart-edit.js';
import type { CartEdit } from './cart-edit-kinds.js';
import type { EditProblem } from './cart-edit-problem.js';
import { editProblems } from './cart-edit-problem.js';
import { writeCastors, writeFriction } from './cart-file-castors.js';
import { leaveOutWholeStates, writeMovers, writePositions } from './cart-file-movers.js';
import { writeHandles, writeLoads, writeOutline, writeParts } from './cart-file-parts.js';
import type { Issue } from './issue.js';
import { issueLog } from './issue-log.js';
import type { PartsList } from './parts-list.js';
import { NO_LISTS, readCart } from './read-cart.js';
import { addWords, replaceScalar } from './source-values.js';
import { lineStartsOf, withoutByteOrderMark } from './text-checks.js';
import type { YamlSource } from './yaml-source.js';
import {
  aliasesWrittenOut,
  entryOf,
  noteSharing,
  patched,
  rootOf,
  yamlSource,
} from './yaml-source.js';
import { YAML_LIMITS } from './yaml-tree.js';

export type EditResult =
  | {
      readonly kind: 'ok';
      readonly text: string;
      /** what reading the edited text warns of: a row of the parts list that is no longer taken, a
       * tread that no castor has any more, and what the text warned of before */
      readonly warnings: readonly Issue[];
    }
  | { readonly kind: 'refused'; readonly issues: readonly Issue[] };

/**
 * The cart file with the edits made: reading the result gives `editCart(readCart(text), edits)` to 1e-9
 * relative. Comments, order, blank lines, line ends, units and every line that no edit concerns stay
 * as they are.
 *
 * @param file name of the file, for the issues only
 * @param partsLists as for `readCart`
 */
export function editCartFile(
  text: string,
  file: string,
  edits: readonly CartEdit[],
  partsLists: ReadonlyMap<string, PartsList> = NO_LISTS,
): EditResult {
  const before = readCart(text, file, partsLists);
  if (before.kind === 'invalid') return { kind: 'refused', issues: before.issues };
  const problems = editProblems(before.value, edits);
  if (problems.length > 0) return refusal(text, file, problems);
  const wanted = editCart(before.value, edits);
  const plain = withoutByteOrderMark(text);
  const mark = text.slice(0, text.length - plain.length);
  const edited = mark + rewritten(plain, before.value, wanted);
  const after = readCart(edited, file, partsLists);
  if (after.kind === 'invalid') return { kind: 'refused', issues: after.issues };
  const difference = differenceOf(after.value, wanted, '');
  if (difference === null) return { kind: 'ok', text: edited, warnings: after.warnings };
  const allowed = 'a file in which each value stands in a place of its own, "key: value"';
  return refusal(text, file, [
    { code: 'not-written', path: difference, actual: null, allowed } as const,
  ]);
}

/** The problems, each at the line of the item that it speaks of where the file has that. */
function refusal(text: string, file: string, problems: readonly EditProblem[]): EditResult {
  const plain = withoutByteOrderMark(text);
  const source = yamlSource(plain);
  const log = issueLog(file, lineStartsOf(plain));
  for (const problem of problems)
    log.report({ ...problem, offset: offsetOf(source, problem.path) });
  return { kind: 'refused', issues: log.issues() };
}

function offsetOf(source: YamlSource, path: string): number | null {
  const [, section = '', item] = /^([a-z ]+)(?:\[(\d+)\])?/.exec(path) ?? [];
  const entry = entryOf(rootOf(source), section.trim());
  if (entry === undefined) return null;
  const { value, key } = entry;
  const items = value !== null && 'items' in value ? value.items : [];
  const found = item === undefined ? undefined : items[Number(item) - 1];
  const range = found !== undefined && 'range' in found ? found.range : undefined;
  return range?.[0] ?? key.range[0];
}

/** What is left out again goes last, since where it stands something may have been added. */
function rewritten(text: string, before: Cart, after: Cart): string {
  const written = withPatches(text, (source) => writeDifferences(source, before, after));
  return withPatches(written, (source) => leaveOutWholeStates(source, before, after));
}

/** Each round writes out at least one alias, and none is added. */
function withPatches(text: string, write: (source: YamlSource) => void): string {
  let current = text;
  for (let round = 0; round <= YAML_LIMITS.aliases; round += 1) {
    const source = yamlSource(current);
    write(source);
    noteSharing(source);
    if (source.inTheWay.size === 0) return patched(current, source.patches);
    current = aliasesWrittenOut(source, source.inTheWay);
  }
  throw new Error('withPatches: aliases without end');
}

function writeDifferences(source: YamlSource, before: Cart, after: Cart): void {
  const root = rootOf(source);
  const name = entryOf(root, 'name')?.value;
  if (before.name !== after.name && name) replaceScalar(source, name, after.name);
  writeParts(source, before, after);
  writeMovers(source, before, after);
  writeLoads(source, before, after);
  writeCastors(source, before, after);
  writeFriction(source, before, after);
  writeOutline(source, before, after);
  writeHandles(source, before, after);
  addWords(source, 'markings', 'positions', after.markings.slice(before.markings.length));
  writePositions(source, before, after);
}

/** Relative. */
const AGREES_WITHIN = 1e-9;
/** Absolute, m, kg, rad: the reader takes values so close to an end of a range to be it. */
const SNAPPED_WITHIN = 2e-9;

/** Where two carts differ, as a path; null where they agree. */
function differenceOf(read: unknown, wanted: unknown, path: string): string | null {
  if (typeof read === 'number' && typeof wanted === 'number') {
    return isClose(read, wanted, path) ? null : path;
  }
  if (typeof read !== 'object' || typeof wanted !== 'object' || read === null || wanted === null) {
    return Object.is(read, wanted) ? null : path;
  }
  const keys = new Set([...Object.keys(read), ...Object.keys(wanted)]);
  for (const key of keys) {
    const at = path === '' ? key : `${path} > ${key}`;
    const value = (from: object) => (from as Record<string, unknown>)[key];
    const found = differenceOf(value(read), value(wanted), at);
    if (found !== null) return found;
  }
  return null;
}

function isClose(a: number, b: number, path: string): boolean {
  const snapped = /^(?:movers|positions) > /.test(path) ? SNAPPED_WITHIN : 1e-12;
  return Math.abs(a - b) <= AGREES_WITHIN * Math.max(Math.abs(a), Math.abs(b)) + snapped;
}
