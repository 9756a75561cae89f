/** `standstill study` with a database, on a real PostgreSQL server. */

import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { run } from '../../src/cli/run.js';
import { textWidth } from '../../src/cli/text-width.js';
import type { PostgresStudies } from '../../src/study-runs/index.js';
import { openPostgresStudies, submitSharedStudy } from '../../src/study-runs/index.js';
import type { PrivatePostgres } from '../database/private-postgres.js';
import { startPrivatePostgres } from '../database/private-postgres.js';
import { ballastStudy } from '../study-runs/ballast-study.js';
import { BUILD_PATIENCE, buildCommand, MAIN, ROOT } from './build-command.js';
import { standIn } from './stand-in.js';

const CART = 'lamp-stand-three-castor.cart.yaml';
const STUDY_NAME = 'Lamp stand, locks, ballast and spread';

let server: PrivatePostgres;
let url: string;
let studies: PostgresStudies;
let folder: string;
let studyFile: string;

/** The example with fewer variants and proofs. */
function writeStudy(): void {
  const example = (name: string) => join(ROOT, 'examples', name);
  const text = readFileSync(example('lamp-stand.study.yaml'), 'utf8')
    .replace('[none, wheel, total]', '[wheel]')
    .replace('proofs: 6', 'proofs: 1');
  studyFile = join(folder, 'lamp-stand.study.yaml');
  writeFileSync(studyFile, text);
  copyFileSync(example(CART), join(folder, CART));
}

beforeAll(async () => {
  buildCommand();
  folder = mkdtempSync(join(tmpdir(), 'shared-study-command-'));
  writeStudy();
  server = await startPrivatePostgres();
  url = await server.createDatabase('clinic');
  studies = await openPostgresStudies(url);
}, BUILD_PATIENCE);
afterAll(async () => {
  await studies?.close();
  await server?.remove();
  rmSync(folder, { recursive: true });
});

async function standstill(args: readonly string[], environment: Record<string, string> = {}) {
  const around = standIn({
    environment: { LANG: 'en_IE.UTF-8', STANDSTILL_DATABASE: url, ...environment },
  });
  const code = await run(['study', ...args], around);
  const { out, err } = around.written;
  expect(out + err).not.toContain(server.password);
  return { code, out, err };
}

