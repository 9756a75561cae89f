/** The workbench as a user has it: the server on a folder of its own, the built page, a browser. */

import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { chromium } from 'playwright-core';
import { findChromium } from '../../scripts/chromium.mjs';
import type { WorkbenchServer } from '../../src/server/index.js';
import { startServer } from '../../src/server/index.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
export const EXAMPLES = join(ROOT, 'examples');

export interface OpenWorkbench {
  readonly folder: string;
  readonly page: Page;
  readonly context: BrowserContext;
  readonly server: WorkbenchServer;
  readonly file: (name: string) => string;
  /** what the page wrote on the console as errors, and what it threw */
  readonly complaints: readonly string[];
  /** another tab of the same browser */
  readonly again: () => Promise<Page>;
  readonly close: () => Promise<void>;
}

export interface OpenWishes {
  /** examples copied into the folder */
  readonly files?: readonly string[];
  /** opened at once */
  readonly opened?: string;
  readonly width?: number;
  readonly height?: number;
  readonly theme?: 'light' | 'dark';
  readonly port?: number;
  readonly folder?: string;
}

let browser: Promise<Browser> | null = null;

export function sharedBrowser(): Promise<Browser> {
  const executablePath = findChromium();
  browser ??= chromium.launch({
    args: ['--no-sandbox'],
    ...(executablePath === undefined ? {} : { executablePath }),
  });
  return browser;
}

export async function closeBrowser(): Promise<void> {
  await (await browser)?.close();
  browser = null;
}

export async function openWorkbench(wishes: OpenWishes = {}): Promise<OpenWorkbench> {
  const folder = wishes.folder ?? mkdtempSync(join(tmpdir(), 'standstill-page-'));
  for (const name of wishes.files ?? []) cpSync(join(EXAMPLES, name), join(folder, name));
  const server = await startServer({
    folder,
    page: join(ROOT, 'dist', 'web'),
    port: wishes.port ?? 0,
    examples: EXAMPLES,
    opened: wishes.opened ?? null,
    version: 'test',
  });
  const context = await (await sharedBrowser()).newContext({
    viewport: { width: wishes.width ?? 1440, height: wishes.height ?? 900 },
    colorScheme: wishes.theme ?? 'light',
  });
  await context.grantPermissions(['clipboard-read', 'clipboard-write']);
  const complaints: string[] = [];
  const again = async (): Promise<Page> => {
    const page = await context.newPage();
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(server.address);
    return page;
  };
  const page = await again();
  return {
    folder,
    page,
    context,
    server,
    complaints,
    again,
    file: (name) => readFileSync(join(folder, name), 'utf8'),
    async close() {
      await context.close();
      await server.close();
      if (wishes.folder === undefined)
        rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

export function filesIn(folder: string): readonly string[] {
  return readdirSync(folder).sort();
}
