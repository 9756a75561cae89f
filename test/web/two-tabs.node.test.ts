import { describe, expect, test } from 'vitest';
import { createHolds, tabClaims } from '../../src/web/store/claims.js';
import { isUnsaved } from '../../src/web/store/unsaved.js';
import type { Bench } from './fake-surroundings.js';
import { benchOf, exampleText, fakeClaims, fakeServer, fakeStorage } from './fake-surroundings.js';

const LAMP = 'lamp.cart.yaml';
const LAMP_TEXT = exampleText('lamp-stand-three-castor.cart.yaml');
const EXAMPLE = 'scanner-cart.cart.yaml';

const state = ({ store }: Bench) => store.getState();
const words = (bench: Bench) => state(bench).notices.map((notice) => notice.words);

function rename(bench: Bench, name: string): void {
  state(bench).change('name', [{ kind: 'set', path: ['name'], value: name }]);
}

/** Two pages of one browser on one folder. */
async function twoTabs(): Promise<readonly [Bench, Bench]> {
  const server = fakeServer();
  server.files.set(LAMP, LAMP_TEXT);
  const [storage, claims] = [fakeStorage(), fakeClaims()];
  const tabs = [1, 2].map(() => benchOf(server, storage, new Map(), claims));
  for (const tab of tabs) await state(tab).begin();
  return tabs as unknown as readonly [Bench, Bench];
}

describe('two tabs on one file', () => {
  test('the draft is that of the first, whatever the second does; the second says so', async () => {
    const [one, two] = await twoTabs();
    await state(one).openCart(LAMP);
    rename(one, 'Of the first');
    await state(one).keepWork();
    await state(two).openCart(LAMP);
    expect(state(two)).toMatchObject({ elsewhere: true, recovery: null, text: LAMP_TEXT });
    expect(words(two).join(' ')).toContain('open in another tab');
    rename(two, 'Of the second');
    expect(state(two).atRisk).toBe(true);
    await state(two).keepWork();
    state(two).undo();
    rename(two, 'Of the second, saved');
    await state(two).save();
    expect(state(two).atRisk).toBe(false);
    // the first tab dies without another word
    const { drafts } = one.server;
    expect(drafts.get(LAMP)?.text).toBe(state(one).text);
    const again = benchOf(one.server, one.storage);
    await state(again).begin();
    await state(again).openCart(LAMP);
    expect(state(again).recovery).toMatchObject({
      draft: { text: state(one).text },
      fileChanged: true,
    });
  });

  test('the first is asked before it saves over what the second saved', async () => {
    const [one, two] = await twoTabs();
    await state(one).openCart(LAMP);
    rename(one, 'Of the first');
    await state(two).openCart(LAMP);
    rename(two, 'Of the second');
    await state(two).save();
    await state(one).save();
    expect(state(one).conflict).toMatchObject({ text: state(two).text });
    expect(one.server.files.get(LAMP)).toBe(state(two).text);
  });

  test('closed in the first, it is free for the second', async () => {
    const [one, two] = await twoTabs();
    await state(one).openCart(LAMP);
    await state(one).openCart(LAMP);
    expect(state(one).elsewhere).toBe(false);
    state(one).close();
    await state(two).openCart(LAMP);
    expect(state(two).elsewhere).toBe(false);
  });

  test('saved as another name the second keeps its work again, and leaves the first its draft', async () => {
    const [one, two] = await twoTabs();
    await state(one).openCart(LAMP);
    rename(one, 'Of the first');
    await state(one).keepWork();
    await state(two).openCart(LAMP);
    rename(two, 'Of the second');
    expect(await state(two).saveAs('pier.cart.yaml')).toBe(true);
    expect(state(two)).toMatchObject({ elsewhere: false, atRisk: false });
    expect(one.server.drafts.get(LAMP)?.text).toBe(state(one).text);
    rename(two, 'Of the second, again');
    await state(two).keepWork();
    expect(one.server.drafts.has('pier.cart.yaml')).toBe(true);
  });

  test('unsaved work of the first cannot be thrown away in the second', async () => {
    const [one, two] = await twoTabs();
    await state(one).openExample(EXAMPLE);
    rename(one, 'Of the first');
    await state(one).keepWork();
    await state(two).dropDraftOf(EXAMPLE);
    expect(one.server.drafts.has(EXAMPLE)).toBe(true);
    await state(two).openCart(EXAMPLE);
    expect(state(two)).toMatchObject({ screen: 'start', file: null });
    expect(words(two).join(' ')).toContain('open in another tab');
  });
});

/** The locks of a browser, as far as they are asked for here (W3C, Web Locks API). */
function fakeLocks(): LockManager {
  const taken = new Set<string>();
  const request = async (
    name: string,
    _options: LockOptions,
    granted: (lock: Lock | null) => unknown,
  ): Promise<unknown> => {
    if (taken.has(name)) return granted(null);
    taken.add(name);
    try {
      return await granted({ name, mode: 'exclusive' });
    } finally {
      taken.delete(name);
    }
  };
  return { request } as unknown as LockManager;
}

describe('a name', () => {
  test('is held by one tab, and free again a moment after it was let go', async () => {
    const locks = fakeLocks();
    const [one, two] = [createHolds(tabClaims(locks)), createHolds(tabClaims(locks))];
    one.change(await one.of('lamp'));
    expect(await two.of('lamp')).toBeNull();
    // asked again by who has it, it is the same, and not let go by giving it up once
    one.letGo(await one.of('lamp'));
    expect(await two.of('lamp')).toBeNull();
    const waits = two.of('lamp');
    one.change(null);
    expect(await waits).not.toBeNull();
  });

  test('is free where the browser gives no locks', async () => {
    const locks = { request: () => Promise.reject(new Error('forbidden')) } as never;
    expect(await createHolds(tabClaims(locks)).of('lamp')).not.toBeNull();
  });
});

describe('one name for two carts', () => {
  test('an example opened in two tabs has two names', async () => {
    const [one, two] = await twoTabs();
    await state(one).openExample(EXAMPLE);
    await state(two).openExample(EXAMPLE);
    expect(state(one).file?.name).toBe(EXAMPLE);
    expect(state(two).file?.name).toBe('scanner-cart-2.cart.yaml');
  });

  test('is not taken by saving: unsaved work is kept under it', async () => {
    const [one, two] = await twoTabs();
    await state(one).openExample(EXAMPLE);
    rename(one, 'Never saved');
    await state(one).keepWork();
    state(one).close();
    await state(two).openCart(LAMP);
    expect(await state(two).saveAs(EXAMPLE)).toBe(false);
    expect(one.server.files.has(EXAMPLE)).toBe(false);
    expect(one.server.drafts.get(EXAMPLE)?.text).toContain('Never saved');
    expect(words(two).join(' ')).toContain(`Unsaved work is kept as ${EXAMPLE}`);
    expect(isUnsaved(state(two))).toBe(false);
  });
});
