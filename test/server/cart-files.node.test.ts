import { createHash } from 'node:crypto';
import { once } from 'node:events';
import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { request } from 'node:http';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, test } from 'vitest';
import { CART_FILE_LIMITS, MAX_INPUT_BYTES } from '../../src/document/index.js';
import type {
  CartAnswer,
  CartChangedAnswer,
  ExampleAnswer,
  FolderAnswer,
  PartsListAnswer,
  ProblemAnswer,
  SavedAnswer,
} from '../../src/server/index.js';
import type { Answer, Running } from './running-server.js';
import { json, runningServer, send, temporaryFolder } from './running-server.js';

const EXAMPLES = fileURLToPath(new URL('../../examples', import.meta.url));
const NAME = 'lamp.cart.yaml';
const TEXT = 'standstill: 1\nname: Lamp\nparts list: lists/parts.csv\n';
const LIST = 'name;mass\nlamp;3,5\n';

const open: Running[] = [];
afterEach(async () => {
  for (const each of open.splice(0)) await each.stop();
});

async function serving(
  files: Readonly<Record<string, string | Uint8Array>> = { [NAME]: TEXT, 'lists/parts.csv': LIST },
  changes: Parameters<typeof runningServer>[1] = {},
): Promise<Running> {
  const running = await runningServer(files, changes);
  open.push(running);
  return running;
}

