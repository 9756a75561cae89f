import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import type { Cart, CartEdit, PartsList } from '../../src/document/index.js';
import {
  editCart,
  editCartFile,
  editProblem,
  partsListFileOf,
  readCart,
  readPartsList,
  sentence,
  writeStarterCart,
} from '../../src/document/index.js';
import { seededRandom } from '../reference/random.js';
import { cartDifference } from './agreeing-carts.js';
import { HOSTILE_NAMES, randomEdits } from './random-edits.js';
import { SMALL_CART } from './small-cart.js';

const FOLDER = new URL('../../examples/', import.meta.url);
const FILES = readdirSync(FOLDER).filter((file) => file.endsWith('.cart.yaml'));

interface Original {
  readonly name: string;
  readonly text: string;
  readonly lists: ReadonlyMap<string, PartsList>;
}

async function original(name: string, text: string): Promise<Original> {
  const list = partsListFileOf(text);
  if (list === null) return { name, text, lists: new Map() };
  const read = await readPartsList(readFileSync(new URL(list, FOLDER)), list);
  if (read.kind === 'invalid') throw new Error(read.issues.map(sentence).join('\n'));
  return { name, text, lists: new Map([[list, read.value]]) };
}

const ORIGINALS = await Promise.all([
  ...FILES.map((file) => original(file, readFileSync(new URL(file, FOLDER), 'utf8'))),
  original('the starter cart', writeStarterCart()),
  original('the small cart', SMALL_CART),
]);

function cartOf(text: string, { name, lists }: Original): Cart {
  const read = readCart(text, name, lists);
  if (read.kind === 'invalid') throw new Error(read.issues.map(sentence).join('\n'));
  return read.value;
}

function edited(text: string, from: Original, edits: readonly CartEdit[]): string {
  const result = editCartFile(text, from.name, edits, from.lists);
  if (result.kind === 'refused') {
    throw new Error([...result.issues.map(sentence), JSON.stringify(edits)].join('\n'));
  }
  // a type that no castor has any more is taken out
  expect(result.warnings.filter(({ path }) => path.startsWith('castor types'))).toEqual([]);
  return result.text;
}

