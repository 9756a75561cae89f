// Kills processes at random moments while they write test records, back up, migrate and restore, and looks
// after each kill for everything that was acknowledged. The exit code is 1 when anything was lost or broken,
// or when no kill fell into the middle of something.
//   node --import tsx campaign/record-kills.ts [KILLS] [SEED] [postgres]
// With `postgres` the records are kept by a PostgreSQL server of its own, which is killed too at times.
import { startPrivatePostgres } from '../test/database/private-postgres.js';
import { buildRecordStore, killedRecords } from '../test/record-store/killed-records.js';
import { seededRandom } from '../test/reference/random.js';

const DEFAULT_KILLS = 200;
const DEFAULT_SEED = 1;

async function main(): Promise<number> {
  const [kills = DEFAULT_KILLS, seed = DEFAULT_SEED] = process.argv.slice(2, 4).map(Number);
  const [where = 'sqlite'] = process.argv.slice(4);
  const isRight = Number.isInteger(kills) && kills > 0 && Number.isInteger(seed);
  if (!isRight || !['sqlite', 'postgres'].includes(where)) {
    console.error(
      'usage: record-kills [KILLS] [SEED] [sqlite|postgres], the first two whole numbers',
    );
    return 2;
  }
  buildRecordStore();
  const server = where === 'sqlite' ? null : await startPrivatePostgres({ durable: true });
  const end = await killedRecords({ kills, random: seededRandom(seed), server }).finally(() =>
    server?.remove(),
  );
  const { write, backup, migrate, restore } = end.kills;
  console.log(
    `${kills} kills, seed ${seed}, ${where}: ${write} while writing, ${backup} while backing up, ${migrate} while migrating, ${restore} while restoring; the server killed ${end.crashes} times`,
  );
  console.log(
    `${end.acknowledged} entries and files acknowledged, ${end.lost} lost; ${end.midway} kills in the middle of a backup, migration or restore; ${end.broken.length} broken`,
  );
  for (const what of end.broken) console.log(what);
  return end.lost === 0 && end.broken.length === 0 && end.acknowledged > 0 ? 0 : 1;
}

process.exitCode = await main();
