/** The commands about studies: on this machine, and on several with a database. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { Option } from '@commander-js/extra-typings';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { countOf, NO_COLOR, SET, SET_FILE, UNITS, unitsOption, widthOption } from './options.js';

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

export function addStudy(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
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
      const { runStudyFile, runStudyInDatabase } = await import('../commands/study.js');
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
      const { showStudy } = await import('../commands/study.js');
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
      const { exportStudy } = await import('../commands/study.js');
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
      const { writeVariant } = await import('../commands/study.js');
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
      const { submitStudy } = await import('../commands/shared-study.js');
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
      const { workOnStudies } = await import('../commands/shared-study.js');
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
      const { listStudies } = await import('../commands/shared-study.js');
      conclude(await listStudies(options, around));
    });
  group
    .command('remove')
    .summary('delete a study of a database')
    .description('Delete a study and all its results from a database.')
    .argument('<name>', 'name of the study')
    .addOption(databaseOption().makeOptionMandatory())
    .action(async (name, options) => {
      const { removeStudy } = await import('../commands/shared-study.js');
      conclude(await removeStudy(name, options, around));
    });
}
