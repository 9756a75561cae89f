/** Cart files spoiled at random, and what must hold for every one of them. Used by the tests and, over
 * many more files, by the campaign. */

import { stringify } from 'yaml';
import type { Cart, Issue, PartsList } from '../../src/document/index.js';
import { readCart, sentence } from '../../src/document/index.js';

type Random = () => number;
type Tree = string | number | boolean | null | Tree[] | { [key: string]: Tree };

/** A cart file to start from: its text, and the same as plain data. */
export interface Original {
  readonly text: string;
  readonly tree: Tree;
}

function below(random: Random, count: number): number {
  return Math.floor(random() * count);
}

function pick<T>(random: Random, from: readonly T[]): T {
  const item = from[below(random, from.length)];
  if (item === undefined) throw new Error('pick: nothing to pick from');
  return item;
}

/** What people and programs get wrong, and what attackers try. */
const FRAGMENTS: readonly string[] = [
  ...[
    ':',
    ': ',
    '- ',
    '  ',
    '\t',
    '\n',
    '\r\n',
    '\r',
    '#',
    '"',
    "'",
    '|',
    '>',
    '? ',
    ', ',
    '%',
    '@',
  ],
  ...[
    '[',
    ']',
    '{',
    '}',
    '[[[[[[[[[[[[[[[[[[[[',
    '{a: {a: {a: ',
    '- - - - - - - - - - - - - - - - - - ',
  ],
  ...['&a ', '*a', '&a [*a, *a]', '<<: *a', '<<: {mass: 1 kg}', '!!str ', '!x ', '---\n', '...\n'],
  ...['%YAML 1.1\n---\n', '__proto__: 1\n', 'constructor', 'toString', 'null', '~', 'true', 'yes'],
  ...[
    '\u0000',
    '\ufeff',
    '\ufffd',
    '\u202e',
    '\u200b',
    '\u00a0',
    '\ud800',
    '😀',
    'é',
    'e\u0301',
    'İ',
  ],
  ...['\u2028', '\u0085', '½', '°', '−', '١٢', 'x'.repeat(300), '9'.repeat(400), '\u001b[31m'],
];

const NUMBERS: readonly string[] = [
  ...['0', '-0', '-1', '1e308', '-1e308', '1e309', '1e-320', '9'.repeat(30), '0.1', '1,5', '1,234'],
  ...[
    '1.2.3',
    '',
    '.',
    'NaN',
    'Infinity',
    '.nan',
    '.inf',
    '-.inf',
    '0x10',
    '1_000',
    '1 1/2',
    '1/0',
  ],
  ...['5', '1000', '12', '0.5', '90', '360', '-90'],
];

const UNITS: readonly string[] = [
  ...[
    'mm',
    'cm',
    'm',
    'in',
    'ft',
    'km',
    'kg',
    'g',
    'lb',
    'oz',
    't',
    'deg',
    'rad',
    'N',
    'lbf',
    'kgf',
  ],
  ...['Nm', 'lbf in', 'N/mm', 'lbf/in', '%', 's', 'MM', '', 'stone', 'kg kg', 'mm/', '²'],
];

const VALUES: readonly Tree[] = [
  ...[null, true, false, 0, -1, 1, 1e300, -1e300, 0.5, Number.NaN, Number.POSITIVE_INFINITY],
  ...[
    '',
    ' ',
    'lift',
    'arm',
    'none',
    'total',
    'absent',
    'full',
    'not stated',
    '5 kg',
    '-5 kg',
    '0 mm',
  ],
  ...['1 m', '90 deg', '1e400 kg', '__proto__', 'constructor', 'x'.repeat(200), '12 Nm', 'up'],
  ...[[], {}, [[]], [null], { from: '0 mm', to: '1 mm' }, { least: '0 kg', most: '1 kg' }],
  ...[['0 mm', '0 mm'], ['0 mm', '0 mm', '0 mm'], [0, 0, 1], { transport: {} }],
];

type TextMutation = (text: string, random: Random, other: string) => string;

function place(text: string, random: Random): number {
  return below(random, text.length + 1);
}

function spliced(text: string, at: number, remove: number, insert: string): string {
  return text.slice(0, at) + insert + text.slice(at + remove);
}

function onLines(
  text: string,
  random: Random,
  change: (lines: string[], at: number) => void,
): string {
  const lines = text.split('\n');
  change(lines, below(random, lines.length));
  return lines.join('\n');
}

/** Replaces one of the quantities of the text, found by its number and unit. */
function onQuantity(
  text: string,
  random: Random,
  change: (number: string, unit: string) => string,
): string {
  const found = [...text.matchAll(/(-?\d+(?:\.\d+)?) (mm|in|kg|lb|deg|Nm|N\/mm|N)\b/g)];
  if (found.length === 0) return text;
  const match = pick(random, found);
  return spliced(text, match.index, match[0].length, change(match[1] ?? '', match[2] ?? ''));
}

