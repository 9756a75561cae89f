/**
 * The test day as the page has it. Knows no page: the server, the browser's storage, the clock and what
 * makes ids are handed in.
 *
 * What is written is kept in the browser first and then sent, in the order it was written; the same entry
 * sent twice is kept once. What the store does not take stays here with its reason until it is decided.
 */

import { createStore } from 'zustand/vanilla';
import type {
  Attachment,
  EntryBody,
  EntryProblem,
  KeptEntry,
  NewEntry,
  ProjectState,
  SubmitOutcome,
} from '../../../test-record/index.js';
import {
  admit,
  attachmentsOf,
  contentHash,
  mediaOf,
  projectState,
  readEntry,
  withEntries,
  withPending,
} from '../../../test-record/index.js';
import { ApiError } from '../../store/api.js';
import { tellWaiting } from '../entries-wait.js';
import type { LocalShelf, PendingEntry } from './local-shelf.js';
import type { RecordsApi } from './records-api.js';
import type { TestDay, WriteWishes } from './test-day-state.js';

export interface TestDaySurroundings {
  readonly api: RecordsApi;
  readonly shelf: LocalShelf;
  readonly storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;
  /** one page of this browser at a time sends; resolves when `act` is done */
  readonly alone: (act: () => Promise<void>) => Promise<void>;
  /** ISO 8601 of now */
  readonly now: () => string;
  /** a new UUID */
  readonly newId: () => string;
  readonly say: (words: string, kind?: 'said' | 'problem') => void;
}

/** Entries sent in one request. */
const MOST_AT_ONCE = 20;
const DRAFT = 'standstill test day draft ';
const WHO = 'standstill who';

export type TestDayStore = ReturnType<typeof createTestDay>;

