/** A workbench without a browser: its server, its storage and its engine are kept in memory. */

import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { partsListFileOf } from '../../src/document/index.js';
import type { Engine, EngineListener } from '../../src/web/engine/engine-client.js';
import type { PoseQuestion } from '../../src/web/engine/messages.js';
import { TaskStopped } from '../../src/web/engine/task.js';
import type { Api, Draft, Folder, StoredPartsList } from '../../src/web/store/api.js';
import { ApiError } from '../../src/web/store/api.js';
import type { Claims } from '../../src/web/store/claims.js';
import { draftShelf } from '../../src/web/store/drafts.js';
import type { WorkbenchStore } from '../../src/web/store/workbench.js';
import { createWorkbench } from '../../src/web/store/workbench.js';

export interface FakeServer {
  readonly api: Api;
  readonly files: Map<string, string>;
  /** base64 by name */
  readonly lists: Map<string, string>;
  readonly drafts: Map<string, Draft>;
  readonly requirements: Map<string, string>;
  /** what was asked, in order: 'saveCart lamp.cart.yaml' */
  readonly asked: string[];
  /** it cannot be reached */
  gone: boolean;
  opened: string | null;
  folderId: string;
  /** called before a cart is written: what happens meanwhile */
  meanwhile: () => void;
}

