import { beforeAll, expect, test } from 'vitest';
import { seededRandom } from '../reference/random.js';
import { buildServer, killedSaves } from './killed-saves.js';

/** ms: the compiler on the server and what it needs, from nothing, on a slow machine. */
const BUILD_PATIENCE = 120_000;
/** ms: twenty starts of a server on a machine with other work to do. */
const KILLS_PATIENCE = 120_000;

beforeAll(buildServer, BUILD_PATIENCE);

test(
  'a file and a draft are whole after each of 20 kills while they are saved (seed 6)',
  async () => {
    const { saves, torn } = await killedSaves({ kills: 20, random: seededRandom(6) });
    expect(saves).toBeGreaterThan(20);
    expect(torn).toBe(0);
  },
  KILLS_PATIENCE,
);
