/** Where test records are kept. */

export { writeArchive } from './archive.js';
export { readArchiveFile, verifyArchiveFile, writeArchiveFile } from './archive-file.js';
export type { ArchiveCount, ArchiveLimits } from './archive-lines.js';
export type { ArchiveOptions, ArchiveRead } from './archive-reading.js';
export { readArchive, verifyArchive } from './archive-reading.js';
export { openRecords } from './open-records.js';
export type {
  KeptFile,
  ProjectSummary,
  RecordStore,
  RecordStoreOptions,
  RecordStoreProblem,
  RecordVerification,
} from './record-store.js';
export { RecordStoreError } from './record-store.js';
export { MOST_ENTRY_TEXT } from './submission.js';
