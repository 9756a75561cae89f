/** Where things are on the sheet, by what they are called. */

import type { Locator, Page } from 'playwright-core';

export function describePane(page: Page): Locator {
  return page.getByRole('region', { name: 'Describe', exact: true });
}

export function findingsPane(page: Page): Locator {
  return page.getByRole('region', { name: 'Findings', exact: true });
}

export function seePane(page: Page): Locator {
  return page.getByRole('region', { name: 'See', exact: true });
}

export async function openSection(page: Page, name: string): Promise<void> {
  await describePane(page).getByRole('tab', { name }).click();
}

/** A field of the description by its path in the file. */
export function field(page: Page, ...path: readonly (string | number)[]): Locator {
  const id = ['describe', ...path].map((each) => String(each).replaceAll(' ', '_20_')).join('.');
  return page.locator(`[id="${id}"]`);
}

/** The row of a finding, by the start of its title. */
export function findingRow(page: Page, title: string): Locator {
  return findingsPane(page).getByRole('button', { name: new RegExp(title) });
}

/** Waits until every finding is proven as closely as it will be. */
export async function proven(page: Page): Promise<void> {
  await findingsPane(page)
    .getByText(/proof running/)
    .first()
    .waitFor({ state: 'hidden' });
}

export const PUSH = 'Unwanted movement under a push';

/** Types into a field and leaves it. */
export async function typed(place: Locator, text: string): Promise<void> {
  await place.fill(text);
  await place.press('Enter');
}

export async function dismissTour(page: Page): Promise<void> {
  const no = page.getByRole('button', { name: 'No, thanks' });
  if (await no.isVisible()) await no.click();
}
