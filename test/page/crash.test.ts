import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { closeBrowser, openWorkbench } from './open-workbench.js';
import { field, openSection, typed } from './sheet-parts.js';

const FILE = 'lamp-stand-three-castor.cart.yaml';
afterAll(closeBrowser);

async function opened(folder?: string, port?: number) {
  const bench = await openWorkbench({
    files: folder === undefined ? [FILE] : [],
    opened: FILE,
    ...(folder === undefined ? {} : { folder }),
    ...(port === undefined ? {} : { port }),
  });
  // behind a dialog too, where it has no role
  await bench.page.locator('h1', { hasText: /lamp stand/i }).waitFor();
  return bench;
}

async function renamed(bench: Awaited<ReturnType<typeof opened>>, name: string): Promise<void> {
  await openSection(bench.page, 'Cart');
  await typed(field(bench.page, 'name'), name);
  await bench.page.getByRole('heading', { level: 1, name }).waitFor();
}

describe('unsaved work', () => {
  test('of a tab that died is offered when the file is opened again', async () => {
    const bench = await opened();
    await renamed(bench, 'Lamp stand, not saved');
    // the draft beside the file, so that the browser may be gone too
    const drafts = () => bench.page.evaluate('fetch("/api/folder").then((r) => r.json())');
    await expect
      .poll(async () => ((await drafts()) as { drafts: unknown[] }).drafts.length)
      .toBe(1);
    await bench.page.close({ runBeforeUnload: false });
    await bench.context.clearCookies();
    const again = await opened(bench.folder);
    const dialog = again.page.getByRole('dialog');
    await dialog.getByRole('button', { name: /^Take/ }).click();
    await again.page.getByRole('heading', { level: 1, name: 'Lamp stand, not saved' }).waitFor();
    await again.page.keyboard.press('Control+s');
    await expect.poll(() => again.file(FILE)).toMatch(/^name: Lamp stand, not saved$/m);
    await again.close();
    await bench.close();
  });

  test('of a killed program is in the browser, and the page says that it is gone', async () => {
    const bench = await opened();
    const { port } = bench.server;
    await bench.server.close();
    await renamed(bench, 'Typed while nobody answered');
    await bench.page
      .getByText(/does not answer/)
      .first()
      .waitFor();
    const page = await bench.again().catch(() => null);
    expect(page).toBeNull();
    const back = await openWorkbench({ folder: bench.folder, opened: FILE, port });
    await bench.page.goto(back.server.address);
    await bench.page.getByRole('dialog').getByRole('button', { name: /^Take/ }).click();
    await bench.page
      .getByRole('heading', { level: 1, name: 'Typed while nobody answered' })
      .waitFor();
    await back.close();
    await bench.context.close();
  });

  test('is not written over a file that somebody else has changed', async () => {
    const bench = await opened();
    await renamed(bench, 'Mine');
    const theirs = bench.file(FILE).replace(/^name: .*$/m, 'name: Theirs');
    writeFileSync(join(bench.folder, FILE), theirs);
    await bench.page.keyboard.press('Control+s');
    const dialog = bench.page.getByRole('dialog');
    await dialog.waitFor();
    expect(bench.file(FILE)).toBe(theirs);
    await dialog.getByRole('button', { name: /theirs/i }).click();
    await bench.page.getByRole('heading', { level: 1, name: 'Theirs' }).waitFor();
    await bench.page.getByRole('button', { name: /^Undo/ }).click();
    await bench.page.getByRole('heading', { level: 1, name: 'Mine' }).waitFor();
    await bench.page.keyboard.press('Control+s');
    await expect.poll(() => bench.file(FILE)).toMatch(/^name: Mine$/m);
    await bench.close();
  });
});
