/** What is answered below /api/records. */

import { PassThrough, Readable } from 'node:stream';
import type { ReadableStream as NodeWebStream } from 'node:stream/web';
import type { Context } from 'hono';
import { Hono } from 'hono';
import type { ProjectSummary, RecordStore } from '../record-store/index.js';
import { writeArchive } from '../record-store/index.js';
import type { NewEntry, SubmitOutcome } from '../test-record/index.js';
import {
  ATTACHMENT_MEDIA,
  MOST_ATTACHMENT_BYTES,
  PHOTO_MEDIA,
  readEntry,
} from '../test-record/index.js';
import type { EntriesAnswer, FileKeptAnswer, RecordsAnswer, SubmittedAnswer } from './api.js';
import { versionOf } from './folder-files.js';
import { Problem } from './problem.js';
import type { Held, Records } from './records.js';
import { atMost, entriesBodyOf, MOST_ENTRIES_BODY } from './request-body.js';

/** @param onFault told of what goes wrong after an answer has begun */
export function recordRoutes(records: Records, onFault: (error: unknown) => void): Hono {
  const api = new Hono().basePath('/api/records');
  api.get('/', async (c) => c.json(await recordsAnswer(records)));
  api.get('/entries', async (c) => c.json(await entriesAnswer(records, c)));
  api.post('/entries', atMost(MOST_ENTRIES_BODY), async (c) => {
    return c.json(await submitted(records, await entriesBodyOf(c)));
  });
  api.put('/file', atMost(MOST_ATTACHMENT_BYTES), async (c) => c.json(await keptFile(records, c)));
  api.get('/file', async (c) => fileAnswer(records, c));
  api.get('/archive', async (c) => archiveAnswer(records, c, onFault));
  api.get('/verify', async (c) => {
    const project = projectOf(c);
    return c.json(
      await reading(records, (store) => store.verify(project), null).then(
        (verification) => verification ?? missingProject(project),
      ),
    );
  });
  return api;
}

/** @param nothing the answer where nothing was kept yet */
async function reading<T>(
  records: Records,
  read: (store: RecordStore) => Promise<T>,
  nothing: T,
): Promise<T> {
  const held = await records.hold();
  return held === null ? nothing : using(held, read);
}

async function using<T>(held: Held, use: (store: RecordStore) => Promise<T>): Promise<T> {
  try {
    return await use(held.store);
  } catch (error) {
    throw held.told(error);
  } finally {
    held.release();
  }
}

async function recordsAnswer(records: Records): Promise<RecordsAnswer> {
  return reading(
    records,
    async (store) => ({ place: store.place, projects: await store.projects() }),
    { place: records.shown, projects: [] },
  );
}

async function entriesAnswer(records: Records, context: Context): Promise<EntriesAnswer> {
  const [project, after] = [projectOf(context), afterOf(context)];
  return reading(records, async (store) => ({ entries: await store.entries(project, after) }), {
    entries: [],
  });
}

/** One that cannot be read is refused by itself; the others go to the store in order. */
async function submitted(records: Records, entries: readonly unknown[]): Promise<SubmittedAnswer> {
  const all = entries.map(readEntry);
  const good = all.flatMap((each) => (each.kind === 'ok' ? [each.entry] : []));
  const outcomes = good.length === 0 ? [] : await submittedTo(records, good);
  let next = 0;
  return {
    outcomes: all.map((each): SubmitOutcome => {
      if (each.kind === 'refused') return each;
      const outcome = outcomes[next];
      if (outcome === undefined) throw new Error(`submitted: no outcome for ${each.entry.id}`);
      next += 1;
      return outcome;
    }),
  };
}

async function submittedTo(
  records: Records,
  entries: readonly NewEntry[],
): Promise<readonly SubmitOutcome[]> {
  return using(await records.holdOrMake(), (store) => store.submit(entries));
}

async function keptFile(records: Records, context: Context): Promise<FileKeptAnswer> {
  const hash = hashOf(context);
  const media = mediaOf(context);
  const bytes = new Uint8Array(await context.req.arrayBuffer());
  if (bytes.length === 0) throw new Problem('bad request', 'The file is empty; nothing was kept.');
  const actual = versionOf(bytes);
  if (actual !== hash) {
    throw new Problem(
      'bad request',
      `The bytes that came have the SHA-256 ${actual}, not ${hash}: nothing was kept; allowed: to send them again`,
    );
  }
  const held = await records.holdOrMake();
  return { hash: await using(held, (store) => store.putFile(bytes, media)) };
}

