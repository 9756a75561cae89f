/** The command line: names, options and help. Each command's own code is loaded only when it runs. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { Command, CommanderError, InvalidArgumentError, Option } from '@commander-js/extra-typings';
import type { UnitSystem } from '../units/index.js';
import { parseQuantity } from '../units/index.js';
import { EXIT } from './exit-codes.js';
import { concluded, tell } from './messages.js';
import type { Outcome } from './outcome.js';
import { GREATEST_WIDTH, LEAST_WIDTH } from './page.js';
import type { Surroundings } from './surroundings.js';

type Conclude = (outcome: Outcome<number>) => void;

const UNITS: Readonly<Record<'si' | 'us' | 'both', UnitSystem>> = {
  si: 'SI',
  us: 'US',
  both: 'both',
};

const CODES = `
Exit codes:
   0  holds (or the command did what was asked)
   1  fails
   2  depends on friction
   3  not decided
   4  bad input: a file or a value in it
  64  misuse of this command line
  70  internal error
  74  the output could not be written`;

function columnsOf(text: string): number {
  const width = /^\d+$/.test(text) ? Number(text) : Number.NaN;
  if (width >= LEAST_WIDTH && width <= GREATEST_WIDTH) return width;
  throw new InvalidArgumentError(
    `Allowed: a whole number of columns from ${LEAST_WIDTH} to ${GREATEST_WIDTH}.`,
  );
}

function unitsOption() {
  return new Option('--units <system>', 'units to show')
    .choices(['si', 'us', 'both'] as const)
    .default('si' as const);
}

function widthOption() {
  return new Option(
    '--width <columns>',
    'width of the sheet (default: the terminal, or 80)',
  ).argParser(columnsOf);
}

const NO_COLOR = ['--no-color', 'without colour (as with NO_COLOR set)'] as const;
const SET = [
  '--requirements <set>',
  'requirement set, instead of the one the cart file names',
] as const;
const SET_FILE = [
  '--requirement-file <file>',
  'requirement sets or amendments of your own',
] as const;

function addCheck(program: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  program
    .command('check')
    .summary('every stability finding of a cart')
    .description('Check a cart against a requirement set: every finding, and what governs.')
    .argument('<file>', 'cart file')
    .option(...SET)
    .option(...SET_FILE)
    .addOption(unitsOption())
    .option('--json', 'JSON in SI units instead of a sheet')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (file, options) => {
      const { check } = await import('./commands/check.js');
      conclude(await check(file, { json: false, ...options, units: UNITS[options.units] }, around));
    });
}

function addFinding(program: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  program
    .command('finding')
    .summary('one finding in full, with its working')
    .description('Show one finding in full: configuration, castors, friction, bound, working.')
    .argument('<file>', 'cart file')
    .argument('<finding-id>', 'as `standstill check` shows it')
    .option(...SET)
    .option(...SET_FILE)
    .addOption(unitsOption())
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (file, id, options) => {
      const { finding } = await import('./commands/finding.js');
      conclude(await finding(file, id, { ...options, units: UNITS[options.units] }, around));
    });
}

function precisionOf(text: string): number {
  const parsed = parseQuantity(text, 'ratio');
  const share = parsed.kind === 'error' ? Number.NaN : parsed.value;
  if (share >= 0.0005 && share <= 0.2) return share;
  throw new InvalidArgumentError('Allowed: a share from 0.05 % to 20 %, such as "0.5 %".');
}

/** A whole number from `least` to `most`. */
function countOf(least: number, most: number): (text: string) => number {
  return (text) => {
    const count = /^\d+$/.test(text) ? Number(text) : Number.NaN;
    if (count >= least && count <= most) return count;
    throw new InvalidArgumentError(`Allowed: a whole number from ${least} to ${most}.`);
  };
}

function addTolerances(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  program
    .command('tolerances')
    .summary('how likely each finding passes')
    .description(
      'Draw carts and tests from the tolerances that the file states: how likely each finding passes, and which input matters most.',
    )
    .argument('<file>', 'cart file')
    .option(...SET)
    .option(...SET_FILE)
    .addOption(
      new Option('--precision <share>', 'how well every probability is wanted, such as "0.5 %"')
        .argParser(precisionOf)
        .default(0.01, '1 %'),
    )
    .addOption(
      new Option('--seed <number>', 'the same seed gives the same numbers')
        .argParser(countOf(0, Number.MAX_SAFE_INTEGER))
        .default(1),
    )
    .addOption(
      new Option('--most-trials <count>', 'trials after which it ends, converged or not')
        .argParser(countOf(200, 10_000_000))
        .default(20_000),
    )
    .addOption(unitsOption())
    .option('--json', 'JSON in SI units instead of a sheet')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (file, options) => {
      const { tolerances } = await import('./commands/tolerances.js');
      const wishes = { json: false, ...options, units: UNITS[options.units] };
      conclude(await tolerances(file, wishes, around));
    });
}

