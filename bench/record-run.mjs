// An archive written from, or read into, a place of test records, in a process of its own, from the built code:
//   node bench/record-run.mjs write RECORDS.sqlite ARCHIVE
//   node bench/record-run.mjs read RECORDS.sqlite ARCHIVE
// Prints the ms that it took.
import process from 'node:process';
import { openRecords, readArchiveFile, writeArchiveFile } from '../dist/record-store/index.js';

const [mode, place, archive] = /** @type {[string, string, string]} */ (process.argv.slice(2));
const store = await openRecords(place, { now: () => new Date().toISOString() });
const start = performance.now();
await (mode === 'write' ? writeArchiveFile(store, archive, null) : readArchiveFile(store, archive));
process.stdout.write(String(performance.now() - start));
await store.close();
