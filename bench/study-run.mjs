// One study in a process of its own, from the built code:
//   node bench/study-run.mjs STUDY.json RESULTS.sqlite WORKERS
// 0 workers: the plain loop, without threads and without a database. Prints what it took.
import { readFileSync } from 'node:fs';
import process from 'node:process';
import { evaluateBlock, frontOf, variantCount } from '../dist/studies/index.js';
import { openSqliteStore, runStudy } from '../dist/study-runs/index.js';

const [studyFile, results, workers] = process.argv.slice(2);
const study = JSON.parse(readFileSync(studyFile, 'utf8'));

async function plainLoop() {
  const rows = evaluateBlock(study, 0, variantCount(study));
  await frontOf(study, rows);
  return rows.length;
}

async function throughThreads() {
  const store = await openSqliteStore(results, study, { program: 'bench' });
  await runStudy(store, { workers: Number(workers) });
  const { rows } = await store.tally();
  await store.close();
  return rows;
}

const start = performance.now();
const rows = await (workers === '0' ? plainLoop() : throughThreads());
const time = performance.now() - start;
const { user, system } = process.cpuUsage();
process.stdout.write(JSON.stringify({ rows, time, processor: (user + system) / 1000 }));
