/** The command line: names, options and help. Each command's own code is loaded only when it runs. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { Command, CommanderError } from '@commander-js/extra-typings';
import { EXIT } from './exit-codes.js';
import { addCheck, addDescribe, addFinding, addNew } from './grammar/cart.js';
import { addGauge } from './grammar/gauge.js';
import type { Conclude } from './grammar/options.js';
import { addPlan } from './grammar/plan.js';
import { addRecords } from './grammar/records.js';
import { addRemedies } from './grammar/remedies.js';
import { addRequirements } from './grammar/requirements.js';
import { addStudy } from './grammar/study.js';
import { addTolerances } from './grammar/tolerances.js';
import { addWorkbench } from './grammar/workbench.js';
import { concluded, tell } from './messages.js';
import type { Surroundings } from './surroundings.js';

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
  addPlan(program, conclude, around);
  addGauge(program, conclude, around);
  addDescribe(program, conclude, around);
  addWorkbench(program, conclude, around);
  addRecords(program, conclude, around);
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
