/** Running a study: worker threads, databases, and a queue for several machines. */

export type { StudyStore } from './store.js';