const TEXT_MUTATIONS: readonly TextMutation[] = [
  (text, random) => spliced(text, place(text, random), 1 + below(random, 8), ''),
  (text, random) => spliced(text, place(text, random), below(random, 2), pick(random, FRAGMENTS)),
  (text, random) => text.slice(0, place(text, random)),
  (text, random) => text.slice(place(text, random)),
  (text, random) => {
    const at = place(text, random);
    return spliced(text, at, 0, text.slice(at, at + below(random, 400)));
  },
  (text, random, other) => {
    const at = place(other, random);
    return spliced(text, place(text, random), below(random, 200), other.slice(at, at + 200));
  },
  (text, random) => onLines(text, random, (lines, at) => lines.splice(at, 1 + below(random, 3))),
  (text, random) => onLines(text, random, (lines, at) => lines.splice(at, 0, lines[at] ?? '')),
  (text, random) =>
    onLines(text, random, (lines, at) => {
      const other = below(random, lines.length);
      [lines[at], lines[other]] = [lines[other] ?? '', lines[at] ?? ''];
    }),
  (text, random) =>
    onLines(text, random, (lines, at) => {
      lines[at] = random() < 0.5 ? ` ${lines[at]}` : (lines[at] ?? '').replace(/^ /, '');
    }),
  (text, random) =>
    onLines(text, random, (lines, at) => {
      lines[at] = (lines[at] ?? '').replace(/^ +/, (spaces) => '\t'.repeat(spaces.length / 2));
    }),
  (text, random) =>
    onLines(text, random, (lines, at) => {
      lines[at] = (lines[at] ?? '').replace(/: .*/, ': ');
    }),
  (text, random) => onQuantity(text, random, (_, unit) => `${pick(random, NUMBERS)} ${unit}`),
  (text, random) => onQuantity(text, random, (number) => `${number} ${pick(random, UNITS)}`),
  (text, random) => onQuantity(text, random, (number) => `${number}${pick(random, UNITS)}`),
  (text, random) => onQuantity(text, random, () => pick(random, NUMBERS)),
  (text) => text.replaceAll('\n', '\r\n'),
  (text) => `\ufeff${text}`,
];

/** A container somewhere in the tree, and a key of it. */
interface Spot {
  readonly holder: Tree[] | { [key: string]: Tree };
  readonly key: string;
}

function spotsOf(tree: Tree, spots: Spot[] = []): Spot[] {
  if (typeof tree !== 'object' || tree === null) return spots;
  for (const [key, value] of Object.entries(tree)) {
    spots.push({ holder: tree, key });
    spotsOf(value, spots);
  }
  return spots;
}

function valueAt({ holder, key }: Spot): Tree {
  return (holder as { [key: string]: Tree })[key] ?? null;
}

function put({ holder, key }: Spot, value: Tree): void {
  (holder as { [key: string]: Tree })[key] = value;
}

type TreeMutation = (spots: readonly Spot[], random: Random) => void;

const TREE_MUTATIONS: readonly TreeMutation[] = [
  (spots, random) => put(pick(random, spots), structuredClone(pick(random, VALUES))),
  (spots, random) => {
    const { holder, key } = pick(random, spots);
    if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else delete holder[key];
  },
  (spots, random) => {
    const spot = pick(random, spots);
    const copy = structuredClone(valueAt(spot));
    if (Array.isArray(spot.holder)) spot.holder.push(copy);
    else put({ holder: spot.holder, key: `${spot.key} ` }, copy);
  },
  (spots, random) => {
    const [one, two] = [pick(random, spots), pick(random, spots)];
    const [first, second] = [structuredClone(valueAt(one)), structuredClone(valueAt(two))];
    put(one, second);
    put(two, first);
  },
  (spots, random) => {
    const spot = pick(random, spots);
    put(spot, random() < 0.5 ? [valueAt(spot)] : { from: valueAt(spot) });
  },
  (spots, random) => {
    const { holder, key } = pick(random, spots);
    if (Array.isArray(holder)) return;
    const value = holder[key] ?? null;
    delete holder[key];
    holder[random() < 0.5 ? key.slice(1) : pick(random, spots).key] = value;
  },
  (spots, random) => {
    const lists = spots.filter((spot) => Array.isArray(valueAt(spot)));
    if (lists.length === 0) return;
    const list = valueAt(pick(random, lists)) as Tree[];
    const item = list[below(random, Math.max(1, list.length))] ?? null;
    for (let i = below(random, random() < 0.1 ? 300 : 10); i > 0; i -= 1)
      list.push(structuredClone(item));
  },
];

