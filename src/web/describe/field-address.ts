/** What a field is called in the page, and in words. */

import type { FieldNode, FieldPath } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';

/** The id of the element that a field is typed in: no space in it, since lists of ids are parted by them. */
export function fieldId(path: FieldPath): string {
  return `describe.${fieldKey(path)}`;
}

/** One text for each path. */
export function fieldKey(path: FieldPath): string {
  return path.map(stepKey).join('.');
}

function stepKey(step: string | number): string {
  if (typeof step === 'number') return String(step);
  const plain = step.replace(/[^a-z0-9-]/gi, (char) => `_${char.charCodeAt(0).toString(16)}_`);
  // a field may be called 1
  return /^\d/.test(plain) ? `_${plain}` : plain;
}

export function startsWith(path: FieldPath, start: FieldPath): boolean {
  return start.every((step, index) => path[index] === step);
}

/** As typed; '' where nothing or no plain value stands. */
export function textAt(root: FieldNode | null, path: FieldPath): string {
  const node = root && nodeAt(root, path);
  return node?.kind === 'scalar' ? node.text : '';
}

/** How many items a list has. */
export function countAt(root: FieldNode | null, path: FieldPath): number {
  const node = root && nodeAt(root, path);
  return node?.kind === 'list' ? node.items.length : 0;
}

/** What one item of a list is called. */
export const ITEM_NOUNS: Readonly<Record<string, string>> = {
  parts: 'part',
  movers: 'mover',
  loads: 'load',
  'castor types': 'castor type',
  castors: 'castor',
  friction: 'friction of',
  outline: 'body',
  surfaces: 'surface',
  handles: 'handle',
  positions: 'position',
};

/** Labels that say more than the key of the file. */
const LABELS: Readonly<Record<string, string>> = {
  at: 'Place',
  'at tolerance': 'Place tolerance',
  'at tolerance distribution': 'Place distribution',
  'mass tolerance distribution': 'Mass distribution',
  'tolerance distribution': 'Distribution',
  on: 'Carried by',
  about: 'Axis through',
  'from list': 'From list',
  fixed: 'Fixed direction',
  requirements: 'Requirement set',
  base: 'Base centre',
};

export function labelOf(key: string): string {
  return LABELS[key] ?? key.charAt(0).toUpperCase() + key.slice(1);
}

/** 'mass of battery', 'x of castor front left', 'mobility': what a change is called in undo. */
export function fieldWords(root: FieldNode | null, path: FieldPath): string {
  const listAt = path.findIndex(
    (step, index) => index > 0 && typeof step === 'number' && index < 3,
  );
  const rest = listAt === -1 ? path : path.slice(listAt + 1);
  const field = lastWords(rest);
  if (listAt === -1) return field;
  const item = itemWords(root, path.slice(0, listAt + 1));
  return field === '' ? item : `${field} of ${item}`;
}

/** 'castor front left', 'castor 2' where it has no name; a part goes by its name alone. */
export function itemWords(root: FieldNode | null, item: FieldPath): string {
  const list = String(item.at(-2) ?? '');
  const noun = ITEM_NOUNS[list] ?? list;
  const name = nameOfItem(root, item);
  if (name === '') return `${noun} ${Number(item.at(-1)) + 1}`;
  return noun === 'part' ? name : `${noun} ${name}`;
}

export function nameOfItem(root: FieldNode | null, item: FieldPath): string {
  const key = item.at(-2) === 'friction' ? 'tread' : 'name';
  return textAt(root, [...item, key]).trim();
}

/** Keys that are no nouns. */
const CALLED: Readonly<Record<string, string>> = {
  at: 'place',
  from: 'least value',
  to: 'greatest value',
  on: 'carrier',
};

function lastWords(path: FieldPath): string {
  const last = path.at(-1);
  if (last === undefined) return '';
  if (typeof last === 'string') return CALLED[last] ?? last;
  const before = path.at(-2);
  const isPoint = ['at', 'from', 'to', 'about', 'base', 'axis'].includes(String(before));
  return isPoint ? ('xyz'[last] ?? '') : `${before ?? ''} ${last + 1}`.trim();
}
