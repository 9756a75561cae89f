/** One save of a file at a time: in this process by a queue, among processes by a lock file. */

import { randomBytes } from 'node:crypto';
import { open, readFile, rm, stat } from 'node:fs/promises';
import { hostname } from 'node:os';
import { setTimeout as pause } from 'node:timers/promises';
import { Problem, systemCodeOf } from './problem.js';

const queues = new Map<string, Promise<unknown>>();

/** Runs `work` when all earlier work under this key has ended. */
export function oneAtATime<T>(key: string, work: () => Promise<T>): Promise<T> {
  const before = queues.get(key) ?? Promise.resolve();
  const mine = before.then(work, work);
  queues.set(key, mine);
  const forget = (): void => {
    if (queues.get(key) === mine) queues.delete(key);
  };
  mine.then(forget, forget);
  return mine;
}

/** ms after which a lock counts as left by whoever took it: a save takes a few hundredths of that. Of a
 * process of this machine it is seen at once that it is gone. */
const LEFT_AFTER = 4_000;
/** ms: a little more, so that a lock that was left never stops a save. */
const PATIENCE = 6_000;
const LOOK_AGAIN = 15;

/** Runs `work` while no other process holds the lock file. What it guards still looks again before it
 * writes: a process that slept through `LEFT_AFTER` finds its lock taken away. */
export async function whileLocked<T>(
  lock: string,
  name: string,
  work: () => Promise<T>,
): Promise<T> {
  const mark = [hostname(), process.pid, randomBytes(8).toString('hex')].join(' ');
  const began = performance.now();
  while (!(await isTaken(lock, mark))) {
    if (await isLeft(lock)) await rm(lock, { force: true });
    else if (performance.now() - began < PATIENCE) await pause(LOOK_AGAIN);
    else throw new Problem('busy', `${name}: another program is saving it; try again`);
  }
  try {
    return await work();
  } finally {
    if ((await contentOf(lock)) === mark) await rm(lock, { force: true });
  }
}

async function isTaken(lock: string, mark: string): Promise<boolean> {
  try {
    const file = await open(lock, 'wx', 0o600);
    try {
      await file.writeFile(mark);
    } finally {
      await file.close();
    }
    return true;
  } catch (error) {
    if (systemCodeOf(error) === 'EEXIST') return false;
    throw error;
  }
}

async function isLeft(lock: string): Promise<boolean> {
  const [host, id = ''] = ((await contentOf(lock)) ?? '').split(' ');
  if (host === hostname() && isGone(Number(id))) return true;
  const taken = await stat(lock).catch(() => null);
  return taken !== null && Date.now() - taken.mtimeMs > LEFT_AFTER;
}

function isGone(id: number): boolean {
  try {
    // asks only whether it is there
    process.kill(id, 0);
    return false;
  } catch (error) {
    return systemCodeOf(error) === 'ESRCH';
  }
}

async function contentOf(lock: string): Promise<string | null> {
  try {
    return await readFile(lock, 'utf8');
  } catch {
    return null;
  }
}
