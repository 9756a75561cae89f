import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { sectionsOf } from '../../src/document/field-sections.js';
import type { FieldNode, FieldPath } from '../../src/document/index.js';
import { changeFields, readFields, writeStarterCart } from '../../src/document/index.js';
import { issueLog } from '../../src/document/issue-log.js';
import { withoutByteOrderMark } from '../../src/document/text-checks.js';
import type { YamlNode } from '../../src/document/yaml-tree.js';
import { readYamlTree } from '../../src/document/yaml-tree.js';
import { seededRandom } from '../reference/random.js';
import { mutatedCartFile } from './mutated-cart-file.js';
import {
  comparable,
  dataOf,
  faultsOfChange,
  lostComments,
  randomChange,
} from './random-field-changes.js';
import { SMALL_CART } from './small-cart.js';

const FOLDER = new URL('../../examples/', import.meta.url);
const EXAMPLES = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.cart.yaml'))
  .map((file) => [file, readFileSync(new URL(file, FOLDER), 'utf8')] as const);

function fieldsOf(text: string): FieldNode {
  const fields = readFields(text);
  if (fields === null) throw new Error('fieldsOf: no YAML map');
  return fields;
}

interface Leaf {
  readonly path: FieldPath;
  readonly text: string;
  readonly value: unknown;
}

function leavesOf(node: FieldNode, path: FieldPath = []): readonly Leaf[] {
  if (node.kind === 'scalar') return [{ path, text: node.text, value: node.value }];
  return node.kind === 'map'
    ? node.entries.flatMap((entry) => leavesOf(entry.node, [...path, entry.key]))
    : node.items.flatMap((item, index) => leavesOf(item, [...path, index]));
}

/** The fields as the plain data that a YAML library makes of a text. */
function plain(node: FieldNode): unknown {
  if (node.kind === 'scalar') return node.value ?? '';
  if (node.kind === 'list') return node.items.map(plain);
  const entries = node.entries.map(({ key, node: value }) => [key, plain(value)] as const);
  return entries.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
}

describe.each(EXAMPLES)('%s', (_, text) => {
  test('has the fields that a YAML library reads', () => {
    expect(plain(fieldsOf(text))).toEqual(comparable(dataOf(text)));
  });

  test('is the same to the byte when every value is set to itself', () => {
    const leaves = leavesOf(fieldsOf(text));
    expect(leaves.length).toBeGreaterThan(100);
    for (const leaf of leaves) {
      const value = typeof leaf.value === 'string' ? leaf.value : { typed: leaf.text };
      const result = changeFields(text, [{ kind: 'set', path: leaf.path, value }]);
      expect(result).toEqual({ kind: 'ok', text });
    }
  });

  test('keeps all but one value when every seventh is set in turn, and comes back', () => {
    const leaves = leavesOf(fieldsOf(text)).filter((__, index) => index % 7 === 1);
    for (const { path, text: typed, value } of leaves) {
      const there = changeFields(text, [{ kind: 'set', path, value: { typed: '7.50 stone' } }]);
      if (there.kind === 'refused') throw new Error(there.reason);
      expect(lostComments(text, there.text)).toEqual([]);
      const back = typeof value === 'string' ? value : { typed };
      expect(changeFields(there.text, [{ kind: 'set', path, value: back }])).toEqual({
        kind: 'ok',
        text,
      });
    }
  });
});

const SHARED = SMALL_CART.replace('    mass: 20 kg', '    mass: &m 20 kg')
  .replace('    mass: 5 kg', '    mass: *m')
  .replace('at: [0 mm, 0 mm, 100 mm]', 'at: &p [0 mm, 0 mm, 100 mm]')
  .replace('at: [0 mm, 0 mm, 500 mm]', 'at: *p');

const TEXTS: readonly string[] = [
  ...EXAMPLES.map(([, text]) => text),
  writeStarterCart(),
  writeStarterCart().replaceAll('\n', '\r\n'),
  SMALL_CART,
  `\ufeff${SMALL_CART.trimEnd()}`,
  JSON.stringify(parse(SMALL_CART)),
  JSON.stringify(parse(SMALL_CART), null, 1),
  SHARED,
];

test('100 sequences of random changes say what they should, comments kept (seed 81)', () => {
  const random = seededRandom(81);
  const faults: string[] = [];
  for (let i = 0; i < 100; i += 1) {
    let text = TEXTS[i % TEXTS.length] ?? '';
    for (let j = 0; j < 3; j += 1) {
      const after = faultsOfChange(text, randomChange(fieldsOf(text), random));
      faults.push(...after.faults);
      text = after.text;
    }
  }
  expect(faults).toEqual([]);
});

test('150 spoiled files read piece by piece say what they say as a whole (seed 82)', () => {
  const originals = TEXTS.slice(0, 8).map((text) => ({ text, tree: parse(text) }));
  const random = seededRandom(82);
  let inPieces = 0;
  for (let i = 0; i < 150; i += 1) {
    const text = withoutByteOrderMark(mutatedCartFile(originals, random));
    const whole = readYamlTree(text, issueLog('', [0]));
    if (sectionsOf(text) !== null) inPieces += 1;
    expect(readFields(text)).toEqual(whole?.kind === 'map' ? fieldsOfTree(whole) : null);
  }
  expect(inPieces).toBeGreaterThan(50);
});

function fieldsOfTree(node: YamlNode): FieldNode {
  if (node.kind === 'scalar') return { kind: 'scalar', text: node.source, value: node.value };
  if (node.kind === 'list') return { kind: 'list', items: node.items.map(fieldsOfTree) };
  const entries = node.entries.map((entry) => ({ key: entry.key, node: fieldsOfTree(entry.node) }));
  return { kind: 'map', entries };
}
