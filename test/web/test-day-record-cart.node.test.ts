import { describe, expect, it } from 'vitest';
import type { CartBody } from '../../src/test-record/index.js';
import { contentHash } from '../../src/test-record/index.js';
import type { TestDayStore } from '../../src/web/test-day/store/test-day.js';
import { readRecordCart } from '../../src/web/test-day/use-record-cart.js';
import { exampleBytes, exampleText } from './fake-surroundings.js';

const LIST = 'telehealth-parts.xlsx';
const bytes = new Uint8Array(exampleBytes(LIST));
const list = { hash: contentHash(bytes), name: LIST, media: 'xlsx', bytes: bytes.length };

const revision: CartBody = {
  ...{ kind: 'cart', revision: 'B', file: 'telehealth.cart.yaml' },
  text: exampleText('telehealth-four-locks.cart.yaml'),
  partsLists: [list],
  ...{ follows: null, because: [], change: '', edits: [] },
};

/** A store of which only the files are asked, and what was asked for. */
function filesOnly(files: ReadonlyMap<string, Uint8Array>) {
  const asked: string[] = [];
  const state = {
    fileBytes: (hash: string) => {
      asked.push(hash);
      return Promise.resolve(files.get(hash) ?? null);
    },
  };
  return { asked, store: { getState: () => state } as unknown as TestDayStore };
}

describe('the cart of a revision', () => {
  it('says so when its parts list cannot be had, and is asked for again', async () => {
    const { store, asked } = filesOnly(new Map());
    const read = await readRecordCart(store, revision);
    expect(read.cart).toBeNull();
    expect(read.problem).toBe(`The parts list ${LIST} of revision B cannot be had now.`);
    await readRecordCart(store, revision);
    expect(asked).toEqual([list.hash, list.hash]);
  });

  it('is read with its parts list, once, and stays the same object', async () => {
    const { store, asked } = filesOnly(new Map([[list.hash, bytes]]));
    const read = await readRecordCart(store, revision);
    expect(read.problem).toBeNull();
    expect(read.cart?.name).toBe('Telehealth cart, four locks');
    expect(read.cart?.parts.some(({ massFrom }) => massFrom === 'parts list')).toBe(true);
    const again = await readRecordCart(store, { ...revision, change: 'said otherwise' });
    expect(again.cart).toBe(read.cart);
    expect(asked).toEqual([list.hash]);
  });

  it('says what is wrong with a file that is refused', async () => {
    const { store } = filesOnly(new Map());
    const broken = { ...revision, text: 'standstill: cart 1\nname: x\n', partsLists: [] };
    const read = await readRecordCart(store, broken);
    expect(read.cart).toBeNull();
    expect(read.problem).toMatch(/^Revision B \(telehealth\.cart\.yaml\) cannot be read: .+/);
  });
});