function sha256(bytes: string | Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

function cartPath(name: string): string {
  return `/api/cart?name=${encodeURIComponent(name)}`;
}

function expectProblem(answer: Answer, status: number, problem: Partial<ProblemAnswer>): void {
  expect(answer.headers['content-type']).toBe('application/json');
  expect(json(answer)).toMatchObject({ ...problem, problem: expect.any(String) });
  expect(answer.status).toBe(status);
}

describe('the folder', () => {
  test('is told with its cart files, parts lists, requirement files and drafts', async () => {
    const { ask, folder } = await serving(
      {
        [NAME]: TEXT,
        'b.cart.yml': 'name: B\n',
        'parts.csv': LIST,
        'parts.xlsx': 'x',
        'own.yaml': '# ours\nstandstill requirements: 1\nsets: []\n',
        'secrets.yaml': 'password: 1\n',
        'notes.txt': 'x',
        '.hidden.cart.yaml': 'x',
        'below/c.cart.yaml': 'x',
        'con.cart.yaml': 'x',
        'odd.cart.yaml': new Uint8Array([0x61, 0xff]),
      },
      { opened: NAME, examples: EXAMPLES },
    );
    await ask('PUT', '/api/draft', { name: NAME, text: 'draft', base: null });
    const answer = json<FolderAnswer>(await ask('GET', '/api/folder'));
    expect(answer.carts.map(({ name, bytes }) => [name, bytes])).toEqual([
      ['b.cart.yml', 8],
      [NAME, TEXT.length],
    ]);
    const written = statSync(join(folder, NAME)).mtime.toISOString();
    expect(answer.carts[1]?.modified).toBe(written);
    expect(answer.partsLists).toEqual(['parts.csv', 'parts.xlsx']);
    expect(answer.requirementFiles).toEqual(['own.yaml']);
    expect(answer.drafts).toEqual([{ name: NAME, saved: expect.stringMatching(/^\d{4}-.*Z$/) }]);
    expect(answer.unusable.map(({ name }) => name)).toEqual(['con.cart.yaml', 'odd.cart.yaml']);
    expect(answer.unusable[1]?.problem).toContain('odd.cart.yaml:1:2: the byte 0xFF');
    expect(answer).toMatchObject({ opened: NAME, version: '0.1.0' });
    expect(answer.folder.split('/')).toHaveLength(2);
    expect(answer.id).toMatch(/^[0-9a-f]{16}$/);
    expect(answer.examples).toContainEqual({
      name: 'scanner-cart.cart.yaml',
      title: 'Portable scanner cart',
    });
  });

  test('that went away is told', async () => {
    const { ask, folder } = await serving();
    rmSync(folder, { recursive: true });
    expectProblem(await ask('GET', '/api/folder'), 404, { code: 'not there' });
    const save = await ask('PUT', '/api/cart', { name: NAME, text: TEXT, base: null });
    expectProblem(save, 404, { code: 'not there' });
    expect(json<ProblemAnswer>(save).problem).toBe(
      `${NAME}: the folder that it belongs in is not there`,
    );
  });
});

describe('a cart file', () => {
  test.each([
    ['as usual', 'name: Lamp\n'],
    ['with a byte order mark', '\ufeffname: Lamp\n'],
    ['with line ends of Windows', 'name: Lamp\r\nmobility: mobile\r\n'],
    ['with line ends of both kinds, and none at the end', 'a: 1\r\nb: 2\nc: 3'],
    ['with letters of all planes', 'name: "Lämpchen 燈 \u{1f6d2} e\u0301"\n'],
    ['with control characters', 'a\u0000b\u001f\u2028\ufffe\n'],
    ['that is empty', ''],
  ])('%s is the same, byte for byte, when it is saved as it was opened', async (_what, text) => {
    const { ask, folder } = await serving({ [NAME]: text });
    const before = readFileSync(join(folder, NAME));
    const cart = json<CartAnswer>(await ask('GET', cartPath(NAME)));
    expect(cart).toMatchObject({ name: NAME, text, version: sha256(before), draft: null });
    const other = await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: cart.version });
    const base = json<SavedAnswer>(other).version;
    expect(base).toBe(sha256('x'));
    const back = await ask('PUT', '/api/cart', { name: NAME, text: cart.text, base });
    expect(json<SavedAnswer>(back).version).toBe(cart.version);
    expect(readFileSync(join(folder, NAME)).equals(before)).toBe(true);
  });

  test('comes with the parts list that it names', async () => {
    const { ask } = await serving();
    const { partsList } = json<CartAnswer>(await ask('GET', cartPath(NAME)));
    expect(partsList).toEqual({
      name: 'lists/parts.csv',
      base64: Buffer.from(LIST).toString('base64'),
      version: sha256(LIST),
      problem: null,
    });
  });

  test('opens without the parts list when there is none, and says so', async () => {
    const { ask } = await serving({ [NAME]: TEXT });
    const { text, partsList } = json<CartAnswer>(await ask('GET', cartPath(NAME)));
    expect(text).toBe(TEXT);
    expect(partsList).toEqual({
      name: 'lists/parts.csv',
      base64: null,
      version: null,
      problem: 'lists/parts.csv: there is no such file in the folder',
    });
  });

  test.each<readonly [string, number[], string]>([
    ['Latin-1', [0x61, 0x0a, 0x62, 0xe9, 0x63, 0x0a], ':2:2: the byte 0xE9 '],
    ['a cut character', [0x61, 0x0a, 0xc3, 0xa9, 0xe2, 0x82], ':2:2: the byte 0xE2 '],
    ['a cut character and more', [0xf0, 0x9f, 0x9b, 0x61], ':1:1: the byte 0xF0 '],
    ['UTF-16', [0xff, 0xfe, 0x61, 0x00], ':1:1: the byte 0xFF '],
    ['half a character', [0x61, 0xed, 0xa0, 0x80], ':1:2: the byte 0xED '],
    ['an overlong sign', [0x61, 0x62, 0xc0, 0xaf], ':1:3: the byte 0xC0 '],
    ['a byte of the middle', [0x0a, 0x0a, 0x80], ':3:1: the byte 0x80 '],
  ])('in %s is refused with its place', async (_what, bytes, place) => {
    const { ask } = await serving({ [NAME]: new Uint8Array(bytes) });
    const answer = await ask('GET', cartPath(NAME));
    expectProblem(answer, 422, { code: 'not text' });
    expect(json<ProblemAnswer>(answer).problem).toContain(`${NAME}${place}`);
  });

  test('that is not there is told', async () => {
    const { ask } = await serving({});
    expectProblem(await ask('GET', cartPath(NAME)), 404, { code: 'not there' });
    expect(json(await ask('GET', `/api/versions?name=${NAME}`))).toEqual({
      version: null,
      partsList: null,
    });
  });

  test('keeps its permissions', async () => {
    const { ask, folder } = await serving();
    chmodSync(join(folder, NAME), 0o640);
    await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: sha256(TEXT) });
    expect(readFileSync(join(folder, NAME), 'utf8')).toBe('x');
    expect(statSync(join(folder, NAME)).mode & 0o777).toBe(0o640);
  });

  test.skipIf(process.getuid?.() === 0)('that is read-only stays as it is', async () => {
    const { ask, folder } = await serving();
    chmodSync(join(folder, NAME), 0o444);
    const answer = await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: sha256(TEXT) });
    expectProblem(answer, 403, { code: 'read-only' });
    expect(readFileSync(join(folder, NAME), 'utf8')).toBe(TEXT);
  });

  test('leaves nothing but itself and the folder for drafts', async () => {
    const { ask, folder } = await serving({ [NAME]: TEXT });
    await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: sha256(TEXT) });
    await ask('PUT', '/api/cart', { name: 'new.cart.yaml', text: 'y', base: null });
    await ask('PUT', '/api/cart', { name: NAME, text: 'z', base: sha256(TEXT) });
    expect(readdirSync(folder)).toEqual(['.standstill-drafts', NAME, 'new.cart.yaml']);
    expect(readdirSync(join(folder, '.standstill-drafts'))).toEqual(['.gitignore']);
  });
});

