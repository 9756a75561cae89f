import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { canonicalJson, contentHash } from '../../src/test-record/index.js';
import { seededRandom } from '../reference/random.js';
import { keptEntries, sampleProject } from './sample-entries.js';

test('the hash of every entry is what another implementation (node:crypto) makes of its canonical JSON', () => {
  for (const { hash, ...rest } of keptEntries(sampleProject().entries)) {
    expect(createHash('sha256').update(canonicalJson(rest), 'utf8').digest('hex')).toBe(hash);
  }
});

test('the hash of bytes is that of node:crypto, around every border of a block (seed 8)', () => {
  const random = seededRandom(8);
  for (const length of [0, 1, 55, 56, 63, 64, 65, 119, 120, 127, 128, 129, 1000, 100_000]) {
    const bytes = Uint8Array.from({ length }, () => Math.floor(random() * 256));
    expect(contentHash(bytes)).toBe(createHash('sha256').update(bytes).digest('hex'));
  }
});

test('the few lines of the manual that verify a chain by hand find it whole, and a change in it', () => {
  const manual = readFileSync(new URL('../../docs/test-record.md', import.meta.url), 'utf8');
  const script = manual.split('```js\n')[1]?.split('```')[0] ?? '';
  const chain = keptEntries(sampleProject().entries);
  const archive = chain.map((entry) => JSON.stringify({ kind: 'entry', entry })).join('\n');
  const fits = chain.map(({ sequence, hash }) => `${sequence} fits ${hash}\n`);
  expect(verified(archive)).toBe(fits.join(''));

  const notes = archive.replaceAll('Written for the wrong cart.', 'Written for the right cart.');
  expect(verified(notes)).toBe(
    fits.map((line, i) => (i === 18 ? line.replace('fits', 'DOES NOT FIT') : line)).join(''),
  );

  function verified(input: string): string {
    const args = ['--input-type=module', '-e', script];
    return spawnSync(process.execPath, args, { input, encoding: 'utf8' }).stdout;
  }
});