/** A margin above this is no margin but another requirement. */
const MOST_MARGIN = 1;

function marginOf(text: string): number {
  const parsed = parseQuantity(text, 'ratio');
  const share = parsed.kind === 'error' ? Number.NaN : parsed.value;
  if (share >= 0 && share <= MOST_MARGIN) return share;
  throw new InvalidArgumentError('Allowed: a share from 0 % to 100 %, such as "10 %".');
}

/** More than an engineer reads, and each takes seconds to prove. */
const MOST_REMEDIES = 50;

const REMEDY_CODES = `
Exit codes here:
  0  at least one remedy is proven; or nothing is needed, proven
  1  nothing that was tried passes
  3  something passes as found, nothing is proven; or a finding was not judged`;

function addRemedies(program: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  program
    .command('remedies')
    .summary('least changes with which all pass')
    .description(
      'Find the smallest changes that make every finding pass with a margin, friction at the low end of its tolerance; prove each one shown.',
    )
    .argument('<file>', 'cart file')
    .option(...SET)
    .option(...SET_FILE)
    .addOption(
      new Option('--margin <share>', 'what every finding is to have on top of what is asked')
        .argParser(marginOf)
        .default(0.1, '10 %'),
    )
    .addOption(
      new Option('--most <count>', 'remedies proven and shown at most')
        .argParser(countOf(1, MOST_REMEDIES))
        .default(8),
    )
    .option('--pairs', 'two changes together too, also where one does')
    .option('--levers <kinds>', 'only these kinds of change, such as "ballast, trail"')
    .addOption(
      new Option('--apply <number>', 'write this remedy as a cart file; needs --into').argParser(
        countOf(1, MOST_REMEDIES),
      ),
    )
    .option('--into <file>', 'cart file for --apply; one that exists is never overwritten')
    .addOption(unitsOption())
    .option('--json', 'JSON in SI units instead of a sheet')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .addHelpText('after', REMEDY_CODES)
    .action(async (file, options, command) => {
      if ((options.apply === undefined) !== (options.into === undefined)) {
        command.error('error: --apply and --into go together');
      }
      const { remedies } = await import('./commands/remedies.js');
      const wishes = { json: false, pairs: false, ...options, units: UNITS[options.units] };
      conclude(await remedies(file, wishes, around));
    });
}

function addDescribe(program: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  program
    .command('describe')
    .summary('masses, centres of mass, castor loads')
    .description('Show what the cart is: mass, centre of mass and castor loads in every position.')
    .argument('<file>', 'cart file')
    .addOption(unitsOption())
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (file, options) => {
      const { describe } = await import('./commands/describe.js');
      conclude(await describe(file, { ...options, units: UNITS[options.units] }, around));
    });
}

function addNew(program: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  program
    .command('new')
    .summary('write a starter cart file')
    .description('Write a small, commented cart file to start from.')
    .argument('<file>', 'file to write; one that exists is never overwritten')
    .action(async (file) => {
      const { startCart } = await import('./commands/new.js');
      conclude(await startCart(file, around));
    });
}