describe('a file that is not what the change was made from', () => {
  test('is not overwritten, and is told as it is', async () => {
    const { ask, folder } = await serving();
    writeFileSync(join(folder, NAME), 'by another program\n');
    const answer = await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: sha256(TEXT) });
    expectProblem(answer, 409, { code: 'changed on disk' });
    expect(json(answer)).toMatchObject({
      text: 'by another program\n',
      version: sha256('by another program\n'),
    });
    expect(readFileSync(join(folder, NAME), 'utf8')).toBe('by another program\n');
  });

  test('is not made again when it was removed', async () => {
    const { ask, folder } = await serving();
    rmSync(join(folder, NAME));
    const answer = await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: sha256(TEXT) });
    expectProblem(answer, 409, { code: 'changed on disk' });
    expect(json(answer)).toMatchObject({ text: null, version: null });
    expect(existsSync(join(folder, NAME))).toBe(false);
  });

  test('is not overwritten by a new one', async () => {
    const { ask, folder } = await serving();
    const answer = await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: null });
    expectProblem(answer, 409, { code: 'changed on disk' });
    expect(readFileSync(join(folder, NAME), 'utf8')).toBe(TEXT);
  });

  test('nor when it is no text any more', async () => {
    const { ask, folder } = await serving();
    writeFileSync(join(folder, NAME), Buffer.from([0xff]));
    const answer = await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: sha256(TEXT) });
    expectProblem(answer, 409, { code: 'changed on disk' });
    expect(json(answer)).toMatchObject({ text: null, version: sha256(Buffer.from([0xff])) });
  });

  test('the same save twice is one save', async () => {
    const { ask } = await serving();
    const save = { name: NAME, text: 'x', base: sha256(TEXT) };
    const [first, again] = [
      await ask('PUT', '/api/cart', save),
      await ask('PUT', '/api/cart', save),
    ];
    expect([first.status, again.status]).toEqual([200, 200]);
  });

  test('of eight savers at once, through two servers, one is told that it saved', async () => {
    for (let round = 0; round < 12; round += 1) {
      const one = await serving({ [NAME]: TEXT });
      const two = await serving({}, { folder: one.folder });
      const base = round % 2 === 0 ? sha256(TEXT) : null;
      const name = base === null ? 'new.cart.yaml' : NAME;
      const answers = await Promise.all(
        Array.from({ length: 8 }, (_, i) =>
          (i % 2 === 0 ? one : two).ask('PUT', '/api/cart', { name, text: `text ${i}`, base }),
        ),
      );
      const statuses = answers.map(({ status }) => status);
      expect([...statuses].sort()).toEqual([200, ...Array(7).fill(409)]);
      const winner = statuses.indexOf(200);
      expect(readFileSync(join(one.folder, name), 'utf8')).toBe(`text ${winner}`);
      for (const answer of answers.filter(({ status }) => status === 409)) {
        expect(json<CartChangedAnswer>(answer).text).toBe(`text ${winner}`);
      }
    }
  });

  test('versions tell of a change of the cart file and of its parts list', async () => {
    const { ask, folder } = await serving();
    const path = `/api/versions?name=${NAME}&parts-list=lists%2Fparts.csv`;
    expect(json(await ask('GET', path))).toEqual({
      version: sha256(TEXT),
      partsList: sha256(LIST),
    });
    writeFileSync(join(folder, NAME), 'x');
    rmSync(join(folder, 'lists/parts.csv'));
    expect(json(await ask('GET', path))).toEqual({ version: sha256('x'), partsList: null });
  });

  test('a lock that a killed process left stops nobody', async () => {
    const { ask, folder } = await serving();
    const own = join(folder, '.standstill-drafts');
    const place = sha256(join(folder, NAME)).slice(0, 16);
    mkdirSync(own);
    writeFileSync(join(own, `${place}.lock`), 'another-machine 1 x');
    const minuteAgo = Date.now() / 1000 - 60;
    utimesSync(join(own, `${place}.lock`), minuteAgo, minuteAgo);
    const answer = await ask('PUT', '/api/cart', { name: NAME, text: 'x', base: sha256(TEXT) });
    expect(answer.status).toBe(200);
    expect(readdirSync(own)).toEqual([]);
  });
});

