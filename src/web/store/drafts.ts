/** Unsaved work kept in the browser itself, for when the program behind the page is gone too. */

import type { Draft, DraftEntry } from './api.js';

export interface DraftShelf {
  /** false: it could not be kept whole (storage full or forbidden) */
  readonly put: (key: string, draft: Draft) => boolean;
  readonly get: (key: string) => Draft | null;
  readonly drop: (key: string) => void;
  /** what is kept under keys that begin so; `name` is the rest of the key */
  readonly list: (lead: string) => readonly DraftEntry[];
}

const PREFIX = 'standstill draft ';

export function draftShelf(storage: Storage): DraftShelf {
  const get = (key: string): Draft | null => {
    try {
      const found = storage.getItem(PREFIX + key);
      return found === null ? null : draftOf(JSON.parse(found));
    } catch {
      return null;
    }
  };
  const put = (key: string, draft: Draft): boolean => {
    try {
      storage.setItem(PREFIX + key, JSON.stringify(draft));
      return true;
    } catch {
      return false;
    }
  };
  return {
    get,
    put(key, draft) {
      if (put(key, draft)) return true;
      // the text alone is better than an older whole
      const { partsList: _, ...text } = draft;
      put(key, text);
      return false;
    },
    drop(key) {
      try {
        storage.removeItem(PREFIX + key);
      } catch {
        // forbidden: then nothing was put there
      }
    },
    list: (lead) =>
      keysOf(storage)
        .filter((key) => key.startsWith(PREFIX + lead))
        .flatMap((key) => {
          const draft = get(key.slice(PREFIX.length));
          const name = key.slice(PREFIX.length + lead.length);
          return draft === null ? [] : [{ name, saved: draft.saved }];
        }),
  };
}

function keysOf(storage: Storage): readonly string[] {
  try {
    return Array.from({ length: storage.length }, (_, index) => storage.key(index) ?? '');
  } catch {
    return [];
  }
}

function draftOf(value: unknown): Draft | null {
  if (typeof value !== 'object' || value === null) return null;
  const { text, base, saved, partsList } = value as Partial<Draft>;
  if (typeof text !== 'string' || typeof saved !== 'string') return null;
  const draft = { text, saved, base: typeof base === 'string' ? base : null };
  const isList = typeof partsList?.name === 'string' && typeof partsList.base64 === 'string';
  return isList ? { ...draft, partsList } : draft;
}
