#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { EXIT } from './exit-codes.js';
import type { Surroundings } from './surroundings.js';

function packageVersion(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  return String(JSON.parse(text).version);
}

/** The day on the wall where the command runs, not the one in Greenwich. */
function localDay(): string {
  const now = new Date();
  const [month, day] = [now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, '0'));
  return `${now.getFullYear()}-${month}-${day}`;
}

const STOP_SIGNALS = ['SIGINT', 'SIGTERM'] as const;

function onStop(stop: () => void): () => void {
  const release = (): void => {
    for (const signal of STOP_SIGNALS) process.off(signal, asked);
  };
  const asked = (): void => {
    release();
    stop();
  };
  for (const signal of STOP_SIGNALS) process.on(signal, asked);
  return release;
}

function surroundings(): Surroundings {
  return {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    outIsTerminal: process.stdout.isTTY === true,
    errIsTerminal: process.stderr.isTTY === true,
    columns: process.stdout.isTTY ? process.stdout.columns : null,
    environment: process.env,
    platform: process.platform,
    today: localDay,
    now: () => new Date().toISOString(),
    clock: () => performance.now(),
    onStop,
    version: packageVersion(),
  };
}

// Node ends with 1 on an error nobody caught, and 1 is a verdict here.
process.on('uncaughtException', (error) => {
  process.stderr.write(`internal error: ${error.stack ?? error.message}\n`);
  process.exit(EXIT.internal);
});

// A reader that has seen enough (`| head`) closes the pipe; that is its right, and no error of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') return;
  process.stderr.write(`output: cannot be written: ${error.message}\n`);
  process.exit(EXIT.output);
});
process.stderr.on('error', () => {});

// Loaded here, so that the handlers above stand before anything can go wrong.
const { run } = await import('./run.js');
// Set, not called: what is still on its way into a pipe is written out first.
process.exitCode = await run(process.argv.slice(2), surroundings());
