/** A file of test records of a test's own. */

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'libsql';
import { openRecords } from '../../src/record-store/index.js';
import type { RecordPlace } from './store-conformance.js';
import { NOW } from './store-conformance.js';

const GUARDS = ['stays', 'remains', 'is_not_replaced'];

export async function sqlitePlace(): Promise<RecordPlace & { readonly file: string }> {
  const folder = mkdtempSync(join(tmpdir(), 'standstill-records-'));
  const file = join(folder, 'records.sqlite');
  const raw = async (statement: string) => rawSqlite(file, statement);
  return {
    file,
    open: () => openRecords(file, { now: () => NOW }),
    raw,
    unguard: async () => {
      for (const name of GUARDS) {
        for (const table of ['entry', 'file']) await raw(`drop trigger ${table}_${name}`);
      }
    },
    clean: async () => rmSync(folder, { recursive: true }),
  };
}

export function rawSqlite(file: string, statement: string): readonly unknown[] {
  const database = new Database(file);
  try {
    // constraints between rows put aside, as far as a test tampers
    database.pragma(`foreign_keys = ${/^(update|delete)/.test(statement) ? 'off' : 'on'}`);
    const prepared = database.prepare(statement);
    if (prepared.reader) return prepared.all();
    prepared.run();
    return [];
  } finally {
    database.close();
  }
}
