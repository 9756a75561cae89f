/** Random changes of the fields of a cart file, and what each must come to: worked out on plain data as a
 * YAML library reads it, by none of the code that is tested. */

import { CST, Lexer, parse } from 'yaml';
import type {
  FieldChange,
  FieldInput,
  FieldNode,
  FieldPath,
  NewItemKind,
} from '../../src/document/index.js';
import {
  changeFields,
  fieldGuide,
  listOfNewItem,
  newCartItem,
  nodeAt,
} from '../../src/document/index.js';

type Random = () => number;
type Data = string | number | boolean | null | Data[] | Map<string, Data>;

function pick<T>(random: Random, from: readonly T[]): T {
  return from[Math.floor(random() * from.length)] as T;
}

const NAMES: readonly string[] = [
  ...[
    'shelf',
    'a: b # c',
    '"quoted"',
    "it's",
    "'single'",
    '- dash',
    '{brace}',
    '[bracket]',
    '&a',
    '*a',
  ],
  ...[
    '# hash',
    'true',
    'no',
    '12',
    '0.60',
    'null',
    '~',
    '',
    ' outer ',
    '😀 cart',
    'עגלה רפואית',
    'a, b',
  ],
  ...[
    '__proto__',
    'constructor',
    'x > y',
    'x" > "y',
    '%',
    '@',
    '`',
    '|',
    '>',
    '?',
    '!',
    '\\',
    'é',
    'ﬁ',
  ],
  'x'.repeat(300),
];

const TYPED: readonly string[] = [
  ...[
    '0.60',
    '18.50 kg',
    '-5 mm',
    '0 deg',
    '1e3',
    '0x1F',
    '.5',
    '.inf',
    'true',
    'none',
    '½ in',
    '15 lb',
  ],
  ...[
    '12 Nm',
    '400 N/mm',
    '10 %',
    '- 5',
    'a: b # c',
    '[1, 2]',
    '{',
    '"5 kg"',
    "5'",
    '*x',
    '&x',
    '007',
  ],
  ...['', '~', 'null', '1,5 mm', '−5 mm', 'outlasts the tread', '5 kg # five', 'a\tb'],
];

const NEW_KINDS: readonly NewItemKind[] = [
  ...([
    'part',
    'slide',
    'turn',
    'fluid',
    'removable',
    'castor type',
    'castor',
    'friction',
  ] as const),
  ...(['box', 'cylinder', 'foothold', 'seat', 'work surface', 'pushing', 'lifting'] as const),
  ...(['transport', 'use'] as const),
];

function scalarInput(random: Random): FieldInput {
  const roll = random();
  if (roll < 0.4) return { typed: pick(random, TYPED) };
  if (roll < 0.8) return pick(random, NAMES);
  return roll < 0.9 ? Math.round(random() * 2000 - 1000) / 8 : random() < 0.5;
}

function anyInput(random: Random, depth = 2): FieldInput {
  const roll = random();
  if (depth === 0 || roll < 0.5) return scalarInput(random);
  const count = Math.floor(random() * 4);
  const values = Array.from({ length: count }, () => anyInput(random, depth - 1));
  if (roll < 0.75) return values;
  const keys = ['name', 'from', 'to', 'a key', 'x: y', '12'];
  return { map: Object.fromEntries(values.map((value, index) => [keys[index], value])) };
}

interface Spot {
  readonly path: FieldPath;
  readonly node: FieldNode;
}

function spotsOf(node: FieldNode, path: FieldPath = []): readonly Spot[] {
  const own = path.length === 0 ? [] : [{ path, node }];
  if (node.kind === 'scalar') return own;
  const children =
    node.kind === 'map'
      ? node.entries.flatMap((entry) => spotsOf(entry.node, [...path, entry.key]))
      : node.items.flatMap((item, index) => spotsOf(item, [...path, index]));
  return [...own, ...children];
}

/** A change that can be made to the tree. */
export function randomChange(root: FieldNode, random: Random): FieldChange {
  const spots = spotsOf(root);
  const { path, node } = pick(random, spots);
  const roll = random();
  if (roll < 0.3) return { kind: 'set', path, value: scalarInput(random) };
  if (roll < 0.4) return { kind: 'set', path, value: anyInput(random) };
  if (roll < 0.55) return setOfMissing(root, spots, random);
  if (roll < 0.7 && (path.length > 1 || roll < 0.6)) return { kind: 'remove', path };
  if (roll < 0.8) return insertOfNew(root, random);
  const lists = spots.filter((each) => each.node.kind === 'list');
  const list = lists.length === 0 ? null : pick(random, lists);
  const items = list?.node.kind === 'list' ? list.node.items : [];
  if (list === null) return { kind: 'set', path, value: scalarInput(random) };
  const index = Math.floor(random() * (items.length + 1));
  if (roll < 0.9 || items.length === 0) {
    const beside = items[0]?.kind ?? node.kind;
    const value = beside === 'scalar' ? scalarInput(random) : anyInput(random);
    return { kind: 'insert', path: list.path, index, value };
  }
  const from = Math.floor(random() * items.length);
  return { kind: 'move', path: [...list.path, from], to: Math.min(index, items.length - 1) };
}

function setOfMissing(root: FieldNode, spots: readonly Spot[], random: Random): FieldChange {
  const maps = [{ path: [], node: root }, ...spots].filter(({ node }) => node.kind === 'map');
  const { path } = pick(random, maps);
  const fields = fieldGuide(path)?.fields ?? [];
  const key = fields.length === 0 ? 'new key' : pick(random, fields);
  return { kind: 'set', path: [...path, key], value: anyInput(random) };
}

