/** The command `gauge`. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { NO_COLOR, UNITS, unitsOption, widthOption } from './options.js';

const GAUGE_CODES = `
Exit codes here:
  0  the trace was read: an onset of slip was found, or there is none
  3  the trace alone does not tell: held and sliding would look alike`;

export function addGauge(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  program
    .command('gauge')
    .summary("onset of slip in a force gauge's file")
    .description(
      "Read a force gauge's file (CSV): peak, level stretch, rate, and the onset of slip with its uncertainty.",
    )
    .argument('<file>', 'CSV file with headings and units, such as "Time (s)" and "Force (N)"')
    .addOption(unitsOption())
    .option('--json', 'JSON in SI units instead of a sheet')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .addHelpText('after', GAUGE_CODES)
    .action(async (file, options) => {
      const { gauge } = await import('../commands/gauge.js');
      conclude(await gauge(file, { json: false, ...options, units: UNITS[options.units] }, around));
    });
}