/** One to four changes: to the data, written out again in either style of YAML, or to the text. */
export function mutatedCartFile(originals: readonly Original[], random: Random): string {
  const original = pick(random, originals);
  // half of them with one change, which the rest of the file makes easy to see
  const count = random() < 0.5 ? 1 : 1 + below(random, 4);
  let { text } = original;
  if (random() < 0.4) {
    const tree = structuredClone(original.tree);
    for (let i = 0; i < count; i += 1) {
      const spots = spotsOf(tree);
      if (spots.length > 0) pick(random, TREE_MUTATIONS)(spots, random);
    }
    text = written(tree, random);
    if (random() < 0.7) return text;
  }
  const other = pick(random, originals).text;
  for (let i = 0; i < count; i += 1) text = pick(random, TEXT_MUTATIONS)(text, random, other);
  return text;
}

/** JSON is YAML too, and cheaper to write. */
function written(tree: Tree, random: Random): string {
  return random() < 0.8 ? JSON.stringify(tree, null, 1) : stringify(tree);
}

/** `ok`, or the code of the first issue. */
export interface Outcome {
  readonly name: string;
  /** by the clock that was given */
  readonly milliseconds: number;
  /** what must hold and does not */
  readonly faults: readonly string[];
}

export function outcomeOf(
  text: string,
  now: () => number,
  lists: ReadonlyMap<string, PartsList> = new Map(),
): Outcome {
  const start = now();
  try {
    const result = readCart(text, 'mutated.cart.yaml', lists);
    const milliseconds = now() - start;
    const { kind } = result;
    const issues = kind === 'ok' ? result.warnings : result.issues;
    const wrong = kind === 'ok' ? cartFaults(result.value) : refusalFaults(issues);
    const name = kind === 'ok' ? 'ok' : (issues[0]?.code ?? 'none');
    const faults = [...wrong, ...issues.flatMap((issue) => issueFaults(issue, text))];
    return { name, milliseconds, faults };
  } catch (error) {
    return { name: 'thrown', milliseconds: now() - start, faults: [`threw ${String(error)}`] };
  }
}

function refusalFaults(issues: readonly Issue[]): string[] {
  return issues.some((issue) => issue.severity === 'error') ? [] : ['refused without an error'];
}

/** Codes of problems that have no line: the file as a whole. */
const WHOLE_FILE: ReadonlySet<string> = new Set([
  'empty-file',
  'file-too-large',
  'too-many-issues',
]);

function issueFaults(issue: Issue, text: string): string[] {
  const faults: string[] = [];
  const { line, column, code } = issue;
  const lines = text.split('\n').length;
  if (line === null ? !WHOLE_FILE.has(code) : !(line >= 1 && line <= lines)) faults.push('line');
  if ((column === null) !== (line === null) || (column !== null && column < 1))
    faults.push('column');
  if (!/^[a-z0-9]+(?:-[a-z0-9]+)*$/.test(code)) faults.push('code');
  if (issue.path === '') faults.push('path');
  if (issue.allowed === '') faults.push('allowed');
  if ((issue.actual ?? '').length > 80) faults.push('actual');
  const words = sentence(issue);
  if (/[\p{Cc}\p{Cs}\u2028\u2029\u202e]/u.test(words)) faults.push('characters');
  if (words.includes('is not allowed;') || /NaN|undefined/.test(issue.allowed))
    faults.push('words');
  return faults.map((fault) => `${fault} of ${JSON.stringify(issue)}`);
}

function cartFaults(cart: Cart): string[] {
  const faults: string[] = [];
  if (!everyNumberIsFinite(cart)) faults.push('a number that is not finite');
  if (cart.castors.length < 3) faults.push('fewer than three castors');
  if (cart.parts.some((part) => !(part.mass > 0))) faults.push('a part without mass');
  if (cart.movers.some((mover) => !(mover.from <= mover.to))) faults.push('a range reversed');
  if (cart.castors.some((castor) => castor.fixedDirection === null && !(castor.trail > 0))) {
    faults.push('a swivelling castor without trail');
  }
  const movers = cart.movers.map((mover) => mover.name);
  for (const position of cart.positions) {
    const named = Object.keys(position.movers);
    if (named.join('\n') !== movers.join('\n')) faults.push('a position without its movers');
  }
  if (new Set(cart.positions.map((position) => position.kind)).size < 2) faults.push('positions');
  return faults;
}

function everyNumberIsFinite(value: unknown): boolean {
  if (typeof value === 'number') return Number.isFinite(value);
  if (typeof value !== 'object' || value === null) return true;
  return Object.values(value).every(everyNumberIsFinite);
}
