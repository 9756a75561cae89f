/** The commands about test records: the day at the ramp, and what follows from it. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { Option } from '@commander-js/extra-typings';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { NO_COLOR, SET, SET_FILE, UNITS, unitsOption, widthOption } from './options.js';
import { directionsOption, repeatsOption, ruleOption } from './plan.js';

const PLACE = [
  '<place>',
  'SQLite file of the records, or postgres://USER@HOST:PORT/DATABASE',
] as const;
const PROJECT = ['<project>', 'name of the project, or the start of its id'] as const;
const WHO = ['--who <name>', 'who writes it'] as const;
const WHY = ['--why <text>', 'why, where that has to be said'] as const;
const JSON_OPTION = ['--json', 'JSON instead of a sheet'] as const;

/** An option that may be given several times. */
function severalOption<const F extends string>(flags: F, description: string) {
  return new Option(flags, description)
    .argParser((text: string, before: readonly string[]) => [...before, text])
    .default([] as readonly string[], 'none');
}

const CODES = `
Exit codes here:
  0  done; of judge: pass; of verify: whole
  1  of judge: fail; of verify: broken
  3  of judge: not decided, or not done yet
  4  bad input, refused by the record, or a conflict with what another wrote`;

export function addRecords(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  const group = program
    .command('records')
    .summary('the record of a test day')
    .description(
      'Keep the record of a test day: every entry is added, nothing is changed or deleted, and a chain of hashes shows that.',
    )
    .addHelpText('after', CODES);
  addProjects(group, conclude, around);
  addDay(group, conclude, around);
  addVerdicts(group, conclude, around);
  addKeeping(group, conclude, around);
}

function addProjects(group: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  group
    .command('new')
    .summary('begin a project')
    .description('Begin a project; the file is made when there is none.')
    .argument(...PLACE)
    .requiredOption('--project <name>', 'what it is called')
    .requiredOption(...WHO)
    .option('--customer <name>', 'for whom it is')
    .option('--notes <text>', 'what else there is to say')
    .action(async (place, options) => {
      const { startProject } = await import('../commands/records.js');
      conclude(await startProject(place, options, around));
    });
  group
    .command('list')
    .summary('the projects')
    .description('List the projects.')
    .argument(...PLACE)
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (place, options) => {
      const { listProjects } = await import('../commands/records.js');
      conclude(await listProjects(place, options, around));
    });
  group
    .command('show')
    .summary('a project or one record of it')
    .description(
      'Show a project (revisions, plans, samples, instruments, failures and retests), or one record with its history.',
    )
    .argument(...PLACE)
    .argument(...PROJECT)
    .argument('[record]', 'serial, name, run or the start of an id')
    .addOption(unitsOption())
    .option(...JSON_OPTION)
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (place, project, record, options) => {
      const { showRecords } = await import('../commands/records.js');
      const wishes = { json: false, ...options, units: UNITS[options.units] };
      conclude(await showRecords(place, project, record, wishes, around));
    });
  group
    .command('log')
    .summary('every entry: who, when, why')
    .description('List every entry of a project: who wrote it, when, and why.')
    .argument(...PLACE)
    .argument(...PROJECT)
    .option(...JSON_OPTION)
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (place, project, options) => {
      const { showLog } = await import('../commands/records.js');
      conclude(await showLog(place, project, { json: false, ...options }, around));
    });
}

function addDay(group: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  group
    .command('plan')
    .summary('a revision of the cart, and its plan')
    .description('Keep a revision of the cart with its file, and plan its tests.')
    .argument(...PLACE)
    .argument(...PROJECT)
    .argument('<file>', 'cart file')
    .requiredOption(...WHO)
    .option(...WHY)
    .option('--revision <name>', 'what the revision is called (default: the next letter or number)')
    .option('--change <text>', 'what is different from the revision before')
    .addOption(severalOption('--because <record>', 'failed run or diagnosis that led to it'))
    .option('--name <name>', 'what the plan is called')
    .addOption(ruleOption())
    .addOption(directionsOption())
    .addOption(repeatsOption())
    .option(...SET)
    .option(...SET_FILE)
    .action(async (place, project, file, options) => {
      const { planRecords } = await import('../commands/records-plan.js');
      conclude(await planRecords(place, project, file, options, around));
    });
  group
    .command('blank')
    .summary('a data sheet to fill in')
    .description('Print a data sheet (YAML) with what is known filled in, and what to write where.')
    .argument(...PLACE)
    .argument(...PROJECT)
    .argument(
      '<kind>',
      'cart, instrument, sample, weighing, friction, run, diagnosis, note, project, review or withdrawal',
    )
    .option(
      '--run <id>',
      'of a run: its id in the plan; of a diagnosis: the record of a failed run',
    )
    .option('--record <record>', 'record to correct, review or withdraw')
    .option('--into <file>', 'file to write; one that exists is never overwritten')
    .addOption(unitsOption())
    .action(async (place, project, kind, options) => {
      const { blankSheet } = await import('../commands/records-add.js');
      const wishes = { ...options, units: UNITS[options.units] };
      conclude(await blankSheet(place, project, kind, wishes, around));
    });
  group
    .command('add')
    .summary('keep a sheet that was filled in')
    .description(
      'Keep a data sheet that was filled in, with the files it names; of a run, say at once what it shows.',
    )
    .argument(...PLACE)
    .argument(...PROJECT)
    .argument('<file>', 'data sheet')
    .requiredOption(...WHO)
    .option(...WHY)
    .addOption(severalOption('--photo <file>', 'photo, beside those of the sheet'))
    .addOption(
      severalOption(
        '--trace <file>',
        'file of the force gauge, of the first reading, the next ...',
      ),
    )
    .action(async (place, project, file, options) => {
      const { addSheet } = await import('../commands/records-add.js');
      conclude(await addSheet(place, project, file, options, around));
    });
}