/** None of the originals holds a # that is no comment; names that are written may, in quotes. */
function commentsOf(text: string): readonly string[] {
  const unquoted = text.replace(/"(?:[^"\\\n]|\\.)*"/g, '""');
  return [...unquoted.matchAll(/(?<=^|\s)#[^\r\n]*/gm)].map(([comment]) => comment).sort();
}

/** Those of the comments that are no longer there. */
function missingComments(before: string, after: string): readonly string[] {
  const left = [...commentsOf(after)];
  return commentsOf(before).filter((comment) => {
    const at = left.indexOf(comment);
    if (at >= 0) left.splice(at, 1);
    return at < 0;
  });
}

/** Indices of lines of `a` that are not in `b`, by a longest common subsequence. */
function removedLines(a: readonly string[], b: readonly string[]): readonly string[] {
  const width = b.length + 1;
  const common = new Uint16Array((a.length + 1) * width);
  for (let i = a.length - 1; i >= 0; i -= 1) {
    for (let j = b.length - 1; j >= 0; j -= 1) {
      common[i * width + j] =
        a[i] === b[j]
          ? common[(i + 1) * width + j + 1]! + 1
          : Math.max(common[(i + 1) * width + j]!, common[i * width + j + 1]!);
    }
  }
  const removed: string[] = [];
  let [i, j] = [0, 0];
  while (i < a.length) {
    if (j < b.length && a[i] === b[j]) [i, j] = [i + 1, j + 1];
    else if (j < b.length && common[i * width + j + 1]! >= common[(i + 1) * width + j]!) j += 1;
    else {
      removed.push(a[i]!);
      i += 1;
    }
  }
  return removed;
}

/** What stands at the start of a line that an edit of a kind may change, and how many such lines. */
const CONCERNED: Readonly<Record<CartEdit['kind'], readonly [RegExp, number]>> = {
  rename: [/^name:/, 1],
  'castor lock': [/^ +(?:lock|brake torque|lock directions):/, 3],
  'castor place': [/^ +at:/, 1],
  // the type of the castor, and its old type where no other castor has it
  'castor kind': [
    /^ +(?:- name|type|wheel diameter|trail|swivel moment|rolling length|stiffness|rating|tread):/,
    9,
  ],
  friction: [/^ +- \{tread:/, 1],
  'add part': [/^$/, 0],
  'part mass': [/^ +(?:mass|from list):/, 1],
  'part place': [/^ +at:/, 1],
  'mover range': [/^ +(?:slide|turn|from|to|stops|transport|use|lift):/, 6],
  'position mover': [/^ +(?:transport|use|lift):/, 1],
  'position load': [/^ +(?:loads|supplies):/, 2],
  'add marking': [/^markings:/, 1],
  raise: [/^ +(?:at|about|turn|box|cylinder|from|to|foothold|work surface|pushing|lifting):/, 60],
};

describe('edits drawn at random', () => {
  test.each(ORIGINALS)(
    '$name: one edit changes the lines that it concerns only, and no comment (seed 41)',
    (from) => {
      const random = seededRandom(41);
      const cart = cartOf(from.text, from);
      for (let round = 0; round < 12; round += 1) {
        const edits = randomEdits(cart, 1, random);
        const [edit] = edits;
        if (edit === undefined) continue;
        const text = edited(from.text, from, edits);
        const [allowed, most] = CONCERNED[edit.kind];
        const removed = removedLines(from.text.split('\n'), text.split('\n'));
        expect(removed.filter((line) => !allowed.test(line))).toEqual([]);
        expect(removed.length).toBeLessThanOrEqual(most);
        expect(missingComments(from.text, text)).toEqual([]);
        expect(text.split('\n').some((line) => /\s$/.test(line))).toBe(false);
      }
    },
  );

  test.each(ORIGINALS)(
    '$name: the edited text reads as the edited cart, and again unchanged (seed 42)',
    (from) => {
      const random = seededRandom(42);
      const cart = cartOf(from.text, from);
      for (let round = 0; round < 6; round += 1) {
        const edits = randomEdits(cart, 1 + Math.floor(random() * 8), random);
        const text = edited(from.text, from, edits);
        const after = cartOf(text, from);
        expect(cartDifference(after, editCart(cart, edits)), JSON.stringify(edits)).toBeNull();
        expect(missingComments(from.text, text)).toEqual([]);
        expect(edited(text, from, [])).toBe(text);
      }
    },
  );

  const STYLES: readonly (readonly [string, (text: string) => string])[] = [
    ['with carriage returns', (text) => text.replaceAll('\n', '\r\n')],
    ['with a byte order mark', (text) => `\ufeff${text.replaceAll('\n', '\r\n')}`],
    ['without a last line end', (text) => text.trimEnd()],
    ['in block style throughout', (text) => stringify(parse(text))],
    ['in flow style throughout', (text) => stringify(parse(text), { collectionStyle: 'flow' })],
    ['as indented JSON', (text) => JSON.stringify(parse(text), null, 2)],
    ['as JSON on one line', (text) => JSON.stringify(parse(text))],
    ['with blank lines', (text) => text.replace(/\n( +- name)/g, '\n\n$1')],
  ];

  test.each(STYLES)('are written into files %s (seed 43)', (_, restyled) => {
    const random = seededRandom(43);
    for (const from of ORIGINALS) {
      const text = restyled(from.text);
      const cart = cartOf(text, from);
      for (let round = 0; round < 3; round += 1) {
        const edits = randomEdits(cart, 1 + Math.floor(random() * 6), random);
        const result = edited(text, from, edits);
        const difference = cartDifference(cartOf(result, from), editCart(cart, edits));
        expect(difference, JSON.stringify(edits)).toBeNull();
        expect(missingComments(text, result)).toEqual([]);
        const [feeds, returns] = [/\n/g, /\r\n/g].map((end) => result.match(end)?.length ?? 0);
        expect(returns).toBe(text.includes('\r') ? feeds : 0);
        expect(result.startsWith('\ufeff')).toBe(text.startsWith('\ufeff'));
        if (text.startsWith('{"')) expect(parse(result)).toEqual(JSON.parse(result));
      }
    }
  });

  test('a raise and its way back restore the text, but for the form of a number', () => {
    for (const from of ORIGINALS.filter(({ lists }) => lists.size === 0)) {
      const up = edited(from.text, from, [{ kind: 'raise', by: 0.0254 }]);
      const down = edited(up, from, [{ kind: 'raise', by: -0.0254 }]);
      expect(down).toBe(from.text);
    }
  });

  test.each(ORIGINALS)('$name: edits that change nothing leave the text as it is', (from) => {
    const cart = cartOf(from.text, from);
    const edits: CartEdit[] = [
      { kind: 'rename', name: cart.name },
      { kind: 'raise', by: 0 },
      ...cart.castors.flatMap((castor): CartEdit[] => [
        { kind: 'castor lock', castor: castor.name, ...castor },
        { kind: 'castor place', castor: castor.name, at: castor.at },
        { kind: 'castor kind', castor: castor.name, becomes: castor },
      ]),
      ...cart.parts.flatMap((part): CartEdit[] => [
        { kind: 'part mass', part: part.name, mass: part.mass },
        { kind: 'part place', part: part.name, at: part.at },
      ]),
      ...cart.movers.map(({ name, from: least, to }): CartEdit => {
        return { kind: 'mover range', mover: name, from: least, to };
      }),
      ...cart.positions.flatMap(({ name, movers, loads }): CartEdit[] => [
        ...Object.entries(movers).map(([mover, range]): CartEdit => {
          return { kind: 'position mover', position: name, mover, ...range };
        }),
        ...Object.entries(loads).map(([load, state]): CartEdit => {
          return { kind: 'position load', position: name, load, state };
        }),
      ]),
      ...cart.markings.map((marking): CartEdit => ({ kind: 'add marking', marking })),
      ...cart.floor.friction.map(({ tread, value, tolerance, basis }): CartEdit => {
        return { kind: 'friction', tread, value, tolerance, basis };
      }),
    ];
    expect(edits.every((edit) => editProblem(cart, edit) === null)).toBe(true);
    expect(edited(from.text, from, edits)).toBe(from.text);
  });
});

describe('names that YAML would take for something else', () => {
  test.each(HOSTILE_NAMES)('%s stays text', (name) => {
    const [from] = ORIGINALS;
    if (from === undefined) throw new Error('no example');
    const cart = cartOf(from.text, from);
    const tread = cart.floor.friction[0]?.tread ?? '';
    const edits: CartEdit[] = [
      { kind: 'rename', name },
      { kind: 'add part', name, mass: 1, at: [0, 0, 0.1], on: null },
      { kind: 'friction', tread: name, value: 0.5, tolerance: 0.1, basis: 'assumed' },
    ];
    const styles = [from.text, JSON.stringify(parse(from.text)), stringify(parse(from.text))];
    for (const text of styles) {
      const after = cartOf(edited(text, from, edits), from);
      expect(after.name).toBe(name.normalize('NFC'));
      expect(after.parts.at(-1)?.name).toBe(name.normalize('NFC'));
      expect(after.floor.friction.map((each) => each.tread)).toEqual([
        tread,
        name.normalize('NFC'),
      ]);
    }
  });
});
