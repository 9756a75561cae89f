import { execFile, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Verdict } from '../../src/analysis/index.js';
import { exitCodeOf } from '../../src/cli/exit-codes.js';
import { textWidth } from '../../src/cli/text-width.js';
import { writeStarterCart } from '../../src/document/index.js';
import { builtInSets } from '../../src/requirements/index.js';
import { BUILD_PATIENCE, buildCommand, MAIN, ROOT } from './build-command.js';

const EXAMPLES = readdirSync(join(ROOT, 'examples')).filter((name) => name.endsWith('.cart.yaml'));

/** A check of five or six castors takes ten seconds and more: these are checked as a sheet only. What JSON
 * says is of the same form whatever the number of castors. */
const SLOW = ['fluid-stand-five-star.cart.yaml', 'kit-trolley-six-castor.cart.yaml'];
const QUICK = EXAMPLES.filter((name) => !SLOW.includes(name));

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'built-command-'));
  buildCommand();
}, BUILD_PATIENCE);
afterAll(() => {
  rmSync(folder, { recursive: true });
});

function standstill(args: readonly string[], environment: Record<string, string> = {}) {
  const { PATH = '' } = process.env;
  const done = spawnSync(process.execPath, [MAIN, ...args], {
    cwd: ROOT,
    encoding: 'utf8',
    env: { PATH, LANG: 'C.UTF-8', ...environment },
    maxBuffer: 100_000_000,
  });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

function written(name: string, text: string): string {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
}

/** A requirement set of one clause, so that one figure decides the verdict. */
function setOfOne(question: string, incline: string): string {
  return written(
    `${question.replaceAll(' ', '-')}-${incline.replaceAll(' ', '-')}.yaml`,
    `standstill requirements: 1
sets:
  - id: of-one
    title: One clause
    standard: none
    edition: "1"
    clauses:
      - id: the-one
        clause: "1"
        title: The one clause
        asks: One thing.
        question: ${question}
        positions: all
        values:
          incline: {value: ${incline}, basis: common practice}
${question === 'overbalance' ? '' : '          movement: {value: 50 mm, basis: common practice}\n'}`,
  );
}

function checkedAgainst(requirementFile: string, cart: string) {
  return standstill([
    ...['check', cart, '--requirements', 'of-one', '--requirement-file', requirementFile],
  ]);
}

describe('exit codes of the built command', () => {
  const starter = () => written('starter.yaml', writeStarterCart());

  test('0 where everything holds', () => {
    const { code, out } = checkedAgainst(setOfOne('overbalance', '1 deg'), starter());
    expect(out).toMatch(/■ holds/);
    expect(code).toBe(0);
  });

  test('1 where something fails', () => {
    const { code, out } = checkedAgainst(setOfOne('overbalance', '40 deg'), starter());
    expect(out).toMatch(/▲ fails/);
    expect(code).toBe(1);
  });

  test('2 where it depends on friction', () => {
    // From nearly none to nearly one: at 2 deg, tan 2 deg = 0.035, both answers lie within.
    const loose = writeStarterCart().replace(
      'value: 0.5, tolerance: 0.1, basis: assumed',
      'value: 0.5, tolerance: 0.49, basis: assumed',
    );
    const cart = written('loose.yaml', loose);
    const { code, out } = checkedAgainst(setOfOne('holding on incline', '2 deg'), cart);
    expect(out).toMatch(/◆ depends on/);
    expect(code).toBe(2);
  });

  test('4 on bad input, 64 on misuse', () => {
    expect(standstill(['check', join(folder, 'none.yaml')]).code).toBe(4);
    expect(standstill(['check']).code).toBe(64);
  });
});

interface Done {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

function standstillBeside(args: readonly string[]): Promise<Done> {
  const { PATH = '' } = process.env;
  const options = { cwd: ROOT, env: { PATH, LANG: 'C.UTF-8' }, maxBuffer: 100_000_000 };
  return new Promise((resolve) => {
    const child = execFile(process.execPath, [MAIN, ...args], options, (_, out, err) =>
      resolve({ code: child.exitCode ?? -1, out, err }),
    );
  });
}

/** A check takes seconds: each example is checked once as JSON and once as a sheet for all that is looked
 * at, the two side by side. */
const checkedOnce = new Map<
  string,
  { readonly json: Promise<Done>; readonly sheet: Promise<Done> }
>();

function sheetOf(file: string, wishes: readonly string[] = []): Promise<Done> {
  return standstillBeside(['check', file, '--units', 'both', ...wishes]);
}

function checked(file: string) {
  const known = checkedOnce.get(file) ?? {
    json: standstillBeside(['check', file, '--json']),
    sheet: sheetOf(file),
  };
  checkedOnce.set(file, known);
  return known;
}

describe('every example', () => {
  const schema = JSON.parse(readFileSync(join(ROOT, 'schema/report-1.schema.json'), 'utf8'));
  const validate = new Ajv2020({ allErrors: true, strictTypes: false }).compile(schema);

  test('there are examples', () => {
    expect(EXAMPLES.length).toBeGreaterThan(0);
  });

  test('are all named', () => {
    expect(EXAMPLES).toEqual(expect.arrayContaining(SLOW));
  });

  test.each(QUICK)('%s: JSON agrees with its schema and with the exit code', async (name) => {
    const { code, out, err } = await checked(join('examples', name)).json;
    expect(err).toBe('');
    const report = JSON.parse(out);
    validate(report);
    expect(validate.errors).toBeNull();
    expect(code).toBe(exitCodeOf(report.verdict as Verdict));
  });

  // six castors against the set that asks for no holding: in a second, not in fifteen
  test.each([
    ['fluid-stand-five-star.cart.yaml', []],
    ['kit-trolley-six-castor.cart.yaml', ['--requirements', 'iec-61010-1-3']],
  ] as const)('%s: the sheet names every clause within 80 columns %j', async (name, wishes) => {
    const { out, err } = await sheetOf(join('examples', name), wishes);
    expect(err).toBe('');
    expect(Math.max(...out.split('\n').map(textWidth))).toBeLessThanOrEqual(80);
    const set = builtInSets.find(({ id }) => out.includes(`(${id})`));
    expect(set?.clauses.length).toBeGreaterThan(4);
    for (const { clause } of set?.clauses ?? []) expect(out).toContain(clause);
    expect(out).toMatch(/(holds|fails|depends on)/);
  });

  test.each(SLOW)('%s: is described, and a finding is shown in full', (name) => {
    const file = join('examples', name);
    expect(standstill(['describe', file])).toMatchObject({ code: 0, err: '' });
    const { code, out, err } = standstill(['finding', file, 'overbalance-transport']);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toMatch(/It tips at [\d.]+ deg where 10 deg is asked/);
  });

  test.each(QUICK)('%s: the sheet shows every finding within 80 columns', async (name) => {
    const file = join('examples', name);
    const report = JSON.parse((await checked(file).json).out);
    const { out } = await checked(file).sheet;
    expect(Math.max(...out.split('\n').map(textWidth))).toBeLessThanOrEqual(80);
    const joined = out.replaceAll(/\s+/g, '');
    for (const finding of report.findings) {
      const shown = finding.verdict === 'not applicable' ? finding.title : finding.because;
      expect(out.replaceAll(/\s+/g, ' ')).toContain(finding.requirement.clause);
      if (finding.verdict === 'fails' || finding.verdict === 'not applicable') {
        expect(joined).toContain(shown.replaceAll(/\s+/g, ''));
      }
    }
  });

  test.each(QUICK)('%s: is described, and each finding is shown in full', async (name) => {
    const file = join('examples', name);
    expect(standstill(['describe', file])).toMatchObject({ code: 0, err: '' });
    const [first] = JSON.parse((await checked(file).json).out).findings;
    const { code, out, err } = standstill(['finding', file, first.id]);
    expect(err).toBe('');
    expect(code).toBe(exitCodeOf(first.verdict as Verdict));
    expect(out.replaceAll(/\s+/g, ' ')).toContain(first.because.replaceAll(/\s+/g, ' '));
  });
});

describe('the built command among others', () => {
  test('a reader that closes the pipe is no error', () => {
    const line = '"$0" "$1" requirements show iec-60601-1-3.2 | true; echo "$PIPESTATUS"';
    const done = spawnSync('bash', ['-c', line, process.execPath, MAIN], { encoding: 'utf8' });
    expect(done.stderr).toBe('');
    expect(done.stdout).toBe('0\n');
  });

  test('a long sheet reaches a slow pipe whole', () => {
    const line = '"$0" "$1" requirements show iec-60601-1-3.2 | (sleep 0.3; cat)';
    const done = spawnSync('bash', ['-c', line, process.execPath, MAIN], { encoding: 'utf8' });
    expect(done.stdout).toBe(standstill(['requirements', 'show', 'iec-60601-1-3.2'], {}).out);
  });

  test.skipIf(!existsSync('/dev/full'))(
    'output that cannot be written is told, not a verdict',
    () => {
      const line = '"$0" "$1" requirements > /dev/full';
      const done = spawnSync('bash', ['-c', line, process.execPath, MAIN], { encoding: 'utf8' });
      expect(done.status).toBe(74);
      expect(done.stderr).toMatch(/^output: cannot be written: .*ENOSPC.*\n$/);
    },
  );

  test('an unknown finding names those there are', () => {
    const cart = join('examples', 'lamp-stand-three-castor.cart.yaml');
    const { code, out, err } = standstill(['finding', cart, 'none']);
    expect({ code, out }).toEqual({ code: 4, out: '' });
    expect(err).toMatch(/ FINDING-ID: none is not a finding of this check; allowed: \w/);
  });

  test('output into a file has no colour, and no bytes outside ASCII without UTF-8', () => {
    const { out } = standstill(['requirements'], { LANG: 'C' });
    expect(out).toMatch(/^[\n\x20-\x7e]+$/);
  });
});
