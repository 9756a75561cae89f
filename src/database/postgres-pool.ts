/** Connections to a PostgreSQL server, its version, and a lock for what only one may do at a time. */

import pg from 'pg';
import type { DatabaseAddress } from './postgres-address.js';

/** What pg-boss 10, the queue of studies, asks for; the rest would run on less. */
export const LEAST_SERVER = 13;

/** Connections of one process. Its statements take some ms each, so a few serve many. */
const CONNECTIONS = 4;
/** ms to wait for a connection */
const CONNECT_PATIENCE = 10_000;

function clientConfig({ url }: DatabaseAddress): pg.ClientConfig {
  return {
    connectionString: url,
    application_name: 'standstill',
    connectionTimeoutMillis: CONNECT_PATIENCE,
    keepAlive: true,
  };
}

export function makePool(address: DatabaseAddress): pg.Pool {
  const pool = new pg.Pool({ ...clientConfig(address), max: CONNECTIONS });
  // A lost connection is met by the statement that needs it, and the pool makes a new one. Node would
  // end the process over an error event that nobody listens to.
  pool.on('error', () => {});
  pool.on('connect', (client) => client.on('error', () => {}));
  return pool;
}

/** @param version as `server_version_num` has it; @returns null where it will do */
export function serverProblem(version: number): string | null {
  const major = Math.floor(version / 10_000);
  if (major >= LEAST_SERVER) return null;
  return `the server is PostgreSQL ${major}; allowed: ${LEAST_SERVER} or newer`;
}

/** @returns what is wrong with the server's version, null: nothing; @throws what the driver throws */
export async function versionProblem(pool: pg.Pool): Promise<string | null> {
  const { rows } = await pool.query('SHOW server_version_num');
  return serverProblem(Number(rows[0].server_version_num));
}

/** One at a time in the whole database, whatever has the same name. The lock is held by a session of its
 * own: one of the pool's could be what `act` waits for. */
export async function alone<T>(
  address: DatabaseAddress,
  name: string,
  act: () => Promise<T>,
): Promise<T> {
  const client = new pg.Client(clientConfig(address));
  client.on('error', () => {});
  await client.connect();
  try {
    await client.query('SELECT pg_advisory_lock(hashtextextended($1, 0))', [name]);
    return await act();
  } finally {
    // The lock ends with the session, whatever state that is in.
    await client.end().catch(() => {});
  }
}
