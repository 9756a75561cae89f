/** The commands about requirement sets. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { NO_COLOR, SET_FILE, UNITS, unitsOption, widthOption } from './options.js';

export function addRequirements(
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
      const { listRequirements } = await import('../commands/requirements.js');
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
      const { showRequirements } = await import('../commands/requirements.js');
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
      const { confirmRequirement } = await import('../commands/requirements.js');
      conclude(await confirmRequirement({ set, clauseId, valueId, ...options }, around));
    });
}