describe('names', () => {
  const WRONG = [
    '',
    '.',
    '..',
    '.cart.yaml',
    '.a.cart.yaml',
    'a.yaml',
    'a.cart.yaml.txt',
    '../a.cart.yaml',
    '..\\a.cart.yaml',
    'below/a.cart.yaml',
    './a.cart.yaml',
    '/etc/a.cart.yaml',
    'C:a.cart.yaml',
    'C:\\a.cart.yaml',
    '\\\\host\\share\\a.cart.yaml',
    'a\u0000.cart.yaml',
    'a\n.cart.yaml',
    'a\u202e.cart.yaml',
    'a\ud800.cart.yaml',
    'a.cart.yaml\u0000.txt',
    'a.cart.yaml ',
    ' a.cart.yaml',
    'a.cart.yaml.',
    'a.cart.yaml::$DATA',
    'con.cart.yaml',
    'COM1.cart.yaml',
    'nul .cart.yaml',
    'lpt².cart.yaml',
    'a*.cart.yaml',
    'a?.cart.yaml',
    'a|.cart.yaml',
    '"a".cart.yaml',
    '<a>.cart.yaml',
    `${'a'.repeat(200)}.cart.yaml`,
    `${'ä'.repeat(100)}.cart.yaml`,
  ];

  test('that are no plain name of a cart file are refused everywhere, and nothing is written', async () => {
    const outer = temporaryFolder({ 'a.cart.yaml': 'outside', 'inner/b.cart.yaml': 'inside' });
    const { ask } = await serving({}, { folder: join(outer, 'inner'), examples: EXAMPLES });
    for (const name of WRONG) {
      const query = `name=${encodeURIComponent(name.replace('\ud800', '\ufffd\u0000'))}`;
      const answers = [
        await ask('GET', `/api/cart?${query}`),
        await ask('GET', `/api/versions?${query}`),
        await ask('GET', `/api/example?${query}`),
        await ask('DELETE', `/api/draft?${query}`),
        await ask('PUT', '/api/cart', { name, text: 'x', base: null }),
        await ask('PUT', '/api/draft', { name, text: 'x', base: null }),
      ];
      for (const answer of answers) expectProblem(answer, 400, { code: 'bad request' });
    }
    expect(readdirSync(outer)).toEqual(['a.cart.yaml', 'inner']);
    expect(readdirSync(join(outer, 'inner'))).toEqual(['b.cart.yaml']);
    rmSync(outer, { recursive: true });
  });

  test('without one, the question is refused', async () => {
    const { ask } = await serving();
    for (const path of ['cart', 'versions', 'example', 'parts-list', 'requirement-file']) {
      expectProblem(await ask('GET', `/api/${path}`), 400, { code: 'bad request' });
    }
  });

  test.each([
    'parts.txt',
    '.csv',
    '../parts.csv',
    'lists/../../parts.csv',
    'lists/./parts.csv',
    'lists//parts.csv',
    '/etc/parts.csv',
    '.git/parts.csv',
    'lists\\parts.csv',
    'C:/parts.csv',
    'aux/parts.csv',
    'lists./parts.csv',
  ])('of a parts list: %s is refused', async (name) => {
    const { ask } = await serving();
    const query = `name=${encodeURIComponent(name)}`;
    const body = { name, base64: '', base: null };
    expectProblem(await ask('GET', `/api/parts-list?${query}`), 400, { code: 'bad request' });
    expectProblem(await ask('PUT', '/api/parts-list', body), 400, { code: 'bad request' });
  });

  test.each(['Lämpchen 燈.cart.yaml', 'a b.cart.yml', 'console.cart.yaml', "l'été.CART.YAML"])(
    '%s is one',
    async (name) => {
      const { ask, folder } = await serving({});
      const answer = await ask('PUT', '/api/cart', { name, text: 'x', base: null });
      expect(answer.status).toBe(200);
      expect(readFileSync(join(folder, name), 'utf8')).toBe('x');
      expect(json<CartAnswer>(await ask('GET', cartPath(name))).text).toBe('x');
    },
  );
});

