/** What axe finds against a screen. */

import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';

/** WCAG 2.2, levels A and AA, as far as a program can tell. */
const LEVELS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

export async function faults(page: Page): Promise<readonly string[]> {
  const { violations } = await new AxeBuilder({ page }).withTags(LEVELS).analyze();
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
}
