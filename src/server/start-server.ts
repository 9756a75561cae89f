/** Starts the server of the workbench on the loopback interface. */

import { readdir, realpath, stat } from 'node:fs/promises';
import type { IncomingMessage, RequestListener, Server, ServerResponse } from 'node:http';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { getRequestListener } from '@hono/node-server';
import { sweepHalfWritten } from './atomic-write.js';
import { admissionOf } from './gate.js';
import { SAFE_HEADERS } from './headers.js';
import type { Keys } from './keys.js';
import { makeKeys } from './keys.js';
import { refuse, refuseConnection } from './plain-answer.js';
import { systemCodeOf } from './problem.js';
import { recordsAt } from './records.js';
import type { Site } from './routes.js';
import { routes } from './routes.js';

export interface ServerOptions {
  /** folder whose cart files may be opened and saved */
  readonly folder: string;
  /** folder of the built page */
  readonly page: string;
  /** 0: any free one */
  readonly port: number;
  /** folder of the examples that can be opened as a copy; null: none */
  readonly examples: string | null;
  /** plain name of the cart file that the page opens first */
  readonly opened?: string | null;
  /** of the package */
  readonly version?: string;
  /** file or database of the test records; null: a file of the folder, made when the first is kept */
  readonly records?: string | null;
  /** told of every fault of the program while it answers */
  readonly onFault?: (error: unknown) => void;
}

export interface WorkbenchServer {
  /** address to open, with the key that lets the browser in */
  readonly address: string;
  /** an address that opens once: for the arguments of a program, which other users can read */
  readonly onceAddress: () => string;
  readonly port: number;
  /** what is being saved is saved first */
  readonly close: () => Promise<void>;
}

/** Why the server did not start. */
export class WorkbenchError extends Error {
  readonly problem: 'page not built' | 'folder' | 'port taken';

  constructor(problem: WorkbenchError['problem'], cause: unknown) {
    super(`the workbench does not start: ${problem}`, { cause });
    this.problem = problem;
  }
}

const LOOPBACK = '127.0.0.1';

/** ms and bytes: far more than a browser on the same machine needs. */
const LIMITS = {
  headersTimeout: 10_000,
  requestTimeout: 60_000,
  keepAliveTimeout: 5_000,
  connectionsCheckingInterval: 2_000,
  maxHeaderSize: 16 * 1024,
} as const;
const MOST_CONNECTIONS = 200;

/** @throws WorkbenchError */
export async function startServer(options: ServerOptions): Promise<WorkbenchServer> {
  const site = await siteOf(options);
  // the gate answers itself where there is no host header
  const server = createServer({ ...LIMITS, requireHostHeader: false });
  server.maxConnections = MOST_CONNECTIONS;
  server.on('clientError', (error, socket) => refuseConnection(socket, statusOfFault(error)));
  const port = await listening(server, options.port);
  const keys = makeKeys(port);
  const work = new Set<Promise<unknown>>();
  const listener = listenerOf(site, port, keys, work);
  server.on('request', listener);
  server.on('checkContinue', listener);
  server.on('checkExpectation', listener);
  const addressWith = (key: string) => `http://${LOOPBACK}:${port}/?key=${key}`;
  return {
    address: addressWith(keys.key),
    onceAddress: () => addressWith(keys.onceKey()),
    port,
    close: async () => {
      await closed(server, work);
      await site.records.close();
    },
  };
}

async function siteOf(options: ServerOptions): Promise<Site> {
  const { page, examples, opened = null, version = '', onFault = () => {} } = options;
  const { records = null } = options;
  try {
    await stat(join(page, 'index.html'));
  } catch (error) {
    throw new WorkbenchError('page not built', error);
  }
  try {
    const path = await realpath(options.folder);
    await readdir(path);
    // a folder that cannot be written is swept by nobody, and can be looked at
    await sweepHalfWritten(path).catch(() => {});
    const realExamples = examples === null ? null : await realpath(examples);
    const folder = { path, examples: realExamples, opened, version };
    return { folder, page, records: recordsAt(path, records), onFault };
  } catch (error) {
    throw new WorkbenchError('folder', error);
  }
}

async function listening(server: Server, port: number): Promise<number> {
  try {
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen({ host: LOOPBACK, port, exclusive: true }, () => {
        server.off('error', reject);
        resolve();
      });
    });
  } catch (error) {
    // Windows keeps ranges of ports for itself and says EACCES
    if (!['EADDRINUSE', 'EACCES'].includes(systemCodeOf(error))) throw error;
    throw new WorkbenchError('port taken', error);
  }
  return (server.address() as AddressInfo).port;
}

/** @param work what is being answered: it goes on though who asked has gone */
function listenerOf(
  site: Site,
  port: number,
  keys: Keys,
  work: Set<Promise<unknown>>,
): RequestListener {
  const { fetch } = routes(site);
  const watched = async (...asked: Parameters<typeof fetch>): Promise<Response> => {
    const answering = Promise.resolve(fetch(...asked));
    work.add(answering);
    try {
      return await answering;
    } finally {
      work.delete(answering);
    }
  };
  const answer = getRequestListener(watched, { overrideGlobalObjects: false });
  return (request, response) => {
    for (const [name, value] of Object.entries(SAFE_HEADERS)) response.setHeader(name, value);
    const admission = admissionOf(request, port, keys);
    if (admission.kind === 'in') void admitted(request, response, answer);
    else if (admission.kind === 'welcome') welcome(response, keys);
    else {
      const isApi = request.url?.startsWith('/api/') === true;
      void refuse(response, admission.status, admission, isApi);
    }
  };
}

async function admitted(
  request: IncomingMessage,
  response: ServerResponse,
  answer: RequestListener,
): Promise<void> {
  const { expect } = request.headers;
  if (expect === undefined) return void answer(request, response);
  if (expect.toLowerCase() === '100-continue') {
    response.writeContinue();
    return void answer(request, response);
  }
  const problem = 'The header expect is not understood here.';
  await refuse(response, 417, { code: 'bad request', problem }, true);
}

function welcome(response: ServerResponse, keys: Keys): void {
  response.statusCode = 303;
  response.setHeader(
    'set-cookie',
    `${keys.cookieName}=${keys.cookieValue}; Path=/; HttpOnly; SameSite=Strict`,
  );
  response.setHeader('location', '/');
  response.end();
}

function statusOfFault(error: Error): number {
  switch (systemCodeOf(error)) {
    case 'HPE_HEADER_OVERFLOW':
      return 431;
    case 'ERR_HTTP_REQUEST_TIMEOUT':
      return 408;
    default:
      return 400;
  }
}

/** ms that answers under way may still take. */
const LAST_ANSWERS = 3_000;
const LOOK_AGAIN = 20;

/** Browsers keep connections for later; one that has had its answer is closed. */
async function closed(server: Server, work: ReadonlySet<Promise<unknown>>): Promise<void> {
  const ended = new Promise<void>((resolve) => server.close(() => resolve()));
  const idle = setInterval(() => server.closeIdleConnections(), LOOK_AGAIN);
  const late = setTimeout(() => server.closeAllConnections(), LAST_ANSWERS);
  await ended;
  clearInterval(idle);
  clearTimeout(late);
  // a save whose page has closed is saved all the same
  await Promise.allSettled(work);
}
