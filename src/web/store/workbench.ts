/** The state of the page and its changes. Knows no page: the server, the engine, the clock and the
 * browser's storage are handed in. */

import { temporal } from 'zundo';
import { createStore } from 'zustand/vanilla';
import type { CheckReport, Finding, HoldingRose, Pose } from '../../analysis/index.js';
import { fitPose, poseOfWorst, startPose } from '../../analysis/index.js';
import type { Cart, CartEdit } from '../../document/index.js';
import {
  changeFields,
  editCart,
  editCartFile,
  MAX_INPUT_BYTES,
  partsListFileOf,
  sentence,
  writeStarterCart,
} from '../../document/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import { builtInSets } from '../../requirements/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { Engine } from '../engine/engine-client.js';
import type { Task } from '../engine/task.js';
import { TaskStopped } from '../engine/task.js';
import type { Access } from './access.js';
import type {
  Api,
  Draft,
  DraftEntry,
  ExampleCart,
  Folder,
  StoredCart,
  StoredPartsList,
} from './api.js';
import { ApiError } from './api.js';
import { createAutosave } from './autosave.js';
import { freeCartName } from './cart-name.js';
import type { Claims, Hold } from './claims.js';
import { createHolds } from './claims.js';
import { createDiskWatch } from './disk-watch.js';
import type { DraftShelf } from './drafts.js';
import type { PartsListFile, Reading } from './reading.js';
import { base64Of, listsOf, readPartsListFile, readSheet } from './reading.js';
import { askedSet, knownSets, setOfFields } from './requirement-sets.js';
import { createSaving } from './saving.js';
import type { Notice, Sheet, TaskState, Theme, Variant, Workbench } from './state.js';
import { isUnsaved, savedListOf } from './unsaved.js';

export interface Preferences {
  readonly get: (key: 'units' | 'theme' | 'guide') => string | null;
  readonly set: (key: 'units' | 'theme' | 'guide', value: string) => void;
}

export interface Surroundings {
  readonly api: Api;
  readonly engine: Engine;
  readonly shelf: DraftShelf;
  readonly claims: Claims;
  readonly preferences: Preferences;
  /** ISO 8601 of now */
  readonly now: () => string;
}

/** Steps of undo kept. */
const MOST_STEPS = 500;
/** Notices kept at once. */
const MOST_SAID = 3;
const MOST_PROBLEMS = 8;
const MOST_SENTENCES = 3;

const NO_READING: Reading = { cart: null, fields: null, issues: [] };
const NO_SHEET: Sheet = { text: '', partsLists: new Map(), made: '' };
const DEFAULT_SET = builtInSets[0] as RequirementSet;

export type WorkbenchStore = ReturnType<typeof createWorkbench>;

