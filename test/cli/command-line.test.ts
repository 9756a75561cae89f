import { describe, expect, test } from 'vitest';
import { run } from '../../src/cli/run.js';
import { standIn } from './stand-in.js';

async function runHere(args: readonly string[]) {
  const around = standIn();
  const code = await run(args, around);
  return { code, ...around.written };
}

describe('misuse of the command line ends with 64 and says what is allowed', () => {
  test.each<readonly [string, readonly string[], string]>([
    ['no command', [], 'Usage: standstill'],
    ['an unknown command', ['tip', 'a.yaml'], "unknown command 'tip'"],
    ['no file', ['check'], "missing required argument 'file'"],
    ['an unknown option', ['check', 'a.yaml', '--fast'], "unknown option '--fast'"],
    ['a file too many', ['check', 'a.yaml', 'b.yaml'], 'too many arguments'],
    ['units that are none', ['check', 'a.yaml', '--units', 'metric'], 'si, us, both'],
    ['a width that is no number', ['check', 'a.yaml', '--width', 'wide'], 'from 80 to 400'],
    ['a width too small', ['check', 'a.yaml', '--width', '79'], 'from 80 to 400'],
    ['a width too large', ['check', 'a.yaml', '--width', '401'], 'from 80 to 400'],
    ['a width with a sign', ['describe', 'a.yaml', '--width', '+90'], 'from 80 to 400'],
    ['no finding id', ['finding', 'a.yaml'], "missing required argument 'finding-id'"],
    ['an unknown subcommand', ['requirements', 'drop'], "unknown command 'drop'"],
    [
      'a confirmation without a name',
      ['requirements', 'confirm', 's', 'c', 'v', '--value', '10 deg', '--copy', 'x', '--into', 'f'],
      "required option '--who <name>' not specified",
    ],
  ])('%s', async (_what, args, message) => {
    const { code, out, err } = await runHere(args);
    expect(code).toBe(64);
    expect(out).toBe('');
    expect(err).toContain(message);
  });

  test('control characters in an argument are shown, not sent', async () => {
    const { err } = await runHere(['\u001b[2Jcheck']);
    expect(err).toContain('<U+001B>[2Jcheck');
    expect(err).not.toContain('\u001b');
  });
});

describe('help and version', () => {
  test('help goes to the output and names every command and exit code', async () => {
    const { code, out, err } = await runHere(['--help']);
    expect(code).toBe(0);
    expect(err).toBe('');
    for (const word of [
      'check',
      'finding',
      'remedies',
      'tolerances',
      'study',
      'describe',
      'workbench',
      'requirements',
      'new',
    ]) {
      expect(out).toMatch(new RegExp(`^  ${word} `, 'm'));
    }
    for (const each of [0, 1, 2, 3, 4, 64, 70, 74])
      expect(out).toMatch(new RegExp(`^ +${each}  `, 'm'));
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
  });

  test('the version is the one of the package', async () => {
    expect(await runHere(['--version'])).toMatchObject({ code: 0, out: '0.1.0\n' });
  });
});
