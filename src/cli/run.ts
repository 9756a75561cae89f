/** The command line: names, options and help. Each command's own code is loaded only when it runs. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { Command, CommanderError, InvalidArgumentError, Option } from '@commander-js/extra-typings';
import type { UnitSystem } from '../units/index.js';
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
