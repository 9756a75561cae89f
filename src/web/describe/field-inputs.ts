/** Changes of fields, as the forms of the page make them. */

import type { FieldChange, FieldInput, FieldNode, FieldPath } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';

/** What stands at a node, to be put somewhere else. */
export function inputOf(node: FieldNode): FieldInput {
  switch (node.kind) {
    case 'map':
      return {
        map: Object.fromEntries(node.entries.map((each) => [each.key, inputOf(each.node)])),
      };
    case 'list':
      return node.items.map(inputOf);
    default:
      // text that was quoted stays text
      return typeof node.value === 'string' ? node.value : { typed: node.text };
  }
}

export interface FieldRule {
  /** a name or a text, which may look like anything */
  readonly isText: boolean;
  readonly required: boolean;
  /** keys of the same map that this one stands in place of, as far as they are there */
  readonly others: readonly string[];
}

/** What was typed into a field: nothing takes out a field that may be left out. */
export function typedChanges(path: FieldPath, typed: string, rule: FieldRule): FieldChange[] {
  const text = typed.trim();
  if (text === '' && !rule.required) return [{ kind: 'remove', path }];
  const value = rule.isText ? text : { typed: text };
  const others = text === '' ? [] : rule.others;
  return [
    ...others.map((key): FieldChange => ({ kind: 'remove', path: [...path.slice(0, -1), key] })),
    { kind: 'set', path, value },
  ];
}

/** One number of a point: the point is made where there is none, the other numbers still to be typed.
 *
 * @param others what stands for the others meanwhile, as a parts list says it */
export function coordinateChanges(
  root: FieldNode,
  path: FieldPath,
  index: number,
  typed: string,
  count: number,
  others: readonly string[] = [],
): FieldChange[] {
  const node = nodeAt(root, path);
  const value = { typed: typed.trim() };
  const isWhole = node?.kind === 'list' && node.items.length === count;
  if (isWhole) {
    const left = node.items.filter((each, i) => i !== index && textOf(each) !== '');
    // all of it erased
    if (value.typed === '' && left.length === 0) return [{ kind: 'remove', path }];
    return [{ kind: 'set', path: [...path, index], value }];
  }
  if (value.typed === '') return [];
  const items = node?.kind === 'list' ? node.items : [];
  const list = Array.from({ length: count }, (_, i): FieldInput => {
    const there = items[i];
    if (i === index) return value;
    return there === undefined ? { typed: others[i] ?? '' } : inputOf(there);
  });
  return [{ kind: 'set', path, value: list }];
}

function textOf(node: FieldNode): string {
  return node.kind === 'scalar' ? node.text : 'something';
}

/**
 * Another kind of the same thing, such as a turn in place of a slide: what both have goes over, and what
 * only the new one has is left to be typed.
 *
 * @param keys fields of the new kind; none: it has names that the file made up, which go over
 */
export function kindChanges(
  root: FieldNode,
  item: FieldPath,
  from: string | null,
  to: string,
  keys: readonly string[],
): FieldChange[] {
  const before = from === null ? null : nodeAt(root, [...item, from]);
  const there = before?.kind === 'map' ? before.entries : [];
  const kept = there.filter(({ key }) => keys.length === 0 || keys.includes(key));
  const map = Object.fromEntries(kept.map(({ key, node }) => [key, inputOf(node)]));
  return [
    ...(from === null ? [] : [{ kind: 'remove', path: [...item, from] } as const]),
    { kind: 'set', path: [...item, to], value: { map } },
  ];
}

/** A word put into a list of words, or taken out. */
export function wordChanges(
  root: FieldNode,
  path: FieldPath,
  word: string,
  isIn: boolean,
): FieldChange[] {
  const node = nodeAt(root, path);
  const items = node?.kind === 'list' ? node.items : [];
  const index = items.findIndex((each) => each.kind === 'scalar' && each.text === word);
  if (isIn) return index === -1 ? [{ kind: 'insert', path, index: 'end', value: word }] : [];
  return index === -1 ? [] : [{ kind: 'remove', path: [...path, index] }];
}

/** A name that nothing in the list has, letter case ignored: 'castor 5', 'basket 2'. */
export function freeName(wanted: string, taken: readonly string[]): string {
  const known = new Set(taken.map((each) => each.trim().toLowerCase()));
  const stem = wanted.replace(/ \d+$/, '');
  for (let n = known.has(wanted.toLowerCase()) ? 2 : 1; ; n += 1) {
    const name = n === 1 ? wanted : `${stem} ${n}`;
    if (!known.has(name.toLowerCase())) return name;
  }
}
