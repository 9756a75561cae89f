// Writes the real output of the command line into README.md, between its marks:
//   npm run build && node scripts/write-readme-excerpts.mjs
// A mark `<!-- output: ARGUMENTS | FIRST | LAST -->` stands above a block of code. The block becomes the
// lines of that output from the first one that starts with FIRST to the next that starts with LAST,
// which is left out; spaces before them do not count; empty: from the start, to the end. {scratch} in
// ARGUMENTS is a folder that is there for one run.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { root } from './run.mjs';

const readme = join(root, 'README.md');
const scratch = mkdtempSync(join(tmpdir(), 'standstill-readme-'));
const block = /<!-- output: ([^|]*?) \|([^|]*)\|([^|]*?)-->\n\n```text\n[\s\S]*?```/g;

/** @param {string} args */
function outputOf(args) {
  const main = join(root, 'dist', 'cli', 'main.js');
  const env = { ...process.env, LC_ALL: 'C.UTF-8', NO_COLOR: '1' };
  const result = spawnSync(
    process.execPath,
    [main, ...args.replaceAll('{scratch}', scratch).split(' ')],
    {
      cwd: root,
      env,
      encoding: 'utf8',
    },
  );
  if (result.status === null || result.status > 3) throw new Error(`${args}: ${result.stderr}`);
  return result.stdout.replaceAll(`${scratch}/`, '').trimEnd().split('\n');
}

/**
 * @param {string[]} lines
 * @param {string} first
 * @param {string} last
 */
function excerpt(lines, first, last) {
  const from = lines.findIndex((line) => line.trimStart().startsWith(first));
  if (from < 0) throw new Error(`no line starts with "${first}"`);
  if (last === '') return lines.slice(from);
  const length = lines.slice(from + 1).findIndex((line) => line.trimStart().startsWith(last));
  if (length < 0) throw new Error(`no line after "${first}" starts with "${last}"`);
  return lines.slice(from, from + 1 + length);
}

const text = readFileSync(readme, 'utf8');
let blocks = 0;
const written = text.replace(block, (_, args, first, last) => {
  blocks += 1;
  const lines = excerpt(outputOf(args), first.trim(), last.trim());
  while (lines.at(-1) === '') lines.pop();
  return `<!-- output: ${args} |${first}|${last}-->\n\n\`\`\`text\n${lines.join('\n')}\n\`\`\``;
});
if (blocks === 0) throw new Error('README.md holds no mark');
writeFileSync(readme, written);
rmSync(scratch, { recursive: true });
console.log(`${blocks} blocks written`);
