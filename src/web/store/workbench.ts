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
import type { Engine, Task } from '../engine/engine-client.js';
import { TaskStopped } from '../engine/engine-client.js';
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
import { besideName, freeCartName } from './cart-name.js';
import type { DraftShelf } from './drafts.js';
import type { PartsListFile, Reading } from './reading.js';
import { base64Of, readPartsListFile, readSheet } from './reading.js';
import { askedSet, knownSets } from './requirement-sets.js';
import type { Notice, Sheet, TaskState, Theme, Variant, Workbench } from './state.js';
import { isUnsaved } from './unsaved.js';

export interface Preferences {
  readonly get: (key: 'units' | 'theme' | 'guide') => string | null;
  readonly set: (key: 'units' | 'theme' | 'guide', value: string) => void;
}

export interface Surroundings {
  readonly api: Api;
  readonly engine: Engine;
  readonly shelf: DraftShelf;
  readonly preferences: Preferences;
  /** ISO 8601 of now */
  readonly now: () => string;
}

/** ms between a change and its draft on disk. */
const DRAFT_AFTER = 250;
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

export function createWorkbench({ api, engine, shelf, preferences, now }: Surroundings) {
  let draftTimer: ReturnType<typeof setTimeout> | undefined;
  let nextNotice = 1;
  let nextVariant = 1;
  /** counts the sheets opened and closed: what was asked for an earlier one is not for this */
  let sheetNumber = 0;
  /** counts what was asked to be opened: the last click wins */
  let openings = 0;
  /** answers to earlier questions are of another cart */
  let leastTicket = 0;
  /** a draft of the open cart is kept somewhere */
  let hasDraft = false;
  /** the program could not keep the last draft */
  let draftsFail = false;
  /** drafts are written and dropped one after the other */
  let draftsDone: Promise<void> = Promise.resolve();
  let looking = false;
  /** version on disk about which was said 'later'; undefined: none */
  let putOff: string | null | undefined;
  /** the pose before a drag moved it */
  let poseBefore: Pose | null = null;
  /** the finding whose worst is shown as soon as it is known */
  let wantedWorst: string | null = null;
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
          const draft = laterDraft(stored);
          if (stored.text !== null) await openStored(stored, stored.text, draft);
          else if (draft !== null) await openNeverSaved(name, draft, stored.partsList);
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
          if (recovery !== null) await forget(recovery.name);
        },
        async dropDraftOf(name) {
          await forget(name);
          await readFolder();
        },
        keepWork: () => keepDraftNow(),
        close() {
          const { file, atRisk } = get();
          if (file !== null && isUnsaved(get()) && !atRisk) {
            get().say(`Unsaved work on ${file.name} is kept. Open it again to go on.`);
          }
          const kept = keepDraftNow();
          openings += 1;
          leaveSheet();
          set({ ...NO_SHEET, ...NOTHING_OPEN });
          store.temporal.getState().clear();
          void kept.then(readFolder);
        },
        async save() {
          const { file } = get();
          if (file !== null) await write(file.name, file.version);
        },
        async saveAs(name) {
          const { file } = get();
          if (file === null) return false;
          return write(name, name === file.name ? file.version : null);
        },
        async settle(which) {
          const { conflict, file } = get();
          if (conflict === null || file === null) return;
          set({ conflict: null });
          const { text, version } = conflict;
          if (which === 'later') putOff = version;
          if (which === 'mine') {
            set({ file: { ...file, version } });
            await write(file.name, version);
          }
          if (which === 'theirs' && text !== null) await takeTheirs(text, version);
        },
        async lookAtDisk() {
          const { file, conflict, saving, recovery } = get();
          if (file === null || file.version === null || looking) return;
          if (conflict !== null || recovery !== null || saving) return;
          looking = true;
          try {
            await lookAt(file);
          } finally {
            looking = false;
          }
        },
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

  /** A name that neither a file of the folder nor unsaved work has. */
  function freeName(wanted: string): string {
    const { folder } = get();
    const shelved = shelf.list(leadOf(folder));
    const taken = [...(folder?.carts ?? []), ...(folder?.drafts ?? []), ...shelved];
    return freeCartName(
      wanted,
      taken.map(({ name }) => name),
    );
  }

  async function openStored(stored: StoredCart, text: string, draft: Draft | null): Promise<void> {
    const { name, version, partsList } = stored;
    const file = { name, version, savedText: text, savedList: partsList, openedAs: text };
    const fileChanged = draft !== null && draft.base !== version;
    const recovery = draft && { name, draft, fileChanged };
    await open(text, partsList, file, recovery);
  }

  /** Unsaved work on a cart that never was in the folder: there is nothing else to open. */
  async function openNeverSaved(
    name: string,
    { text, partsList }: Draft,
    onDisk: StoredPartsList | null,
  ): Promise<void> {
    const file = { name, version: null, savedText: null, savedList: null, openedAs: '' };
    await open(text, partsList ?? onDisk, file, null);
    get().say(`${name} was never saved; this is the work that was kept.`);
  }

  /** @param tells whether what is wrong with its parts list is worth a notice */
  async function openUnsaved(
    { name, text, partsList }: ExampleCart,
    tells: boolean,
  ): Promise<void> {
    const free = freeName(name);
    const file = { name: free, version: null, savedText: null, savedList: null, openedAs: text };
    const problem = partsList?.problem ?? null;
    await open(text, partsList, file, null);
    if (tells && problem !== null) get().say(problem, 'problem');
  }

  async function open(
    text: string,
    partsList: StoredPartsList | null,
    file: NonNullable<Workbench['file']>,
    recovery: Workbench['recovery'],
  ): Promise<void> {
    const mine = openings;
    await keepDraftNow();
    const partsLists = await listed(partsList);
    if (mine !== openings) return;
    leaveSheet();
    set({ ...NOTHING_OPEN, text, partsLists, file, recovery, made: '', screen: 'sheet' });
    reread();
    // what stood on the sheet before is another cart
    store.temporal.getState().clear();
  }

  /** Nothing of the cart that was open is to reach the next one. */
  function leaveSheet(): void {
    clearTimeout(draftTimer);
    sheetNumber += 1;
    leastTicket = get().ticket + 1;
    hasDraft = false;
    putOff = undefined;
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

  /** The later of the program's draft and the browser's own; null where the file says the same. */
  function laterDraft({ name, text, draft, partsList }: StoredCart): Draft | null {
    const kept = shelf.get(shelfKey(name));
    const isShelf = kept !== null && (draft === null || kept.saved >= draft.saved);
    // the browser's has the parts list too
    const later = isShelf || (kept !== null && kept.text === draft?.text) ? kept : draft;
    if (later === null) return null;
    const list = later.partsList?.base64 ?? partsList?.base64 ?? null;
    const isSame = later.text === text && list === (partsList?.base64 ?? null);
    if (isSame) void forget(name);
    return isSame ? null : later;
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
    set({
      ...(chosen?.kind === 'found' ? { set: chosen.set } : {}),
      ...{ reading, cart, shown: cart, pose, preview: [], setProblem: issue?.words ?? null },
    });
    if (reading.cart !== null) judge(false);
    keepDraft();
    const named = partsListFileOf(text);
    if (named !== null && !partsLists.has(named)) void refreshPartsLists();
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

  /** The browser's copy at once, the one on disk a moment later. */
  function keepDraft(): void {
    const { file, recovery, atRisk } = get();
    if (file === null || recovery !== null) return;
    clearTimeout(draftTimer);
    if (!isUnsaved(get())) {
      if (hasDraft) void forget(file.name);
      hasDraft = false;
      if (atRisk) set({ atRisk: false });
      return;
    }
    hasDraft = true;
    const isKept = shelf.put(shelfKey(file.name), draftOfNow(file));
    if (atRisk === isKept) set({ atRisk: !isKept });
    draftTimer = setTimeout(() => void keepDraftNow(), DRAFT_AFTER);
  }

  function draftOfNow({ version }: NonNullable<Workbench['file']>): Draft {
    const { text, partsLists } = get();
    const list = partsLists.get(partsListFileOf(text) ?? '');
    const draft = { text, base: version, saved: now() };
    return list === undefined
      ? draft
      : { ...draft, partsList: { name: list.name, base64: list.base64 } };
  }

  function inOrder(act: () => Promise<void>): Promise<void> {
    const done = draftsDone.then(act);
    // a fault in one is told there, and stops none of the next
    draftsDone = done.catch(() => {});
    return done;
  }

  async function keepDraftNow(): Promise<void> {
    clearTimeout(draftTimer);
    const { file, text, recovery } = get();
    if (file === null || recovery !== null || !isUnsaved(get())) return;
    await inOrder(async () => {
      try {
        await api.saveDraft(file.name, { text, base: file.version });
        draftKept(text);
      } catch (error) {
        if (!(error instanceof ApiError)) throw error;
        draftsFail = true;
        const where = get().atRisk ? 'nowhere' : 'in this browser only';
        get().say(`Unsaved changes are kept ${where}: ${error.message}`, 'problem');
      }
    });
  }

  function draftKept(text: string): void {
    if (get().text === text && get().atRisk && !hasNewList()) set({ atRisk: false });
    if (!draftsFail) return;
    draftsFail = false;
    const isOver = ({ words }: Notice): boolean => words.startsWith('Unsaved changes are kept ');
    set({ notices: get().notices.filter((each) => !isOver(each)) });
    get().say('The program answers again: unsaved changes are kept on disk too.');
  }

  /** A parts list that is not on disk, which the program's draft does not hold. */
  function hasNewList(): boolean {
    const { text, partsLists, file } = get();
    const list = partsLists.get(partsListFileOf(text) ?? '');
    return list !== undefined && list.base64 !== file?.savedList?.base64;
  }

  async function forget(name: string): Promise<void> {
    shelf.drop(shelfKey(name));
    await inOrder(async () => {
      try {
        await api.dropDraft(name);
      } catch {
        // a draft that equals its file is not offered
      }
    });
  }

  async function lookAt(file: NonNullable<Workbench['file']>): Promise<void> {
    let stored: StoredCart | null = null;
    let version: string | null;
    try {
      version = await api.versionOf(file.name);
      if (draftsFail) void keepDraftNow();
      if (version === file.version || version === putOff) return;
      if (version !== null) stored = await api.cart(file.name);
    } catch {
      // nobody asked for it: the next save says what is wrong
      return;
    }
    const isStill = get().file === file && get().conflict === null && !get().saving;
    if (!isStill || stored?.version === file.version) return;
    const { text = null } = stored ?? {};
    if (text === null || isUnsaved(get())) {
      set({ conflict: { text, version: stored?.version ?? version } });
      return;
    }
    // nothing of ours is lost, and undo goes back
    await takeTheirs(text, stored?.version ?? version);
    get().say(`${file.name} was changed on disk and read again.`);
  }

  async function takeTheirs(text: string, version: string | null): Promise<void> {
    const { file } = get();
    if (file === null) return;
    set({ file: { ...file, version, savedText: text, savedList: savedListOf(text) } });
    putText('the file as it is on disk', text);
    await refreshPartsLists();
  }

  /** What is known to be on disk of the list that a text names. */
  function savedListOf(text: string): StoredPartsList | null {
    const name = partsListFileOf(text);
    const known = get().file?.savedList ?? null;
    if (name === null) return null;
    return known?.name === name ? known : { name, base64: null };
  }

  async function write(name: string, base: string | null): Promise<boolean> {
    if (get().saving) return false;
    set({ saving: true });
    try {
      return await written(name, base);
    } finally {
      set({ saving: false });
    }
  }

  async function written(name: string, base: string | null): Promise<boolean> {
    const sheet = sheetNumber;
    const before = get().file?.name;
    const list = await writeList(get().text, sheet);
    if (list === null) return false;
    const result = await guarded(() => api.saveCart(name, list.text, base));
    if (result === null) return false;
    if (result.kind === 'changed on disk') {
      if (sheet !== sheetNumber) get().say(`${name} was changed on disk and not saved.`, 'problem');
      else if (name !== before)
        get().say(`${name} exists already: choose another name.`, 'problem');
      else set({ conflict: { text: result.text, version: result.version } });
      return false;
    }
    if (sheet === sheetNumber) {
      const { text, savedList } = list;
      const file = { name, version: result.version, savedText: text, savedList, openedAs: text };
      set({ file });
      putOff = undefined;
      if (before !== undefined && before !== name) await forget(before);
      hasDraft = true;
      // typed on while it was being saved: kept; else the draft has done its work
      keepDraft();
    }
    get().say(`Saved ${name}.`);
    await readFolder();
    return true;
  }

  /** The parts list first, so that the cart on disk never names one that is not there. A list of the same
   * name that is another's is left alone: ours gets another name, in the text too.
   *
   * @returns the text to save; null: the list could not be saved, and said so */
  async function writeList(
    text: string,
    sheet: number,
  ): Promise<{ readonly text: string; readonly savedList: StoredPartsList | null } | null> {
    const name = partsListFileOf(text);
    const list = name === null ? undefined : get().partsLists.get(name);
    if (name === null || list === undefined) return { text, savedList: savedListOf(text) };
    const known = savedListOf(text)?.base64 ?? null;
    const there = await guarded(() => api.partsList(name));
    if (there === null) return null;
    const savedList = { name, base64: list.base64 };
    if (there.base64 === list.base64) return { text, savedList };
    if (there.base64 !== null && there.base64 !== known) return writeBeside(text, list, sheet);
    const result = await guarded(() => api.savePartsList(name, list.base64, there.version));
    if (result?.kind === 'saved') return { text, savedList };
    if (result !== null) get().say(`${name} is being changed by another program.`, 'problem');
    return null;
  }

  async function writeBeside(text: string, list: PartsListFile, sheet: number) {
    const name = besideName(list.name, (each) => get().folder?.partsLists.includes(each) ?? false);
    const change = [{ kind: 'set', path: ['parts list'], value: name }] as const;
    const renamed = changeFields(text, change);
    const result = await guarded(() => api.savePartsList(name, list.base64, null));
    if (renamed.kind === 'refused' || result?.kind !== 'saved') {
      get().say(
        `The folder has another ${list.name}: give the parts list another name.`,
        'problem',
      );
      return null;
    }
    const shown = changeFields(get().text, change);
    if (sheet === sheetNumber && shown.kind === 'ok') {
      const partsLists = new Map(get().partsLists).set(name, { ...list, name });
      putSheet({ text: shown.text, partsLists, made: `name of the parts list: ${name}` });
      get().say(`The folder has another ${list.name}: the parts list was saved as ${name}.`);
    }
    return { text: renamed.text, savedList: { name, base64: list.base64 } };
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
    const { reading, set: against, text, setProblem } = get();
    if (reading.cart === null || setProblem !== null || tasks[which] !== null) return;
    const put = (state: TaskState<unknown>): void =>
      set({ [which]: state } as unknown as Partial<Workbench>);
    put({ kind: 'running', done: 0, total: 1, what: '' });
    const task = start(reading.cart, against, (done, total, what) => {
      if (get()[which].kind === 'running') put({ kind: 'running', done, total, what });
    });
    tasks[which] = task;
    try {
      put({ kind: 'done', result: await task.result, text });
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
      if (ticket !== get().ticket) return;
      set({ proven: withFinding(get().proven, finding, stage) });
      if (finding.id === wantedWorst) get().showWorst(finding.id);
    },
    proofEnd({ ticket, stage, report }) {
      if (ticket !== get().ticket) return;
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

const NOTHING_OPEN = {
  file: null,
  atRisk: false,
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

function listsOf(partsLists: ReadonlyMap<string, PartsListFile>) {
  return new Map(
    [...partsLists].flatMap(([name, { list }]) => (list === null ? [] : [[name, list] as const])),
  );
}

function leadOf(folder: Folder | null): string {
  return `${folder?.folder ?? ''}: `;
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
