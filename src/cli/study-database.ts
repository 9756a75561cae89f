/** The PostgreSQL database of studies that several machines share: its address, and words about it. */

import type { JobFailure, PostgresStudies, StudyStore } from '../study-runs/index.js';
import {
  databaseErrorInWords,
  openPostgresStudies,
  readAddress,
  StudyStoreError,
  UselessWorkerError,
} from '../study-runs/index.js';
import { EXIT } from './exit-codes.js';
import { tell } from './messages.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';
import type { Surroundings } from './surroundings.js';

export interface DatabaseWishes {
  /** address; true: the environment has it */
  readonly database: string | true;
}

/** An address with a password is better off here: everybody on the machine can read a command line. */
export const DATABASE_VARIABLE = 'STANDSTILL_DATABASE';

function addressOf({ database }: DatabaseWishes, around: Surroundings): Outcome<string> {
  if (database !== true) return checkedAddress('--database', database);
  const address = around.environment[DATABASE_VARIABLE];
  if (address !== undefined && address !== '') return checkedAddress(DATABASE_VARIABLE, address);
  return bad(
    `--database: has no address, and ${DATABASE_VARIABLE} is not set; allowed: either of them`,
  );
}

function checkedAddress(from: string, text: string): Outcome<string> {
  const address = readAddress(text);
  if (address.kind === 'invalid') return bad(`${from}: ${address.problem}`);
  if (from === DATABASE_VARIABLE || !address.value.holdsPassword) return fine(text);
  return fine(text, [
    `${from}: others on this machine can read a password on the command line; in ${DATABASE_VARIABLE} they cannot`,
  ]);
}

/** Closes the database whatever happens; what it refuses is bad input. */
export async function withDatabase(
  wishes: DatabaseWishes,
  around: Surroundings,
  use: (studies: PostgresStudies) => Promise<Outcome<number>>,
): Promise<Outcome<number>> {
  const address = addressOf(wishes, around);
  if (address.kind === 'bad input') return address;
  let place = '--database';
  try {
    const studies = await openPostgresStudies(address.value);
    place = studies.place;
    const open = studies.open
      ? [
          `${place}: the connection is not encrypted; sslmode=verify-full in the address makes it so`,
        ]
      : [];
    tell(around, [...address.warnings, ...open]);
    try {
      return await use(studies);
    } finally {
      await studies.close();
    }
  } catch (error) {
    const told = databaseErrorInWords(place, error);
    if (told instanceof StudyStoreError) return bad(told.message);
    if (!(error instanceof UselessWorkerError)) throw error;
    const kept = `${place}: what is done is kept, and other machines may go on`;
    return fine(EXIT.internal, [`internal error: ${error.message}`, kept]);
  }
}

/** The work that failed, a line each, for the error stream. */
export function failureLines(
  failures: readonly JobFailure[],
  { blockSize }: Pick<StudyStore, 'blockSize'>,
): string[] {
  return failures.map(({ job, attempts, reason, final }) => {
    const what = workWords(job, blockSize);
    const next = final
      ? 'it is not tried again unless --retry-failed asks for it'
      : 'to be tried again';
    return `${what} failed ${attempts === 1 ? 'once' : `${attempts} times`}, ${next}; the last time: ${reason}`;
  });
}

function workWords({ kind, number }: JobFailure['job'], blockSize: number): string {
  switch (kind) {
    case 'block':
      return `screening the variants from ${number * blockSize} on`;
    case 'front':
      return 'choosing the best variants';
    case 'proof':
      return `proving variant ${number}`;
  }
}