function addVerdicts(group: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  group
    .command('judge')
    .summary('verdicts, and what was predicted')
    .description(
      'Judge a plan: decisions with their uncertainty, prediction against measurement, and what a disagreement says.',
    )
    .argument(...PLACE)
    .argument(...PROJECT)
    .option('--plan <record>', 'plan (default: the newest)')
    .addOption(unitsOption())
    .option(...JSON_OPTION)
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (place, project, options) => {
      const { judgeRecords } = await import('../commands/records-judge.js');
      const wishes = { json: false, ...options, units: UNITS[options.units] };
      conclude(await judgeRecords(place, project, wishes, around));
    });
  group
    .command('weigh')
    .summary('a sample against its cart file')
    .description(
      'Show what weighing and friction tests say of a sample, reconcile the cart file with it, and predict every run anew.',
    )
    .argument(...PLACE)
    .argument(...PROJECT)
    .argument('<sample>', 'serial, name or the start of its id')
    .addOption(unitsOption())
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (place, project, sample, options) => {
      const { weighRecords } = await import('../commands/records-judge.js');
      const wishes = { ...options, units: UNITS[options.units] };
      conclude(await weighRecords(place, project, sample, wishes, around));
    });
}

function addKeeping(group: CommandUnknownOpts, conclude: Conclude, around: Surroundings): void {
  group
    .command('verify')
    .summary('is everything as it was written?')
    .description('Verify the chain of entries and the files that they name.')
    .argument(...PLACE)
    .argument('[project]', 'name of the project, or the start of its id (default: all)')
    .option('--head <head>', 'head noted down before, SEQUENCE:HASH or the hash alone')
    .option(...JSON_OPTION)
    .option(...NO_COLOR)
    .addOption(widthOption())
    .action(async (place, project, options) => {
      const { verifyRecords } = await import('../commands/records-keep.js');
      conclude(await verifyRecords(place, project, { json: false, ...options }, around));
    });
  group
    .command('backup')
    .summary('everything as one file')
    .description('Write everything into one file; one that exists is never overwritten.')
    .argument(...PLACE)
    .argument('<file>', 'file to write')
    .action(async (place, file) => {
      const { writeRecords } = await import('../commands/records-keep.js');
      conclude(await writeRecords(place, undefined, file, around));
    });
  group
    .command('restore')
    .summary('a backup, into a new place')
    .description('Restore a backup into a place where nothing is yet.')
    .argument('<file>', 'backup')
    .argument(...PLACE)
    .action(async (file, place) => {
      const { restoreRecords } = await import('../commands/records-keep.js');
      conclude(await restoreRecords(file, place, around));
    });
  group
    .command('export')
    .summary('a project as one file')
    .description('Write a whole project into one file; one that exists is never overwritten.')
    .argument(...PLACE)
    .argument(...PROJECT)
    .argument('<file>', 'file to write')
    .action(async (place, project, file) => {
      const { writeRecords } = await import('../commands/records-keep.js');
      conclude(await writeRecords(place, project, file, around));
    });
  group
    .command('import')
    .summary('a project from such a file')
    .description(
      'Import projects from a file: new ones, and further entries of those that are there.',
    )
    .argument('<file>', 'file written by export or backup')
    .argument(...PLACE)
    .action(async (file, place) => {
      const { importRecords } = await import('../commands/records-keep.js');
      conclude(await importRecords(file, place, around));
    });
}
