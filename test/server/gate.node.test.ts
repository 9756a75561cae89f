import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Running } from './running-server.js';
import { json, PAGE_FILES, runningServer, send, sendRaw } from './running-server.js';

const CART = 'a.cart.yaml';

let running: Running;
let port = 0;
let host = '';
beforeAll(async () => {
  running = await runningServer({ [CART]: 'standstill: 1\n' });
  port = running.server.port;
  host = `127.0.0.1:${port}`;
});
afterAll(() => running.stop());

/** The standing headers, as the standards ask for them to be written; beside each what it prevents. */
const EXPECTED: readonly (readonly [string, RegExp])[] = [
  // scripts, styles, frames and forms of others: W3C Content Security Policy Level 3
  ['content-security-policy', /^default-src 'none'; script-src 'self'; style-src 'self'; /],
  // windows, resources and memory shared with other origins: WHATWG HTML and Fetch
  ['cross-origin-opener-policy', /^same-origin$/],
  ['cross-origin-embedder-policy', /^require-corp$/],
  ['cross-origin-resource-policy', /^same-origin$/],
  // guesses about types
  ['x-content-type-options', /^nosniff$/],
  // the address, with its key, told to others: W3C Referrer Policy
  ['referrer-policy', /^no-referrer$/],
  ['permissions-policy', /camera=\(\)/],
  ['cache-control', /no-store|immutable/],
];

/** Sources that would let code or data of others in. */
const TOO_OPEN = /unsafe|https?:|\*|wasm|report/;

function expectSafe(headers: Readonly<Record<string, unknown>>): void {
  for (const [name, pattern] of EXPECTED) expect(headers[name], name).toMatch(pattern);
  expect(headers['content-security-policy']).not.toMatch(TOO_OPEN);
  expect(headers['access-control-allow-origin']).toBeUndefined();
  expect(headers['x-powered-by']).toBeUndefined();
  expect(headers.server).toBeUndefined();
}

describe('the key', () => {
  test('is 32 random bytes, and gives a cookie for the plain address', async () => {
    const { pathname, searchParams } = new URL(running.server.address);
    const key = searchParams.get('key') ?? '';
    expect(Buffer.from(key, 'base64url')).toHaveLength(32);
    const { status, headers, text } = await send(port, 'GET', `${pathname}?key=${key}`);
    expect({ status, text, location: headers.location }).toEqual({
      status: 303,
      text: '',
      location: '/',
    });
    const [cookie = ''] = headers['set-cookie'] ?? [];
    expect(cookie).toMatch(
      new RegExp(`^standstill-${port}=[\\w-]{43}; Path=/; HttpOnly; SameSite=Strict$`),
    );
    expect(cookie).not.toContain(key);
    expectSafe(headers);
  });

  test('of a single use opens once', async () => {
    const { search } = new URL(running.server.onceAddress());
    expect((await send(port, 'GET', `/${search}`)).status).toBe(303);
    expect((await send(port, 'GET', `/${search}`)).status).toBe(401);
  });

  test.each([
    '/?key=',
    '/?key=wrong',
    '/?key',
    '/?kez=1',
    '/index.html?key=KEY',
    '/api/folder?key=KEY',
  ])('lets nobody in by %s', async (path) => {
    const key = new URL(running.server.address).searchParams.get('key') ?? '';
    const { status, headers } = await send(port, 'GET', path.replace('KEY', key));
    expect(status).toBe(401);
    expect(headers['set-cookie']).toBeUndefined();
  });

  test('without it there is nothing but a page in words', async () => {
    for (const path of ['/', '/assets/page-1a2b3c.js', '/index.html', '/favicon.ico', '/none']) {
      const { status, headers, text } = await send(port, 'GET', path);
      expect(status).toBe(401);
      expect(headers['content-type']).toBe('text/html; charset=utf-8');
      expect(text).toContain('opens with the whole address');
      expect(text).not.toMatch(/<script|<style|style=/);
      expectSafe(headers);
    }
  });

  test.each(['/api/folder', `/api/cart?name=${CART}`])('and no %s', async (path) => {
    const answer = await send(port, 'GET', path);
    expect(answer.status).toBe(401);
    expect(json(answer)).toMatchObject({ code: 'no key' });
  });

  test.each([
    ['of another port', (value: string) => `standstill-1=${value}`],
    ['of another value', (value: string) => `standstill-PORT=${value.slice(1)}x`],
    ['that is empty', () => 'standstill-PORT='],
    ['that is the key', () => 'standstill-PORT=KEY'],
  ])('a cookie %s lets nobody in', async (_what, change) => {
    const value = running.cookie.split('=')[1] ?? '';
    const key = new URL(running.server.address).searchParams.get('key') ?? '';
    const cookie = change(value).replace('PORT', String(port)).replace('KEY', key);
    expect((await send(port, 'GET', '/', { cookie })).status).toBe(401);
  });

  test('a cookie that another port put beside ours takes nothing away', async () => {
    for (const cookie of [
      `standstill-${port}=x; ${running.cookie}`,
      `${running.cookie}; standstill-${port}=x`,
      `a=b;c;=;${running.cookie};`,
    ]) {
      expect((await send(port, 'GET', '/', { cookie })).status).toBe(200);
    }
  });

  test('another start has other keys', async () => {
    const other = await runningServer();
    expect(other.server.address.split('key=')[1]).not.toBe(running.server.address.split('key=')[1]);
    const { status } = await send(other.server.port, 'GET', '/', {
      cookie: running.cookie.replace(String(port), String(other.server.port)),
    });
    await other.stop();
    expect(status).toBe(401);
  });
});

