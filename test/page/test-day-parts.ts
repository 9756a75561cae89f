/** Where things are at a test day, by what they are called. */

import type { Locator, Page } from 'playwright-core';

export const CART = 'telehealth-two-locks-one-side.cart.yaml';

export async function openTestDay(page: Page, who: string): Promise<void> {
  // of the sheet: the cart that the command named is open
  await page.getByRole('button', { name: 'Test day', exact: true }).click();
  await page.getByLabel('You are').fill(who);
}

/** Chooses the option whose words begin so. */
export async function chooseStarting(choice: Locator, words: string): Promise<void> {
  const options = choice.locator('option');
  const at = (await options.allTextContents()).findIndex((each) => each.startsWith(words));
  if (at < 0) throw new Error(`no choice begins with ${words}`);
  await choice.selectOption({ index: at });
}

export async function section(page: Page, name: string): Promise<Locator> {
  await page
    .getByRole('navigation', { name: 'Parts of the test day' })
    .getByRole('button', { name, exact: true })
    .click();
  const found = page.getByRole('region', { name, exact: true });
  await found.waitFor();
  return found;
}

/** Begins a project from the cart that is open, whose revision A it holds. */
export async function beginProject(page: Page, name: string): Promise<void> {
  await page.getByRole('button', { name: 'New project from this cart' }).click();
  await page.getByLabel('Name of the project').fill(name);
  await page.getByRole('button', { name: 'Begin the project' }).click();
  await page.getByRole('heading', { name, level: 1 }).waitFor();
  await page.getByText('The sheet holds revision A, unchanged.').waitFor();
}

/** A plan of the worst runs only, which is the quickest. */
export async function makePlan(page: Page): Promise<void> {
  await page.getByLabel('Directions of each clause').selectOption('worst');
  await page.getByRole('button', { name: 'Make the plan' }).click();
  // an earlier plan may be shown meanwhile
  await page.getByRole('button', { name: 'Make another plan' }).waitFor();
  await page.getByRole('heading', { name: 'Runs, in the order to be done' }).waitFor();
}

export interface InstrumentWishes {
  readonly kind: string;
  readonly name: string;
  readonly due: string;
  readonly uncertainty: string;
  readonly resolution: string;
}

export async function addInstrument(page: Page, wishes: InstrumentWishes): Promise<void> {
  const place = await section(page, 'Instruments');
  await place.getByRole('button', { name: 'Add an instrument' }).click();
  const form = place.getByRole('form', { name: /instrument/i });
  await form.getByLabel('Kind').selectOption(wishes.kind);
  await form.getByLabel('Name').fill(wishes.name);
  await form.getByLabel('Serial number').fill('TH-7');
  await form.getByLabel('Calibration certificate, number').fill('C 2026-11');
  await form.getByLabel('Calibration due').fill(wishes.due);
  await form.getByLabel('Resolution').fill(wishes.resolution);
  await form.getByLabel('Expanded uncertainty, by its certificate').fill(wishes.uncertainty);
  await form.getByRole('button', { name: 'Add the instrument' }).click();
  await place
    .getByRole('cell', { name: new RegExp(wishes.name) })
    .or(place.getByText(wishes.name))
    .first()
    .waitFor();
}

export async function addSample(page: Page, name: string, revision: string): Promise<void> {
  const place = await section(page, 'Sample');
  await place.getByRole('button', { name: 'Add a sample' }).click();
  const form = place.getByRole('region', { name: 'New sample' });
  await form.getByLabel('Name', { exact: true }).fill(name);
  await chooseStarting(form.getByLabel('Built to revision'), revision);
  await form.getByRole('button', { name: 'Add the sample' }).click();
  await place.getByText(name).first().waitFor();
}

export interface ReadingWishes {
  readonly result: 'held' | 'gave way';
  readonly load: string;
  readonly mode?: string;
  readonly further: string;
}

/** The form that records the run that is shown. */
export function runForm(page: Page): Locator {
  return page.getByRole('region', { name: 'Record this run' });
}

export async function fillReadings(page: Page, readings: readonly ReadingWishes[]): Promise<void> {
  for (const [i, { result, load, mode, further }] of readings.entries()) {
    const place = runForm(page).getByRole('group', { name: `Reading ${i + 1}` });
    await place
      .getByRole('radio', { name: result === 'held' ? 'it stood still' : 'it gave way' })
      .check();
    await place.getByLabel(/Greatest force reached|At which force/).fill(load);
    if (mode !== undefined) await place.getByRole('radio', { name: `it ${mode}` }).check();
    await place.getByLabel('Further movement (counts)').fill(further);
  }
}

export async function chooseRun(page: Page, title: RegExp): Promise<void> {
  const place = await section(page, 'Runs');
  await place
    .getByRole('navigation', { name: 'Runs of the plan' })
    .getByRole('button', { name: title })
    .click();
}

/** Waits until the program has everything that was written. */
export async function everythingKept(page: Page): Promise<void> {
  await page.getByText('Everything is kept.').waitFor();
}
