/**
 * npm run bench: holding-force evaluations against the references, whole checks of the examples,
 * growth, studies, test records, and the workbench in a browser. Prints tables and writes bench/results/latest.json.
 * Options: --only holding,examples,growth,study,records,page; --million (the study of 10^6 variants, some minutes)
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { holdingForce } from '../src/engine/index.js';
import { seededRandom } from '../test/reference/random.js';
import type { HoldingProblem } from '../test/reference/random-contacts.js';
import { randomProblem } from '../test/reference/random-contacts.js';
import type { ExampleCheck, GrowthRow } from './full-check.js';
import { checkExamples, checkGrowth } from './full-check.js';
import type { HoldingSpeed, SolverName } from './holding-speed.js';
import { holdingSpeed } from './holding-speed.js';
import type { ColdStart, DragFigures, PageWeight } from './page-speed.js';
import { coldStart, dragFigures, pageWeight } from './page-speed.js';
import type { RecordFigures } from './record-speed.js';
import { recordFigures } from './record-speed.js';
import type { StudyMemory, StudyRates, StudyScaling } from './study-speed.js';
import { studyMemory, studyRates, studyScaling } from './study-speed.js';
import type { Cell } from './table.js';
import { figure, median, table } from './table.js';

const PARTS = ['holding', 'examples', 'growth', 'study', 'records', 'page'] as const;
type Part = (typeof PARTS)[number];

/** What the project set itself; times the reference takes longer, ms, MB. */
const GOALS = {
  ...{ fresh: 200, warm: 20, physics: 1000, warmCheck: 100, coldCheck: 1500, memory: 200 },
  /** kB, ms, frames a second, ms */
  page: { script: 400, start: 2000, rate: 60, proof: 200 },
};

function chosenParts(): readonly Part[] {
  const at = process.argv.indexOf('--only');
  if (at < 0) return PARTS;
  const names = (process.argv[at + 1] ?? '').split(',');
  const unknown = names.filter((name) => !PARTS.some((part) => part === name));
  if (unknown.length > 0) {
    throw new Error(`--only ${names.join(',')}: allowed are ${PARTS.join(', ')}, with commas`);
  }
  return PARTS.filter((part) => names.includes(part));
}

function progress(text: string): void {
  if (process.stderr.isTTY) process.stderr.write(`\r\x1b[K${text}`);
}

const met = (isMet: boolean): string => (isMet ? 'met' : 'NOT MET');

function holdingTable(s: HoldingSpeed): string {
  const row = (name: SolverName, goal: number | null): Cell[] => {
    const { median: middle, worst } = s.accuracy[name];
    const factor = s.times[name] / s.times.ours;
    const judged = goal === null ? null : `${goal} ${met(factor >= goal)}`;
    return [name, s.times[name], name === 'ours' ? null : factor, judged, middle, worst];
  };
  const { time, ours, deviation } = s.physics;
  const factor = time / ours;
  return table(
    `One holding force, normal forces and all: ${s.evaluations} evaluations, ${s.rounds} rounds`,
    ['', 'us', 'x ours', 'goal', 'median err.', 'worst err.'],
    [
      row('ours', null),
      row('LP fresh, text', null),
      row('LP fresh', GOALS.fresh),
      row('LP fresh, tuned', null),
      row('LP warm', GOALS.warm),
      ['ours, other carts', ours, null, null, null, null],
      [
        'physics on these',
        time,
        factor,
        `${GOALS.physics} ${met(factor >= GOALS.physics)}`,
        deviation.median,
        deviation.worst,
      ],
    ],
  );
}

function examplesTable(rows: readonly ExampleCheck[]): string {
  const mark = (value: number | null, goal: number): string | null =>
    value === null ? null : `${figure(value)}${value < goal ? '' : ' !'}`;
  return table(
    `Full check (goals: ${GOALS.warmCheck} ms warm, ${GOALS.coldCheck} ms cold, ` +
      `${GOALS.memory} MB; ! misses)`,
    ['example', 'warm ms', 'cold ms', 'peak MB', 'proven'],
    rows.map((r) => [
      r.file.replace('.cart.yaml', ''),
      mark(r.warm, GOALS.warmCheck),
      mark(r.cold, GOALS.coldCheck),
      mark(r.memory, GOALS.memory),
      r.findings === null ? null : `${r.proven} of ${r.findings}`,
    ]),
  );
}

function growthTable(rows: readonly GrowthRow[]): string {
  return table(
    'Growth of a full check',
    ['castors', 'movers', 'loads', 'ms', 'proven'],
    rows.map((r) => [
      String(r.castors),
      String(r.movers),
      String(r.loads),
      r.check,
      r.findings === null ? null : `${r.proven} of ${r.findings}`,
    ]),
  );
}

function studyTables(
  rates: readonly StudyRates[],
  scaling: StudyScaling,
  memory: readonly StudyMemory[],
): string {
  const perCore = table(
    'Studies: variants a second of processor time, plain loop',
    ['study', 'castors', 'screened', 'proven'],
    rates.map((r) => [r.file, String(r.castors), r.screenedPerSecond, r.provenPerSecond]),
  );
  const loop = scaling.runs.find(({ workers }) => workers === 0);
  const through = table(
    `Through threads and database: ${scaling.variants} variants of the lamp stand`,
    ['', 'a second', 'x plain loop', 'processor s'],
    scaling.runs.map(({ workers, time, processor }): Cell[] => [
      workers === 0 ? 'plain loop' : `${workers} thread${workers === 1 ? '' : 's'}`,
      (scaling.variants * 1000) / time,
      workers === 0 || loop === undefined ? null : loop.time / time,
      processor / 1000,
    ]),
  );
  const growing = table(
    'A growing study of one cheap finding, 2 threads',
    ['variants', 'peak MB', 'variants a second', 'file MB'],
    memory.map((m) => [String(m.variants), m.memory, m.rate, m.file]),
  );
  return [perCore, through, growing].join('\n');
}

