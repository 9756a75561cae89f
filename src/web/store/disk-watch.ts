/** Whether the file on disk, or the parts list beside it, is another than the one that was opened. */

import { partsListFileOf } from '../../document/index.js';
import type { Access } from './access.js';
import type { Api, StoredCart } from './api.js';
import type { Autosave } from './autosave.js';
import { readPartsListFile } from './reading.js';
import type { OpenFile, Sheet } from './state.js';
import { isUnsaved } from './unsaved.js';

export interface DiskWatch {
  readonly look: () => Promise<void>;
  /** what was seen was of another sheet */
  readonly leave: () => void;
  /** a version on disk that is not to be told again */
  readonly putOff: (version: string | null) => void;
  readonly onSaved: () => void;
}

export interface DiskWatchParts {
  readonly api: Api;
  readonly autosave: Autosave;
  readonly putSheet: (sheet: Sheet) => void;
  readonly takeTheirs: (text: string, version: string | null) => Promise<void>;
}

export function createDiskWatch({ get, set }: Access, parts: DiskWatchParts): DiskWatch {
  const { api, autosave, putSheet, takeTheirs } = parts;
  /** version of the parts list on disk that was last looked at, by name */
  let lookedAt: { readonly name: string; readonly version: string | null } | null = null;
  let looking = false;
  /** version on disk about which was said 'later'; undefined: none */
  let putOff: string | null | undefined;

  async function lookAt(file: OpenFile): Promise<void> {
    let stored: StoredCart | null = null;
    let version: string | null;
    const list = partsListFileOf(get().text);
    try {
      const versions = await api.versionsOf(file.name, list);
      version = versions.version;
      autosave.tryAgain();
      if (list !== null) await lookAtList(file, { name: list, version: versions.partsList });
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

  /** A parts list that somebody changed beside the cart is read again where it is not our own. */
  async function lookAtList(
    file: OpenFile,
    now: { readonly name: string; readonly version: string | null },
  ): Promise<void> {
    const { name, version } = now;
    if (lookedAt?.name === name && lookedAt.version === version) return;
    const there = version === null ? null : await api.partsList(name);
    const { savedList, name: cart } = file;
    const ours = get().partsLists.get(name)?.base64;
    const isStill = get().file === file && !get().saving && partsListFileOf(get().text) === name;
    if (!isStill) return;
    lookedAt = { name, version: there?.version ?? null };
    const base64 = there?.base64 ?? null;
    const before = savedList?.name === name ? savedList.base64 : null;
    if (base64 === before || base64 === ours) return;
    if (base64 === null || (ours !== undefined && ours !== before)) {
      const what = base64 === null ? 'is not beside the cart any more' : 'was changed on disk';
      get().say(`${name} ${what}. ${cart} goes on with the list as it was read.`, 'problem');
      return;
    }
    const list = await readPartsListFile(name, base64);
    if (get().file !== file || get().partsLists.get(name)?.base64 !== ours) return;
    set({ file: { ...file, savedList: { name, base64 } } });
    putSheet({
      text: get().text,
      partsLists: new Map(get().partsLists).set(name, list),
      made: `${name} as it is on disk`,
    });
    get().say(`${name} was changed on disk and read again.`);
  }

  return {
    async look() {
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
    leave() {
      lookedAt = null;
      putOff = undefined;
    },
    putOff(version) {
      putOff = version;
    },
    onSaved() {
      putOff = undefined;
    },
  };
}
