/** Whether the sheet holds work that is not in its file. */

import { partsListFileOf } from '../../document/index.js';
import type { StoredPartsList } from './api.js';
import type { OpenFile, Sheet } from './state.js';

export function isUnsaved({
  file,
  text,
  partsLists,
}: Pick<Sheet, 'text' | 'partsLists'> & { readonly file: OpenFile | null }): boolean {
  if (file === null) return false;
  if (text !== (file.savedText ?? file.openedAs)) return true;
  const { savedList } = file;
  const list = savedList === null ? undefined : partsLists.get(savedList.name);
  return list !== undefined && savedList !== null && list.base64 !== savedList.base64;
}

/** What is known to be on disk of the list that a text names. */
export function savedListOf(text: string, file: OpenFile | null): StoredPartsList | null {
  const name = partsListFileOf(text);
  const known = file?.savedList ?? null;
  if (name === null) return null;
  return known?.name === name ? known : { name, base64: null };
}
