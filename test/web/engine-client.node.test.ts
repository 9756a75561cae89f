import { expose } from 'comlink';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Engine } from '../../src/web/engine/engine-client.js';
import { createEngine } from '../../src/web/engine/engine-client.js';
import type { PoseQuestion } from '../../src/web/engine/messages.js';

interface Screens {
  screen: (question: PoseQuestion, atRest: boolean) => unknown;
}

let screens: Screens;
let workers: { readonly file: string; onerror?: (event: { message: string }) => void }[];
let ports: MessagePort[];

/** A worker whose work is done here. */
class HereWorker {
  readonly file: string;
  constructor(url: URL) {
    this.file = url.pathname.split('/').at(-1) ?? '';
    const { port1, port2 } = new MessageChannel();
    ports.push(port1, port2);
    const prove = () => ({ kind: 'stopped' });
    const screen: Screens['screen'] = (question, atRest) => screens.screen(question, atRest);
    expose({ screen, prove }, port2);
    workers.push(this);
    Object.assign(this, {
      postMessage: port1.postMessage.bind(port1),
      addEventListener: port1.addEventListener.bind(port1),
      removeEventListener: port1.removeEventListener.bind(port1),
    });
    port1.start();
  }
}

let engine: Engine;
const answered: number[] = [];
const faults: string[] = [];

beforeEach(() => {
  [workers, ports] = [[], []];
  answered.length = 0;
  faults.length = 0;
  vi.stubGlobal('Worker', HereWorker);
  engine = createEngine();
  engine.listen({
    live: ({ ticket }) => answered.push(ticket),
    proof: () => {},
    proofEnd: () => {},
    fault: (message) => faults.push(message),
  });
});
afterEach(() => {
  for (const port of ports) port.close();
  vi.unstubAllGlobals();
});

const question = (ticket: number) => ({ ticket, edits: [], pose: null }) as unknown as PoseQuestion;

test('a fault in a question is told, and the one asked meanwhile is answered', async () => {
  screens = {
    screen({ ticket }) {
      if (ticket === 1) throw new Error('no such thing');
      return { ticket };
    },
  };
  engine.ask(question(1), true);
  engine.ask(question(2), true);
  await expect.poll(() => answered).toEqual([2]);
  expect(faults).toEqual(['no such thing']);
});

test('what is at rest is searched once more, as a whole; a drag is not', async () => {
  const asked: string[] = [];
  screens = {
    screen({ ticket }, atRest) {
      asked.push(`${ticket} ${atRest ? 'at rest' : 'at once'}`);
      return { ticket };
    },
  };
  engine.ask(question(1), false);
  engine.ask(question(2), true);
  await expect.poll(() => answered).toEqual([1, 2]);
  await new Promise((resolve) => setTimeout(resolve, 500));
  expect(answered).toEqual([1, 2]);
  engine.ask(question(3), false);
  await expect.poll(() => asked).toEqual(['1 at once', '2 at once', '3 at once', '3 at rest']);
  engine.askPose(question(3));
  await expect.poll(() => asked.slice(4)).toEqual(['3 at once', '3 at rest']);
});

test('a worker that does not run is told', () => {
  expect(workers.map(({ file }) => file)).toEqual(['screening-worker.ts', 'proof-worker.ts']);
  for (const worker of workers) worker.onerror?.({ message: '' });
  expect(faults).toHaveLength(2);
  expect(faults[0]).toContain('load the page again');
});