export function createTestDay(around: TestDaySurroundings) {
  const { api, shelf, storage, alone, now, newId, say } = around;
  let nextOrder = 1;
  /** writes are put away one after the other */
  let putAway: Promise<unknown> = Promise.resolve();
  /** counts the projects opened: what was asked for an earlier one is not for this */
  let openings = 0;
  /** projects as last known, so that what waits can be judged against them */
  const urls = new Map<string, string>();

  const store = createStore<TestDay>()((set, get) => ({
    place: null,
    projects: [],
    problem: null,
    link: 'not asked yet',
    atRisk: false,
    who: readText(storage, WHO) ?? '',
    project: null,
    kept: null,
    state: null,
    pending: [],
    section: 'Plan',
    plan: null,
    run: null,

    async begin() {
      await takeUp();
      await readProjects();
      await flush();
    },
    async lookAgain() {
      // another page of this browser may have written or sent
      await takeUp();
      await readProjects();
      await flush();
      await readNews();
    },
    async open(project) {
      openings += 1;
      set({ project, kept: null, state: null, plan: null, run: null, section: 'Plan' });
      if (project === null) return;
      const opening = openings;
      const seen = await shelf.seen(project).catch(() => []);
      if (opening !== openings) return;
      if (seen.length > 0) show(foldedOrNull(seen));
      else show(null);
      await readNews();
    },
    async newProject(name, customer, notes) {
      const id = newId();
      const body = { kind: 'project', name, customer, notes } as const;
      const entry = entryOf({ id, project: id, subject: id, base: null, why: '', body });
      if (entry === null || !(await putInLine(entry))) return null;
      await get().open(id);
      await flush();
      return id;
    },
    async write(body, wishes = {}) {
      const { project, state } = get();
      if (project === null || state === null) {
        say('No project is open: open one, or begin a new one.', 'problem');
        return null;
      }
      const entry = nextEntry(project, state, body, wishes);
      if (entry === null || !(await putInLine(entry))) return null;
      void flush();
      return entry.subject;
    },
    check(body, wishes = {}): readonly EntryProblem[] {
      const { project, state } = get();
      if (project === null || state === null) return [];
      const entry = { ...draftEntry(project, state, body, wishes), who: 'nobody yet', at: now() };
      const read = readEntry(entry);
      if (read.kind === 'refused') return read.problems;
      const admission = admit(state, read.entry);
      return admission.kind === 'refused' ? admission.problems : [];
    },
    async attach(file, name) {
      const bytes = new Uint8Array(await file.arrayBuffer());
      const hash = contentHash(bytes);
      const media = mediaTypeOf(file, name);
      try {
        await shelf.putFile({ hash, media, blob: new Blob([bytes], { type: media }) });
      } catch (error) {
        say(`${name} cannot be kept in this browser: ${reasonOf(error)}`, 'problem');
        return null;
      }
      return { hash, name, media, bytes: bytes.length } satisfies Attachment;
    },
    async fileUrl({ hash }) {
      const known = urls.get(hash);
      if (known !== undefined) return known;
      const blob = await blobOf(hash);
      if (blob === null) return null;
      const url = URL.createObjectURL(blob);
      urls.set(hash, url);
      return url;
    },
    async fileText(hash) {
      return (await blobOf(hash))?.text() ?? null;
    },
    async fileBytes(hash) {
      const blob = await blobOf(hash);
      return blob === null ? null : new Uint8Array(await blob.arrayBuffer());
    },
    async settle(id, which, why) {
      const found = get().pending.find(({ entry }) => entry.id === id);
      if (found === undefined) return;
      const newest = found.since?.at(-1);
      if (which === 'theirs') {
        await passOn(found);
        await replaceInLine(found, asNote(found.entry, why));
      } else if (newest !== undefined) {
        await replaceInLine(found, onTop(found.entry, newest, why));
      }
      await flush();
    },
    async takeBack(id) {
      const found = get().pending.find(({ entry }) => entry.id === id);
      if (found === undefined) return null;
      await passOn(found);
      await shelf.dropPending([id]);
      await takeUp();
      return found.entry.body;
    },
    async verify() {
      const { project } = get();
      return project === null ? null : guarded(() => api.verify(project));
    },
    archiveAddress() {
      const { project } = get();
      return project === null ? null : api.archiveAddress(project);
    },
    setWho(who) {
      set({ who });
      keepText(storage, WHO, who);
    },
    show: (section) => set({ section }),
    choosePlan: (plan) => set({ plan, run: null }),
    chooseRun: (run) => set({ run }),
    draft<T>(key: string): T | null {
      const text = readText(storage, draftKey(key));
      if (text === null) return null;
      try {
        return JSON.parse(text) as T;
      } catch {
        return null;
      }
    },
    keepDraft(key, value) {
      const isKept = keepText(storage, draftKey(key), JSON.stringify(value));
      if (!isKept && !get().atRisk) {
        set({ atRisk: true });
        say('This browser has no room to keep a half-filled form; send it soon.', 'problem');
      }
    },
    dropDraft: (key) => keepText(storage, draftKey(key), null),
  }));
  const { setState: set, getState: get } = store;

  function draftKey(key: string): string {
    return `${DRAFT}${get().project ?? ''} ${key}`;
  }

  function entryOf(parts: Omit<NewEntry, 'who' | 'at'>): NewEntry | null {
    const who = get().who.trim();
    if (who === '') {
      say('Say who you are first: every entry carries a name.', 'problem');
      return null;
    }
    return { ...parts, who, at: now() };
  }

  function nextEntry(
    project: string,
    state: ProjectState,
    body: EntryBody,
    wishes: WriteWishes,
  ): NewEntry | null {
    return entryOf(draftEntry(project, state, body, wishes));
  }

  function draftEntry(
    project: string,
    state: ProjectState,
    body: EntryBody,
    { subject, base, why = '' }: WriteWishes,
  ): Omit<NewEntry, 'who' | 'at'> {
    const id = newId();
    if (subject === undefined) return { id, project, subject: id, base: null, why, body };
    const newest = base ?? state.records.get(subject)?.newest ?? null;
    return { id, project, subject, base: newest, why, body };
  }

  function onTop(entry: NewEntry, newest: KeptEntry, why: string): NewEntry {
    return { ...entry, base: newest.id, at: now(), why: why.trim() === '' ? entry.why : why };
  }

  /** The other's entry stands; what was written here stays readable beside it. */
  function asNote({ project, subject, who, body }: NewEntry, why: string): NewEntry {
    const id = newId();
    const about = get().kept?.records.has(subject) === true ? subject : null;
    const text = `Not taken over, since another entry was kept first${why.trim() === '' ? '' : ` (${why.trim()})`}:\n${JSON.stringify(body, null, 2)}`;
    const note = { kind: 'note', about, text, photos: [] } as const;
    return { id, project, subject: id, base: null, who, at: now(), why: '', body: note };
  }

  function waiting(entry: NewEntry): PendingEntry {
    const order = nextOrder;
    nextOrder += 1;
    return { entry, order, since: null, problems: null };
  }

  /** false: the browser cannot keep it, and said so */
  async function putInLine(entry: NewEntry): Promise<boolean> {
    const pending = waiting(entry);
    const done = putAway.then(() => shelf.putPending(pending));
    putAway = done.catch(() => {});
    try {
      await done;
    } catch (error) {
      set({ atRisk: true });
      say(`This browser cannot keep the entry: ${reasonOf(error)}`, 'problem');
      return false;
    }
    tellWaiting(storage, true);
    set({ pending: [...get().pending, pending] });
    show(get().kept);
    return true;
  }

  async function replaceInLine(found: PendingEntry, entry: NewEntry): Promise<void> {
    const again = { ...found, entry, since: null, problems: null };
    if (entry.id !== found.entry.id) await shelf.dropPending([found.entry.id]);
    await shelf.putPending(again);
    await takeUp();
  }

  /** What follows an entry that will not be sent has to be decided as that was. */
  async function passOn({ entry: { id }, since, problems }: PendingEntry): Promise<void> {
    for (const each of get().pending) {
      if (each.entry.base === id) await shelf.putPending({ ...each, since, problems });
    }
  }

  /** What waits, as the browser keeps it: of this page, an earlier one, or another tab. */
  async function takeUp(showIt = () => show(get().kept)): Promise<void> {
    try {
      const pending = await shelf.pending();
      nextOrder = Math.max(nextOrder, ...pending.map(({ order }) => order + 1));
      set({ pending });
      tellWaiting(storage, pending.length > 0);
      showIt();
    } catch (error) {
      set({ atRisk: true });
      say(
        `This browser keeps nothing by itself (${reasonOf(error)}): what is written here is lost when the page closes before it is sent.`,
        'problem',
      );
    }
  }

  /** The project as kept, and what waits on top. */
  function show(kept: ProjectState | null): void {
    const { project, pending } = get();
    const mine = pending.map(({ entry }) => entry).filter((entry) => entry.project === project);
    set({ kept, state: project === null ? null : onTopOf(kept, mine) });
  }

  async function readProjects(): Promise<void> {
    try {
      const { place, projects } = await api.records();
      set({ place, projects, problem: null, link: 'answers' });
    } catch (error) {
      away(error);
    }
  }

  function away(error: unknown): void {
    if (!(error instanceof ApiError)) throw error;
    set(error.status === 0 ? { link: 'away' } : { problem: error.message });
  }

  /** Entries that came since. */
  async function readNews(): Promise<void> {
    const { project, kept } = get();
    if (project === null) return;
    const opening = openings;
    try {
      const news = await api.entries(project, kept?.head.sequence ?? 0);
      if (opening === openings) takeIn(news);
      if (get().link !== 'answers') set({ link: 'answers' });
    } catch (error) {
      away(error);
    }
  }

  /** Of the project that is open, those not known yet, in order. */
  function newsIn(entries: readonly KeptEntry[]): readonly KeptEntry[] {
    const { project, kept } = get();
    const after = kept?.head.sequence ?? 0;
    return entries
      .filter((entry) => entry.project === project && entry.sequence > after)
      .sort((a, b) => a.sequence - b.sequence);
  }

  /** They go on where the project as known ends. */
  function isNext(entries: readonly KeptEntry[]): boolean {
    const [first] = newsIn(entries);
    return first === undefined || first.sequence === (get().kept?.head.sequence ?? 0) + 1;
  }

  function takeIn(entries: readonly KeptEntry[]): void {
    const { kept } = get();
    const news = newsIn(entries);
    if (news.length === 0 || !isNext(entries)) {
      show(kept);
      return;
    }
    void shelf.see(news).catch(() => {});
    show(kept === null ? projectState(news) : withEntries(kept, news));
  }

  async function guarded<T>(ask: () => Promise<T>): Promise<T | null> {
    try {
      return await ask();
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      say(error.message, 'problem');
      return null;
    }
  }

  async function blobOf(hash: string): Promise<Blob | null> {
    const local = await shelf.file(hash).catch(() => null);
    if (local !== null) return local.blob;
    return guarded(() => api.file(hash));
  }

  /** Sends what waits and is not stopped by a conflict or a refusal. */
  async function flush(): Promise<void> {
    await alone(async () => {
      await takeUp();
      for (;;) {
        const next = sendable(get().pending).slice(0, MOST_AT_ONCE);
        if (next.length === 0) return;
        const isSent = await sendAll(next);
        if (!isSent) return;
      }
    });
  }

  /** false: the program does not answer; all of it waits on */
  async function sendAll(next: readonly PendingEntry[]): Promise<boolean> {
    try {
      for (const { entry } of next) await sendFiles(entry);
      const outcomes = await api.submit(next.map(({ entry }) => entry));
      set({ link: 'answers', problem: null });
      await settleAll(next, outcomes);
      return true;
    } catch (error) {
      away(error);
      return false;
    }
  }

  async function sendFiles(entry: NewEntry): Promise<void> {
    for (const hash of attachmentsOf(entry)) {
      const local = await shelf.file(hash);
      if (local !== null) await api.putFile(hash, local.blob, local.media);
    }
  }

  async function settleAll(
    next: readonly PendingEntry[],
    outcomes: readonly SubmitOutcome[],
  ): Promise<void> {
    const kept: KeptEntry[] = [];
    for (const [i, pending] of next.entries()) {
      const outcome = outcomes[i];
      if (outcome === undefined) continue;
      if (outcome.kind === 'kept' || outcome.kind === 'already') kept.push(outcome.entry);
      // what it follows was not taken: it waits with that, and is not wrong itself
      else if (!followsStuck(pending, next, outcomes)) {
        const since = outcome.kind === 'conflict' ? outcome.since : null;
        const problems = outcome.kind === 'refused' ? outcome.problems : null;
        await shelf.putPending({ ...pending, since, problems });
        say(outcomeWords(outcome), 'problem');
      }
    }
    await shelf.dropPending(kept.map(({ id }) => id));
    await shelf.dropFiles(kept.flatMap((entry) => attachmentsOf(entry)));
    // what another writer put in between is had first, so that nothing shown goes away for a moment
    if (!isNext(kept)) await readNews();
    await takeUp(() => takeIn(kept));
    if (kept.some(({ body }) => body.kind === 'project')) await readProjects();
  }

  return store;
}

