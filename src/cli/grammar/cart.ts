/** The commands about one cart as it is: check, finding, describe, new. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { NO_COLOR, SET, SET_FILE, UNITS, unitsOption, widthOption } from './options.js';

export function addCheck(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
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
      const { check } = await import('../commands/check.js');
      conclude(await check(file, { json: false, ...options, units: UNITS[options.units] }, around));
    });
}

export function addFinding(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
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
      const { finding } = await import('../commands/finding.js');
      conclude(await finding(file, id, { ...options, units: UNITS[options.units] }, around));
    });
}

export function addDescribe(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  program
    .command('describe')
    .summary('masses, centres of mass, castor loads')
    .description('Show what the cart is: mass, centre of mass and castor loads in every position.')
    .argument('<file>', 'cart file')
    .addOption(unitsOption())
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (file, options) => {
      const { describe } = await import('../commands/describe.js');
      conclude(await describe(file, { ...options, units: UNITS[options.units] }, around));
    });
}

export function addNew(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  program
    .command('new')
    .summary('write a starter cart file')
    .description('Write a small, commented cart file to start from.')
    .argument('<file>', 'file to write; one that exists is never overwritten')
    .action(async (file) => {
      const { startCart } = await import('../commands/new.js');
      conclude(await startCart(file, around));
    });
}
