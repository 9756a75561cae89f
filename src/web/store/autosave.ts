/** Unsaved work is kept: by the browser at once, by the program a moment later. */

import { partsListFileOf } from '../../document/index.js';
import type { Access } from './access.js';
import type { Api, Draft, StoredCart } from './api.js';
import { ApiError } from './api.js';
import type { DraftShelf } from './drafts.js';
import type { Notice, OpenFile } from './state.js';
import { isUnsaved } from './unsaved.js';

/** ms between a change and its draft on disk. */
const DRAFT_AFTER = 250;

const KEPT_ELSEWHERE = 'Unsaved changes are kept';

export interface Autosave {
  /** after every change */
  readonly keep: () => void;
  readonly keepNow: () => Promise<void>;
  /** of a cart whose work is saved or thrown away */
  readonly forget: (name: string) => Promise<void>;
  /** what stands on the sheet is about to be another cart */
  readonly leave: () => void;
  /** the file says what the sheet said */
  readonly saved: () => void;
  /** looked at the disk: the program is there (again) */
  readonly tryAgain: () => void;
  /** The later of the program's draft and the browser's own; null where the file says the same. */
  readonly later: (stored: StoredCart) => Draft | null;
}

export interface AutosaveParts {
  readonly api: Api;
  readonly shelf: DraftShelf;
  /** ISO 8601 */
  readonly now: () => string;
  /** of the cart of this name on the shelf */
  readonly keyOf: (name: string) => string;
}

export function createAutosave({ get, set }: Access, parts: AutosaveParts): Autosave {
  const { api, shelf, now, keyOf } = parts;
  let draftTimer: ReturnType<typeof setTimeout> | undefined;
  /** a draft of the open cart is kept somewhere */
  let hasDraft = false;
  /** the program could not keep the last draft */
  let draftsFail = false;
  /** drafts are written and dropped one after the other */
  let draftsDone: Promise<void> = Promise.resolve();

  /** The browser's copy at once, the one on disk a moment later. */
  function keepDraft(): void {
    const { file, recovery, atRisk, elsewhere } = get();
    if (file === null || recovery !== null) return;
    clearTimeout(draftTimer);
    if (elsewhere) {
      // the draft is the other tab's
      set({ atRisk: isUnsaved(get()) });
      return;
    }
    if (!isUnsaved(get())) {
      if (hasDraft) void forget(file.name);
      hasDraft = false;
      if (atRisk) set({ atRisk: false });
      return;
    }
    hasDraft = true;
    const isKept = shelf.put(keyOf(file.name), draftOfNow(file));
    if (atRisk === isKept) set({ atRisk: !isKept });
    draftTimer = setTimeout(() => void keepDraftNow(), DRAFT_AFTER);
  }

  function draftOfNow({ version }: OpenFile): Draft {
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
    const { file, text, recovery, elsewhere } = get();
    if (file === null || recovery !== null || elsewhere || !isUnsaved(get())) return;
    await inOrder(async () => {
      try {
        await api.saveDraft(file.name, { text, base: file.version });
        draftKept(text);
      } catch (error) {
        if (!(error instanceof ApiError)) throw error;
        draftsFail = true;
        const where = get().atRisk ? 'nowhere' : 'in this browser only';
        get().say(`${KEPT_ELSEWHERE} ${where}: ${error.message}`, 'problem');
      }
    });
  }

  function draftKept(text: string): void {
    if (get().text === text && get().atRisk && !hasNewList()) set({ atRisk: false });
    if (!draftsFail) return;
    draftsWork();
    get().say('The program answers again: unsaved changes are kept on disk too.');
  }

  function draftsWork(): void {
    draftsFail = false;
    const isOver = ({ words }: Notice): boolean => words.startsWith(KEPT_ELSEWHERE);
    set({ notices: get().notices.filter((each) => !isOver(each)) });
  }

  /** A parts list that is not on disk, which the program's draft does not hold. */
  function hasNewList(): boolean {
    const { text, partsLists, file } = get();
    const list = partsLists.get(partsListFileOf(text) ?? '');
    return list !== undefined && list.base64 !== file?.savedList?.base64;
  }

  async function forget(name: string): Promise<void> {
    shelf.drop(keyOf(name));
    await inOrder(async () => {
      try {
        await api.dropDraft(name);
      } catch {
        // a draft that equals its file is not offered
      }
    });
  }

  /** The later of the program's draft and the browser's own; null where the file says the same. */
  function laterDraft({ name, text, draft, partsList }: StoredCart): Draft | null {
    const kept = shelf.get(keyOf(name));
    const isShelf = kept !== null && (draft === null || kept.saved >= draft.saved);
    // the browser's has the parts list too
    const later = isShelf || (kept !== null && kept.text === draft?.text) ? kept : draft;
    if (later === null) return null;
    const list = later.partsList?.base64 ?? partsList?.base64 ?? null;
    const isSame = later.text === text && list === (partsList?.base64 ?? null);
    if (isSame) void forget(name);
    return isSame ? null : later;
  }

  return {
    keep: keepDraft,
    keepNow: keepDraftNow,
    forget,
    leave() {
      clearTimeout(draftTimer);
      hasDraft = false;
    },
    saved() {
      if (draftsFail) draftsWork();
      hasDraft = true;
      // typed on while it was being saved: kept; else the draft has done its work
      keepDraft();
    },
    tryAgain() {
      if (draftsFail) void keepDraftNow();
    },
    later: laterDraft,
  };
}
