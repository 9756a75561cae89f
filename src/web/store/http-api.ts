/** The server over HTTP. */

import type { Api, SaveResult } from './api.js';
import { ApiError } from './api.js';

/** A page elsewhere cannot send this without asking first, and is refused when it asks. */
export const MARK = { 'standstill-workbench': '1' };

export async function asked(path: string, init: RequestInit = {}): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(`/api/${path}`, {
      ...init,
      credentials: 'same-origin',
      cache: 'no-store',
    });
  } catch {
    throw new ApiError(0, 'The program behind this page does not answer. Is it still running?');
  }
  if (response.ok || response.status === 409) return response;
  throw new ApiError(response.status, response.status === 401 ? NO_KEY : await reasonOf(response));
}

const NO_KEY =
  'The program was started again, with another key. Open the address that its command printed in another tab of this browser; this page then goes on.';

async function reasonOf(response: Response): Promise<string> {
  try {
    const body = (await response.json()) as { readonly problem?: unknown };
    if (typeof body.problem === 'string') return body.problem;
  } catch {
    // no JSON: the status has to do
  }
  return `The program answered ${response.status}.`;
}

export async function got<T>(path: string): Promise<T> {
  return contentOf<T>(await asked(path));
}

/** @throws ApiError where the answer breaks off */
export async function contentOf<T>(response: Response): Promise<T> {
  try {
    return (await response.json()) as T;
  } catch {
    throw new ApiError(0, 'The answer of the program behind this page broke off.');
  }
}

async function sent(method: 'PUT' | 'DELETE', path: string, body?: unknown): Promise<Response> {
  return asked(path, {
    method,
    headers: { ...MARK, 'content-type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
}

async function saved(response: Response): Promise<SaveResult> {
  const body = await response.json();
  return response.status === 409
    ? { kind: 'changed on disk', text: body.text ?? null, version: body.version ?? null }
    : { kind: 'saved', version: body.version };
}

const named = (name: string): string => `name=${encodeURIComponent(name)}`;

export const httpApi: Api = {
  folder: () => got('folder'),
  cart: (name) => got(`cart?${named(name)}`),
  example: (name) => got(`example?${named(name)}`),
  partsList: async (name) => {
    try {
      return await got(`parts-list?${named(name)}`);
    } catch (error) {
      if (error instanceof ApiError && error.status === 404) {
        return { name, base64: null, version: null };
      }
      throw error;
    }
  },
  requirementFile: async (name) => {
    const { text } = await got<{ readonly text: string }>(`requirement-file?${named(name)}`);
    return text;
  },
  versionsOf: (name, list) =>
    got(`versions?${named(name)}${list === null ? '' : `&parts-list=${encodeURIComponent(list)}`}`),
  saveCart: async (name, text, base) => saved(await sent('PUT', 'cart', { name, text, base })),
  savePartsList: async (name, base64, base) =>
    saved(await sent('PUT', 'parts-list', { name, base64, base })),
  saveDraft: async (name, draft) => {
    await sent('PUT', 'draft', { name, ...draft });
  },
  dropDraft: async (name) => {
    await sent('DELETE', `draft?${named(name)}`);
  },
};
