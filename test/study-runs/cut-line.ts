/** A line to a server that goes dead at a chosen message: what is left of a machine that died there. */

import type { Socket } from 'node:net';
import { connect, createServer } from 'node:net';

export interface CutLine {
  readonly port: number;
  /** messages that the client has sent, so far */
  readonly sent: () => number;
  /** the line is dead, and no new one can be had */
  readonly dead: Promise<void>;
  readonly close: () => Promise<void>;
}

export interface Cut {
  /** of the client's messages, from 1 */
  readonly at: number;
  /** lost: the server never sees that message; unanswered: it does its work, and nobody hears of it */
  readonly message: 'lost' | 'unanswered';
}

/** ms for the server to do what an unanswered message asks for */
const SERVER_TIME = 100;

export async function cutLine(serverPort: number, cut: Cut): Promise<CutLine> {
  const sockets = new Set<Socket>();
  let sent = 0;
  let die = () => {};
  const dead = new Promise<void>((resolve) => {
    die = resolve;
  });
  const hangUp = () => {
    for (const socket of sockets) socket.destroy();
    die();
  };
  const server = createServer((client) => {
    if (sent >= cut.at) {
      client.destroy();
      return;
    }
    const upstream = connect(serverPort, '127.0.0.1');
    for (const socket of [client, upstream]) {
      sockets.add(socket);
      socket.on('error', () => {});
      socket.on('close', () => sockets.delete(socket));
    }
    upstream.on('data', (data) => {
      if (sent < cut.at) client.write(data);
    });
    client.on('data', (data) => {
      if (sent >= cut.at) return;
      sent += 1;
      if (sent < cut.at || cut.message === 'unanswered') upstream.write(data);
      if (sent < cut.at) return;
      setTimeout(hangUp, cut.message === 'unanswered' ? SERVER_TIME : 0);
    });
    client.on('end', () => upstream.end());
    upstream.on('end', () => client.end());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error(`cutLine: ${address}`);
  return {
    port: address.port,
    sent: () => sent,
    dead,
    close: () => {
      for (const socket of sockets) socket.destroy();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
}