/** Those that are not stopped, nor follow one that is. */
function sendable(pending: readonly PendingEntry[]): readonly PendingEntry[] {
  const stopped = new Set<string>();
  return pending.filter(({ entry, since, problems }) => {
    const isStopped = since !== null || problems !== null || stopped.has(entry.base ?? '');
    if (isStopped) stopped.add(entry.id);
    return !isStopped;
  });
}

/** @param outcomes of those sent together */
function followsStuck(
  { entry }: PendingEntry,
  sent: readonly PendingEntry[],
  outcomes: readonly SubmitOutcome[],
): boolean {
  const before = sent.findIndex((each) => each.entry.id === entry.base);
  const kind = outcomes[before]?.kind;
  return kind === 'conflict' || kind === 'refused';
}

function outcomeWords(outcome: SubmitOutcome): string {
  return outcome.kind === 'conflict'
    ? 'Somebody else wrote to the same record first. Nothing is lost: History shows both, for you to decide.'
    : `An entry was not taken: ${outcome.kind === 'refused' ? outcome.problems.map(({ message }) => message).join(' ') : ''}`;
}

/** A project that begins in this browser has no kept entries yet. */
function onTopOf(kept: ProjectState | null, pending: readonly NewEntry[]): ProjectState | null {
  if (kept !== null) return withPending(kept, pending);
  const [first] = pending;
  if (first === undefined || first.body.kind !== 'project') return null;
  const asKept = { ...first, sequence: 1, received: first.at, previous: '', hash: '' };
  return withPending(projectState([asKept]), pending.slice(1));
}

function foldedOrNull(entries: readonly KeptEntry[]): ProjectState | null {
  try {
    return projectState(entries);
  } catch {
    // what the browser kept is only a copy: the store has it whole
    return null;
  }
}

/** By its name first: systems call a CSV file many things. What the record does not take is told when the
 * entry is checked. */
function mediaTypeOf(file: Blob, name: string): string {
  return mediaOf(name) ?? (file.type === '' ? 'application/octet-stream' : file.type);
}

function reasonOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

function readText(storage: Pick<Storage, 'getItem'>, key: string): string | null {
  try {
    return storage.getItem(key);
  } catch {
    return null;
  }
}

/** false: it could not be kept */
function keepText(
  storage: Pick<Storage, 'setItem' | 'removeItem'>,
  key: string,
  value: string | null,
): boolean {
  try {
    if (value === null) storage.removeItem(key);
    else storage.setItem(key, value);
    return true;
  } catch {
    return false;
  }
}