/** Threads run compiled files only. */
function builtStandstill(args: readonly string[]) {
  const { PATH = '' } = process.env;
  const done = spawnSync(process.execPath, [MAIN, 'study', ...args], {
    cwd: folder,
    encoding: 'utf8',
    env: { PATH, LANG: 'C.UTF-8', STANDSTILL_DATABASE: url },
  });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

describe('the address of the database', () => {
  test('is asked for in words where it is missing or none', async () => {
    const none = await standstill(['list', '--database'], { STANDSTILL_DATABASE: '' });
    expect(none).toEqual({
      code: 4,
      out: '',
      err: '--database: has no address, and STANDSTILL_DATABASE is not set; allowed: either of them\n',
    });
    expect((await standstill(['list', '--database', 'clinic'])).err).toBe(
      '--database: this is not the address of a database; allowed: postgres://USER@HOST:PORT/DATABASE\n',
    );
    const bent = await standstill(['list', '--database'], { STANDSTILL_DATABASE: 'clinic' });
    expect(bent.err).toMatch(/^STANDSTILL_DATABASE: this is not the address of a database; /);
    expect((await standstill(['list'])).code).toBe(64);
    const neither = await standstill(['run', studyFile]);
    expect(neither).toMatchObject({ code: 64 });
    expect(neither.err).toMatch(/needs '--into <file>' or '--database \[address\]'/);
    expect((await standstill(['run', studyFile, '--into', 'x', '--database'])).code).toBe(64);
    expect((await standstill(['run', studyFile, '--into', 'x', '--lease', '9'])).code).toBe(64);
  });

  test('is taken from the command line too, with a warning where it holds a password', async () => {
    const { code, err } = await standstill(['list', '--database', url], {
      STANDSTILL_DATABASE: '',
    });
    expect(code).toBe(0);
    expect(err).toMatch(/^--database: others on this machine can read a password on the command/);
  });

  test('a server that is not there is bad input', async () => {
    const { code, err } = await standstill(['show', 'x', '--database'], {
      STANDSTILL_DATABASE: url.replace(`:${server.port}/`, ':1/'),
    });
    expect(code).toBe(4);
    expect(err).toBe('postgres://standstill@127.0.0.1:1/clinic: no server answers there\n');
  });
});

describe('a study in the database', () => {
  test('is submitted, listed, worked on, shown and exported as from a file, and removed', async () => {
    const submitted = await standstill(['submit', studyFile, '--database']);
    expect(submitted).toMatchObject({ code: 0, err: '' });
    expect(submitted.out).toMatch(/with 8 variants is in postgres:\/\/standstill@127/);
    const other = await standstill(['submit', studyFile, '--database', '--lease', '9']);
    expect(other.err).toMatch(
      /^--lease 9: "[^"]+" is in the database already, with a lease of 300 s/,
    );
    for (const width of [80, 120]) {
      const { out } = await standstill(['list', '--database', '--width', String(width)]);
      expect(out).toMatch(/under way +0 of 8 +- +0 +0\n/);
      expect(Math.max(...out.split('\n').map(textWidth))).toBeLessThanOrEqual(width);
    }
    const beside = builtStandstill(['run', studyFile, '--database']);
    const alone = builtStandstill(['run', studyFile, '--into', 'alone.sqlite']);
    const place = `postgres://standstill@127.0.0.1:${server.port}/clinic`;
    expect(beside).toEqual({ ...alone, out: alone.out.replace('alone.sqlite', place) });
    expect(beside).toMatchObject({ code: 0, err: '' });
    expect(await standstill(['show', STUDY_NAME, '--database'])).toMatchObject(beside);

    const [one, two] = ['alone.csv', 'beside.csv'].map((name) => join(folder, name));
    builtStandstill(['export', 'alone.sqlite', '--csv', one ?? '']);
    await standstill(['export', STUDY_NAME, '--database', '--csv', two ?? '']);
    expect(readFileSync(two ?? '', 'utf8')).toBe(readFileSync(one ?? '', 'utf8'));

    const nothingLeft = await standstill(['work', '--database']);
    expect(nothingLeft.code).toBe(0);
    expect(nothingLeft.err).toMatch(/^".*": complete\nno study needs work any more\n$/);
    expect((await standstill(['remove', STUDY_NAME, '--database'])).code).toBe(0);
    const gone = await standstill(['show', STUDY_NAME, '--database']);
    expect(gone.err).toBe(`${place}: holds no study "${STUDY_NAME}"; there is none yet\n`);
  }, 60_000);

  test('whose work fails at every attempt says what and why, and can be tried again', async () => {
    const program = standIn().version;
    const shared = await studies.begin(ballastStudy('failing', 1), { program, lease: 1 });
    const end = { code: 3, out: '' };
    await submitSharedStudy(shared);
    for (let attempt = 1; attempt <= 8; attempt += 1) {
      for (const taken of await shared.queue.take(1)) await shared.queue.fail(taken, 'no memory');
    }
    const worked = await standstill(['work', '--database']);
    expect(worked).toMatchObject(end);
    expect(worked.err).toMatch(/^"failing": cannot be completed; standstill study show --database/);
    const { code, err } = await standstill(['show', 'failing', '--database']);
    expect(code).toBe(3);
    expect(err).toBe(
      'screening the variants from 0 on failed 8 times, it is not tried again unless --retry-failed asks for it; the last time: no memory\n',
    );
    expect((await standstill(['list', '--database'])).out).toMatch(
      /failing +failing +0 of 6 .* 1\n/,
    );
    await studies.remove('failing');
  });

  test('that another version of the program began is left alone', async () => {
    await studies.begin(ballastStudy('older', 1), { program: '0.0.9' });
    const { code, err } = await standstill(['work', '--database']);
    expect(code).toBe(0);
    expect(err).toBe(
      '"older": left alone: it was begun by standstill 0.0.9, and this is 0.1.0\nno study needs work any more\n',
    );
    await studies.remove('older');
  });

  test('of the name of another is refused', async () => {
    await studies.begin(ballastStudy(STUDY_NAME, 1), { program: standIn().version });
    const { code, err } = await standstill(['submit', studyFile, '--database']);
    expect(code).toBe(4);
    expect(err).toMatch(/: holds another study "Lamp stand, .*\(digest /);
    await studies.remove(STUDY_NAME);
  });
});
