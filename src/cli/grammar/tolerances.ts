/** The command `tolerances`. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { InvalidArgumentError, Option } from '@commander-js/extra-typings';
import { parseQuantity } from '../../units/index.js';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { countOf, NO_COLOR, SET, SET_FILE, UNITS, unitsOption, widthOption } from './options.js';

function precisionOf(text: string): number {
  const parsed = parseQuantity(text, 'ratio');
  const share = parsed.kind === 'error' ? Number.NaN : parsed.value;
  if (share >= 0.0005 && share <= 0.2) return share;
  throw new InvalidArgumentError('Allowed: a share from 0.05 % to 20 %, such as "0.5 %".');
}

export function addTolerances(
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
      const { tolerances } = await import('../commands/tolerances.js');
      const wishes = { json: false, ...options, units: UNITS[options.units] };
      conclude(await tolerances(file, wishes, around));
    });
}
