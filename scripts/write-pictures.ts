/**
 * Writes the pictures of the workbench in docs/pictures:
 *   node --import tsx scripts/write-pictures.ts
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { closeBrowser, openWorkbench } from '../test/page/open-workbench.js';
import { dismissTour, findingRow, findingsPane, PUSH, proven } from '../test/page/sheet-parts.js';
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
await closeBrowser();
