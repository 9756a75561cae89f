// Runs a study whose process is killed at random moments again and again, gone on with each time, and
// compares the results, byte by byte, with those of a run that nobody disturbed. The exit code is 1
// when they differ, when a block was lost, or when SQLite finds fault with the file.
//   node --import tsx campaign/study-kills.ts [KILLS] [SEED]
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildCommand } from '../test/cli/build-command.js';
import { seededRandom } from '../test/reference/random.js';
import { killedRun, undisturbedCsv } from '../test/study-runs/killed-run.js';

const DEFAULT_KILLS = 100;
const DEFAULT_SEED = 1;
/** Of one study; then a new one is begun. */
const KILLS_A_STUDY = 12;
const BALLASTS = 40;

async function oneStudy(folder: string, kills: number, random: () => number, expected: string) {
  const file = join(folder, 'killed.sqlite');
  const workers = 1 + Math.floor(random() * 3);
  const end = await killedRun({ file, ballasts: BALLASTS, workers, kills, random });
  for (const name of ['', '-wal', '-shm', '.json']) rmSync(`${file}${name}`, { force: true });
  const unsound = end.integrity.filter((said) => said !== 'ok').length;
  const lost = end.doneAtKill.filter((done, i) => done < (end.doneAtKill[i - 1] ?? 0)).length;
  const differs = end.csv === expected ? 0 : 1;
  const blocks = end.doneAtKill.at(-1) ?? 0;
  console.log(
    `${kills} kills, ${workers} threads: ${blocks} blocks done at the last; ${unsound} unsound, ${lost} lost, ${differs} differ`,
  );
  return unsound + lost + differs;
}

async function main(): Promise<number> {
  const [kills = DEFAULT_KILLS, seed = DEFAULT_SEED] = process.argv.slice(2).map(Number);
  if (!Number.isInteger(kills) || kills < 1 || !Number.isInteger(seed)) {
    console.error('usage: study-kills [KILLS] [SEED], both whole numbers');
    return 2;
  }
  buildCommand();
  const random = seededRandom(seed);
  const folder = mkdtempSync(join(tmpdir(), 'standstill-kills-'));
  let faults = 0;
  try {
    const expected = await undisturbedCsv(join(folder, 'undisturbed.sqlite'), BALLASTS);
    for (let left = kills; left > 0; left -= KILLS_A_STUDY) {
      faults += await oneStudy(folder, Math.min(left, KILLS_A_STUDY), random, expected);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
  console.log(`${kills} kills, seed ${seed}: ${faults} at fault`);
  return faults === 0 ? 0 : 1;
}

process.exitCode = await main();