function addRequirements(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  const group = program
    .command('requirements')
    .summary('list, show and confirm requirement sets')
    .description('List the requirement sets; show one; confirm a value against your own copy.');
  group
    .command('list')
    .summary('the sets (also without a command)')
    .description('List the requirement sets.')
    .option(...SET_FILE)
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (options) => {
      const { listRequirements } = await import('./commands/requirements.js');
      conclude(await listRequirements(options, around));
    });
  group
    .command('show')
    .summary('one set in full')
    .description('Show one set: its clauses, values, and how far each is confirmed.')
    .argument('<set>', 'id of the set')
    .option(...SET_FILE)
    .addOption(unitsOption())
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (set, options) => {
      const { showRequirements } = await import('./commands/requirements.js');
      conclude(await showRequirements(set, { ...options, units: UNITS[options.units] }, around));
    });
  group
    .command('confirm')
    .summary('a value read in your copy')
    .description('Write into a requirement file that a value agrees with your purchased copy.')
    .argument('<set>', 'id of the set')
    .argument('<clause-id>', 'id of the clause in the set')
    .argument('<value-id>', 'id of the value in the clause')
    .requiredOption('--value <value>', 'the value as your copy states it, with its unit: "10 deg"')
    .requiredOption('--who <name>', 'who read it')
    .requiredOption('--copy <copy>', 'which copy: edition, language, licence or shelf number')
    .option('--when <date>', 'when, as YYYY-MM-DD (default: today)')
    .requiredOption('--into <file>', 'requirement file to write to; made when there is none')
    .action(async (set, clauseId, valueId, options) => {
      const { confirmRequirement } = await import('./commands/requirements.js');
      conclude(await confirmRequirement({ set, clauseId, valueId, ...options }, around));
    });
}

/** More threads than any machine has cores would only wait for each other. */
const MOST_WORKERS = 1024;

function workersOption() {
  return new Option('--workers <count>', 'threads (default: one for every core)').argParser(
    countOf(1, MOST_WORKERS),
  );
}

function databaseOption() {
  return new Option(
    '--database [address]',
    'PostgreSQL database instead of a file (default address: STANDSTILL_DATABASE)',
  );
}

/** s: a day. */
const LONGEST_LEASE = 86_399;

function leaseOption() {
  return new Option(
    '--lease <seconds>',
    'when the work of a machine that fell silent is handed out again (default: 300)',
  ).argParser(countOf(1, LONGEST_LEASE));
}

const RETRY_FAILED = ['--retry-failed', 'try again what failed at every attempt'] as const;
const RESULTS = 'SQLite file of the results; with --database the name of the study';
const NO_RESULTS = "error: needs '--into <file>' or '--database [address]'";

function addStudy(program: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  const group = program
    .command('study')
    .summary('which of many variants to build')
    .description(
      'Screen every variant that a study file describes, and prove the best. A run that is stopped goes on where it was.',
    );
  group
    .command('run')
    .summary('screen the variants, prove the best')
    .description('Run what is not done yet of a study, then show how it stands.')
    .argument('<study>', 'study file')
    .option('--into <file>', 'SQLite file of the results; made when there is none')
    .addOption(databaseOption().conflicts('into'))
    .addOption(workersOption())
    .addOption(leaseOption().conflicts('into'))
    .addOption(new Option(...RETRY_FAILED).conflicts('into'))
    .option(...SET)
    .option(...SET_FILE)
    .addOption(unitsOption())
    .option('--json', 'JSON in SI units instead of a sheet')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (file, { into, database, ...options }, command) => {
      const { runStudyFile, runStudyInDatabase } = await import('./commands/study.js');
      const wishes = {
        json: false,
        retryFailed: false,
        ...options,
        units: UNITS[options.units],
      };
      if (into !== undefined) conclude(await runStudyFile(file, { ...wishes, into }, around));
      else if (database === undefined) command.error(NO_RESULTS);
      else conclude(await runStudyInDatabase(file, { ...wishes, database }, around));
    });
  group
    .command('show')
    .summary('how a study stands, and its best variants')
    .description('Show how a study stands: what passes, the best variants, what is proven.')
    .argument('<results>', RESULTS)
    .addOption(databaseOption())
    .addOption(unitsOption())
    .option('--json', 'JSON in SI units instead of a sheet')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (file, options) => {
      const { showStudy } = await import('./commands/study.js');
      conclude(
        await showStudy(file, { json: false, ...options, units: UNITS[options.units] }, around),
      );
    });
  group
    .command('export')
    .summary('every variant, or the best, as CSV')
    .description('Write the variants of a study as CSV, numbers in SI units.')
    .argument('<results>', RESULTS)
    .addOption(databaseOption())
    .requiredOption('--csv <file>', 'file to write; one that exists is never overwritten')
    .option('--front', 'only those that no other variant beats')
    .action(async (file, options) => {
      const { exportStudy } = await import('./commands/study.js');
      conclude(await exportStudy(file, { front: false, ...options }, around));
    });
  group
    .command('variant')
    .summary('a variant as a cart file')
    .description('Write a variant as a cart file: that of the study, with the changes made.')
    .argument('<results>', RESULTS)
    .addOption(databaseOption())
    .argument('<index>', 'number of the variant', countOf(0, Number.MAX_SAFE_INTEGER))
    .requiredOption('--cart <file>', 'the cart file that the study varies')
    .requiredOption('--into <file>', 'cart file to write; one that exists is never overwritten')
    .action(async (file, index, options) => {
      const { writeVariant } = await import('./commands/study.js');
      conclude(await writeVariant(file, index, options, around));
    });
  addSharedStudy(group, conclude, around);
}

