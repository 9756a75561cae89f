/** Which version a cart file is of, and how older ones become the current one. */

import { CURRENT_VERSION, VERSION_KEY } from './cart-shape.js';
import type { IssueLog } from './issue-log.js';
import { shown } from './shape.js';
import type { YamlMap, YamlNode } from './yaml-tree.js';

export type MigrationResult =
  | { readonly kind: 'ok'; readonly root: YamlMap }
  | {
      readonly kind: 'failed';
      readonly offset: number;
      readonly path: string;
      readonly allowed: string;
    };

/** Brings a file of version `from` to version `from + 1`. */
export interface Migration {
  readonly from: number;
  readonly apply: (root: YamlMap) => MigrationResult;
}

/** In order, one for every version before the current one. Version 1 is the first. */
const MIGRATIONS: readonly Migration[] = [];

export type VersionResult =
  | { readonly kind: 'current'; readonly root: YamlMap }
  | { readonly kind: 'not ours' }
  | { readonly kind: 'bad version'; readonly node: YamlNode }
  | { readonly kind: 'too new'; readonly node: YamlNode }
  | {
      readonly kind: 'migration failed';
      readonly offset: number;
      readonly path: string;
      readonly allowed: string;
    };

/** @param migrations and `current` are arguments so that tests can try a chain of them */
export function broughtToCurrent(
  root: YamlNode,
  migrations: readonly Migration[] = MIGRATIONS,
  current: number = CURRENT_VERSION,
): VersionResult {
  if (root.kind !== 'map') return { kind: 'not ours' };
  const entry = root.entries.find((each) => each.key === VERSION_KEY);
  if (entry === undefined) return { kind: 'not ours' };
  const { node } = entry;
  const version = node.kind === 'scalar' ? node.value : null;
  if (typeof version !== 'number' || !Number.isSafeInteger(version) || version < 1) {
    return { kind: 'bad version', node };
  }
  return version > current
    ? { kind: 'too new', node }
    : migrated(root, version, migrations, current);
}

function migrated(
  root: YamlMap,
  version: number,
  migrations: readonly Migration[],
  current: number,
): VersionResult {
  let at = root;
  for (let from = version; from < current; from += 1) {
    const migration = migrations.find((each) => each.from === from);
    if (migration === undefined) throw new Error(`broughtToCurrent: no migration from ${from}`);
    const result = migration.apply(at);
    if (result.kind === 'failed') {
      const { offset, path, allowed } = result;
      return { kind: 'migration failed', offset, path, allowed };
    }
    at = result.root;
  }
  return { kind: 'current', root: at };
}

/** The root at the current version, or null with the reason in the log. */
export function currentRoot(root: YamlNode, log: IssueLog): YamlMap | null {
  const result = broughtToCurrent(root);
  switch (result.kind) {
    case 'current':
      return result.root;
    case 'not ours':
      reportVersion('not-a-cart-file', root, 'a map that holds "standstill: 1"', log);
      return null;
    case 'bad version':
      reportVersion('bad-version', result.node, versionsAllowed(), log);
      return null;
    case 'too new':
      reportVersion('too-new', result.node, `${versionsAllowed()}, or a newer program`, log);
      return null;
    case 'migration failed': {
      const { offset, path, allowed } = result;
      log.report({ code: 'migration-failed', offset, path, actual: null, allowed });
      return null;
    }
    default:
      return result satisfies never;
  }
}

function versionsAllowed(): string {
  return CURRENT_VERSION === 1 ? '1' : `1 to ${CURRENT_VERSION}`;
}

function reportVersion(
  code: 'not-a-cart-file' | 'bad-version' | 'too-new',
  node: YamlNode,
  allowed: string,
  log: IssueLog,
): void {
  log.report({ code, offset: node.offset, path: VERSION_KEY, actual: shown(node), allowed });
}
