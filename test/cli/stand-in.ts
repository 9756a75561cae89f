/** A machine for the command line under test: collects what is written, knows no real clock. */

import type { Surroundings } from '../../src/cli/surroundings.js';

export interface StandIn extends Surroundings {
  readonly written: { out: string; err: string };
}

export function standIn(changes: Partial<Surroundings> = {}): StandIn {
  const written = { out: '', err: '' };
  return {
    out: (text) => {
      written.out += text;
    },
    err: (text) => {
      written.err += text;
    },
    outIsTerminal: false,
    errIsTerminal: false,
    columns: null,
    environment: { LANG: 'en_IE.UTF-8' },
    platform: 'linux',
    today: () => '2026-11-25',
    now: () => '2026-11-25T09:30:00.000Z',
    clock: () => 0,
    onStop: () => () => {},
    version: '0.1.0',
    ...changes,
    written,
  };
}