describe('only requests for this server', () => {
  test.each(['HOST', 'localhost:PORT', 'LOCALHOST:PORT'])('the host %s is right', async (name) => {
    const asked = name.replace('HOST', host).replace('PORT', String(port));
    const headers = { host: name === 'LOCALHOST:PORT' ? `LOCALHOST:${port}` : asked };
    expect((await send(port, 'GET', '/', { ...headers, cookie: running.cookie })).status).toBe(200);
  });

  test.each([
    'example.test',
    'example.test:PORT',
    '127.0.0.1',
    '127.0.0.1:1',
    'localhost',
    'localhost:PORT.example.test',
    '[::1]:PORT',
    '0.0.0.0:PORT',
    '127.0.0.2:PORT',
    'user@127.0.0.1:PORT',
    '127.0.0.1:PORT, 127.0.0.1:PORT',
  ])('the host "%s" is not', async (name) => {
    const headers = { host: name.replaceAll('PORT', String(port)), cookie: running.cookie };
    const { status, headers: given } = await send(port, 'GET', '/', headers);
    expect(status).toBe(421);
    expectSafe(given);
  });

  test.each([
    ['no host', 'GET / HTTP/1.1\r\n\r\n', 421],
    ['no host, of old', 'GET / HTTP/1.0\r\n\r\n', 421],
    ['an empty host', 'GET / HTTP/1.1\r\nHost:\r\nConnection: close\r\n\r\n', 421],
    ['two hosts', 'GET / HTTP/1.1\r\nHost: HOST\r\nHost: example.test\r\n\r\n', 421],
    ['a whole address', 'GET http://example.test/ HTTP/1.1\r\nHost: HOST\r\n\r\n', 400],
    ['a whole address of ours', 'GET http://HOST/ HTTP/1.1\r\nHost: HOST\r\n\r\n', 400],
    ['two slashes', 'GET //example.test/ HTTP/1.1\r\nHost: HOST\r\n\r\n', 400],
    ['an asterisk', 'OPTIONS * HTTP/1.1\r\nHost: HOST\r\n\r\n', 400],
    ['bytes outside ASCII', 'GET /\xe9 HTTP/1.1\r\nHost: HOST\r\n\r\n', 400],
    ['a backslash', 'GET /a\\b HTTP/1.1\r\nHost: HOST\r\nCOOKIE\r\nConnection: close\r\n\r\n', 400],
    ['no request at all', 'hello\r\n\r\n', 400],
    [
      'two lengths',
      'PUT / HTTP/1.1\r\nHost: HOST\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\n',
      400,
    ],
    [
      'a length and pieces',
      'PUT / HTTP/1.1\r\nHost: HOST\r\nContent-Length: 1\r\nTransfer-Encoding: chunked\r\n\r\n',
      400,
    ],
    [
      'headers without end',
      `GET / HTTP/1.1\r\nHost: HOST\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`,
      431,
    ],
    ['an address without end', `GET /${'x'.repeat(20_000)} HTTP/1.1\r\nHost: HOST\r\n\r\n`, 431],
    ['an expectation', 'GET / HTTP/1.1\r\nHost: HOST\r\nCOOKIE\r\nExpect: tea\r\n\r\n', 417],
    [
      'an upgrade',
      'GET / HTTP/1.1\r\nHost: HOST\r\nConnection: upgrade\r\nUpgrade: websocket\r\n\r\n',
      401,
    ],
  ])('%s is refused with the standing headers', async (_what, bytes, status) => {
    const whole = bytes.replaceAll('HOST', host).replace('COOKIE', `Cookie: ${running.cookie}`);
    const text = await sendRaw(port, whole);
    expect(text).toMatch(new RegExp(`^HTTP/1\\.1 ${status} `));
    const lines = text.slice(0, text.indexOf('\r\n\r\n')).split('\r\n').slice(1);
    const pairs = lines.map((line) => {
      const colon = line.indexOf(': ');
      return [line.slice(0, colon).toLowerCase(), line.slice(colon + 2)] as const;
    });
    expectSafe(Object.fromEntries(pairs));
  });

  test('it is not to be reached by another address of the machine', async () => {
    // all of 127.0.0.0/8 is this machine (RFC 1122, 3.2.1.3), but only one address is listened on
    const asked = fetch(`http://127.0.0.2:${port}/`);
    await expect(asked).rejects.toThrow();
  });
});

