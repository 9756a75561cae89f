import { afterAll, describe, expect, test } from 'vitest';
import { closeBrowser, filesIn, openWorkbench } from './open-workbench.js';
import { field, findingRow, openSection, PUSH, proven, typed } from './sheet-parts.js';

afterAll(closeBrowser);

describe('a first-time user', () => {
  test('is led from a cart that fails to a verdict on numbers of his own, and saves it', async () => {
    const bench = await openWorkbench({});
    const { page } = bench;
    const tour = page.getByRole('complementary', { name: 'Guided tour' });
    const done = () => tour.locator('[data-done="true"], [data-done=""]').count();
    const next = () => tour.getByRole('button', { name: /^(Next|Skip this step)/ }).click();
    await page
      .getByRole('button', { name: /guided tour/i })
      .first()
      .click();
    // see it fail and why
    await page.getByRole('heading', { level: 1, name: /two locks on one side/ }).waitFor();
    await proven(page);
    await findingRow(page, PUSH).click();
    await page.getByRole('button', { name: 'Show in the drawing', exact: true }).click();
    await expect.poll(() => page.locator('.pose-worst').textContent()).toMatch(/castor/);
    await expect.poll(done).toBeGreaterThan(1);
    await next();
    // drag something
    const lift = page.getByRole('slider', { name: 'lift' });
    const posed = await findingRow(page, 'Overbalance excluding').textContent();
    // the worst has it all the way up
    await lift.focus();
    for (let k = 0; k < 50; k++) await page.keyboard.press('ArrowLeft');
    await expect
      .poll(() => findingRow(page, 'Overbalance excluding').textContent())
      .not.toBe(posed);
    await expect.poll(done).toBeGreaterThan(0);
    await next();
    // mend it
    await openSection(page, 'Floor');
    await page.getByRole('button', { name: /^grey rubber/ }).click();
    const friction = field(page, 'floor', 'friction', 0, 'value');
    await typed(friction, '0.65');
    await page.getByRole('button', { name: /^Undo/ }).waitFor();
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => friction.inputValue()).toBe('0.6');
    await next();
    // numbers of one's own
    await page.getByRole('button', { name: 'Close', exact: true }).click();
    await page.getByRole('main').getByRole('button', { name: 'New cart' }).click();
    await page.locator('.sheet-page').waitFor();
    await openSection(page, 'Cart');
    await typed(field(page, 'name'), 'Monitor stand of ward 3');
    await openSection(page, 'Parts');
    const grid = page.getByRole('grid', { name: 'Parts' });
    await grid.getByRole('row').nth(1).getByRole('rowheader').click();
    await page.evaluate(
      (copied) => navigator.clipboard.writeText(copied),
      'steel base\t32 kg\t0 mm\t0 mm\t90 mm\ncolumn head\t3 kg\t0 mm\t0 mm\t900 mm\nmonitor\t9 lb\t2 in\t0 mm\t44 in\n',
    );
    await page.keyboard.press('Control+v');
    await expect.poll(() => grid.textContent()).toMatch(/steel base/);
    await openSection(page, 'Movers');
    await field(page, 'movers', 0).first().click();
    await typed(field(page, 'movers', 0, 'slide', 'to'), '250 mm');
    await proven(page);
    await expect
      .poll(() => page.getByRole('banner').getByRole('status').textContent())
      .toMatch(/Verdict: (holds|fails|depends on friction)/);
    await page.keyboard.press('Control+s');
    const dialog = page.getByRole('dialog', { name: 'Save as' });
    await dialog.getByRole('textbox').fill('ward-3.cart.yaml');
    await dialog.getByRole('button', { name: 'Save' }).click();
    await expect.poll(() => filesIn(bench.folder)).toContain('ward-3.cart.yaml');
    await expect
      .poll(() => bench.file('ward-3.cart.yaml'))
      .toMatch(/^name: Monitor stand of ward 3$/m);
    expect(bench.file('ward-3.cart.yaml')).toMatch(/# what is always there/);
    expect(bench.complaints).toEqual([]);
    await bench.close();
  }, 120_000);

  test('can do without a mouse: opens, changes, judges, undoes and saves', async () => {
    const FILE = 'lamp-stand-three-castor.cart.yaml';
    const bench = await openWorkbench({ files: [FILE] });
    const { page } = bench;
    await page.getByRole('button', { name: FILE }).waitFor();
    await tabTo(FILE);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: /lamp stand/i }).waitFor();
    await tabTo('Parts', 'tab');
    for (let k = 0; k < 3; k++) await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Enter');
    await tabTo('front', 'button');
    await page.keyboard.press('Enter');
    await tabTo('Place x', 'textbox');
    const before = await focusedValue();
    await page.keyboard.down('Alt');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.up('Alt');
    await expect.poll(focusedValue).not.toBe(before);
    await page.keyboard.press('Control+z');
    await expect.poll(focusedValue).toBe(before);
    await page.keyboard.press('Control+y');
    await expect.poll(focusedValue).not.toBe(before);
    const stored = bench.file(FILE);
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(FILE)).not.toBe(stored);
    await tabTo('Overbalance in', 'button');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Show in the drawing', exact: true }).waitFor();
    await page.keyboard.press('Control+s');
    expect(bench.complaints).toEqual([]);
    await bench.close();

    /** Presses Tab until something of the name has the focus; a trap or a dead end never gets there. */
    async function tabTo(name: string, role = ''): Promise<void> {
      const seen: string[] = [];
      for (let k = 0; k < 200; k++) {
        await page.keyboard.press('Tab');
        const is = String(await page.evaluate(FOCUSED));
        if (is.startsWith(role) && is.includes(name)) return;
        seen.push(is);
      }
      throw new Error(`no way by Tab to ${role} ${name}; went by ${seen.slice(-40).join(' | ')}`);
    }

    function focusedValue(): Promise<unknown> {
      return page.evaluate('document.activeElement.value');
    }
  }, 120_000);
});

/** Role (or element) and words of what has the focus. */
const FOCUSED = `(() => {
  const e = document.activeElement;
  const role = e.getAttribute('role') ?? { INPUT: 'textbox', BUTTON: 'button' }[e.tagName] ?? e.tagName;
  return role + ' ' + (e.getAttribute('aria-label') ?? '') + ' ' + (e.labels?.[0]?.textContent ?? '') + ' ' + e.textContent;
})()`;
