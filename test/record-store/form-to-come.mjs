// A form of the tables that may come after all that there are: every row is written anew, which takes a
// moment in which a process can be killed.
import { sql } from 'kysely';

/** @type {import('../../src/record-store/record-migrations.js').RecordMigration} */
export const FORM_TO_COME = {
  name: '999-a-form-to-come',
  up: async (db) => {
    await sql`drop trigger entry_stays`.execute(db);
    await sql`alter table entry add column place text`.execute(db);
    for (let i = 0; i < 20; i += 1) {
      await sql`update entry set place = ${'bench '.repeat(50) + i}`.execute(db);
    }
    await sql`create trigger entry_stays before update on entry begin select raise(abort, 'stays'); end`.execute(
      db,
    );
  },
};
