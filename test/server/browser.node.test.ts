import type { Server } from 'node:http';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser, Page } from 'playwright-core';
import { chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { findChromium } from '../../scripts/chromium.mjs';
import type { Running } from './running-server.js';
import { runningServer, temporaryFolder } from './running-server.js';

const executablePath = findChromium();
const NAME = 'a.cart.yaml';

const START = `<!doctype html>
<html lang="en"><title>start</title>
<script>window.inline = 1;</script>
<p style="color: red" id="styled">text</p>
<script type="module" crossorigin src="/assets/start-1.js"></script>
`;
/** @param other address of a server that lets everybody read it */
const SCRIPT = (other: string) => `
window.done = (async () => {
  const worker = new Worker('/assets/worker-1.js', { type: 'module' });
  const fromWorker = await new Promise((resolve) => {
    worker.onmessage = ({ data }) => resolve(data);
    worker.onerror = () => resolve('refused');
  });
  let evaluated = 'refused';
  try { evaluated = new Function('return "ran"')(); } catch {}
  const far = await fetch('${other}').then(() => 'sent', () => 'refused');
  return { fromWorker, evaluated, far, isolated: window.crossOriginIsolated, cookie: document.cookie };
})();
`;
const WORKER = `postMessage((await fetch('/api/folder')).status);\n`;

/** All that a page of another server of this machine can try with the user's own browser. */
const triesOn = (own: string) => `(async () => {
  const tried = {};
  const ask = (name, path, options) => fetch('${own}' + path, options).then(
    (answer) => { tried[name] = answer.type === 'opaque' ? 'opaque' : answer.status; },
    () => { tried[name] = 'refused'; },
  );
  const json = { 'content-type': 'application/json', 'standstill-workbench': '1' };
  const save = { method: 'PUT', credentials: 'include', headers: json,
    body: JSON.stringify({ name: '${NAME}', text: 'theirs', base: null }) };
  await ask('read', '/api/folder', { credentials: 'include' });
  await ask('save', '/api/cart', save);
  await ask('delete', '/api/draft?name=${NAME}', { method: 'DELETE', credentials: 'include' });
  const loaded = (name, element) => new Promise((resolve) => {
    element.onload = () => { tried[name] = 'loaded'; resolve(); };
    element.onerror = () => { tried[name] = 'refused'; resolve(); };
    document.body.append(element);
  });
  await loaded('script', Object.assign(document.createElement('script'),
    { src: '${own}/assets/start-1.js' }));
  await loaded('image', Object.assign(document.createElement('img'), { src: '${own}/' }));
  const frame = Object.assign(document.createElement('iframe'), { src: '${own}/' });
  await new Promise((resolve) => { frame.onload = resolve; document.body.append(frame); });
  tried.frame = frame.contentDocument === null ? 'closed' : 'open';
  tried.ran = 'done' in window;
  return tried;
})()`;

describe.skipIf(executablePath === undefined)('in a real browser', () => {
  let browser: Browser;
  let running: Running;
  /** a server of somebody else on this machine, that lets everybody read it */
  let other: Server;
  let otherAddress = '';
  let asked = 0;
  beforeAll(async () => {
    browser = await chromium.launch({
      executablePath: executablePath ?? '',
      args: ['--no-sandbox'],
    });
    other = createServer((_, response) => {
      asked += 1;
      response.setHeader('access-control-allow-origin', '*');
      response.setHeader('content-type', 'text/html');
      response.end('<!doctype html><title>other</title><body>');
    });
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
    otherAddress = `http://127.0.0.1:${(other.address() as AddressInfo).port}/`;
    const page = temporaryFolder({
      'index.html': START,
      'assets/start-1.js': SCRIPT(otherAddress),
      'assets/worker-1.js': WORKER,
    });
    running = await runningServer({ [NAME]: 'name: A\n' }, { page });
  });
  afterAll(async () => {
    await browser.close();
    await running.stop();
    other.closeAllConnections();
    other.close();
  });

  /** A browser that has been let in. */
  async function letIn(): Promise<Page> {
    const page = await (await browser.newContext()).newPage();
    await page.goto(running.server.address);
    return page;
  }

  test('the opening address leads to the plain one, and the page with its worker works', async () => {
    const page = await letIn();
    expect(page.url()).toBe(`http://127.0.0.1:${running.server.port}/`);
    const seen = await page.evaluate('window.done');
    expect(seen).toEqual({
      fromWorker: 200,
      evaluated: 'refused',
      far: 'refused',
      isolated: true,
      cookie: '',
    });
    expect(asked).toBe(0);
  });

  test('nothing that is written into the markup runs or styles', async () => {
    const page = await letIn();
    expect(await page.evaluate('window.inline')).toBeUndefined();
    const colour = await page.evaluate("getComputedStyle(document.getElementById('styled')).color");
    expect(colour).toBe('rgb(0, 0, 0)');
  });

  test('a page without the key sees only words', async () => {
    const page = await (await browser.newContext()).newPage();
    const response = await page.goto(`http://127.0.0.1:${running.server.port}/`);
    expect(response?.status()).toBe(401);
    expect(await page.textContent('body')).toContain('opens with the whole address');
  });

  test('a page of another port, with the cookie in the same browser, gets and changes nothing', async () => {
    const page = await letIn();
    await page.goto(otherAddress);
    const tried = await page.evaluate(triesOn(`http://127.0.0.1:${running.server.port}`));
    expect(tried).toEqual({
      read: 'refused',
      save: 'refused',
      delete: 'refused',
      script: 'refused',
      image: 'refused',
      frame: 'closed',
      ran: false,
    });
    const cart = await running.ask('GET', `/api/cart?name=${NAME}`);
    expect(JSON.parse(cart.text)).toMatchObject({ text: 'name: A\n' });
  });
});
