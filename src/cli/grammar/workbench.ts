/** The command `workbench`. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { InvalidArgumentError, Option } from '@commander-js/extra-typings';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { NO_COLOR, widthOption } from './options.js';

/** Below are ports that the system keeps for its own services. */
const LEAST_PORT = 1024;
const MOST_PORT = 65_535;

function portOf(text: string): number {
  const port = /^\d{1,5}$/.test(text) ? Number(text) : Number.NaN;
  if (port === 0 || (port >= LEAST_PORT && port <= MOST_PORT)) return port;
  throw new InvalidArgumentError(
    `Allowed: a whole number from ${LEAST_PORT} to ${MOST_PORT}, or 0 for any free port.`,
  );
}

export function addWorkbench(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  program
    .command('workbench')
    .summary('describe and see a cart in a browser')
    .description(
      'Serve the workbench to the browser of this machine, with the cart files of one folder, until Ctrl-C.',
    )
    .argument('[place]', 'cart file to open, or folder of cart files (default: the current folder)')
    .addOption(
      new Option(
        '--port <number>',
        'port to serve on, 0 for any free one (default: always the same, or the next free one)',
      ).argParser(portOf),
    )
    .option(
      '--records <place>',
      'SQLite file or database of the test records (default: test-records.sqlite in the folder)',
    )
    .option('--no-open', 'print the address, and open no browser')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (place, options) => {
      const { workbench } = await import('../commands/workbench.js');
      conclude(await workbench(place ?? '.', options, around));
    });
}
