import { afterAll, describe, expect, test } from 'vitest';
import { faults } from './axe-faults.js';
import { closeBrowser, openWorkbench } from './open-workbench.js';
import {
  describePane,
  dismissTour,
  findingRow,
  findingsPane,
  PUSH,
  proven,
} from './sheet-parts.js';

const FILE = 'telehealth-two-locks-one-side.cart.yaml';
afterAll(closeBrowser);

/** Every section of the description once; the others of its kind look alike at another size. */
const SIZES = [
  { width: 1440, height: 900, theme: 'light', isWhole: true },
  { width: 820, height: 1180, theme: 'dark', isWhole: false },
] as const;
const VIEWS = ['Plan and side', 'Holding by direction', 'In space'];
const SOME_SECTIONS = /^(Parts|Castors|Positions)/;

describe('every screen meets WCAG 2.2 AA where axe can tell', () => {
  test.each(SIZES)(
    '$width x $height, $theme',
    async ({ isWhole, ...size }) => {
      const bench = await openWorkbench({ files: [FILE, 'telehealth-parts.csv'], ...size });
      const { page } = bench;
      const isNarrow = size.width < 1200;
      const part = async (name: string): Promise<void> => {
        if (isNarrow) await page.getByRole('button', { name, exact: true }).click();
      };
      await page.getByRole('button', { name: 'New cart' }).waitFor();
      expect(await faults(page)).toEqual([]);
      await dismissTour(page);
      await page.getByRole('button', { name: FILE }).click();
      await page.getByRole('heading', { level: 1, name: /Telehealth cart/ }).waitFor();
      await part('Findings');
      await proven(page);
      expect(await faults(page)).toEqual([]);
      await findingRow(page, PUSH).click();
      expect(await faults(page)).toEqual([]);
      for (const name of isWhole ? ['Remedies', 'Tolerances'] : ['Remedies']) {
        await findingsPane(page).getByRole('tab', { name }).click();
        expect(await faults(page, '.sheet-page-findings')).toEqual([]);
      }
      await part('Describe');
      const tabs = describePane(page).getByRole('tab');
      const names = (await tabs.allTextContents()).filter(
        (name) => isWhole || SOME_SECTIONS.test(name),
      );
      expect(names.length).toBeGreaterThan(2);
      for (const name of names) {
        await tabs.filter({ hasText: name }).first().click();
        expect(await faults(page, '.sheet-page-describe'), name).toEqual([]);
      }
      await part('See');
      for (const name of isWhole ? VIEWS : VIEWS.slice(0, 2)) {
        await page.getByRole('button', { name }).click();
        expect(await faults(page, '.sheet-page-see')).toEqual([]);
      }
      await page.getByRole('button', { name: 'Help' }).click();
      await page.getByRole('dialog').waitFor();
      expect(await faults(page)).toEqual([]);
      await page.keyboard.press('Escape');
      await page.getByRole('button', { name: 'Keep as variant' }).click();
      await page.keyboard.press('Escape');
      await page.getByRole('button', { name: 'Compare', exact: true }).first().click();
      await page.getByRole('heading', { name: 'Compare two variants' }).waitFor();
      expect(await faults(page)).toEqual([]);
      expect(bench.complaints).toEqual([]);
      await bench.close();
    },
    120_000,
  );
});
