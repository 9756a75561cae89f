/** A server with a folder and a page of its own, and a client that is let in. */

import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import type { IncomingHttpHeaders } from 'node:http';
import { request } from 'node:http';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { ServerOptions, WorkbenchServer } from '../../src/server/index.js';
import { startServer } from '../../src/server/index.js';

export interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly text: string;
}

export interface Running {
  readonly folder: string;
  readonly server: WorkbenchServer;
  /** 'standstill-PORT=...' */
  readonly cookie: string;
  /** as the page asks: with the cookie, and what a change needs */
  readonly ask: (method: string, path: string, body?: unknown) => Promise<Answer>;
  readonly stop: () => Promise<void>;
}

export const PAGE_FILES = {
  'index.html': '<!doctype html><title>page</title>',
  'assets/page-1a2b3c.js': 'export {};\n',
} as const;

export function temporaryFolder(files: Readonly<Record<string, string | Uint8Array>> = {}): string {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'standstill-server-')));
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  }
  return folder;
}

export async function runningServer(
  files: Readonly<Record<string, string | Uint8Array>> = {},
  changes: Partial<ServerOptions> = {},
): Promise<Running> {
  const page = temporaryFolder(PAGE_FILES);
  const folder = changes.folder ?? temporaryFolder(files);
  const options = { folder, page, port: 0, examples: null, version: '0.1.0', ...changes };
  const server = await startServer(options);
  const welcome = await send(server.port, 'GET', new URL(server.address).search.replace(/^/, '/'));
  const cookie = (welcome.headers['set-cookie']?.[0] ?? '').split(';')[0] ?? '';
  return {
    folder,
    server,
    cookie,
    ask: (method, path, body) => {
      const headers: Record<string, string> = { cookie, 'standstill-workbench': '1' };
      if (body !== undefined) headers['content-type'] = 'application/json';
      return send(server.port, method, path, headers, body && JSON.stringify(body));
    },
    stop: async () => {
      await server.close();
      for (const each of [page, folder]) rmSync(each, { recursive: true, force: true });
    },
  };
}

/** One request, its headers exactly these (and a right host where none is given). */
export function send(
  port: number,
  method: string,
  path: string,
  headers: Readonly<Record<string, string>> = {},
  body?: unknown,
): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asked = request(
      { host: '127.0.0.1', port, method, path, headers, agent: false },
      (response) => {
        const pieces: Buffer[] = [];
        response.on('data', (piece: Buffer) => pieces.push(piece));
        response.on('error', reject);
        response.on('end', () => {
          const text = Buffer.concat(pieces).toString('utf8');
          resolve({ status: response.statusCode ?? 0, headers: response.headers, text });
        });
      },
    );
    asked.on('error', reject);
    asked.end(typeof body === 'string' || body instanceof Uint8Array ? body : undefined);
  });
}

/** All that comes back for bytes of any kind. */
export function sendRaw(port: number, bytes: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, '127.0.0.1', () => socket.write(bytes, 'latin1'));
    let text = '';
    socket.on('data', (piece) => {
      text += piece.toString('latin1');
    });
    socket.on('error', reject);
    socket.on('close', () => resolve(text));
  });
}

export function json<T>({ text }: Answer): T {
  return JSON.parse(text) as T;
}
