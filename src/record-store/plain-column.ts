/** Columns of text, read so that no content of theirs ends the process. */

import type { AliasedRawBuilder, Kysely } from 'kysely';
import { SqliteAdapter, sql } from 'kysely';
import type { RecordTables } from './tables.js';

/**
 * SQLite takes any bytes for text, and its driver ends the whole process over some that are no UTF-8: a faulty
 * disk would take the server with it, and `verify` could not say where. There the column comes as its bytes (see
 * `textOf`). PostgreSQL keeps no such text.
 */
export function plainColumn<T, C extends string>(
  db: Kysely<RecordTables>,
  table: keyof RecordTables,
  column: C,
): AliasedRawBuilder<T, C> {
  const there = sql.ref(`${table}.${column}`);
  const isSqlite = db.getExecutor().adapter instanceof SqliteAdapter;
  return (isSqlite ? sql<T>`cast(${there} as blob)` : sql<T>`${there}`).as(column);
}