describe('links', () => {
  test('that lead out of the folder are neither read nor written', async () => {
    const outside = temporaryFolder({ 'a.cart.yaml': 'outside', 'parts.csv': LIST });
    const { ask, folder } = await serving({ [NAME]: 'parts list: below/parts.csv\n' });
    symlinkSync(join(outside, 'a.cart.yaml'), join(folder, 'out.cart.yaml'));
    symlinkSync(join(outside, 'none.cart.yaml'), join(folder, 'nowhere.cart.yaml'));
    symlinkSync('loop.cart.yaml', join(folder, 'loop.cart.yaml'));
    symlinkSync(outside, join(folder, 'below'));
    for (const [name, status] of [
      ['out.cart.yaml', 403],
      ['nowhere.cart.yaml', 403],
      ['loop.cart.yaml', 422],
    ] as const) {
      expect((await ask('GET', cartPath(name))).status).toBe(status);
      for (const base of [null, sha256('outside')]) {
        const answer = await ask('PUT', '/api/cart', { name, text: 'x', base });
        expect(answer.status).toBe(status);
      }
    }
    const { partsList } = json<CartAnswer>(await ask('GET', cartPath(NAME)));
    expect(partsList).toMatchObject({
      base64: null,
      problem: expect.stringContaining('leads out'),
    });
    const list = { name: 'below/new.csv', base64: '', base: null };
    expectProblem(await ask('PUT', '/api/parts-list', list), 403, { code: 'outside the folder' });
    expect(readdirSync(outside).sort()).toEqual(['a.cart.yaml', 'parts.csv']);
    expect(readFileSync(join(outside, 'a.cart.yaml'), 'utf8')).toBe('outside');
    const { carts, unusable } = json<FolderAnswer>(await ask('GET', '/api/folder'));
    expect(carts.map(({ name }) => name)).toEqual([NAME]);
    expect(unusable).toHaveLength(3);
    rmSync(outside, { recursive: true });
  });

  test('within the folder are followed, and stay links', async () => {
    const { ask, folder } = await serving({ 'kept/real.cart.yaml': 'real' });
    symlinkSync('kept/real.cart.yaml', join(folder, NAME));
    const { text, version } = json<CartAnswer>(await ask('GET', cartPath(NAME)));
    expect(text).toBe('real');
    await ask('PUT', '/api/cart', { name: NAME, text: 'changed', base: version });
    expect(readFileSync(join(folder, 'kept/real.cart.yaml'), 'utf8')).toBe('changed');
    expect(readdirSync(join(folder, 'kept'))).toEqual(['real.cart.yaml']);
  });

  test('in place of the folder for drafts are not followed', async () => {
    const outside = temporaryFolder();
    const { ask, folder } = await serving();
    symlinkSync(outside, join(folder, '.standstill-drafts'));
    const draft = { name: NAME, text: 'x', base: null };
    expectProblem(await ask('PUT', '/api/draft', draft), 403, { code: 'outside the folder' });
    const save = { ...draft, base: sha256(TEXT) };
    expectProblem(await ask('PUT', '/api/cart', save), 403, { code: 'outside the folder' });
    expect(readdirSync(outside)).toEqual([]);
    rmSync(outside, { recursive: true });
  });

  test('a folder with the name of a cart file is none', async () => {
    const { ask } = await serving({ 'dir.cart.yaml/x': '' });
    expectProblem(await ask('GET', cartPath('dir.cart.yaml')), 422, {
      code: 'not an ordinary file',
    });
  });
});

