/**
 * The tables of the test records, the same in SQLite and PostgreSQL.
 *
 * `text` of an entry is the canonical JSON that its hash is made of: SHA-256 of that column, as it stands,
 * is the column `hash`. The columns before it repeat what is searched for, so that constraints can hold it;
 * whatever reads a row compares them with the text. Who, when and why stand in the text alone (a database's
 * own JSON functions find them there).
 */

export interface RecordTables {
  entry: EntryTable;
  file: FileTable;
}

export interface EntryTable {
  /** id of the project's first entry */
  project: string;
  /** 1, 2, 3 ... in its project */
  sequence: number;
  id: string;
  /** id of the record's first entry */
  subject: string;
  base: string | null;
  kind: string;
  /** the store's clock */
  received: string;
  hash: string;
  text: string;
}

export interface FileTable {
  /** SHA-256 of the bytes, lower-case hex */
  hash: string;
  media: string;
  bytes: Uint8Array;
}