export function createWorkbench(around: Surroundings) {
  const { api, engine, shelf, claims, preferences, now } = around;
  let nextNotice = 1;
  let nextVariant = 1;
  /** counts the sheets opened and closed: what was asked for an earlier one is not for this */
  let sheetNumber = 0;
  /** counts what was asked to be opened: the last click wins */
  let openings = 0;
  /** answers to earlier questions are of another cart */
  let leastTicket = 0;
  /** the pose before a drag moved it */
  let poseBefore: Pose | null = null;
  /** the finding whose worst is shown as soon as it is known */
  let wantedWorst: string | null = null;
  /** the pose that was last shown as the worst of the chosen finding */
  let worstShown: Pose | null = null;
  const tasks: { remedies: Task<unknown> | null; tolerances: Task<unknown> | null } = {
    remedies: null,
    tolerances: null,
  };

  const store = createStore<Workbench>()(
    temporal(
      (set, get) => ({
        ...NO_SHEET,
        screen: 'start',
        folder: null,
        folderProblem: null,
        file: null,
        recovery: null,
        conflict: null,
        saving: false,
        atRisk: false,
        elsewhere: false,
        reading: NO_READING,
        cart: null,
        sets: builtInSets,
        set: DEFAULT_SET,
        setProblem: null,
        preview: [],
        shown: null,
        pose: null,
        ticket: 0,
        live: null,
        proven: new Map(),
        provenUpTo: null,
        finding: null,
        view: 'scene',
        pane: 'See',
        section: 'parts',
        units: unitsOf(preferences.get('units')),
        theme: themeOf(preferences.get('theme')),
        notices: [],
        variants: [],
        remedies: { kind: 'idle' },
        tolerances: { kind: 'idle' },
        guide: null,
        guideLeft: guideLeftOf(preferences.get('guide')),
        asking: null,

        async begin() {
          await readFolder();
          const opened = get().folder?.opened ?? null;
          if (opened !== null && get().file === null) await get().openCart(opened);
        },
        lookAtFolder: () => readFolder(),
        async openCart(name) {
          const stored = await asked(() => storedCart(name));
          if (stored === null) return;
          const { draftProblem = null } = stored;
          if (draftProblem !== null) get().say(draftProblem, 'problem');
          const mine = openings;
          const hold = await holds.of(shelfKey(name));
          if (mine !== openings) return holds.letGo(hold);
          const draft = hold === null ? null : autosave.later(stored);
          if (stored.text !== null) await openStored(stored, stored.text, draft, hold);
          else if (draft !== null) await openNeverSaved(name, draft, stored.partsList, hold);
          else get().say(`${name} is open in another tab, and not saved yet.`, 'problem');
        },
        async openExample(name) {
          const stored = await asked(() => api.example(name));
          if (stored !== null) await openUnsaved(stored, true);
        },
        async newCart() {
          openings += 1;
          const text = writeStarterCart();
          await openUnsaved({ name: 'new.cart.yaml', text, partsList: null }, true);
        },
        async openText(name, text, list) {
          openings += 1;
          const partsList = list && { name: list.name, base64: base64Of(list.bytes) };
          await openUnsaved({ name, text, partsList }, false);
        },
        async takeDraft() {
          const { recovery, file } = get();
          if (recovery === null || file === null) return;
          const { draft } = recovery;
          const sheet = sheetNumber;
          const list = await listed(draft.partsList ?? null);
          if (sheet !== sheetNumber) return;
          // made from another file than is there now: saving has to ask
          set({ recovery: null, file: { ...file, version: draft.base } });
          const partsLists = new Map([...get().partsLists, ...list]);
          putSheet({ text: draft.text, partsLists, made: 'unsaved work of before' });
        },
        async dropDraft() {
          const { recovery } = get();
          set({ recovery: null });
          if (recovery !== null) await autosave.forget(recovery.name);
        },
        async dropDraftOf(name) {
          const hold = await holds.of(shelfKey(name));
          if (hold === null)
            get().say(`${name} is open in another tab: close it there.`, 'problem');
          else await autosave.forget(name);
          holds.letGo(hold);
          await readFolder();
        },
        keepWork: () => autosave.keepNow(),
        close() {
          const { file, atRisk } = get();
          if (file !== null && isUnsaved(get()) && !atRisk) {
            get().say(`Unsaved work on ${file.name} is kept. Open it again to go on.`);
          }
          const kept = autosave.keepNow();
          openings += 1;
          leaveSheet(null);
          set({ ...NO_SHEET, ...NOTHING_OPEN });
          store.temporal.getState().clear();
          void kept.then(readFolder);
        },
        async save() {
          const { file } = get();
          if (file !== null) await saving.write(file.name, file.version);
        },
        async saveAs(name) {
          const { file } = get();
          if (file === null) return false;
          if (name === file.name) return saving.write(name, file.version);
          return saving.writeAs(name);
        },
        async settle(which) {
          const { conflict, file } = get();
          if (conflict === null || file === null) return;
          set({ conflict: null });
          const { text, version } = conflict;
          if (which === 'later') watch.putOff(version);
          if (which === 'mine') {
            set({ file: { ...file, version } });
            await saving.write(file.name, version);
          }
          if (which === 'theirs' && text !== null) await takeTheirs(text, version);
        },
        lookAtDisk: () => watch.look(),
        change(words, changes) {
          const result = changeFields(get().text, changes);
          if (result.kind === 'refused') return refuse(`${words}: ${result.reason}`);
          putText(words, result.text);
          return true;
        },
        edit(words, edits) {
          const { text, file, partsLists } = get();
          const result = editCartFile(text, file?.name ?? '', edits, listsOf(partsLists));
          if (result.kind === 'refused') {
            return refuse(`${words}: ${firstOf(result.issues.map(sentence))}`);
          }
          putText(words, result.text);
          return true;
        },
        replaceText: (words, text) => putText(words, text),
        async attachPartsList(name, bytes) {
          if (bytes.length > MAX_INPUT_BYTES) {
            return refuse(
              `${name} holds ${bytes.length} bytes; allowed: at most ${MAX_INPUT_BYTES}`,
            );
          }
          const sheet = sheetNumber;
          const list = await readPartsListFile(name, base64Of(bytes));
          if (sheet !== sheetNumber) return false;
          if (list.list === null) return refuse(firstOf(list.problems));
          const named = changeFields(get().text, [
            { kind: 'set', path: ['parts list'], value: name },
          ]);
          if (named.kind === 'refused') return refuse(named.reason);
          const partsLists = new Map(get().partsLists).set(name, list);
          putSheet({ text: named.text, partsLists, made: `parts list ${name}` });
          return true;
        },
        drag(edits) {
          const { cart, preview } = get();
          if (cart === null || (edits.length === 0 && preview.length === 0)) return;
          if (preview.length === 0) poseBefore = get().pose;
          const shown = editCart(cart, edits);
          const pose = edits.length === 0 ? poseBefore : get().pose;
          set({ preview: edits, shown, pose: fittedPose(shown, pose) });
          judge(edits.length > 0);
        },
        undo() {
          if (get().preview.length > 0) return get().drag([]);
          const steps = store.temporal.getState();
          if (steps.pastStates.length === 0) return;
          steps.undo();
          reread();
        },
        redo() {
          if (get().preview.length > 0) get().drag([]);
          const steps = store.temporal.getState();
          if (steps.futureStates.length === 0) return;
          steps.redo();
          reread();
        },
        async rose(finding, castors): Promise<HoldingRose | null> {
          const question = questionOf();
          return question === null ? null : await engine.rose(question, finding, castors);
        },
        setPose(pose) {
          wantedWorst = null;
          set({ pose });
          const question = questionOf();
          if (question !== null && get().setProblem === null) engine.askPose(question);
        },
        showWorst(id) {
          const { shown, proven, set: against } = get();
          const found = proven.get(id)?.finding;
          set({ finding: id });
          wantedWorst = found === undefined ? id : null;
          if (shown === null || found === undefined) return;
          const pose = poseOfWorst(shown, against, found);
          worstShown = pose;
          if (pose !== null) get().setPose(pose);
        },
        choose(finding) {
          wantedWorst = null;
          set({ finding });
        },
        show: (view) => set({ view }),
        showPane: (pane) => set({ pane }),
        goTo: (screen) => set({ screen }),
        openSection: (section) => set({ section }),
        setUnits(units) {
          preferences.set('units', units);
          set({ units });
        },
        setTheme(theme) {
          preferences.set('theme', theme);
          set({ theme });
        },
        say(words, kind = 'said') {
          const notice: Notice = { id: nextNotice, kind, words };
          nextNotice += 1;
          // said again is not said twice; a problem stays until somebody has seen it
          const others = get().notices.filter((each) => each.words !== words);
          const said = others.filter((each) => each.kind === 'said').slice(-MOST_SAID);
          const problems = others.filter((each) => each.kind === 'problem').slice(-MOST_PROBLEMS);
          const kept = others.filter((each) => said.includes(each) || problems.includes(each));
          set({ notices: [...kept, notice] });
        },
        dismiss: (id) => set({ notices: get().notices.filter((each) => each.id !== id) }),
        keepVariant(name) {
          const { reading, set: against, setProblem } = get();
          const { cart } = reading;
          if (cart === null || setProblem !== null) {
            get().say('A cart that cannot be judged cannot be kept to compare with.', 'problem');
            return;
          }
          const { text, partsLists } = get();
          addVariant({ name, text, partsLists, cart, set: against });
        },
        dropVariant: (id) => set({ variants: get().variants.filter((each) => each.id !== id) }),
        async loadVariant(from, name) {
          const { set: against } = get();
          const isOfFolder = from === 'folder';
          const stored = await guarded<ExampleCart | StoredCart>(() =>
            isOfFolder ? api.cart(name) : api.example(name),
          );
          const text = stored?.text ?? null;
          if (stored === null || text === null) return null;
          const partsLists = await listed(stored.partsList);
          const { cart, issues } = readSheet(text, name, partsLists);
          if (cart === null) {
            get().say(`${name} cannot be read: ${issues[0]?.words ?? ''}`, 'problem');
            return null;
          }
          return addVariant({ name, text, partsLists, cart, set: against });
        },
        judgeVariant(id) {
          const { variants, set: against } = get();
          const variant = variants.find((each) => each.id === id);
          if (variant === undefined) return;
          const fresh = { ...variant, set: against, report: null, problem: null };
          set({ variants: variants.map((each) => (each === variant ? fresh : each)) });
          void checkVariant(id, variant.cart, against);
        },
        takeVariant(id) {
          const variant = get().variants.find((each) => each.id === id);
          if (variant === undefined) return;
          const { name, text } = variant;
          const partsLists = new Map([...get().partsLists, ...variant.partsLists]);
          putSheet({ text, partsLists, made: `variant ${name}` });
        },
        async findRemedies(margin, pairs) {
          await runTask('remedies', (cart, asked, progress) =>
            engine.remedies(cart, asked, { margin, pairs }, progress),
          );
        },
        async assessTolerances(precision, seed) {
          await runTask('tolerances', (cart, asked, progress) =>
            engine.tolerances(cart, asked, { precision, seed }, progress),
          );
        },
        stopTask(which) {
          tasks[which]?.stop();
        },
        ask: (asking) => set({ asking }),
        setGuide(guide) {
          const left = guide ?? get().guide ?? get().guideLeft ?? 0;
          preferences.set('guide', String(left));
          set({ guide, guideLeft: left });
        },
      }),
      {
        partialize: ({ text, partsLists, made }): Sheet => ({ text, partsLists, made }),
        equality: (a, b) => a.text === b.text && a.partsLists === b.partsLists,
        limit: MOST_STEPS,
      },
    ),
  );
  const { getState: get, setState: set } = store;
  const access: Access = { get, set, guarded };
  const holds = createHolds(claims);
  const autosave = createAutosave(access, { api, shelf, now, keyOf: shelfKey });
  const watch = createDiskWatch(access, { api, autosave, putSheet, takeTheirs });
  const saving = createSaving(access, {
    ...{ api, autosave, holds, keyOf: shelfKey, putSheet, readFolder },
    sheetNumber: () => sheetNumber,
    onSaved: watch.onSaved,
  });

  async function guarded<T>(ask: () => Promise<T>): Promise<T | null> {
    try {
      return await ask();
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      get().say(error.message, 'problem');
      return null;
    }
  }

  function refuse(reason: string): false {
    get().drag([]);
    get().say(reason, 'problem');
    return false;
  }

  /** What was asked for unless something else was asked since. */
  async function asked<T>(ask: () => Promise<T>): Promise<T | null> {
    openings += 1;
    const mine = openings;
    const answer = await guarded(ask);
    return mine === openings ? answer : null;
  }

  async function readFolder(): Promise<void> {
    try {
      const folder = await api.folder();
      const files = await Promise.all(folder.requirementFiles.map(requirementText));
      const known = knownSets(files.filter((each) => each !== null));
      for (const problem of known.problems) get().say(problem, 'problem');
      set({ folder: withShelf(folder), folderProblem: null, sets: known.sets });
      if (get().file !== null) rechoose();
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      set({ folderProblem: error.message });
    }
  }

  async function requirementText(name: string) {
    const text = await guarded(() => api.requirementFile(name));
    return text === null ? null : { name, text };
  }

  /** The sets are others, the text is not. */
  function rechoose(): void {
    const { set: before, setProblem, cart, file } = get();
    if (cart === null) return;
    const now = askedSet(cart, get().sets, file?.name ?? '');
    const isSame = now.kind === 'found' && setProblem === null;
    if (!isSame || JSON.stringify(now.set) !== JSON.stringify(before)) reread();
  }

  /** With the drafts that only the browser has. */
  function withShelf(folder: Folder): Folder {
    const latest = new Map<string, DraftEntry>();
    for (const each of [...folder.drafts, ...shelf.list(leadOf(folder))]) {
      if (each.saved > (latest.get(each.name)?.saved ?? '')) latest.set(each.name, each);
    }
    return { ...folder, drafts: [...latest.values()] };
  }

  function shelfKey(name: string): string {
    return leadOf(get().folder) + name;
  }

  /** A name that neither a file of the folder, nor unsaved work, nor another tab has. */
  async function freeHold(wanted: string): Promise<{ readonly free: string; readonly hold: Hold }> {
    const { folder } = get();
    const kept = [...(folder?.drafts ?? []), ...shelf.list(leadOf(folder))];
    const taken = [...(folder?.carts ?? []), ...kept].map(({ name }) => name);
    for (;;) {
      const free = freeCartName(wanted, taken);
      const hold = await holds.of(shelfKey(free));
      if (hold !== null) return { free, hold };
      taken.push(free);
    }
  }

  async function openStored(
    stored: StoredCart,
    text: string,
    draft: Draft | null,
    hold: Hold | null,
  ): Promise<void> {
    const { name, version, partsList } = stored;
    const file = { name, version, savedText: text, savedList: partsList, openedAs: text };
    const fileChanged = draft !== null && draft.base !== version;
    const recovery = draft && { name, draft, fileChanged };
    await open(text, partsList, file, recovery, hold);
  }

  /** Unsaved work on a cart that never was in the folder: there is nothing else to open. */
  async function openNeverSaved(
    name: string,
    { text, partsList }: Draft,
    onDisk: StoredPartsList | null,
    hold: Hold | null,
  ): Promise<void> {
    const file = { name, version: null, savedText: null, savedList: null, openedAs: '' };
    await open(text, partsList ?? onDisk, file, null, hold);
    get().say(`${name} was never saved; this is the work that was kept.`);
  }

  /** @param tells whether what is wrong with its parts list is worth a notice */
  async function openUnsaved(
    { name, text, partsList }: ExampleCart,
    tells: boolean,
  ): Promise<void> {
    const mine = openings;
    const { free, hold } = await freeHold(name);
    if (mine !== openings) return holds.letGo(hold);
    const file = { name: free, version: null, savedText: null, savedList: null, openedAs: text };
    const problem = partsList?.problem ?? null;
    await open(text, partsList, file, null, hold);
    if (tells && problem !== null) get().say(problem, 'problem');
  }

  async function open(
    text: string,
    partsList: StoredPartsList | null,
    file: NonNullable<Workbench['file']>,
    recovery: Workbench['recovery'],
    hold: Hold | null,
  ): Promise<void> {
    const mine = openings;
    await autosave.keepNow();
    const partsLists = await listed(partsList);
    if (mine !== openings) return holds.letGo(hold);
    const elsewhere = hold === null;
    leaveSheet(hold);
    set({
      ...NOTHING_OPEN,
      text,
      partsLists,
      file,
      recovery,
      elsewhere,
      made: '',
      screen: 'sheet',
    });
    reread();
    if (elsewhere) get().say(elsewhereWords(file.name), 'problem');
    // what stood on the sheet before is another cart
    store.temporal.getState().clear();
  }

  /** Nothing of the cart that was open is to reach the next one. */
  function leaveSheet(next: Hold | null): void {
    autosave.leave();
    watch.leave();
    holds.change(next);
    sheetNumber += 1;
    leastTicket = get().ticket + 1;
    poseBefore = null;
    wantedWorst = null;
    tasks.remedies?.stop();
    tasks.tolerances?.stop();
  }

  async function listed(
    stored: StoredPartsList | null,
  ): Promise<ReadonlyMap<string, PartsListFile>> {
    if (stored === null || stored.base64 === null) return new Map();
    return new Map([[stored.name, await readPartsListFile(stored.name, stored.base64)]]);
  }

  /** Work on a cart never saved may be kept by the browser alone. */
  async function storedCart(name: string): Promise<StoredCart> {
    try {
      return await api.cart(name);
    } catch (error) {
      const isMissing = error instanceof ApiError && error.status === 404;
      if (!isMissing || shelf.get(shelfKey(name)) === null) throw error;
      return { name, text: null, version: null, partsList: null, draft: null };
    }
  }

  function putText(made: string, text: string): void {
    putSheet({ text, partsLists: get().partsLists, made });
  }

  function putSheet(sheet: Sheet): void {
    const { text, partsLists } = get();
    // no step to take back
    if (sheet.text === text && sheet.partsLists === partsLists) {
      get().drag([]);
      return;
    }
    set({ ...sheet, preview: [] });
    reread();
  }

  /** Everything that follows from the text. */
  function reread(): void {
    const { text, file, partsLists, cart: before } = get();
    const read = readSheet(text, file?.name ?? '', partsLists);
    const cart = read.cart ?? before;
    const chosen = cart === null ? null : askedSet(cart, get().sets, file?.name ?? '');
    const pose = cart === null ? null : fittedPose(cart, get().pose);
    const issue = chosen?.kind === 'problem' ? chosen.issue : null;
    const reading = issue === null ? read : { ...read, issues: [...read.issues, issue] };
    const named =
      chosen?.kind === 'found' ? chosen.set : cart === null && setOfFields(read.fields, get().sets);
    set({
      ...(named ? { set: named } : {}),
      ...{ reading, cart, shown: cart, pose, preview: [], setProblem: issue?.words ?? null },
    });
    if (reading.cart !== null) judge(false);
    autosave.keep();
    const list = partsListFileOf(text);
    if (list !== null && !partsLists.has(list)) void refreshPartsLists();
  }

  /** The parts list that the text names, read from beside the cart file. */
  async function refreshPartsLists(): Promise<void> {
    const { text, file } = get();
    const name = partsListFileOf(text);
    if (name === null || file === null) return;
    let stored: StoredPartsList;
    try {
      stored = await api.partsList(name);
    } catch {
      // the reader's issue says that the list is missing
      return;
    }
    if (stored.base64 === null || get().file?.name !== file.name) return;
    const list = await readPartsListFile(name, stored.base64);
    if (partsListFileOf(get().text) !== name) return;
    store.temporal.getState().pause();
    set({ partsLists: new Map(get().partsLists).set(name, list) });
    store.temporal.getState().resume();
    reread();
  }

  function questionOf() {
    const { cart, preview, set: asked, pose, ticket } = get();
    return cart === null ? null : { ticket, cart, edits: preview, set: asked, pose };
  }

  function judge(dragging: boolean): void {
    set({ ticket: get().ticket + 1, proven: new Map(), provenUpTo: null });
    if (get().setProblem !== null) {
      leastTicket = get().ticket + 1;
      set({ live: null });
      return;
    }
    const question = questionOf();
    if (question !== null) engine.ask(question, dragging);
  }

  function fittedPose(cart: Cart, pose: Pose | null): Pose | null {
    if (pose !== null) return fitPose(cart, pose);
    const use = cart.positions.find(({ kind }) => kind === 'use') ?? cart.positions[0];
    return use === undefined ? null : startPose(cart, use.name);
  }

  async function takeTheirs(text: string, version: string | null): Promise<void> {
    const { file } = get();
    if (file === null) return;
    set({ file: { ...file, version, savedText: text, savedList: savedListOf(text, file) } });
    putText('the file as it is on disk', text);
    await refreshPartsLists();
  }

  function addVariant(kept: Omit<Variant, 'id' | 'report' | 'problem'>): number {
    const id = nextVariant;
    nextVariant += 1;
    set({ variants: [...get().variants, { id, ...kept, report: null, problem: null }] });
    void checkVariant(id, kept.cart, kept.set);
    return id;
  }

  async function checkVariant(id: number, cart: Cart, asked: RequirementSet): Promise<void> {
    const put = (change: { report?: CheckReport; problem?: string }): void =>
      set({
        variants: get().variants.map((each) => (each.id === id ? { ...each, ...change } : each)),
      });
    try {
      put({ report: await engine.check(cart, asked).result });
    } catch (error) {
      put({ problem: error instanceof Error ? error.message : String(error) });
    }
  }

  async function runTask<K extends 'remedies' | 'tolerances'>(
    which: K,
    start: (
      cart: Cart,
      asked: RequirementSet,
      progress: (done: number, total: number, what: string) => void,
    ) => Task<unknown>,
  ): Promise<void> {
    const { reading, set: against, text, partsLists, setProblem } = get();
    if (reading.cart === null || setProblem !== null || tasks[which] !== null) return;
    const put = (state: TaskState<unknown>): void =>
      set({ [which]: state } as unknown as Partial<Workbench>);
    put({ kind: 'running', done: 0, total: 1, what: '' });
    const task = start(reading.cart, against, (done, total, what) => {
      if (get()[which].kind === 'running') put({ kind: 'running', done, total, what });
    });
    tasks[which] = task;
    try {
      put({ kind: 'done', result: await task.result, of: { text, partsLists, set: against } });
    } catch (error) {
      if (error instanceof TaskStopped) put({ kind: 'idle' });
      else put({ kind: 'problem', words: error instanceof Error ? error.message : String(error) });
    } finally {
      tasks[which] = null;
    }
  }

  engine.listen({
    live(answer) {
      // one behind is better than none while the next is on its way
      const least = Math.max(leastTicket, get().live?.ticket ?? 0);
      if (answer.ticket >= least) set({ live: answer });
    },
    proof({ ticket, stage, finding }) {
      if (ticket !== get().ticket || ticket < leastTicket) return;
      set({ proven: withFinding(get().proven, finding, stage) });
      // a closer proof may know a worse configuration than the one that is shown as the worst
      const isShown = worstShown !== null && get().pose === worstShown;
      const follows = isShown && finding.id === get().finding;
      if (finding.id === wantedWorst || follows) get().showWorst(finding.id);
    },
    proofEnd({ ticket, stage, report }) {
      if (ticket !== get().ticket || ticket < leastTicket) return;
      const proven = report.findings.reduce(
        (map, finding) => withFinding(map, finding, stage),
        get().proven,
      );
      set({ proven, provenUpTo: stage });
    },
    fault: (message) => get().say(`A fault of the program: ${message}`, 'problem'),
  });

  return store;
}

