import { afterAll, describe, expect, test } from 'vitest';
import { closeBrowser, openWorkbench } from './open-workbench.js';
import { findingRow, findingsPane, PUSH, proven } from './sheet-parts.js';

const FILE = 'telehealth-two-locks-one-side.cart.yaml';
afterAll(closeBrowser);

describe('acting on a finding', () => {
  test('a remedy is applied by one click and undone by one; a variant is compared and used', async () => {
    const bench = await openWorkbench({ files: [FILE, 'telehealth-parts.csv'], opened: FILE });
    const { page } = bench;
    const before = bench.file(FILE);
    await proven(page);
    await page.getByRole('button', { name: 'Keep as variant' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Keep' }).click();
    await findingsPane(page).getByRole('tab', { name: 'Remedies' }).click();
    await findingsPane(page).getByRole('button', { name: 'Find remedies' }).click();
    const apply = findingsPane(page).getByRole('button', { name: /^Apply remedy 1/ });
    await apply.click({ timeout: 60_000 });
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await expect.poll(() => bench.file(FILE)).not.toBe(before);
    await findingsPane(page).getByRole('tab', { name: 'Margins' }).click();
    await proven(page);
    await expect.poll(() => findingRow(page, PUSH).textContent()).not.toMatch(/fails/);
    // side by side with what it was
    await page.getByRole('button', { name: /^Compare/ }).click();
    const main = page.getByRole('main');
    const push = main.locator('tr, [role="row"], li').filter({ hasText: PUSH }).first();
    await expect.poll(() => push.textContent(), { timeout: 20_000 }).toMatch(/less/);
    expect(await push.textContent()).toMatch(/fails/);
    // what the remedy changed, and nothing else of the description
    expect(await main.textContent()).toMatch(
      /What differs in the description.*(front|rear) (left|right)lock/s,
    );
    await page
      .getByRole('button', { name: /^Use .* on the sheet/ })
      .first()
      .click();
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(FILE)).toBe(before);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(FILE)).toBe(before);
    expect(bench.complaints).toEqual([]);
    await bench.close();
  }, 120_000);

  test('tolerances are assessed with progress and can be stopped', async () => {
    const LAMP = 'lamp-stand-three-castor.cart.yaml';
    const bench = await openWorkbench({ files: [LAMP], opened: LAMP });
    const { page } = bench;
    await proven(page);
    await findingsPane(page).getByRole('tab', { name: 'Tolerances' }).click();
    await findingsPane(page).getByRole('button', { name: 'Assess tolerances' }).click();
    await findingsPane(page).getByRole('button', { name: 'Stop' }).click();
    await findingsPane(page)
      .getByLabel(/Precision wanted/)
      .fill('20');
    await findingsPane(page).getByRole('button', { name: 'Assess tolerances' }).click();
    await expect
      .poll(() => findingsPane(page).textContent(), { timeout: 90_000 })
      .toMatch(/\d+(\.\d+)? %.*together|together.*\d+(\.\d+)? %/is);
    expect(bench.complaints).toEqual([]);
    await bench.close();
  }, 120_000);
});
