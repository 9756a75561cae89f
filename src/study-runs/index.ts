/** Running a study: worker threads, databases, and a queue for several machines. */

export { readAddress } from '../database/index.js';
export type { KeptStudy, OpeningOptions } from './database-store.js';
export type { BeginOptions, PostgresStudies, SharedStudy } from './postgres-studies.js';
export {
  databaseErrorInWords,
  openPostgresStudies,
  USUAL_LEASE,
} from './postgres-studies.js';
export type { WorkEnd } from './queue-worker.js';
export { UselessWorkerError } from './queue-worker.js';
export type { SharedRunOptions, SharedRunsOptions, StudyNews } from './run-shared-study.js';
export {
  runSharedStudies,
  runSharedStudy,
  submitSharedStudy,
} from './run-shared-study.js';
export type { RunOptions, StudyProgress } from './run-study.js';
export { runStudy } from './run-study.js';
export type { SqliteOptions } from './sqlite-store.js';
export { openSqliteStore, readSqliteStore, sqliteProblem } from './sqlite-store.js';
export type { StudyStore, StudyTally } from './store.js';
export type { StoreProblem } from './store-error.js';
export { StudyStoreError } from './store-error.js';
export type { CsvWishes } from './study-csv.js';
export { streamStudyCsv, writeStudyCsv } from './study-csv.js';
export type { JobFailure, QueueCounts, StudyJob } from './study-queue.js';
export type { PoolOptions } from './worker-pool.js';
export { VariantTaskError } from './worker-pool.js';