describe('limits', () => {
  test('a text as long as a cart file may be is saved; one byte more is not', async () => {
    const { ask, folder } = await serving({});
    // the longest that its JSON can be: each of these is written with six characters
    const most = '\u0001'.repeat(CART_FILE_LIMITS.bytes);
    const saved = await ask('PUT', '/api/cart', { name: NAME, text: most, base: null });
    expect(saved.status).toBe(200);
    expect(statSync(join(folder, NAME)).size).toBe(CART_FILE_LIMITS.bytes);
    const base = json<SavedAnswer>(saved).version;
    const body = { name: NAME, text: `${most.slice(1)}é`, base };
    for (const path of ['/api/cart', '/api/draft']) {
      expectProblem(await ask('PUT', path, body), 413, { code: 'too large' });
    }
    expect(json(await ask('GET', `/api/versions?name=${NAME}`))).toMatchObject({ version: base });
  });

  test('a file that is too large is not opened, and not saved over', async () => {
    const { ask, folder } = await serving({});
    writeFileSync(join(folder, NAME), Buffer.alloc(CART_FILE_LIMITS.bytes + 1, 'a'));
    expectProblem(await ask('GET', cartPath(NAME)), 413, { code: 'too large' });
    const save = { name: NAME, text: 'x', base: null };
    expectProblem(await ask('PUT', '/api/cart', save), 413, { code: 'too large' });
    expect(statSync(join(folder, NAME)).size).toBe(CART_FILE_LIMITS.bytes + 1);
  });

  test('a body that says it is larger, or is, is not read to its end', async () => {
    const { server, cookie } = await serving({});
    const headers = { cookie, 'content-type': 'application/json', 'standstill-workbench': '1' };
    const body = Buffer.alloc(13_000_000, ' ');
    for (const more of [
      { 'content-length': String(body.length) },
      { 'transfer-encoding': 'chunked' },
    ]) {
      const answer = await send(server.port, 'PUT', '/api/cart', { ...headers, ...more }, body);
      expectProblem(answer, 413, { code: 'too large' });
    }
  });

  test('a parts list as large as one may be is saved and read; a byte more is not', async () => {
    const { ask, folder } = await serving({});
    const base64 = Buffer.alloc(MAX_INPUT_BYTES, 1).toString('base64');
    const saved = await ask('PUT', '/api/parts-list', { name: 'p.csv', base64, base: null });
    expect(saved.status).toBe(200);
    expect(statSync(join(folder, 'p.csv')).size).toBe(MAX_INPUT_BYTES);
    const more = Buffer.alloc(MAX_INPUT_BYTES + 1, 1).toString('base64');
    const answer = await ask('PUT', '/api/parts-list', { name: 'q.csv', base64: more, base: null });
    expectProblem(answer, 413, { code: 'too large' });
    expect(existsSync(join(folder, 'q.csv'))).toBe(false);
  }, 60_000);

  test.each([
    ['no JSON', '{"name":'],
    ['nothing', ''],
    ['a list', '[]'],
    ['a field too few', '{"name":"a.cart.yaml","text":""}'],
    ['a field too many', '{"name":"a.cart.yaml","text":"","base":null,"more":1}'],
    ['a text that is none', '{"name":"a.cart.yaml","text":1,"base":null}'],
    ['a base that is none', '{"name":"a.cart.yaml","text":"","base":"1"}'],
    ['half a character', '{"name":"a.cart.yaml","text":"\\ud800","base":null}'],
    ['bytes that are not UTF-8', Buffer.from('7b226e616d65223a22ff227d', 'hex')],
  ])('a body of %s is refused', async (_what, body) => {
    const { server, cookie, folder } = await serving({});
    const headers = { cookie, 'content-type': 'application/json', 'standstill-workbench': '1' };
    const answer = await send(server.port, 'PUT', '/api/cart', headers, body);
    expectProblem(answer, 400, { code: 'bad request' });
    expect(readdirSync(folder)).toEqual([]);
  });
});

