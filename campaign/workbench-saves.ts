// Saves a cart file and its draft through the workbench's server, whose process is killed at random moments
// again and again. The exit code is 1 when a file was once anything but a whole text that was being saved
// or the last one answered for, or when no kill fell into a save.
//   node --import tsx campaign/workbench-saves.ts [KILLS] [SEED]
import { seededRandom } from '../test/reference/random.js';
import { buildServer, killedSaves } from '../test/server/killed-saves.js';

const DEFAULT_KILLS = 300;
const DEFAULT_SEED = 1;

async function main(): Promise<number> {
  const [kills = DEFAULT_KILLS, seed = DEFAULT_SEED] = process.argv.slice(2).map(Number);
  if (!Number.isInteger(kills) || kills < 1 || !Number.isInteger(seed)) {
    console.error('usage: workbench-saves [KILLS] [SEED], both whole numbers');
    return 2;
  }
  buildServer();
  const { saves, torn, midway } = await killedSaves({ kills, random: seededRandom(seed) });
  console.log(
    `${kills} kills, seed ${seed}: ${saves} saves, ${midway} kills left a half-written file; ${torn} at fault`,
  );
  return torn === 0 && midway > 0 ? 0 : 1;
}

process.exitCode = await main();
