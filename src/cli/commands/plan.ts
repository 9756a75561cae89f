import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { checkCart } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import type { Paper } from '../../figure/index.js';
import { CardSet } from '../../figure/index.js';
import type { DecisionRule } from '../../metrology/index.js';
import { ruleWords } from '../../metrology/index.js';
import type { TestPlan } from '../../test-plan/index.js';
import { planTests } from '../../test-plan/index.js';
import type { UnitSystem } from '../../units/index.js';
import { loadCart } from '../cart-file.js';
import { EXIT } from '../exit-codes.js';
import { fileExists, writeNew } from '../files.js';
import type { Outcome } from '../outcome.js';
import { allBad, bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage, messagePage } from '../page.js';
import { planJson } from '../plan-json.js';
import { startProgress } from '../progress.js';
import type { RequirementWishes } from '../requirement-choice.js';
import { allRequirementSets, chosenSet } from '../requirement-choice.js';
import { planSheet } from '../sheets/plan.js';
import type { Surroundings } from '../surroundings.js';

export interface PlanWishes extends PageWishes, RequirementWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
  readonly rule: DecisionRule;
  readonly directions: 'worst' | 'sides';
  /** undefined: as is usual for each run */
  readonly repeats?: number;
  /** file that the set-up cards are written into */
  readonly cards?: string;
  /** undefined: A4 */
  readonly paper?: Paper;
}

/** Exit code 0: the plan was made. What it predicts is for the test to show, and changes no exit code. */
export async function plan(
  file: string,
  wishes: PlanWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  if (wishes.paper !== undefined && wishes.cards === undefined) {
    return bad('--paper: is of the set-up cards; allowed: with --cards FILE');
  }
  const [cart, sets] = await Promise.all([loadCart(file), allRequirementSets(wishes)]);
  if (cart.kind === 'bad input' || sets.kind === 'bad input') return allBad(cart, sets);
  const set = chosenSet(sets.value, cart.value, file, wishes);
  if (set.kind === 'bad input') return set;
  const { cards, rule, directions, repeats } = wishes;
  // before the check, which may take seconds
  if (cards !== undefined && (await fileExists(cards))) {
    return bad(`${cards}: cannot be written: it already exists and is not overwritten`);
  }
  const progress = startProgress(around);
  const report = checkCart(cart.value, set.value, { onProgress: progress.report });
  const made = planTests(cart.value, set.value, report, {
    ...{ rule, directions },
    ...(repeats === undefined ? {} : { repeats }),
    onProgress: progress.report,
  });
  progress.clear();
  if (wishes.json) {
    around.out(planJson(made, around.version));
  } else {
    const page = makePage(wishes, around);
    around.out(page.print(planSheet(page, { plan: made, file, units: wishes.units })));
  }
  const warnings = [...cart.warnings, ...sets.warnings];
  if (cards === undefined) return fine(EXIT.holds, warnings);
  const written = await writeCards(cart.value, made, { ...wishes, cards }, around);
  return written.kind === 'bad input' ? written : fine(EXIT.holds, warnings);
}

async function writeCards(
  cart: Cart,
  made: TestPlan,
  { cards, units, paper = 'A4', rule }: PlanWishes & { readonly cards: string },
  around: Surroundings,
): Promise<Outcome<null>> {
  const madeBy = `standstill ${around.version}`;
  const set = { cart, plan: made, units, paper, rule: ruleWords(rule), madeBy };
  const html = renderToStaticMarkup(createElement(CardSet, set));
  const written = await writeNew(cards, `<!doctype html>\n${html}\n`);
  if (written.kind === 'bad input') return written;
  const runs = made.runs.length === 1 ? '1 card' : `${made.runs.length} cards`;
  around.err(`${messagePage(around).show(`${cards} written: ${runs} for ${paper}`)}\n`);
  return written;
}
