/** Answers made without the application: refusals at the gate, and to what is no request at all. */

import type { ServerResponse } from 'node:http';
import { STATUS_CODES } from 'node:http';
import type { Duplex } from 'node:stream';
import { html } from 'hono/html';
import type { ProblemAnswer } from './api.js';
import { SAFE_HEADERS } from './headers.js';

/** A page in words, without style: it is shown where the style is not let through. */
async function pageOf({ problem }: ProblemAnswer): Promise<string> {
  return String(
    await html`<!doctype html>
<html lang="en">
<meta charset="utf-8">
<title>Standstill</title>
<p>${problem}</p>
</html>
`,
  );
}

async function contentOf(answer: ProblemAnswer, isApi: boolean): Promise<[string, string]> {
  if (isApi) return ['application/json', JSON.stringify(answer)];
  return ['text/html; charset=utf-8', await pageOf(answer)];
}

/** @param isApi JSON, for the page's own questions; else words for a person */
export async function refuse(
  response: ServerResponse,
  status: number,
  answer: ProblemAnswer,
  isApi: boolean,
): Promise<void> {
  const [type, body] = await contentOf(answer, isApi);
  response.statusCode = status;
  response.setHeader('content-type', type);
  // what else the asker sends is not read
  response.setHeader('connection', 'close');
  response.end(body);
}

/** To bytes that are no request, or came too slowly. */
export function refuseConnection(socket: Duplex, status: number): void {
  if (!socket.writable) return void socket.destroy();
  const body = `${STATUS_CODES[status] ?? ''}\n`;
  const headers = {
    ...SAFE_HEADERS,
    connection: 'close',
    'content-type': 'text/plain; charset=utf-8',
    'content-length': String(body.length),
  };
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}\r\n`);
  socket.end(`HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}\r\n${lines.join('')}\r\n${body}`);
}
