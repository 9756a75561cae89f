import { expect, test } from 'vitest';
import type { Migration } from '../../src/document/version.js';
import { broughtToCurrent } from '../../src/document/version.js';
import type { YamlMap } from '../../src/document/yaml-tree.js';

/** A file of a version, with the names of its other fields. */
function fileOf(version: number, keys: readonly string[] = []): YamlMap {
  const scalar = (value: number) =>
    ({ kind: 'scalar', offset: 0, value, source: String(value) }) as const;
  const entries = [['standstill', version] as const, ...keys.map((key) => [key, 0] as const)];
  return {
    kind: 'map',
    offset: 0,
    entries: entries.map(([key, value]) => ({ key, keyOffset: 0, node: scalar(value) })),
  };
}

/** Renames a key, as a migration would. */
function renaming(from: number, before: string, after: string): Migration {
  return {
    from,
    apply: (root) => {
      if (!root.entries.some(({ key }) => key === before)) {
        return { kind: 'failed', offset: 7, path: before, allowed: `a field ${before}` };
      }
      const entries = root.entries.map((each) =>
        each.key === before ? { ...each, key: after } : each,
      );
      return { kind: 'ok', root: { ...root, entries } };
    },
  };
}

const CHAIN = [renaming(1, 'wheels', 'casters'), renaming(2, 'casters', 'castors')];

function keysOf(root: YamlMap): readonly string[] {
  return root.entries.map(({ key }) => key);
}

test('an old file goes through every migration in order', () => {
  const result = broughtToCurrent(fileOf(1, ['wheels']), CHAIN, 3);
  expect(result.kind === 'current' && keysOf(result.root)).toEqual(['standstill', 'castors']);
});

test('a file in between goes through the rest', () => {
  const result = broughtToCurrent(fileOf(2, ['casters']), CHAIN, 3);
  expect(result.kind === 'current' && keysOf(result.root)).toEqual(['standstill', 'castors']);
});

test('a current file is left alone', () => {
  const root = fileOf(3, ['anything']);
  expect(broughtToCurrent(root, CHAIN, 3)).toEqual({ kind: 'current', root });
});

test('a migration that fails says where', () => {
  expect(broughtToCurrent(fileOf(1, ['castors']), CHAIN, 3)).toEqual({
    kind: 'migration failed',
    offset: 7,
    path: 'wheels',
    allowed: 'a field wheels',
  });
});

test('newer files, files of no version and other files', () => {
  expect(broughtToCurrent(fileOf(4), CHAIN, 3).kind).toBe('too new');
  expect(broughtToCurrent(fileOf(0), CHAIN, 3).kind).toBe('bad version');
  expect(broughtToCurrent({ ...fileOf(1), entries: [] }, CHAIN, 3).kind).toBe('not ours');
});

test('a gap in the chain is a bug, and throws', () => {
  expect(() => broughtToCurrent(fileOf(1, ['wheels']), CHAIN.slice(0, 1), 3)).toThrow('from 2');
});
