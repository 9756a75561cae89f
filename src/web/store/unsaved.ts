/** Whether the sheet holds work that is not in its file. */

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
