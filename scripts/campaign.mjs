// `npm run campaign`: the long random runs of campaign/, one after another.
// `npm run campaign -- NAME ARGUMENTS`: that one only, with its arguments.
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { root, run } from './run.mjs';

const folder = join(root, 'campaign');

function campaigns() {
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((file) => file.endsWith('.ts'))
    .map((file) => file.slice(0, -'.ts'.length))
    .sort();
}

/**
 * @param {string} name
 * @param {readonly string[]} args
 */
function runCampaign(name, args) {
  console.log(`\n== campaign ${name}`);
  return run(process.execPath, ['--import', 'tsx', join(folder, `${name}.ts`), ...args]);
}

/** @returns {number} exit code: 0 when every campaign that was asked for ended well */
function main() {
  const known = campaigns();
  const [name, ...args] = process.argv.slice(2);
  if (name !== undefined && !known.includes(name)) {
    console.error(`no campaign is called ${name}; there are: ${known.join(', ') || 'none'}`);
    return 2;
  }
  if (known.length === 0) {
    console.error('campaign/ holds no campaign');
    return 2;
  }
  const asked = name === undefined ? known : [name];
  const failed = asked.filter((campaign) => runCampaign(campaign, args) !== 0);
  console.log(`\n${asked.length - failed.length} campaigns ended well, ${failed.length} failed`);
  return failed.length === 0 ? 0 : 1;
}

process.exitCode = main();
