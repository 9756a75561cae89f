/** Machines that work on a study, as processes of the built command line, and how they are killed. */

import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import { setTimeout as pause } from 'node:timers/promises';
import { MAIN } from '../cli/build-command.js';

export interface WorkProcess {
  readonly child: ChildProcess;
  /** it has begun to work on a study, or has ended */
  readonly busy: Promise<void>;
  readonly ended: Promise<{ readonly code: number | null; readonly err: string }>;
}

/** `standstill study work` on every study of the database, with one thread unless told otherwise. */
export function startWorkProcess(url: string, options: readonly string[] = []): WorkProcess {
  const args = [MAIN, 'study', 'work', '--database', '--workers', '1', ...options];
  const { PATH = '' } = process.env;
  const child = spawn(process.execPath, args, {
    env: { PATH, LANG: 'C.UTF-8', STANDSTILL_DATABASE: url },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let err = '';
  let beBusy = () => {};
  const busy = new Promise<void>((resolve) => {
    beBusy = resolve;
  });
  child.stderr?.setEncoding('utf8');
  child.stderr?.on('data', (text: string) => {
    err += text;
    if (err.includes('working on it')) beBusy();
  });
  const ended = new Promise<{ code: number | null; err: string }>((resolve) => {
    child.once('close', (code) => {
      beBusy();
      resolve({ code, err });
    });
  });
  return { child, busy, ended };
}

export interface Killing {
  readonly url: string;
  /** at a time */
  readonly processes: number;
  readonly kills: number;
  /** ms after it has begun to work at which a process is killed at the latest */
  readonly latest: number;
  readonly random: () => number;
}

/**
 * Keeps so many processes at work, kills one after the other by SIGKILL at random moments, and lets
 * the last ones end.
 *
 * @returns kills that met a process at work (one that had ended by itself is not counted), and what
 *   the last ones said
 */
export async function workUnderKills(killing: Killing) {
  const { url, processes, kills, latest, random } = killing;
  let left = kills;
  let met = 0;
  const lane = async () => {
    for (;;) {
      const worker = startWorkProcess(url);
      await worker.busy;
      if (left <= 0) return worker.ended;
      left -= 1;
      await Promise.race([pause(latest * random()), worker.ended]);
      if (worker.child.exitCode !== null) return worker.ended;
      met += 1;
      worker.child.kill('SIGKILL');
      await worker.ended;
    }
  };
  const ends = await Promise.all(Array.from({ length: processes }, lane));
  return { met, ends };
}
