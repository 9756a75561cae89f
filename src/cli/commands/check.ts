import type { CheckReport } from '../../analysis/index.js';
import { checkCart } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import type { UnitSystem } from '../../units/index.js';
import { loadCart } from '../cart-file.js';
import { exitCodeOf } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { allBad, bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage } from '../page.js';
import { startProgress } from '../progress.js';
import { reportJson } from '../report-json.js';
import type { RequirementWishes } from '../requirement-choice.js';
import { allRequirementSets, chosenSet } from '../requirement-choice.js';
import { reportSheet } from '../sheets/report.js';
import type { Surroundings } from '../surroundings.js';

export interface CheckWishes extends PageWishes, RequirementWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
}

export interface CheckedCart {
  readonly cart: Cart;
  readonly set: RequirementSet;
  readonly report: CheckReport;
}

/**
 * The checked cart and its report, for the commands that show all of it or one finding.
 *
 * @param only id of the one finding that is wanted: the others are not computed; null: all
 */
export async function checkFile(
  file: string,
  wishes: RequirementWishes,
  around: Surroundings,
  only: string | null = null,
): Promise<Outcome<CheckedCart>> {
  const [cart, sets] = await Promise.all([loadCart(file), allRequirementSets(wishes)]);
  if (cart.kind === 'bad input' || sets.kind === 'bad input') return allBad(cart, sets);
  const set = chosenSet(sets.value, cart.value, file, wishes);
  if (set.kind === 'bad input') return set;
  if (only !== null && !set.value.clauses.some(({ id }) => id === only)) {
    const allowed = set.value.clauses.map(({ id }) => id).join(', ');
    return bad(`${file} FINDING-ID: ${only} is not a finding of this check; allowed: ${allowed}`);
  }
  const progress = startProgress(around);
  const report = checkCart(cart.value, set.value, {
    onProgress: progress.report,
    ...(only === null ? {} : { only }),
  });
  progress.clear();
  return fine({ cart: cart.value, set: set.value, report }, [...cart.warnings, ...sets.warnings]);
}

export async function check(
  file: string,
  wishes: CheckWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const checked = await checkFile(file, wishes, around);
  if (checked.kind === 'bad input') return checked;
  const { cart, report } = checked.value;
  if (wishes.json) {
    around.out(reportJson(report, cart, around.version));
  } else {
    const page = makePage(wishes, around);
    around.out(page.print(reportSheet(page, { report, file, units: wishes.units })));
  }
  return fine(exitCodeOf(report.verdict), checked.warnings);
}
