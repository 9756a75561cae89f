/** What the two databases do differently for test records. */

import type { Kysely } from 'kysely';
import type { RecordStore } from './record-store.js';
import type { RecordTables } from './tables.js';

export interface RecordDatabase {
  /** without a password */
  readonly place: string;
  readonly kind: RecordStore['kind'];
  readonly db: Kysely<RecordTables>;
  /**
   * One transaction, during which nobody else writes to what has this name (a project, a file). What it
   * reads is what others have committed before it began. All that `act` does goes through the connection it
   * is given.
   */
  readonly alone: <T>(
    name: string,
    act: (connection: Kysely<RecordTables>) => Promise<T>,
  ) => Promise<T>;
  /**
   * Does it, and does it again while another process holds the file or the server is away, until patience
   * ends. So it has to be something that may be done twice.
   *
   * @throws RecordStoreError for what the database refuses
   */
  readonly attempt: <T>(act: () => Promise<T>) => Promise<T>;
  readonly close: () => Promise<void>;
}

/** ms; a transaction takes some ms. */
export const USUAL_PATIENCE = 10_000;
