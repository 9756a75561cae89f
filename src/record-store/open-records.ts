/** Opens a place for test records, making or migrating its tables. */

import { databaseStore } from './database-store.js';
import { openPostgresRecords } from './postgres-records.js';
import type { RecordMigration } from './record-migrations.js';
import { RECORD_MIGRATIONS } from './record-migrations.js';
import type { RecordStore, RecordStoreOptions } from './record-store.js';
import { openSqliteRecords } from './sqlite-records.js';

/**
 * A file of an older form is copied beside itself before it is migrated; a PostgreSQL database is not
 * (`pg_dump` does that). A migration that fails leaves all as it was.
 *
 * @param place a file, or an address postgres://USER@HOST:PORT/DATABASE
 * @throws RecordStoreError
 */
export async function openRecords(
  place: string,
  options: RecordStoreOptions,
): Promise<RecordStore> {
  return openRecordsInForm(place, RECORD_MIGRATIONS, options);
}

/** `openRecords` with other forms than those of this version, for the tests of migrations. */
export async function openRecordsInForm(
  place: string,
  migrations: readonly RecordMigration[],
  options: RecordStoreOptions,
): Promise<RecordStore> {
  const open = /^postgres(ql)?:\/\//.test(place) ? openPostgresRecords : openSqliteRecords;
  return databaseStore(await open(place, migrations, options), options.now);
}
