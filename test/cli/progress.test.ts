import { describe, expect, test } from 'vitest';
import { startProgress } from '../../src/cli/progress.js';
import { standIn } from './stand-in.js';

/** A stand-in whose clock is set by hand. */
function timed(changes: { errIsTerminal: boolean; columns?: number }) {
  const time = { now: 0 };
  const around = standIn({ ...changes, clock: () => time.now });
  return { around, time, progress: startProgress(around) };
}

describe('progress', () => {
  test('is silent for the first second and silent ever after where nobody watches', () => {
    const watched = timed({ errIsTerminal: true });
    watched.time.now = 999;
    watched.progress.report(1, 10, 'holding');
    expect(watched.around.written.err).toBe('');
    const unwatched = timed({ errIsTerminal: false });
    unwatched.time.now = 60_000;
    unwatched.progress.report(1, 10, 'holding');
    unwatched.progress.clear();
    expect(unwatched.around.written.err).toBe('');
  });

  test('then shows what is done, at most five times a second, and wipes its line', () => {
    const { around, time, progress } = timed({ errIsTerminal: true });
    time.now = 1000;
    progress.report(3, 10, 'holding against push');
    time.now = 1100;
    progress.report(4, 10, 'not shown');
    time.now = 1200;
    progress.report(5, 10, 'end');
    progress.clear();
    const first = '3 of 10: holding against push';
    const second = '5 of 10: end'.padEnd(first.length);
    expect(around.written.err).toBe(`\r${first}\r${second}\r${' '.repeat(12)}\r`);
  });

  test('stays within one line of the terminal, whatever the name', () => {
    const { around, time, progress } = timed({ errIsTerminal: true, columns: 40 });
    time.now = 2000;
    progress.report(1, 2, `\u001b[2J${'long '.repeat(40)}`);
    expect(around.written.err).toMatch(/^\r[^\r\n]{1,39}$/);
    expect(around.written.err).not.toContain('\u001b');
  });

  test('writes nothing to clear where nothing was shown', () => {
    const { around, progress } = timed({ errIsTerminal: true });
    progress.clear();
    expect(around.written.err).toBe('');
  });
});
