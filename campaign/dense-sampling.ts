/**
 * Random configurations of every example cart against the bounds its report calls proven.
 * node --import tsx campaign/dense-sampling.ts [configurations a cart] [seed]
 * Prints one line a finding: the worst sampled, the worst the search found, the bound; exit code 1
 * when a sample lies beyond a bound. Figures kept in docs/agreement.md.
 */
import { checkCart } from '../src/analysis/index.js';
import { builtInSets, findSet } from '../src/requirements/index.js';
import type { SampledFinding } from '../test/analysis/dense-sampling.js';
import { sampleReport } from '../test/analysis/dense-sampling.js';
import { EXAMPLE_FILES, exampleCart } from '../test/analysis/example-carts.js';
import { seededRandom } from '../test/reference/random.js';

const count = Number(process.argv[2] ?? 1_000_000);
const seed = Number(process.argv[3] ?? 60001);
const set = findSet(builtInSets, 'iec-60601-1-3.2');
if (set === null) throw new Error('no set iec-60601-1-3.2');

/** In degrees, newtons or times what is asked. */
function figure({ unit }: SampledFinding, value: number): string {
  const shown = unit === 'rad' ? (180 / Math.PI) * value : value;
  return shown.toPrecision(5);
}

const UNITS = { rad: 'deg', N: 'N', 'times what is asked': '' } as const;
let beaten = 0;
for (const [i, file] of EXAMPLE_FILES.entries()) {
  const cart = await exampleCart(file);
  const report = checkCart(cart, set);
  const findings = sampleReport(cart, set, report, count, seededRandom(seed + i));
  const total = findings.reduce((sum, { samples }) => sum + samples, 0);
  console.log(`\n${file}: ${total} configurations, seed ${seed + i}`);
  console.log('| finding | configurations | worst sampled | worst found | proven | |');
  console.log('|---|---|---|---|---|---|');
  for (const finding of findings) {
    const { id, samples, sampled, found, proven, unit } = finding;
    const [s, f, p] = [sampled, found, proven].map((value) => figure(finding, value));
    console.log(
      `| ${id} | ${samples} | ${s} | ${f} | ${p} | ${UNITS[unit]}${finding.beaten ? ' BEATEN' : ''} |`,
    );
    if (finding.beaten) beaten += 1;
  }
  const left = report.findings.filter(
    ({ id, applicability }) => applicability.applies && findings.every((each) => each.id !== id),
  );
  console.log(`not sampled: ${left.map(({ id }) => id).join(', ') || 'none'}`);
}
console.log(`\n${beaten} bounds beaten`);
process.exitCode = beaten > 0 ? 1 : 0;
