// Works on test records in a process of its own, from the built code, for tests that kill it:
//   node test/record-store/record-child.mjs write PLACE PROJECT     entries and files, without end
//   node test/record-store/record-child.mjs backup PLACE ARCHIVE    one backup after the other
//   node test/record-store/record-child.mjs migrate PLACE           to a form to come
//   node test/record-store/record-child.mjs restore PLACE ARCHIVE
// Prints `begun`, and then a line for everything that it was told is kept.
import { randomBytes, randomInt, randomUUID } from 'node:crypto';
import process from 'node:process';
import { readArchiveFile, writeArchiveFile } from '../../dist/record-store/index.js';
import { openRecordsInForm } from '../../dist/record-store/open-records.js';
import { RECORD_MIGRATIONS } from '../../dist/record-store/record-migrations.js';
import { FORM_TO_COME } from './form-to-come.mjs';

const [mode, place, what] = /** @type {[string, string, string]} */ (process.argv.slice(2));
const options = { now: () => new Date().toISOString() };

/** @param {string} line */
const say = (line) => process.stdout.write(`${line}\n`);

/** @param {import('../../src/record-store/index.js').RecordStore} store */
async function writing(store) {
  /** @type {{ readonly id: string, readonly subject: string } | null} */
  let last = null;
  for (let i = 0; ; i += 1) {
    const photos = [];
    if (i % 3 === 1) {
      const bytes = randomBytes(randomInt(1, 200_000));
      const hash = await store.putFile(bytes, 'image/jpeg');
      say(`file ${hash}`);
      photos.push({ hash, name: 'castor.jpg', media: 'image/jpeg', bytes: bytes.length });
    }
    const id = randomUUID();
    // every fourth corrects the one before
    const before = i % 4 === 3 ? last : null;
    const at = new Date().toISOString();
    const entry = {
      ...{ id, project: what, subject: before?.subject ?? id, base: before?.id ?? null },
      ...{ who: 'Ada Fell', at, why: '' },
      body: {
        kind: /** @type {const} */ ('note'),
        about: null,
        text: `Note ${i}\n`.repeat(1 + (i % 50)),
        photos,
      },
    };
    const [outcome] = await store.submit([entry]);
    if (outcome?.kind !== 'kept' && outcome?.kind !== 'already') {
      throw new Error(JSON.stringify(outcome));
    }
    say(`entry ${outcome.entry.id} ${outcome.entry.hash}`);
    last = entry;
  }
}

if (mode === 'migrate') say('begun');
const migrations = mode === 'migrate' ? [...RECORD_MIGRATIONS, FORM_TO_COME] : RECORD_MIGRATIONS;
const store = await openRecordsInForm(place, migrations, options);
if (mode === 'migrate') say('migrated');
else say('begun');
if (mode === 'write') await writing(store);
if (mode === 'restore') {
  await readArchiveFile(store, what);
  say('restored');
}
for (let i = 0; mode === 'backup'; i += 1) {
  await writeArchiveFile(store, what, null);
  say(`backup ${i}`);
}
await store.close();
