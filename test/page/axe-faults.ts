/** What axe finds against a screen. */

import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';

/** WCAG 2.2, levels A and AA, as far as a program can tell. */
const LEVELS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** @param within selector of the part that is new on the screen; none: all of it */
export async function faults(page: Page, within?: string): Promise<readonly string[]> {
  const axe = new AxeBuilder({ page }).withTags(LEVELS);
  const { violations } = await (within === undefined ? axe : axe.include(within)).analyze();
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
}