function insertOfNew(root: FieldNode, random: Random): FieldChange {
  const kinds = NEW_KINDS.filter((each) => {
    const path = listOfNewItem(each);
    const list = nodeAt(root, path);
    const holder = nodeAt(root, path.slice(0, -1));
    return list === null ? holder === null || holder.kind === 'map' : list.kind === 'list';
  });
  const kind = pick(random, kinds);
  const value = newCartItem(kind, root);
  return { kind: 'insert', path: listOfNewItem(kind), index: 'end', value };
}

/** Plain data of a text: maps as such, so that no key is special. */
export function dataOf(text: string): Data {
  const options = { version: '1.2', schema: 'core', uniqueKeys: false, mapAsMap: true } as const;
  return unshared(parse(text, options) as Data);
}

/** What an alias stands for is a copy of its own. */
function unshared(data: Data): Data {
  if (Array.isArray(data)) return data.map(unshared);
  if (!(data instanceof Map)) return data;
  return new Map([...data].map(([key, value]) => [key, unshared(value)]));
}

function dataOfInput(input: FieldInput): Data {
  if (typeof input !== 'object') return input;
  if ('typed' in input) return typedData(input.typed.trim());
  if (Array.isArray(input)) return input.map((each: FieldInput) => dataOfInput(each) ?? '');
  const { map } = input as { map: Readonly<Record<string, FieldInput>> };
  return new Map(Object.entries(map).map(([key, value]) => [key, dataOfInput(value)]));
}

/** A number, a truth value or nothing where all of the text is one; else the text. */
function typedData(text: string): Data {
  if (/^(?:~|null|Null|NULL|)$/.test(text)) return null;
  if (/^(?:true|false)$/.test(text)) return text === 'true';
  if (/^[-+]?(?:\d+|\d*\.\d+|\d+\.)(?:[eE][-+]?\d+)?$|^0x[\da-fA-F]+$/.test(text))
    return Number(text);
  return text === '.inf' ? Number.POSITIVE_INFINITY : text;
}

/** Plain data with a change made to it. */
export function dataAfter(data: Data, change: FieldChange): Data {
  if (change.kind === 'rename') throw new Error('dataAfter: renames are not worked out here');
  const copy = structuredClone(data);
  const { path } = change;
  const key = path.at(-1) as string | number;
  if (change.kind === 'insert') {
    const list = (holderAt(copy, [...path, 0]) ?? []) as Data[];
    const index = change.index === 'end' ? list.length : change.index;
    list.splice(index, 0, dataOfInput(change.value) ?? '');
    return copy;
  }
  const holder = holderAt(copy, path);
  if (change.kind === 'set') {
    const value = dataOfInput(change.value);
    if (Array.isArray(holder)) holder[Number(key)] = value ?? '';
    else holder.set(String(key), value);
  } else if (change.kind === 'remove') {
    if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else holder.delete(String(key));
  } else if (Array.isArray(holder)) {
    const [item] = holder.splice(Number(key), 1);
    holder.splice(change.to, 0, item as Data);
  }
  return copy;
}

/** What the last step of the path is a key of, made where nothing is. */
function holderAt(data: Data, path: FieldPath): Data[] | Map<string, Data> {
  let at = data;
  for (const [depth, step] of path.slice(0, -1).entries()) {
    const holder = at as Data[] | Map<string, Data>;
    let next = Array.isArray(holder) ? holder[Number(step)] : holder.get(String(step));
    if (next === undefined || next === null || next === '') {
      next = typeof path[depth + 1] === 'number' ? [] : new Map();
      if (Array.isArray(holder)) holder[Number(step)] = next;
      else holder.set(String(step), next);
    }
    at = next;
  }
  return at as Data[] | Map<string, Data>;
}

/** Nothing and "" are alike: an item typed as nothing is written as "". */
export function comparable(data: Data): unknown {
  if (data === null) return '';
  if (Array.isArray(data)) return data.map(comparable);
  if (!(data instanceof Map)) return data;
  const entries = [...data].map(([key, value]) => [String(key), comparable(value)] as const);
  return entries.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
}

/** The comments of a text, in the order of the alphabet. */
export function commentsOf(text: string): readonly string[] {
  const lexemes = [...new Lexer().lex(text)];
  const comments = lexemes.filter(
    (lexeme, index) => lexemes[index - 1] !== CST.SCALAR && CST.tokenType(lexeme) === 'comment',
  );
  return comments.map((comment) => comment.trim()).sort();
}

/** Every comment of the first text that the second does not have. */
export function lostComments(before: string, after: string): readonly string[] {
  const left = [...commentsOf(after)];
  return commentsOf(before).filter((comment) => {
    const index = left.indexOf(comment);
    if (index !== -1) left.splice(index, 1);
    return index === -1;
  });
}

/** What must hold of a change that can be made, and does not. */
export function faultsOfChange(
  text: string,
  change: FieldChange,
): {
  readonly text: string;
  readonly faults: readonly string[];
} {
  const result = changeFields(text, [change]);
  const words = JSON.stringify(change);
  if (result.kind === 'refused') return { text, faults: [`refused ${words}: ${result.reason}`] };
  const wanted = JSON.stringify(comparable(dataAfter(dataOf(text), change)));
  const found = JSON.stringify(comparable(dataOf(result.text)));
  const lost = lostComments(text, result.text);
  return {
    text: result.text,
    faults: [
      ...(wanted === found ? [] : [`${words}\n wanted ${wanted}\n found ${found}`]),
      ...(lost.length === 0 ? [] : [`${words} lost ${lost.join(' ')}`]),
    ],
  };
}
