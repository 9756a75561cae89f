/** What a failed statement means for a study in a PostgreSQL database. */

import type { DatabaseTrouble } from '../database/index.js';
import { codeOf, databaseTrouble } from '../database/index.js';

/** SQLSTATE: a foreign key that leads nowhere. Every foreign key of a study's tables leads to the study. */
const STUDY_GONE = '23503';

/** The statement was about a study that is not there any more. */
export function saysStudyIsGone(error: unknown): boolean {
  return codeOf(error) === STUDY_GONE;
}

export function studyTrouble(error: unknown): DatabaseTrouble {
  if (!saysStudyIsGone(error)) return databaseTrouble(error);
  const said = error instanceof Error ? ` (${error.message})` : '';
  return { kind: 'refused', reason: `the study was removed from the database meanwhile${said}` };
}