describe('only the page of this server', () => {
  const asked = async (headers: Record<string, string>, method = 'GET') => {
    return send(port, method, '/api/folder', { cookie: running.cookie, ...headers });
  };

  test.each([
    ['its own origin', { origin: 'http://HOST' }],
    ['itself', { 'sec-fetch-site': 'same-origin' }],
    ['the address bar', { 'sec-fetch-site': 'none' }],
  ])('may ask from %s', async (_what, headers) => {
    const own = Object.fromEntries(
      Object.entries(headers).map(([name, value]) => [name, value.replace('HOST', host)]),
    );
    expect((await asked(own)).status).toBe(200);
  });

  test.each([
    ['another origin', { origin: 'https://example.test' }],
    ['another port', { origin: 'http://127.0.0.1:1' }],
    ['the same port by another name', { origin: 'http://localhost:PORT' }],
    ['the same place, encrypted', { origin: 'https://127.0.0.1:PORT' }],
    ['no origin', { origin: 'null' }],
    ['another site', { 'sec-fetch-site': 'cross-site' }],
    ['another port of this machine', { 'sec-fetch-site': 'same-site' }],
    ['an unknown site', { 'sec-fetch-site': 'elsewhere' }],
  ])('but not %s', async (_what, headers) => {
    const others = Object.fromEntries(
      Object.entries(headers).map(([name, value]) => [name, value.replace('PORT', String(port))]),
    );
    for (const method of ['GET', 'PUT', 'DELETE', 'OPTIONS']) {
      const answer = await asked(others, method);
      expect(answer.status).toBe(403);
      expect(json(answer)).toMatchObject({ code: 'not from here' });
      expectSafe(answer.headers);
    }
  });

  test('not with the key either', async () => {
    const { search } = new URL(running.server.address);
    const answer = await send(port, 'GET', `/${search}`, { 'sec-fetch-site': 'cross-site' });
    expect(answer.status).toBe(403);
    expect(answer.headers['set-cookie']).toBeUndefined();
  });

  const body = JSON.stringify({ name: CART, text: 'x', base: null });
  test.each([
    ['no header of our own', { 'content-type': 'application/json' }, 403],
    [
      'another value of it',
      { 'content-type': 'application/json', 'standstill-workbench': '0' },
      403,
    ],
    ['no type', { 'standstill-workbench': '1' }, 415],
    ['the type of text', { 'standstill-workbench': '1', 'content-type': 'text/plain' }, 415],
    [
      'the type of a form',
      { 'standstill-workbench': '1', 'content-type': 'application/x-www-form-urlencoded' },
      415,
    ],
    [
      'a longer type',
      { 'standstill-workbench': '1', 'content-type': 'text/plain; a=application/json' },
      415,
    ],
  ])('no change with %s', async (_what, headers, status) => {
    const whole = { cookie: running.cookie, ...headers };
    const answer = await send(port, 'PUT', '/api/cart', whole, body);
    expect(answer.status).toBe(status);
    expect(json(await running.ask('GET', `/api/cart?name=${CART}`))).toMatchObject({
      text: 'standstill: 1\n',
    });
  });

  test.each(['POST', 'PATCH', 'OPTIONS', 'TRACE', 'PROPFIND'])(
    'nothing with %s',
    async (method) => {
      const answer = await asked({ 'standstill-workbench': '1' }, method);
      expect(answer.status).toBe(405);
      expectSafe(answer.headers);
    },
  );
});

describe('the page', () => {
  test('is sent with the standing headers, its start never kept, its parts kept for good', async () => {
    const start = await running.ask('GET', '/');
    expect(start.text).toBe(PAGE_FILES['index.html']);
    expect(start.headers['content-type']).toMatch(/^text\/html/);
    expect(start.headers['cache-control']).toBe('no-store');
    expectSafe(start.headers);
    const part = await running.ask('GET', '/assets/page-1a2b3c.js');
    expect(part.text).toBe(PAGE_FILES['assets/page-1a2b3c.js']);
    expect(part.headers['content-type']).toMatch(/^text\/javascript/);
    expect(part.headers['cache-control']).toBe('private, max-age=31536000, immutable');
    expectSafe(part.headers);
  });

  test.each([
    '/none',
    '/assets',
    '/assets/',
    '/assets/none.js',
    '/../package.json',
    '/assets/../../secret',
    '/assets/%2e%2e/%2e%2e/etc/passwd',
    '/..%2f..%2fetc/passwd',
    '/assets/..%5c..%5csecret',
    '/%00',
    '/api',
    '/api/',
    '/api/none',
    '/api/../api/none',
  ])('there is nothing at %s', async (path) => {
    const answer = await running.ask('GET', path);
    expect(answer.status).toBe(404);
    expect(json(answer)).toMatchObject({ code: 'not there' });
    expectSafe(answer.headers);
  });
});
