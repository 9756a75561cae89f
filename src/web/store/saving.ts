/** Writing the cart, and the parts list that it names, to disk. */

import { changeFields, partsListFileOf } from '../../document/index.js';
import type { Access } from './access.js';
import type { Api, DraftEntry, StoredPartsList } from './api.js';
import type { Autosave } from './autosave.js';
import { besideName } from './cart-name.js';
import type { Hold, Holds } from './claims.js';
import type { PartsListFile } from './reading.js';
import type { Sheet } from './state.js';
import { savedListOf } from './unsaved.js';

export interface Saving {
  readonly write: (name: string, base: string | null) => Promise<boolean>;
  /** Under another name, unless that is somebody's. */
  readonly writeAs: (name: string) => Promise<boolean>;
}

export interface SavingParts {
  readonly api: Api;
  readonly autosave: Autosave;
  readonly holds: Holds;
  readonly keyOf: (name: string) => string;
  /** counts the sheets opened and closed */
  readonly sheetNumber: () => number;
  readonly putSheet: (sheet: Sheet) => void;
  readonly readFolder: () => Promise<void>;
  readonly onSaved: () => void;
}

export function createSaving({ get, set, guarded }: Access, parts: SavingParts): Saving {
  const { api, autosave, holds, keyOf, sheetNumber, putSheet, readFolder, onSaved } = parts;

  /** Under another name, unless that is somebody's. */
  async function writeAs(name: string): Promise<boolean> {
    const hold = await holds.of(keyOf(name));
    if (hold === null) {
      get().say(`${name} is open in another tab: choose another name.`, 'problem');
      return false;
    }
    const isSaved = (await isFree(name)) && (await write(name, null, hold));
    // kept where the cart has the name from now on
    holds.letGo(hold);
    return isSaved;
  }

  /** Saving would put an end to unsaved work kept under the name. */
  async function isFree(name: string): Promise<boolean> {
    await readFolder();
    const isSame = (each: DraftEntry): boolean => each.name.toLowerCase() === name.toLowerCase();
    if (!get().folder?.drafts.some(isSame)) return true;
    get().say(`Unsaved work is kept as ${name}: choose another name.`, 'problem');
    return false;
  }

  /** @param hold of another name, that the cart has from then on */
  async function write(name: string, base: string | null, hold?: Hold): Promise<boolean> {
    if (get().saving) return false;
    set({ saving: true });
    try {
      return await written(name, base, hold ?? null);
    } finally {
      set({ saving: false });
    }
  }

  async function written(name: string, base: string | null, hold: Hold | null): Promise<boolean> {
    const sheet = sheetNumber();
    const before = get().file?.name;
    const list = await writeList(get().text, sheet);
    if (list === null) return false;
    const result = await guarded(() => api.saveCart(name, list.text, base));
    if (result === null) return false;
    if (result.kind === 'changed on disk') {
      if (sheet !== sheetNumber())
        get().say(`${name} was changed on disk and not saved.`, 'problem');
      else if (name !== before)
        get().say(`${name} exists already: choose another name.`, 'problem');
      else set({ conflict: { text: result.text, version: result.version } });
      return false;
    }
    if (sheet === sheetNumber()) {
      const { text, savedList } = list;
      const file = { name, version: result.version, savedText: text, savedList, openedAs: text };
      const { elsewhere } = get();
      set(hold === null ? { file } : { file, elsewhere: false });
      onSaved();
      if (before !== undefined && before !== name && !elsewhere) await autosave.forget(before);
      if (hold !== null) holds.change(hold);
      autosave.saved();
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
    if (name === null || list === undefined)
      return { text, savedList: savedListOf(text, get().file) };
    const known = savedListOf(text, get().file)?.base64 ?? null;
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
    if (sheet === sheetNumber() && shown.kind === 'ok') {
      const partsLists = new Map(get().partsLists).set(name, { ...list, name });
      putSheet({ text: shown.text, partsLists, made: `name of the parts list: ${name}` });
      get().say(`The folder has another ${list.name}: the parts list was saved as ${name}.`);
    }
    return { text: renamed.text, savedList: { name, base64: list.base64 } };
  }

  return { write, writeAs };
}
