/**
 * Writes the pictures of the workbench and of a test day in docs/pictures:
 *   node --import tsx scripts/write-pictures.ts
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { closeBrowser, openWorkbench } from '../test/page/open-workbench.js';
import { dismissTour, findingRow, findingsPane, PUSH, proven } from '../test/page/sheet-parts.js';
import {
  addInstrument,
  addSample,
  beginProject,
  chooseRun,
  everythingKept,
  fillReadings,
  makePlan,
  openTestDay,
  runForm,
  section,
} from '../test/page/test-day-parts.js';
import { ensurePage } from './page.mjs';
import { root } from './run.mjs';

const FILE = 'telehealth-two-locks-one-side.cart.yaml';
const folder = join(root, 'docs', 'pictures');
mkdirSync(folder, { recursive: true });
ensurePage();
const bench = await openWorkbench({ files: [FILE, 'telehealth-parts.csv'], opened: FILE });
const { page } = bench;
const picture = (name: string) => page.screenshot({ path: join(folder, `${name}.png`) });
await page.locator('.sheet-page').waitFor();
await dismissTour(page);
await proven(page);
await findingRow(page, PUSH).click();
await findingsPane(page).getByRole('button', { name: 'Show in the drawing', exact: true }).click();
// until the drawing stands still
await page.waitForTimeout(1500);
await picture('workbench-sheet');
await page.getByRole('button', { name: 'Holding by direction' }).click();
await page.waitForTimeout(1500);
await picture('workbench-directions');
await bench.close();

// a tablet at the ramp
const day = await openWorkbench({
  files: [FILE, 'telehealth-parts.csv'],
  opened: FILE,
  width: 1180,
  height: 820,
});
await recordFailure(day.page);
await runForm(day.page)
  .getByRole('group', { name: 'Reading 1' })
  .evaluate((reading) => reading.scrollIntoView());
await day.page.screenshot({ path: join(folder, 'test-day-run.png') });
await runForm(day.page).getByRole('button', { name: 'Write the record' }).click();
const results = await section(day.page, 'Results');
await results.getByText('Prediction and measurement together').waitFor();
const failure = results.getByRole('region', { name: /^Failure/ });
await failure.getByRole('button', { name: 'Look for what mends it' }).click();
await failure
  .getByRole('button', { name: /^Choose/ })
  .first()
  .waitFor({ timeout: 120_000 });
await results.evaluate((top) => top.scrollIntoView());
await day.page.setViewportSize({ width: 1180, height: 1140 });
await day.page.screenshot({ path: join(folder, 'test-day-results.png') });
await day.close();
await closeBrowser();

/** A push that the model has the cart fail, and that it fails, as it stands before it is written. */
async function recordFailure(page: Page): Promise<void> {
  await openTestDay(page, 'first operator');
  await beginProject(page, 'Telehealth cart');
  await makePlan(page);
  const certified = { due: '2099-01-31' };
  await addInstrument(page, {
    ...{ kind: 'force gauge', name: 'gauge of the ramp', ...certified },
    ...{ uncertainty: '1 N', resolution: '0.5 N' },
  });
  await addInstrument(page, {
    ...{ kind: 'tape', name: 'steel tape', ...certified },
    ...{ uncertainty: '1 mm', resolution: '1 mm' },
  });
  await addSample(page, 'first sample', 'A');
  await chooseRun(page, /Unwanted movement under a push/);
  const forces = ['61', '60.5', '62'];
  await fillReadings(
    page,
    forces.map((load) => ({ result: 'gave way', load, mode: 'pivots', further: '90' })),
  );
  await runForm(page).getByText('As it stands: fail').waitFor();
  await everythingKept(page);
}