export function versionOf(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

export function exampleText(name: string): string {
  return readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8');
}

export function exampleBytes(name: string): Buffer {
  return readFileSync(new URL(`../../examples/${name}`, import.meta.url));
}

export function fakeServer(): FakeServer {
  const listOf = (text: string): StoredPartsList | null => {
    const name = partsListFileOf(text);
    return name === null ? null : { name, base64: server.lists.get(name) ?? null };
  };
  const ask = (what: string): void => {
    server.asked.push(what);
    if (server.gone) throw new ApiError(0, 'The program behind this page does not answer.');
  };
  const api: Api = {
    async folder(): Promise<Folder> {
      ask('folder');
      return {
        folder: 'clinic/carts',
        id: server.folderId,
        carts: [...server.files].map(([name, text]) => {
          return { name, modified: '2026-11-20T08:00:00Z', bytes: text.length };
        }),
        requirementFiles: [...server.requirements.keys()],
        partsLists: [...server.lists.keys()],
        examples: [],
        drafts: [...server.drafts].map(([name, { saved }]) => ({ name, saved })),
        unusable: [],
        opened: server.opened,
        version: '0.0.0',
      };
    },
    async cart(name) {
      ask(`cart ${name}`);
      const text = server.files.get(name) ?? null;
      const draft = server.drafts.get(name) ?? null;
      if (text === null && draft === null)
        throw new ApiError(404, `${name}: there is no such file`);
      const version = text === null ? null : versionOf(text);
      return { name, text, version, partsList: listOf(text ?? draft?.text ?? ''), draft };
    },
    async example(name) {
      ask(`example ${name}`);
      const text = exampleText(name);
      const list = partsListFileOf(text);
      const partsList =
        list === null ? null : { name: list, base64: exampleBytes(list).toString('base64') };
      return { name, text, partsList };
    },
    async partsList(name) {
      ask(`partsList ${name}`);
      const base64 = server.lists.get(name) ?? null;
      return { name, base64, version: base64 === null ? null : versionOf(base64) };
    },
    async requirementFile(name) {
      ask(`requirementFile ${name}`);
      return server.requirements.get(name) ?? '';
    },
    async versionsOf(name, list) {
      ask(`versionsOf ${name}`);
      const text = server.files.get(name);
      const base64 = server.lists.get(list ?? '');
      return {
        version: text === undefined ? null : versionOf(text),
        partsList: base64 === undefined ? null : versionOf(base64),
      };
    },
    async saveCart(name, text, base) {
      ask(`saveCart ${name}`);
      server.meanwhile();
      const there = server.files.get(name);
      const version = there === undefined ? null : versionOf(there);
      if (version !== base) return { kind: 'changed on disk', text: there ?? null, version };
      server.files.set(name, text);
      return { kind: 'saved', version: versionOf(text) };
    },
    async savePartsList(name, base64, base) {
      ask(`savePartsList ${name}`);
      const there = server.lists.get(name);
      const version = there === undefined ? null : versionOf(there);
      if (version !== base) return { kind: 'changed on disk', text: null, version };
      server.lists.set(name, base64);
      return { kind: 'saved', version: versionOf(base64) };
    },
    async saveDraft(name, { text, base }) {
      ask(`saveDraft ${name}`);
      server.drafts.set(name, { text, base, saved: '2026-11-25T09:00:00.500Z' });
    },
    async dropDraft(name) {
      ask(`dropDraft ${name}`);
      server.drafts.delete(name);
    },
  };
  const server: FakeServer = {
    api,
    files: new Map(),
    lists: new Map(),
    drafts: new Map(),
    requirements: new Map(),
    asked: [],
    gone: false,
    opened: null,
    folderId: '0123456789abcdef',
    meanwhile: () => {},
  };
  return server;
}

export interface FakeEngine {
  readonly engine: Engine;
  readonly questions: (PoseQuestion & { readonly dragging: boolean })[];
  readonly poses: PoseQuestion[];
  readonly listener: () => EngineListener;
  /** ends the task that runs */
  readonly endTask: (result: unknown) => void;
  readonly progress: (done: number, total: number, what: string) => void;
}

export function fakeEngine(): FakeEngine {
  let listener: EngineListener | null = null;
  let end: (result: unknown) => void = () => {};
  let tell: (done: number, total: number, what: string) => void = () => {};
  const questions: FakeEngine['questions'] = [];
  const poses: PoseQuestion[] = [];
  const task = (progress: typeof tell) => {
    tell = progress;
    let stop = (): void => {};
    const result = new Promise<never>((resolve, reject) => {
      end = resolve as (result: unknown) => void;
      stop = () => reject(new TaskStopped('stopped'));
    });
    return { result, stop: () => stop() };
  };
  return {
    engine: {
      listen: (to) => {
        listener = to;
      },
      ask: (question, dragging) => questions.push({ ...question, dragging }),
      askPose: (question) => poses.push(question),
      rose: async () => null,
      remedies: (_cart, _set, _options, progress) => task(progress),
      tolerances: (_cart, _set, _options, progress) => task(progress),
      check: () => task(() => {}),
    },
    questions,
    poses,
    listener: () => {
      if (listener === null) throw new Error('nobody listens');
      return listener;
    },
    endTask: (result) => end(result),
    progress: (done, total, what) => tell(done, total, what),
  };
}

/** A storage with so many characters of room. */
export function fakeStorage(room = Number.POSITIVE_INFINITY): Storage {
  const kept = new Map<string, string>();
  return {
    get length() {
      return kept.size;
    },
    key: (index) => [...kept.keys()][index] ?? null,
    getItem: (key) => kept.get(key) ?? null,
    setItem(key, value) {
      if (value.length > room) throw new DOMException('full', 'QuotaExceededError');
      kept.set(key, value);
    },
    removeItem: (key) => {
      kept.delete(key);
    },
    clear: () => kept.clear(),
  };
}

export interface Bench {
  readonly store: WorkbenchStore;
  readonly server: FakeServer;
  readonly fake: FakeEngine;
  readonly storage: Storage;
  readonly preferences: Map<string, string>;
}

/** Of the tabs that share it. */
export function fakeClaims(): Claims {
  const taken = new Set<string>();
  return {
    async take(name) {
      if (taken.has(name)) return null;
      taken.add(name);
      return () => taken.delete(name);
    },
  };
}

/** The page opened (again) on what is kept.
 *
 * @param claims its own: no other tab is open any more */
export function benchOf(
  server: FakeServer,
  storage: Storage = fakeStorage(),
  preferences = new Map<string, string>(),
  claims: Claims = fakeClaims(),
): Bench {
  const fake = fakeEngine();
  let tick = 0;
  const store = createWorkbench({
    api: server.api,
    engine: fake.engine,
    shelf: draftShelf(storage),
    claims,
    preferences: {
      get: (key) => preferences.get(key) ?? null,
      set: (key, value) => preferences.set(key, value),
    },
    now: () => {
      tick += 1;
      return `2026-11-25T09:00:00.${String(tick).padStart(3, '0')}Z`;
    },
  });
  return { store, server, fake, storage, preferences };
}
