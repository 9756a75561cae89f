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
  ATTACHMENT_MEDIA,
  admit,
  attachmentsOf,
  contentHash,
  filesOf,
  LIST_LIMITS,
  mediaOf,
  projectState,
  readEntry,
  TEXT_LIMITS,
  withEntries,
  withPending,
} from '../../../test-record/index.js';
import { ApiError } from '../../store/api.js';
import { tellWaiting } from '../entries-wait.js';
import type { LocalShelf, PendingEntry } from './local-shelf.js';
import type { RecordsApi } from './records-api.js';
import type { TestDay, WriteWishes } from './test-day-state.js';
import { batchOf, followsStuck, sendable } from './waiting-line.js';

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

/** HTTP status of what is refused however often it is sent. */
const NEVER_TAKEN: readonly number[] = [400, 413, 415];
/** What the program itself is away for: no answer, or a key that it does not know (any more). */
const NO_ENTRY: readonly number[] = [0, 401, 403];
const LAID_ASIDE = 'not-taken-over.txt';
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
  /** projects of which the program has other entries than this browser saw */
  const apart = new Set<string>();
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
      if (!isUpToDate()) await readNews();
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
      try {
        if (which === 'theirs') {
          const note = await asNote(found, why);
          await passOn(found);
          await replaceInLine(found, note);
        } else if (newest !== undefined) {
          await replaceInLine(found, onTop(found.entry, newest, why));
        }
      } catch (error) {
        set({ atRisk: true });
        say(`This browser cannot keep what was decided: ${reasonOf(error)}`, 'problem');
        return;
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

  /** What was written here stays readable, with its files: beside the other's entry, or instead of one that
   * breaks a rule. */
  async function asNote({ entry, problems }: PendingEntry, why: string): Promise<NewEntry> {
    const { project, subject, who, body } = entry;
    const id = newId();
    const about = get().kept?.records.has(subject) === true ? subject : null;
    const reason = `Not taken over, since ${reasonAside(problems)}${why.trim() === '' ? '' : ` (${why.trim()})`}`;
    const content = JSON.stringify(body, null, 2);
    const text = `${reason}:\n${content}`;
    const isShort = text.length <= TEXT_LIMITS.notes;
    const files = isShort ? [] : [await store.getState().attach(textFile(content), LAID_ASIDE)];
    if (files.includes(null)) throw new Error(`${LAID_ASIDE} could not be put away`);
    const photos = [...files.flatMap((file) => file ?? []), ...takenFiles(body, problems)];
    const note = {
      kind: 'note',
      about,
      text: isShort ? text : `${reason}: what it says is in ${LAID_ASIDE}`,
      photos: photos.slice(0, LIST_LIMITS.photos),
    } as const;
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
    // the new one first: whatever happens in between, what was written is there
    await shelf.putPending(again);
    if (entry.id !== found.entry.id) await shelf.dropPending([found.entry.id]);
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

  /** The program has told of the project as it is here. */
  function isUpToDate(): boolean {
    const { project, projects, kept } = get();
    const told = projects.find(({ id }) => id === project);
    return kept !== null && told?.head === kept.head.hash && get().link === 'answers';
  }

  /** Entries that came since; all, where the one known last is not there (any more). */
  async function readNews(): Promise<void> {
    const { project, kept } = get();
    if (project === null) return;
    const opening = openings;
    try {
      const found = await api.entries(project, Math.max(0, (kept?.head.sequence ?? 0) - 1));
      const goesOn = kept === null || found[0]?.hash === kept.head.hash;
      const all = goesOn ? found : await api.entries(project, 0);
      if (opening === openings) {
        if (goesOn) takeIn(found);
        else startOver(project, all);
      }
      if (get().link !== 'answers') set({ link: 'answers' });
    } catch (error) {
      away(error);
    }
  }

  /** The records were set back to an earlier time, or are others: what the program has is shown. What this
   * browser saw stays in it, since it may be nowhere else. */
  function startOver(project: string, entries: readonly KeptEntry[]): void {
    const seen = get().kept?.head.sequence ?? 0;
    if (!apart.has(project)) {
      say(
        `The program has other entries of this project than this browser has seen (${seen} then, ${entries.length} now): the records were set back or replaced. What is shown is what the program has now.`,
        'problem',
      );
    }
    apart.add(project);
    show(entries.length === 0 ? null : foldedOrNull(entries));
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
    if (first === undefined) return true;
    const head = get().kept?.head;
    if (head === undefined) return first.sequence === 1;
    return first.sequence === head.sequence + 1 && first.previous === head.hash;
  }

  function takeIn(entries: readonly KeptEntry[]): void {
    const { kept } = get();
    const news = newsIn(entries);
    if (news.length === 0 || !isNext(entries)) {
      show(kept);
      return;
    }
    if (!apart.has(news[0]?.project ?? '')) void shelf.see(news).catch(() => {});
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
      /** projects that the program cannot go on with now */
      const resting = new Set<string>();
      for (;;) {
        const next = batchOf(sendable(get().pending), resting);
        const [first] = next;
        if (first === undefined) return;
        const sent = await sendAll(next, resting.size === 0);
        if (sent === 'no further') return;
        if (sent === 'not now') resting.add(first.entry.project);
      }
    });
  }

  type Sent = 'sent' | 'not now' | 'no further';

  /**
   * @param next of one project
   * @param isFirst nothing went wrong before
   */
  async function sendAll(next: readonly PendingEntry[], isFirst: boolean): Promise<Sent> {
    try {
      const ready = await withFilesSent(next);
      if (ready.length === 0) return 'sent';
      const outcomes = await api.submit(ready.map(({ entry }) => entry));
      set(isFirst ? { link: 'answers', problem: null } : { link: 'answers' });
      await settleAll(ready, outcomes);
      return 'sent';
    } catch (error) {
      return notSent(error, next, isFirst);
    }
  }

  async function notSent(
    error: unknown,
    next: readonly PendingEntry[],
    isFirst: boolean,
  ): Promise<Sent> {
    if (error instanceof ShelfFailure) {
      if (!get().atRisk) say(error.message, 'problem');
      set({ atRisk: true });
      return 'no further';
    }
    const [only, ...others] = next;
    if (error instanceof ApiError && error.status === 413 && only !== undefined) {
      if (others.length > 0) return oneByOne(next, isFirst);
      await refuseHere(only, null, error.message);
      return 'sent';
    }
    away(error);
    return error instanceof ApiError && NO_ENTRY.includes(error.status) ? 'no further' : 'not now';
  }

  async function oneByOne(next: readonly PendingEntry[], isFirst: boolean): Promise<Sent> {
    for (const { entry } of next) {
      // those that follow one that was refused are not sent
      const still = sendable(get().pending).filter((each) => each.entry.id === entry.id);
      if (still.length === 0) continue;
      const sent = await sendAll(still, isFirst);
      if (sent !== 'sent') return sent;
    }
    return 'sent';
  }

  /** Those whose files are there now. One whose file is not taken waits with the reason, as do those that
   * follow it. */
  async function withFilesSent(next: readonly PendingEntry[]): Promise<readonly PendingEntry[]> {
    for (const pending of next) {
      const problem = await fileProblem(pending.entry);
      if (problem !== null) await refuseHere(pending, problem.hash, problem.message);
    }
    const still = new Set(sendable(get().pending).map(({ entry }) => entry.id));
    return next.filter(({ entry }) => still.has(entry.id));
  }

  /** null: its files were sent */
  async function fileProblem(entry: NewEntry): Promise<{ hash: string; message: string } | null> {
    for (const hash of attachmentsOf(entry)) {
      const local = await onShelf(shelf.file(hash));
      try {
        if (local !== null) await api.putFile(hash, local.blob, local.media);
      } catch (error) {
        if (!(error instanceof ApiError && NEVER_TAKEN.includes(error.status))) throw error;
        return { hash, message: error.message };
      }
    }
    return null;
  }

  /** It would be refused however often it is sent: it waits with the reason until that is decided. */
  async function refuseHere(
    pending: PendingEntry,
    hash: string | null,
    message: string,
  ): Promise<void> {
    const code = hash === null ? 'value' : 'attachment';
    const problem = { code, path: ['body'], actual: hash, allowed: '', message } as const;
    const outcome = { kind: 'refused', problems: [problem] } as const;
    await onShelf(shelf.putPending({ ...pending, problems: outcome.problems }));
    say(outcomeWords(outcome), 'problem');
    await takeUp();
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
        await onShelf(shelf.putPending({ ...pending, since, problems }));
        say(outcomeWords(outcome), 'problem');
      }
    }
    await onShelf(shelf.dropPending(kept.map(({ id }) => id)));
    await onShelf(shelf.dropFiles(kept.flatMap((entry) => attachmentsOf(entry))));
    // what another writer put in between is had first, so that nothing shown goes away for a moment
    if (!isNext(kept)) await readNews();
    await takeUp(() => takeIn(kept));
    if (kept.some(({ body }) => body.kind === 'project')) await readProjects();
  }

  return store;
}

/** The browser's own storage does not do what it has to. */
class ShelfFailure extends Error {}

async function onShelf<T>(act: Promise<T>): Promise<T> {
  try {
    return await act;
  } catch (error) {
    throw new ShelfFailure(
      `This browser cannot keep what was written and sent in order (${reasonOf(error)}): what waits is sent again later.`,
    );
  }
}

function reasonAside(problems: PendingEntry['problems']): string {
  if (problems === null) return 'another entry was kept first';
  const words = problems.map(({ message }) => message).join(' ');
  return `the record does not take it: ${words.slice(0, TEXT_LIMITS.why)}`;
}

function textFile(content: string): Blob {
  return new Blob([content], { type: 'text/plain' });
}

/** Files of a body that a note can have: not those that were not taken. */
function takenFiles(body: EntryBody, problems: PendingEntry['problems']): readonly Attachment[] {
  const media: readonly string[] = ATTACHMENT_MEDIA;
  const missing = new Set(problems?.map(({ code, actual }) => code === 'attachment' && actual));
  return filesOf(body).filter((file) => media.includes(file.media) && !missing.has(file.hash));
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