function elsewhereWords(name: string): string {
  return `${name} is open in another tab of this browser too. What you change here is kept only when you save it.`;
}

const NOTHING_OPEN = {
  file: null,
  atRisk: false,
  elsewhere: false,
  asking: null,
  recovery: null,
  conflict: null,
  reading: NO_READING,
  cart: null,
  set: DEFAULT_SET,
  setProblem: null,
  preview: [] as readonly CartEdit[],
  shown: null,
  pose: null,
  live: null,
  proven: new Map(),
  provenUpTo: null,
  finding: null,
  remedies: { kind: 'idle' },
  tolerances: { kind: 'idle' },
  screen: 'start',
} as const;

function withFinding(
  proven: Workbench['proven'],
  finding: Finding,
  stage: 'quick' | 'full',
): Workbench['proven'] {
  return new Map(proven).set(finding.id, { finding, stage });
}

function leadOf(folder: Folder | null): string {
  return `${folder?.folder ?? ''} ${folder?.id ?? ''}: `;
}

/** The first few of many sentences. */
function firstOf(sentences: readonly string[]): string {
  const more = sentences.length - MOST_SENTENCES;
  const first = sentences.slice(0, MOST_SENTENCES).join(' ');
  return more > 0 ? `${first} And ${more} more.` : first;
}

function guideLeftOf(stored: string | null): number | null {
  return stored === null || !/^\d{1,2}$/.test(stored) ? null : Number(stored);
}

function unitsOf(stored: string | null): UnitSystem {
  return stored === 'US' || stored === 'both' ? stored : 'SI';
}

function themeOf(stored: string | null): Theme {
  return stored === 'light' || stored === 'dark' ? stored : 'as the system';
}
