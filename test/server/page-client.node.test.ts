/** The page's own client against the server: the two keep their shapes apart, and must agree. */

import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type {
  CartAnswer,
  CartChangedAnswer,
  ExampleAnswer,
  FolderAnswer,
  PartsListAnswer,
  SavedAnswer,
} from '../../src/server/index.js';
import type {
  ExampleCart,
  Folder,
  SaveResult,
  StoredCart,
  StoredPartsList,
} from '../../src/web/store/api.js';
import { ApiError } from '../../src/web/store/api.js';
import { httpApi } from '../../src/web/store/http-api.js';
import type { Running } from './running-server.js';
import { runningServer } from './running-server.js';

const NAME = 'lamp.cart.yaml';
const TEXT = '\ufeffname: Lämp\r\nparts list: parts.csv\r\n';
const LIST = 'name;mass\nlamp;3,5\n';

/** What the compiler holds: the page may take what the server gives for what it expects. */
const AGREED = {
  folder: (answer: FolderAnswer): Folder => answer,
  cart: (answer: CartAnswer): StoredCart => answer,
  example: (answer: ExampleAnswer): ExampleCart => answer,
  partsList: (answer: PartsListAnswer): StoredPartsList => answer,
  saved: ({ version }: SavedAnswer): SaveResult => ({ kind: 'saved', version }),
  changed: ({ code, text, version }: CartChangedAnswer): SaveResult => ({
    kind: code,
    text,
    version,
  }),
};

let running: Running;
beforeEach(async () => {
  running = await runningServer({ [NAME]: TEXT, 'parts.csv': LIST }, { opened: NAME });
  const real = fetch;
  // as in the browser: addresses of the page, its cookie, its origin
  vi.stubGlobal('fetch', (path: string, init: RequestInit) => {
    const origin = `http://127.0.0.1:${running.server.port}`;
    const headers = { ...(init.headers as object), cookie: running.cookie, origin };
    return real(`${origin}${path}`, { ...init, headers });
  });
});
afterEach(async () => {
  vi.unstubAllGlobals();
  await running.stop();
});

describe('the page', () => {
  test('lists the folder', async () => {
    const folder = AGREED.folder((await httpApi.folder()) as FolderAnswer);
    expect(folder.carts.map(({ name }) => name)).toEqual([NAME]);
    expect(folder).toMatchObject({ partsLists: ['parts.csv'], opened: NAME, version: '0.1.0' });
  });

  test('opens, saves, and is told of a change on disk', async () => {
    const cart = await httpApi.cart(NAME);
    expect(cart.text).toBe(TEXT);
    expect(cart.partsList?.base64).toBe(Buffer.from(LIST).toString('base64'));
    expect(await httpApi.versionsOf(NAME, 'parts.csv')).toEqual({
      version: cart.version,
      partsList: (await httpApi.partsList('parts.csv')).version,
    });
    const saved = await httpApi.saveCart(NAME, `${TEXT}# more\r\n`, cart.version);
    expect(saved).toEqual({
      kind: 'saved',
      version: (await httpApi.versionsOf(NAME, null)).version,
    });
    writeFileSync(join(running.folder, NAME), 'by another\n');
    expect(await httpApi.saveCart(NAME, TEXT, cart.version)).toEqual({
      kind: 'changed on disk',
      text: 'by another\n',
      version: (await httpApi.versionsOf(NAME, null)).version,
    });
    rmSync(join(running.folder, NAME));
    expect(await httpApi.saveCart(NAME, TEXT, cart.version)).toEqual({
      kind: 'changed on disk',
      text: null,
      version: null,
    });
    expect((await httpApi.versionsOf(NAME, null)).version).toBeNull();
  });

  test('keeps and drops a draft', async () => {
    const { version } = await httpApi.cart(NAME);
    await httpApi.saveDraft(NAME, { text: 'half', base: version });
    expect((await httpApi.cart(NAME)).draft).toMatchObject({ text: 'half', base: version });
    expect((await httpApi.folder()).drafts.map(({ name }) => name)).toEqual([NAME]);
    await httpApi.dropDraft(NAME);
    expect((await httpApi.cart(NAME)).draft).toBeNull();
  });

  test('reads and saves a parts list', async () => {
    const { base64, version } = await httpApi.partsList('parts.csv');
    expect(base64).toBe(Buffer.from(LIST).toString('base64'));
    const saved = await httpApi.savePartsList('parts.csv', 'AAEC', version);
    expect(saved.kind).toBe('saved');
    expect(await httpApi.partsList('parts.csv')).toMatchObject({ base64: 'AAEC' });
    expect(await httpApi.partsList('none.csv')).toMatchObject({ base64: null });
    expect((await httpApi.savePartsList('parts.csv', 'AA==', version)).kind).toBe(
      'changed on disk',
    );
  });

  test('with the key of an earlier start is told what to do', async () => {
    running = { ...running, cookie: 'standstill=old' };
    const asked = httpApi.folder();
    await expect(asked).rejects.toMatchObject({ status: 401 });
    await expect(asked).rejects.toThrow('Open the address that its command printed');
  });

  test('shows the reason that the server gives', async () => {
    const refused = httpApi.saveCart('../a.cart.yaml', 'x', null);
    await expect(refused).rejects.toBeInstanceOf(ApiError);
    await expect(refused).rejects.toMatchObject({
      status: 400,
      message: expect.stringContaining('"../a.cart.yaml" cannot be a name here'),
    });
    await expect(httpApi.cart('none.cart.yaml')).rejects.toMatchObject({ status: 404 });
    await expect(httpApi.requirementFile('none.yaml')).rejects.toMatchObject({ status: 404 });
  });
});
