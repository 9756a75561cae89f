import { beforeAll, expect, test } from 'vitest';
import { seededRandom } from '../reference/random.js';
import { buildRecordStore, killedRecords } from './killed-records.js';

/** ms: the compiler on the record store and what it needs, from nothing, on a slow machine. */
const BUILD_PATIENCE = 180_000;
/** ms: some starts of a process on a machine with other work to do. */
const KILLS_PATIENCE = 120_000;

beforeAll(buildRecordStore, BUILD_PATIENCE);

test(
  'nothing that was acknowledged is lost, and nothing broken, by 5 kills (seed 6)',
  async () => {
    const end = await killedRecords({ kills: 5, random: seededRandom(6), server: null });
    expect(end.acknowledged).toBeGreaterThan(0);
    expect(end.lost).toBe(0);
    expect(end.broken).toEqual([]);
  },
  KILLS_PATIENCE,
);
