/** Databases: opening an SQLite file of ours, addresses of PostgreSQL, what they refuse in words. */

export type { DatabaseAddress, DatabaseTrouble, ReadAddress } from './postgres-address.js';
export { codeOf, databaseTrouble, readAddress } from './postgres-address.js';
export { alone, LEAST_SERVER, makePool, serverProblem, versionProblem } from './postgres-pool.js';
export type {
  OpenedSqlite,
  SqliteKind,
  SqliteProblem,
  SqliteTrouble,
} from './sqlite-file.js';
export {
  immediately,
  isLock,
  openSqliteFile,
  RECORD_FILE,
  STUDY_FILE,
  sqliteTrouble,
} from './sqlite-file.js';
