import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, describe, expect, test } from 'vitest';
import { writeStarterCart } from '../../src/document/index.js';
import { closeBrowser, EXAMPLES, filesIn, openWorkbench } from './open-workbench.js';
import { describePane, field, findingsPane, openSection, proven, typed } from './sheet-parts.js';

afterAll(closeBrowser);

const NAME = 'own.cart.yaml';

async function openedWith(text: string) {
  const bench = await openWorkbench({});
  writeFileSync(join(bench.folder, NAME), text);
  await bench.page.reload();
  await bench.page.getByRole('button', { name: NAME }).click();
  await bench.page.locator('.sheet-page').waitFor();
  return bench;
}

function cell(page: Page, row: string, column: string) {
  return page
    .getByRole('grid', { name: 'Parts' })
    .getByRole('row', { name: new RegExp(row) })
    .locator(`[aria-colindex="${COLUMNS.indexOf(column) + 1}"]`);
}
const COLUMNS = ['Part', 'Mass', 'x', 'y', 'z'];

async function pasted(page: Page, text: string): Promise<void> {
  await page.evaluate((copied) => navigator.clipboard.writeText(copied), text);
  await page.keyboard.press('Control+v');
}

describe('the table of parts', () => {
  test('takes a paste of a spreadsheet as one step, units and all', async () => {
    const bench = await openedWith(writeStarterCart());
    const { page } = bench;
    const before = bench.file(NAME);
    const grid = page.getByRole('grid', { name: 'Parts' });
    const rows = await grid.getByRole('row').count();
    await grid.getByRole('row').last().getByRole('rowheader').click();
    await page.getByRole('button', { name: 'Add part' }).click();
    await pasted(
      page,
      'ultrasound\t4.2 kg\t0 mm\t0 mm\t700 mm\nprinter\t6.25 lb\t-2 in\t0 mm\t300 mm\n',
    );
    await expect.poll(() => grid.getByRole('row').count()).toBe(rows + 2);
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(NAME)).toMatch(/name: printer/);
    expect(bench.file(NAME)).toMatch(/mass: 6.25 lb/);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(NAME)).toBe(before);
    expect(bench.complaints).toEqual([]);
    await bench.close();
  });

  test('a part without a mass is an error beside it, never zero', async () => {
    const bench = await openedWith(writeStarterCart());
    const { page } = bench;
    await page.getByRole('button', { name: 'Add part' }).click();
    await expect
      .poll(() => page.getByRole('region', { name: 'Problems' }).textContent())
      .toMatch(/mass/i);
    await expect
      .poll(() => describePane(page).textContent())
      .toMatch(/could last be read|cannot be read/i);
    await bench.close();
  });

  test('a parts list from a spreadsheet file is imported and saved beside the cart', async () => {
    const bench = await openedWith(
      readFileSync(join(EXAMPLES, 'telehealth-four-locks.cart.yaml'), 'utf8'),
    );
    const { page } = bench;
    // the list that the cart names is not there: told, and no mass is made up
    await expect
      .poll(() => page.getByRole('region', { name: 'Problems' }).textContent())
      .toMatch(/telehealth-parts\.xlsx/);
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      page
        .getByRole('button', { name: /Import parts list/ })
        .first()
        .click(),
    ]);
    await chooser.setFiles(join(EXAMPLES, 'telehealth-parts.xlsx'));
    const attach = page.getByRole('dialog').getByRole('button', { name: /attach|beside|keep/i });
    await attach.first().click();
    await expect
      .poll(() => page.getByRole('region', { name: 'Problems' }).textContent())
      .toMatch(/nothing to mend/);
    await page.keyboard.press('Control+s');
    await expect.poll(() => filesIn(bench.folder)).toContain('telehealth-parts.xlsx');
    expect(readFileSync(join(bench.folder, 'telehealth-parts.xlsx'))).toEqual(
      readFileSync(join(EXAMPLES, 'telehealth-parts.xlsx')),
    );
    await bench.close();
  });

  test('500 parts: all there, the last one changed and judged', async () => {
    const parts = Array.from(
      { length: 500 },
      (_, i) =>
        `  - {name: part ${i + 1}, mass: 40 g, at: [${(i % 25) * 4 - 48} mm, 0 mm, 300 mm]}`,
    );
    const text = writeStarterCart().replace(/^parts:.*\n/m, `parts:\n${parts.join('\n')}\n`);
    const bench = await openedWith(text);
    const { page } = bench;
    await proven(page);
    const grid = page.getByRole('grid', { name: 'Parts' });
    expect(Number(await grid.getAttribute('aria-rowcount'))).toBeGreaterThan(500);
    await grid
      .getByRole('row', { name: /^part 1 / })
      .locator('[role="rowheader"]')
      .click();
    for (let k = 0; k < 60; k++) await page.keyboard.press('PageDown');
    await page.keyboard.press('Control+Home');
    await grid.getByRole('row', { name: /^part 1 / }).waitFor();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.type('80 g');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(NAME)).toMatch(/name: part 1, mass: 80 g/);
    await proven(page);
    expect(await findingsPane(page).textContent()).toMatch(/Overbalance/);
    expect(bench.complaints).toEqual([]);
    await bench.close();
  });
});

describe('names that mean harm', () => {
  const HARM = '<img src=x onerror="window.harmed=1">';

  test('stay text wherever they are shown, and in the file', async () => {
    const bench = await openedWith(writeStarterCart());
    const { page } = bench;
    await openSection(page, 'Cart');
    await typed(field(page, 'name'), `${HARM} "quoted": # \u202Eabc`.replace('\u202E', ''));
    await openSection(page, 'Castors');
    await field(page, 'castors', 0).first().click();
    await typed(field(page, 'castors', 0, 'name'), `</script><script>window.harmed=1</script>`);
    await openSection(page, 'Parts');
    await cell(page, '.', 'Part').first().click();
    await page.keyboard.type(`=1+1 ${HARM}`);
    await page.keyboard.press('Enter');
    await proven(page);
    for (const name of ['Plan and side', 'Holding by direction', 'In space']) {
      await page.getByRole('button', { name }).click();
      await page.waitForTimeout(300);
    }
    await findingsPane(page)
      .getByRole('button', { name: /Overbalance in/ })
      .click();
    expect(await page.evaluate('window.harmed')).toBeUndefined();
    expect(await page.locator('img[src="x"]').count()).toBe(0);
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(NAME)).toContain(HARM.replaceAll('"', '\\"'));
    expect(bench.complaints).toEqual([]);
    await bench.close();
  });
});
