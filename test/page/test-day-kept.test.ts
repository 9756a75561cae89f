/** Nothing that was written at the ramp is lost: without a connection, with the page closed, and by two. */

import { join } from 'node:path';
import { afterAll, afterEach, expect, it } from 'vitest';
import { openRecords } from '../../src/record-store/index.js';
import type { EntryBody, KeptEntry } from '../../src/test-record/index.js';
import { faults } from './axe-faults.js';
import type { OpenWorkbench } from './open-workbench.js';
import { closeBrowser, openWorkbench } from './open-workbench.js';
import {
  addInstrument,
  beginProject,
  everythingKept,
  openTestDay,
  section,
} from './test-day-parts.js';

/** The quickest to check: what is kept does not depend on the cart. */
const LAMP = 'lamp-stand-three-castor.cart.yaml';

const open: OpenWorkbench[] = [];

/** A tablet held upright. */
async function opened(folder?: string): Promise<OpenWorkbench> {
  const bench = await openWorkbench({
    files: [LAMP],
    opened: LAMP,
    width: 820,
    height: 1180,
    ...(folder === undefined ? {} : { folder }),
  });
  bench.page.setDefaultTimeout(30_000);
  open.push(bench);
  return bench;
}

afterEach(async () => {
  // the one that made the folder takes it away
  for (const bench of open.splice(0).reverse()) await bench.close();
});
afterAll(closeBrowser);

const GAUGE = {
  kind: 'force gauge',
  name: 'gauge of the ramp',
  due: '2099-01-31',
  uncertainty: '1 N',
  resolution: '0.5 N',
};

/** Entries as another program finds them in the file. */
async function entriesIn({ folder }: OpenWorkbench): Promise<readonly KeptEntry[]> {
  const now = () => new Date().toISOString();
  const store = await openRecords(join(folder, 'test-records.sqlite'), { now });
  try {
    const [project] = await store.projects();
    return project === undefined ? [] : await store.entries(project.id);
  } finally {
    await store.close();
  }
}

type Instrument = Extract<EntryBody, { kind: 'instrument' }>;

function instrumentsIn(entries: readonly KeptEntry[]): readonly Instrument[] {
  return entries.flatMap(({ body }) => (body.kind === 'instrument' ? [body] : []));
}

it('keeps what is written without a connection, and what is half written, and sends it once', async () => {
  const bench = await opened();
  const { page, context } = bench;
  await openTestDay(page, 'first operator');
  expect(await faults(page, '.test-day')).toEqual([]);
  await beginProject(page, 'Telehealth cart');
  await everythingKept(page);
  await context.setOffline(true);
  await addInstrument(page, GAUGE);
  await page.getByText(/does not answer.* 1 entry kept here/).waitFor();
  expect(await faults(page)).toEqual([]);
  const place = await section(page, 'Instruments');
  await place.getByRole('button', { name: 'Add an instrument' }).click();
  await place.getByLabel('Name').fill('half a tape');
  expect(instrumentsIn(await entriesIn(bench))).toEqual([]);
  // closed without a word
  await page.close({ runBeforeUnload: false });
  await context.setOffline(false);

  const again = await bench.again();
  again.setDefaultTimeout(30_000);
  // sent although nobody opened the test day
  await expect
    .poll(async () => instrumentsIn(await entriesIn(bench)).map(({ name }) => name))
    .toEqual(['gauge of the ramp']);
  await openTestDay(again, 'first operator');
  await again.getByRole('button', { name: /^Telehealth cart/ }).click();
  const found = await section(again, 'Instruments');
  await found.getByText('gauge of the ramp').first().waitFor();
  await expect.poll(() => found.getByLabel('Name').inputValue()).toBe('half a tape');
  await everythingKept(again);
  expect(instrumentsIn(await entriesIn(bench))).toHaveLength(1);
});

it('shows two people who change one record what the other wrote, and keeps both', async () => {
  const one = await opened();
  await openTestDay(one.page, 'first operator');
  await beginProject(one.page, 'Telehealth cart');
  await addInstrument(one.page, GAUGE);
  await everythingKept(one.page);

  const two = await opened(one.folder);
  await openTestDay(two.page, 'second operator');
  await two.page.getByRole('button', { name: /^Telehealth cart/ }).click();
  const change = async ({ page }: OpenWorkbench, serial: string): Promise<void> => {
    const place = await section(page, 'Instruments');
    await place.getByRole('button', { name: 'Edit gauge of the ramp' }).click();
    await place.getByLabel('Serial number').fill(serial);
  };
  // both begin before either has written
  await change(two, 'TH-22');
  await change(one, 'TH-11');
  await one.page.getByRole('button', { name: 'Keep the changes' }).click();
  await everythingKept(one.page);
  await two.page.getByRole('button', { name: 'Keep the changes' }).click();
  await two.page
    .getByText(/waits? for your decision/)
    .first()
    .waitFor();

  const history = await section(two.page, 'History');
  const waiting = history.getByRole('region', { name: 'Waiting for your decision' });
  const row = waiting.getByRole('row', { name: /serial/ });
  expect(await row.getByRole('cell').allTextContents()).toEqual(['TH-22', 'TH-11']);
  expect(await faults(two.page)).toEqual([]);
  const serials = async () => instrumentsIn(await entriesIn(one)).map(({ serial }) => serial);
  expect(await serials()).toEqual(['TH-7', 'TH-11']);
  await waiting.getByLabel('Why (kept with the entry)').fill('read from the plate');
  await waiting.getByRole('button', { name: 'Mine follows theirs' }).click();
  await everythingKept(two.page);
  expect(await serials()).toEqual(['TH-7', 'TH-11', 'TH-22']);
  expect((await entriesIn(one)).at(-1)).toMatchObject({
    who: 'second operator',
    why: 'read from the plate',
  });
});
