/** The command `remedies`. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { InvalidArgumentError, Option } from '@commander-js/extra-typings';
import { parseQuantity } from '../../units/index.js';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { countOf, NO_COLOR, SET, SET_FILE, UNITS, unitsOption, widthOption } from './options.js';

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

export function addRemedies(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
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
      const { remedies } = await import('../commands/remedies.js');
      const wishes = { json: false, pairs: false, ...options, units: UNITS[options.units] };
      conclude(await remedies(file, wishes, around));
    });
}
