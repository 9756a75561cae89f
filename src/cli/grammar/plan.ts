/** The command `plan`. */

import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { InvalidArgumentError, Option } from '@commander-js/extra-typings';
import type { DecisionRule } from '../../metrology/index.js';
import type { Surroundings } from '../surroundings.js';
import type { Conclude } from './options.js';
import { countOf, NO_COLOR, SET, SET_FILE, UNITS, unitsOption, widthOption } from './options.js';

/** A guard band wider than this decides nothing. */
const WIDEST_BAND = 10;
const MOST_REPEATS = 100;

function numberAfter(text: string, name: string): number {
  const [head, number, ...rest] = text.split(':');
  const bare = number !== undefined && /^\d+(\.\d+)?$/.test(number) && rest.length === 0;
  return head === name && bare ? Number(number) : Number.NaN;
}

function ruleOf(text: string): DecisionRule {
  if (text === 'simple') return { kind: 'simple acceptance' };
  if (text === 'guard-band') return { kind: 'guard band', multiple: 1 };
  const multiple = numberAfter(text, 'guard-band');
  if (multiple >= 0 && multiple <= WIDEST_BAND) return { kind: 'guard band', multiple };
  const greatestRisk = numberAfter(text, 'shared-risk');
  if (greatestRisk > 0 && greatestRisk <= 0.5) return { kind: 'shared risk', greatestRisk };
  throw new InvalidArgumentError(
    `Allowed: simple, guard-band, guard-band:W (W times U, 0 to ${WIDEST_BAND}), or shared-risk:R (more than 0, at most 0.5), such as shared-risk:0.2.`,
  );
}

/** How a plan is made, for every command that makes one. */
export function ruleOption() {
  return new Option(
    '--rule <rule>',
    'decision rule: simple, guard-band, guard-band:W or shared-risk:R',
  )
    .argParser(ruleOf)
    .default({ kind: 'guard band', multiple: 1 } satisfies DecisionRule, 'guard-band');
}

export function directionsOption() {
  return new Option('--directions <which>', 'the worst of each clause only, or the other sides too')
    .choices(['worst', 'sides'] as const)
    .default('sides' as const);
}

export function repeatsOption() {
  return new Option(
    '--repeats <count>',
    'times each run is done (default: 3 where something is read off, else 1)',
  ).argParser(countOf(1, MOST_REPEATS));
}

export function addPlan(
  program: CommandUnknownOpts,
  conclude: Conclude,
  around: Surroundings,
): void {
  program
    .command('plan')
    .summary('runs, equipment and set-up cards')
    .description(
      'Plan the tests of a cart: each run with its set-up, prediction and acceptance, in the order that needs the least work between them, and the equipment.',
    )
    .argument('<file>', 'cart file')
    .option(...SET)
    .option(...SET_FILE)
    .addOption(ruleOption())
    .addOption(directionsOption())
    .addOption(repeatsOption())
    .option('--cards <file>', 'write set-up cards, a page a run, as HTML to print')
    .addOption(
      new Option('--paper <paper>', 'paper of the cards (default: A4)').choices([
        'A4',
        'Letter',
      ] as const),
    )
    .addOption(unitsOption())
    .option('--json', 'JSON in SI units instead of a sheet')
    .option(...NO_COLOR)
    .addOption(widthOption())
    .addHelpText('after', PLAN_CODES)
    .action(async (file, options) => {
      const { plan } = await import('../commands/plan.js');
      const wishes = { json: false, ...options, units: UNITS[options.units] };
      conclude(await plan(file, wishes, around));
    });
}

const PLAN_CODES = `
Exit codes here:
  0  the plan was made, whatever it predicts`;
