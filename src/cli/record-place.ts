/** The place of test records on a command line: a file, or the address of a database. */

import { readAddress } from '../database/index.js';
import type { RecordStore } from '../record-store/index.js';
import { openRecords, RecordStoreError } from '../record-store/index.js';
import { fileExists } from './files.js';
import { tell } from './messages.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';
import { quoted } from './shell-words.js';
import type { Surroundings } from './surroundings.js';

export interface RecordPlace {
  /** as it was given */
  readonly place: string;
  readonly isFile: boolean;
  /** as it may be shown: without a password */
  readonly shown: string;
}

/** @param from argument or option, for messages */
export function recordPlace(text: string, from = 'PLACE'): Outcome<RecordPlace> {
  if (!/^postgres(ql)?:/.test(text)) return fine({ place: text, isFile: true, shown: text });
  const address = readAddress(text);
  if (address.kind === 'invalid') return bad(`${from}: ${address.problem}`);
  const { shown, holdsPassword, open } = address.value;
  const warnings = [
    ...(holdsPassword
      ? [
          `${from}: others on this machine can read a password on the command line; in PGPASSWORD or a password file of PostgreSQL they cannot`,
        ]
      : []),
    ...(open
      ? [
          `${shown}: the connection is not encrypted; sslmode=verify-full in the address makes it so`,
        ]
      : []),
  ];
  return fine({ place: text, isFile: false, shown }, warnings);
}

/**
 * Closes the place whatever happens; what is wrong with it is bad input.
 *
 * @param isToBeMade a file that is not there is made, not told
 */
export async function withRecords(
  text: string,
  isToBeMade: boolean,
  around: Surroundings,
  use: (store: RecordStore) => Promise<Outcome<number>>,
): Promise<Outcome<number>> {
  const place = recordPlace(text);
  if (place.kind === 'bad input') return place;
  tell(around, place.warnings);
  if (place.value.isFile && !isToBeMade && !(await fileExists(text))) {
    return bad(
      `${text}: there is no such file; a project of its own makes one: standstill records new ${quoted(text)} --project NAME --who NAME`,
    );
  }
  try {
    const store = await openRecords(text, { now: around.now });
    try {
      return await use(store);
    } finally {
      await store.close();
    }
  } catch (error) {
    if (error instanceof RecordStoreError) return bad(error.message);
    throw error;
  }
}