/** Several machines on one database. */
function addSharedStudy(group: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  group
    .command('submit')
    .summary('put a study into a database, for machines to work on')
    .description('Put a study into a database, for machines to work on.')
    .argument('<study>', 'study file')
    .addOption(databaseOption().makeOptionMandatory())
    .addOption(leaseOption())
    .option(...RETRY_FAILED)
    .option(...SET)
    .option(...SET_FILE)
    .action(async (file, options) => {
      const { submitStudy } = await import('./commands/shared-study.js');
      conclude(await submitStudy(file, { retryFailed: false, ...options }, around));
    });
  group
    .command('work')
    .summary('work on the studies of a database')
    .description('Work on every study of a database, beside other machines, until none needs it.')
    .addOption(databaseOption().makeOptionMandatory())
    .addOption(workersOption())
    .option('--stay', 'wait for further studies when none needs work')
    .action(async (options) => {
      const { workOnStudies } = await import('./commands/shared-study.js');
      conclude(await workOnStudies({ stay: false, ...options }, around));
    });
  group
    .command('list')
    .summary('the studies of a database')
    .description('List the studies of a database, and how far each is.')
    .addOption(databaseOption().makeOptionMandatory())
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (options) => {
      const { listStudies } = await import('./commands/shared-study.js');
      conclude(await listStudies(options, around));
    });
  group
    .command('remove')
    .summary('delete a study of a database')
    .description('Delete a study and all its results from a database.')
    .argument('<name>', 'name of the study')
    .addOption(databaseOption().makeOptionMandatory())
    .action(async (name, options) => {
      const { removeStudy } = await import('./commands/shared-study.js');
      conclude(await removeStudy(name, options, around));
    });
}

function buildProgram(around: Surroundings, conclude: Conclude): CommandUnknownOpts {
  const program = new Command('standstill')
    .description(
      'Shows whether a wheeled cart stands still: tips, slides, pivots or rolls, or holds.',
    )
    .version(around.version)
    .exitOverride()
    .configureOutput({
      writeOut: around.out,
      writeErr: (text) => tell(around, text.trimEnd().split('\n')),
      getOutHelpWidth: () => around.columns ?? 80,
      getErrHelpWidth: () => around.columns ?? 80,
    })
    .addHelpText('after', CODES) as CommandUnknownOpts;
  addCheck(program, conclude, around);
  addFinding(program, conclude, around);
  addRemedies(program, conclude, around);
  addTolerances(program, conclude, around);
  addStudy(program, conclude, around);
  addDescribe(program, conclude, around);
  addRequirements(program, conclude, around);
  addNew(program, conclude, around);
  return program;
}

/** Help and version are asked for; every other way commander ends is a misuse. */
function codeOfCommander(error: CommanderError): number {
  return error.exitCode === 0 ? EXIT.holds : EXIT.misuse;
}

/** `standstill requirements` alone, or with options only, lists. (A default command would do it too,
 * but would then take a misspelt command for an argument of its own.) */
function withListing(args: readonly string[]): string[] {
  const [command, next] = args;
  const asksHelp = next === '-h' || next === '--help';
  const lists = command === 'requirements' && (next === undefined || next.startsWith('-'));
  return lists && !asksHelp ? [command, 'list', ...args.slice(1)] : [...args];
}

/** Runs one command line (without node and script) and returns its exit code. */
export async function run(args: readonly string[], around: Surroundings): Promise<number> {
  let code: number = EXIT.misuse;
  const program = buildProgram(around, (outcome) => {
    code = concluded(outcome, around);
  });
  try {
    await program.parseAsync(withListing(args), { from: 'user' });
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return codeOfCommander(error);
    const trace = error instanceof Error ? (error.stack ?? error.message) : String(error);
    tell(around, [
      'internal error: this is a fault of standstill, not of your file',
      ...trace.split('\n'),
    ]);
    return EXIT.internal;
  }
}
