// Runs a study into an SQLite file in a process of its own, from the built code, for tests that kill it:
//   node test/study-runs/child-run.mjs FILE STUDY.json WORKERS
// Prints a line whenever something was written.
import { readFileSync } from 'node:fs';
import process from 'node:process';
import { openSqliteStore, runStudy } from '../../dist/study-runs/index.js';

const [file, studyFile, workers] = process.argv.slice(2);
const study = JSON.parse(readFileSync(studyFile, 'utf8'));
const store = await openSqliteStore(file, study, { program: 'test', blockSize: 4 });
const end = await runStudy(store, {
  workers: Number(workers),
  onProgress: ({ phase, done }) => process.stdout.write(`${phase} ${done}\n`),
});
await store.close();
process.stdout.write(`${end}\n`);