function recordTables({ rates, long, archives }: RecordFigures): string {
  const speed = table(
    'Test records: entries kept a second, one after the other, each on the disk',
    ['', 'entries', 'bare commits', 'of these'],
    rates.map((r) => [r.database, r.entries, r.bare, `${figure((100 * r.entries) / r.bare)} %`]),
  );
  const project = table(
    `A project of ${long[0]?.entries} entries, ms`,
    ['', 'taken over', 'open', 'read', 'first entry', 'next', 'verify'],
    long.map((l) => [l.database, l.adopt, l.open, l.read, l.first, l.next, l.verify]),
  );
  const archive = table(
    'An archive of photos of 1 MB, SQLite',
    ['files', 'MB', 'write s', 'read s', 'write peak MB', 'read peak MB'],
    archives.map((a) => [String(a.files), a.size, a.write, a.read, a.writeMemory, a.readMemory]),
  );
  return [speed, project, archive].join('\n');
}

function pageTables(weight: PageWeight, start: ColdStart, drags: Drags): string {
  const { page } = GOALS;
  const first = table(
    'The workbench: what the first screen needs',
    ['', 'is', 'goal'],
    [
      [
        'scripts, kB as gzip',
        weight.scripts,
        `${page.script} ${met(weight.scripts < page.script)}`,
      ],
      ['scripts and styles, kB', weight.first, null],
      ['3D, loaded after, kB', weight.later, null],
      ['command to address, ms', start.server, null],
      [
        'command to usable page, ms',
        start.usable,
        `${page.start} ${met(start.usable < page.start)}`,
      ],
    ],
  );
  const views = (['plan', 'scene'] as const).map((view) =>
    table(
      `A castor dragged for 3 s, ${view} shown (goals: ${page.rate} frames/s, proof ${page.proof} ms)`,
      ['example', 'frames/s', '95 % ms', 'found/s', 'found ms', 'proof ms', 'bounded'],
      drags[view].map((row): Cell[] => [
        row.file,
        row.rate,
        row.slowFrame,
        row.foundRate,
        row.found,
        `${figure(row.proof)}${row.proof <= page.proof ? '' : ' !'}`,
        row.bounded,
      ]),
    ),
  );
  return [first, ...views].join('\n');
}

interface Drags {
  readonly plan: readonly DragFigures[];
  readonly scene: readonly DragFigures[];
}

interface EvaluationGrowth {
  readonly castors: number;
  /** us */
  readonly time: number;
}

/** The single evaluation against the number of castors, over the same kind of random carts. */
function evaluationGrowth(): EvaluationGrowth[] {
  return [3, 4, 5, 6, 7, 8].map((castors) => {
    const random = seededRandom(7100 + castors);
    const problems: HoldingProblem[] = [];
    while (problems.length < 100) {
      const problem = randomProblem(random);
      if (problem.contacts.length === castors) problems.push(problem);
    }
    const rounds = Array.from({ length: 9 }, () => {
      const start = performance.now();
      for (const { contacts, path } of problems) holdingForce(contacts, path);
      return ((performance.now() - start) * 1000) / problems.length;
    });
    return { castors, time: median(rounds) };
  });
}

const parts = chosenParts();
const results: Record<string, unknown> = {
  node: process.version,
  processor: cpus()[0]?.model ?? 'unknown',
  goals: GOALS,
};
if (parts.includes('holding')) {
  const speed = await holdingSpeed(progress);
  const growth = evaluationGrowth();
  Object.assign(results, { holding: speed, evaluationGrowth: growth });
  progress('');
  console.log(holdingTable(speed));
  console.log(
    table(
      'One holding force against castors',
      ['castors', 'us'],
      growth.map((g) => [String(g.castors), g.time]),
    ),
  );
}
if (parts.includes('examples')) {
  const examples = await checkExamples(progress);
  Object.assign(results, { examples });
  progress('');
  console.log(examplesTable(examples));
}
if (parts.includes('growth')) {
  const growth = checkGrowth(progress);
  Object.assign(results, { growth });
  progress('');
  console.log(growthTable(growth));
}
if (parts.includes('study')) {
  const rates = await studyRates(progress);
  const scaling = await studyScaling(progress);
  const memory = studyMemory(process.argv.includes('--million') ? 1e6 : 1e5, progress);
  Object.assign(results, { study: { rates, scaling, memory } });
  progress('');
  console.log(studyTables(rates, scaling, memory));
}
if (parts.includes('records')) {
  const records = await recordFigures(progress);
  Object.assign(results, { records });
  progress('');
  console.log(recordTables(records));
}
if (parts.includes('page')) {
  const weight = pageWeight();
  const start = await coldStart();
  const drags: Drags = { plan: await dragFigures('plan'), scene: await dragFigures('scene') };
  Object.assign(results, { page: { weight, start, drags } });
  console.log(pageTables(weight, start, drags));
}
const folder = new URL('./results/', import.meta.url);
mkdirSync(folder, { recursive: true });
writeFileSync(new URL('latest.json', folder), `${JSON.stringify(results, null, 2)}\n`);
console.log('\nWritten to bench/results/latest.json');