describe('a parts list', () => {
  test('is saved as its bytes, and not over another', async () => {
    const { ask, folder } = await serving();
    const bytes = Buffer.from(Array.from({ length: 256 }, (_, i) => i));
    const name = 'lists/parts.csv';
    const change = { name, base64: bytes.toString('base64'), base: sha256(LIST) };
    expect(json(await ask('PUT', '/api/parts-list', change))).toEqual({ version: sha256(bytes) });
    expect(readFileSync(join(folder, name)).equals(bytes)).toBe(true);
    const read = json<PartsListAnswer>(
      await ask('GET', `/api/parts-list?name=${encodeURIComponent(name)}`),
    );
    expect(read).toEqual({ name, base64: change.base64, version: sha256(bytes) });
    const late = await ask('PUT', '/api/parts-list', { ...change, base64: 'AA==' });
    expectProblem(late, 409, { code: 'changed on disk' });
    expect(json(late)).toMatchObject({ base64: change.base64, version: sha256(bytes) });
  });

  test.each(['A', 'AA', 'AB==', 'A A=', '-_-_', 'AA==\n'])('"%s" is no base64', async (base64) => {
    const { ask } = await serving();
    const answer = await ask('PUT', '/api/parts-list', { name: 'n.csv', base64, base: null });
    expectProblem(answer, 400, { code: 'bad request' });
  });

  test('that is not there is told, also in a folder that is not there', async () => {
    const { ask } = await serving();
    for (const name of ['none.csv', 'none/none.csv']) {
      const path = `/api/parts-list?name=${encodeURIComponent(name)}`;
      expectProblem(await ask('GET', path), 404, { code: 'not there' });
    }
    const save = { name: 'none/none.csv', base64: '', base: null };
    expectProblem(await ask('PUT', '/api/parts-list', save), 404, { code: 'not there' });
  });
});

describe('a requirement file', () => {
  test('is read; any other YAML file is not', async () => {
    const text = 'standstill requirements: 1\n';
    const { ask } = await serving({ 'own.yaml': text, 'secrets.yaml': 'password: 1\n' });
    expect(json(await ask('GET', '/api/requirement-file?name=own.yaml'))).toEqual({
      name: 'own.yaml',
      text,
      version: sha256(text),
    });
    expectProblem(await ask('GET', '/api/requirement-file?name=secrets.yaml'), 422, {
      code: 'not text',
    });
    expectProblem(await ask('GET', '/api/requirement-file?name=none.yaml'), 404, {
      code: 'not there',
    });
  });
});