function mediaOf(context: Context): string {
  const media = context.req.header('content-type') ?? '';
  if ((ATTACHMENT_MEDIA as readonly string[]).includes(media)) return media;
  const allowed = ATTACHMENT_MEDIA.join(', ');
  throw new Problem('content type', `A file has to be of a type that a record takes: ${allowed}.`);
}

/** Only pictures say what they are; whatever else it is, a browser saves it and runs nothing of it. */
async function fileAnswer(records: Records, context: Context): Promise<Response> {
  const hash = hashOf(context);
  const file = await reading(records, (store) => store.file(hash), null);
  if (file === null) throw new Problem('not there', `There is no file of the SHA-256 ${hash}.`);
  const isPicture = (PHOTO_MEDIA as readonly string[]).includes(file.media);
  return new Response(new Uint8Array(file.bytes), {
    headers: {
      'content-type': isPicture ? file.media : 'application/octet-stream',
      'content-disposition': `attachment; filename="${hash.slice(0, 16)}"`,
      'content-length': String(file.bytes.length),
    },
  });
}

/** A project, or all where none is named. */
async function archiveAnswer(
  records: Records,
  context: Context,
  onFault: (error: unknown) => void,
): Promise<Response> {
  const project = context.req.query('project') === undefined ? null : projectOf(context);
  const held = await records.hold();
  if (held === null) return missingProject(project);
  const name = await archiveName(held, project);
  const headers = {
    'content-type': 'application/gzip',
    'content-disposition': `attachment; filename="${name}"`,
  };
  if (context.req.method === 'HEAD') {
    held.release();
    return new Response(null, { headers });
  }
  return new Response(archiveStream(held, project, onFault), { headers });
}

async function archiveName(held: Held, project: string | null): Promise<string> {
  try {
    const projects = await held.store.projects();
    if (project === null) return 'test-records.archive.gz';
    const found = projects.find(({ id }) => id === project) ?? missingProject(project);
    return `${plainName(found)}.archive.gz`;
  } catch (error) {
    held.release();
    throw held.told(error);
  }
}

/** For a header and for every file system. */
function plainName({ name, id }: ProjectSummary): string {
  const plain = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, 60)
    .replace(/^-|-$/g, '');
  return plain === '' ? id : plain;
}

/** Ends early, so that the download fails, where the archive cannot be written whole. */
function archiveStream(
  held: Held,
  project: string | null,
  onFault: (error: unknown) => void,
): ReadableStream {
  const sink = new PassThrough();
  const isLeft = (): boolean => sink.destroyed && !sink.writableFinished;
  writeArchive(held.store, sink, project)
    .catch((error: unknown) => {
      // who asked has gone
      if (!isLeft()) onFault(error);
      sink.destroy(error instanceof Error ? error : new Error(String(error)));
    })
    .finally(held.release);
  return Readable.toWeb(sink) as NodeWebStream as ReadableStream;
}

function missingProject(project: string | null): never {
  const what = project === null ? 'Nothing was kept here yet' : `There is no project ${project}`;
  throw new Problem('not there', `${what}.`);
}

function projectOf(context: Context): string {
  return asked(context, 'project', /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/, 'a UUID');
}

function hashOf(context: Context): string {
  return asked(context, 'hash', /^[0-9a-f]{64}$/, 'a SHA-256 in lower-case hex');
}

function afterOf(context: Context): number {
  if (context.req.query('after') === undefined) return 0;
  return Number(asked(context, 'after', /^\d{1,15}$/, 'the number of an entry, or 0'));
}

/** @throws Problem */
function asked(context: Context, name: string, pattern: RegExp, allowed: string): string {
  const given = context.req.query(name);
  if (given !== undefined && pattern.test(given)) return given;
  const said = given === undefined ? 'is not given' : `${JSON.stringify(given)} cannot be`;
  throw new Problem('bad request', `${name}: ${said}; allowed: ${allowed}`);
}
