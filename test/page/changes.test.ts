import { afterAll, afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { OpenWorkbench } from './open-workbench.js';
import { closeBrowser, openWorkbench } from './open-workbench.js';
import {
  describePane,
  field,
  findingRow,
  findingsPane,
  openSection,
  PUSH,
  proven,
  typed,
} from './sheet-parts.js';

const FILE = 'telehealth-two-locks-one-side.cart.yaml';
let bench: OpenWorkbench;

beforeEach(async () => {
  bench = await openWorkbench({ files: [FILE, 'telehealth-parts.csv'], opened: FILE });
  await bench.page.getByRole('heading', { level: 1, name: /Telehealth cart/ }).waitFor();
});
afterEach(async () => {
  expect(bench.complaints).toEqual([]);
  await bench.close();
});
afterAll(closeBrowser);

/** Lines that differ between two texts of the same number of lines. */
function changedLines(before: string, after: string): readonly string[] {
  const [a, b] = [before.split('\n'), after.split('\n')];
  expect(b.length).toBe(a.length);
  return b.filter((line, i) => line !== a[i]);
}

describe('a change', () => {
  test('is judged, taken back and brought back; saving changes its line alone', async () => {
    const { page } = bench;
    const before = bench.file(FILE);
    await proven(page);
    await expect.poll(() => findingRow(page, PUSH).textContent()).toMatch(/fails/);
    await openSection(page, 'Castors');
    // a wheel lock needs its brake: it is asked there, and both are one step
    for (const name of ['front right', 'rear right']) {
      await describePane(page).getByLabel(`Lock of ${name}`).selectOption('wheel');
      const brake = describePane(page).getByRole('group', { name: `Brake of ${name}` });
      await brake.getByRole('button', { name: 'Outlasts the tread' }).click();
    }
    await proven(page);
    await expect.poll(() => findingRow(page, PUSH).textContent()).not.toMatch(/fails/);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText(`Saved ${FILE}`).waitFor();
    const comments = (text: string) => text.match(/#.*$/gm);
    expect(comments(bench.file(FILE))).toEqual(comments(before));
    for (let k = 0; k < 2; k++) await page.keyboard.press('Control+z');
    await proven(page);
    await expect.poll(() => findingRow(page, PUSH).textContent()).toMatch(/fails/);
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(FILE)).toBe(before);
    await page.keyboard.press('Control+y');
    await page.getByRole('button', { name: /^Undo/ }).click();
    await page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(FILE)).toBe(before);
  });

  test('by a drag of a grip is shown while it lasts, and is one step', async () => {
    const { page } = bench;
    const before = bench.file(FILE);
    await openSection(page, 'Castors');
    await field(page, 'castors', 0).first().click();
    const place = field(page, 'castors', 0, 'at', 0);
    const grip = place.locator('xpath=following-sibling::*[contains(@class, "grip")]');
    const box = await grip.boundingBox();
    if (box === null) throw new Error('no grip');
    const reserve = () => findingRow(page, 'Overbalance in the').textContent();
    const first = await reserve();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x - 400, y, { steps: 8 });
    await expect.poll(reserve).not.toBe(first);
    await page.keyboard.press('Escape');
    await page.mouse.up();
    await expect.poll(reserve).toBe(first);
    await expect.poll(() => place.inputValue()).toBe('320 mm');
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x - 80, y, { steps: 4 });
    await page.mouse.up();
    await expect.poll(() => place.inputValue()).toBe('300 mm');
    await page.keyboard.press('Control+s');
    await expect
      .poll(() => changedLines(before, bench.file(FILE)))
      .toEqual(['    at: [300 mm, 300 mm]']);
    await page.getByRole('button', { name: /^Undo/ }).click();
    await expect.poll(() => place.inputValue()).toBe('320 mm');
  });

  test('that is no quantity is refused beside its field, in words, and nothing is lost', async () => {
    const { page } = bench;
    await openSection(page, 'Castors');
    await field(page, 'castor types', 0).first().click();
    const trail = field(page, 'castor types', 0, 'trail');
    await typed(trail, '32');
    await expect.poll(() => trail.getAttribute('aria-invalid')).toBe('true');
    await expect
      .poll(() => describePane(page).textContent())
      .toMatch(/32 .*unit|length with its unit/i);
    expect(await trail.inputValue()).toBe('32');
    await expect.poll(() => findingsPane(page).textContent()).toMatch(/Overbalance/);
    await typed(trail, '1 1/4 in');
    await expect.poll(() => trail.getAttribute('aria-invalid')).not.toBe('true');
    // taken over, though the focus is still there: undone as any change
    await page.keyboard.press('Control+z');
    await expect.poll(() => trail.inputValue()).toBe('32');
    // not taken over yet: the field's own, and the sheet stays as it is
    const undo = page.getByRole('button', { name: /^Undo/ });
    const step = await undo.textContent();
    await page.keyboard.type('5');
    await page.keyboard.press('Control+z');
    expect(await undo.textContent()).toBe(step);
    expect(await undo.isEnabled()).toBe(true);
  });
});
