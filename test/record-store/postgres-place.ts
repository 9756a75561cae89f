/** Test records in a database of a server that the tests share. */

import pg from 'pg';
import { openRecords } from '../../src/record-store/index.js';
import type { RecordPlace } from './store-conformance.js';
import { NOW } from './store-conformance.js';

/** @param url of a database in which nothing else is kept; it is empty again afterwards */
export async function postgresPlace(url: string): Promise<RecordPlace> {
  const client = new pg.Client({ connectionString: url });
  client.on('error', () => {});
  await client.connect();
  await client.query('set search_path to standstill_records');
  const raw = async (statement: string) => (await client.query(statement)).rows;
  return {
    open: () => openRecords(url, { now: () => NOW }),
    raw,
    unguard: async () => {
      for (const table of ['entry', 'file']) await raw(`alter table ${table} disable trigger all`);
    },
    clean: async () => {
      await raw('drop schema if exists standstill_records cascade');
      await client.end();
    },
  };
}