describe('a draft', () => {
  const draft = { name: NAME, text: '\ufeffhalf typed\r\n"', base: sha256(TEXT) };

  test('is kept beside the cart files, for the next server too, until it is deleted', async () => {
    const { ask, folder } = await serving();
    const { saved } = json<{ saved: string }>(await ask('PUT', '/api/draft', draft));
    expect(readFileSync(join(folder, NAME), 'utf8')).toBe(TEXT);
    const next = await serving({}, { folder });
    expect(json<CartAnswer>(await next.ask('GET', cartPath(NAME)))).toMatchObject({
      text: TEXT,
      draft: { text: draft.text, base: draft.base, saved },
    });
    const path = `/api/draft?name=${NAME}`;
    expect(json(await next.ask('DELETE', path))).toEqual({ deleted: true });
    expect(json(await next.ask('DELETE', path))).toEqual({ deleted: false });
    expect(json<CartAnswer>(await next.ask('GET', cartPath(NAME))).draft).toBeNull();
  });

  test('of a cart that was never saved opens with the parts list that it names', async () => {
    const { ask } = await serving({ 'lists/parts.csv': LIST });
    await ask('PUT', '/api/draft', { name: NAME, text: TEXT, base: null });
    expect(json(await ask('GET', cartPath(NAME)))).toMatchObject({
      text: null,
      version: null,
      modified: null,
      partsList: { name: 'lists/parts.csv', version: sha256(LIST) },
      draft: { text: TEXT, base: null },
    });
  });

  test('that cannot be read stops nobody from opening the cart, and is told', async () => {
    const { ask, folder } = await serving();
    await ask('PUT', '/api/draft', draft);
    writeFileSync(join(folder, '.standstill-drafts', `${NAME}.draft.json`), '{');
    const cart = json<CartAnswer>(await ask('GET', cartPath(NAME)));
    expect(cart).toMatchObject({ text: TEXT, draft: null });
    expect(cart.draftProblem).toMatch(/is not a draft/);
    expect(json<FolderAnswer>(await ask('GET', '/api/folder')).unusable).toHaveLength(1);
  });

  test('is for its user alone, and not for version control', async () => {
    const { ask, folder } = await serving();
    await ask('PUT', '/api/draft', draft);
    const own = join(folder, '.standstill-drafts');
    expect(statSync(own).mode & 0o777).toBe(0o700);
    expect(statSync(join(own, `${NAME}.draft.json`)).mode & 0o777).toBe(0o600);
    expect(readFileSync(join(own, '.gitignore'), 'utf8')).toBe('*\n');
  });

  test('of many saved at once one is kept, whole', async () => {
    const { ask } = await serving();
    const texts = Array.from({ length: 20 }, (_, i) => String(i).repeat(1000 + i));
    await Promise.all(texts.map((text) => ask('PUT', '/api/draft', { ...draft, text })));
    const { draft: kept } = json<CartAnswer>(await ask('GET', cartPath(NAME)));
    expect(texts).toContain(kept?.text);
  });
});

describe('an example', () => {
  test('comes with the parts list that it names', async () => {
    const { ask } = await serving({}, { examples: EXAMPLES });
    const name = 'telehealth-four-locks.cart.yaml';
    const answer = json<ExampleAnswer>(await ask('GET', `/api/example?name=${name}`));
    expect(answer.text).toBe(readFileSync(join(EXAMPLES, name), 'utf8'));
    const list = readFileSync(join(EXAMPLES, answer.partsList?.name ?? ''));
    expect(answer.partsList?.base64).toBe(list.toString('base64'));
  });

  test('that is not there is told, also where there are none', async () => {
    const [some, none] = [await serving({}, { examples: EXAMPLES }), await serving({})];
    const path = `/api/example?name=${NAME}`;
    expectProblem(await some.ask('GET', path), 404, { code: 'not there' });
    expectProblem(await none.ask('GET', path), 404, { code: 'not there' });
  });
});

test('a server that is told to stop ends what is being saved first', async () => {
  const { server, cookie, folder } = await serving({});
  const body = JSON.stringify({ name: NAME, text: 'typed last', base: null });
  const asked = request({
    host: '127.0.0.1',
    port: server.port,
    method: 'PUT',
    path: '/api/cart',
    headers: {
      cookie,
      expect: '100-continue',
      'content-type': 'application/json',
      'content-length': String(body.length),
      'standstill-workbench': '1',
    },
  });
  asked.flushHeaders();
  await once(asked, 'continue');
  asked.write(body.slice(0, 20));
  const stopped = server.close();
  asked.end(body.slice(20));
  const [response] = await once(asked, 'response');
  expect(response.statusCode).toBe(200);
  response.resume();
  await stopped;
  expect(readFileSync(join(folder, NAME), 'utf8')).toBe('typed last');
});
