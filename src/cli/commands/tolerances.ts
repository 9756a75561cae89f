import type { Cart } from '../../document/index.js';
import { assessTolerances } from '../../tolerances/index.js';
import type { UnitSystem } from '../../units/index.js';
import { loadCart } from '../cart-file.js';
import { EXIT } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { allBad, bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage } from '../page.js';
import { startProgress } from '../progress.js';
import type { RequirementWishes } from '../requirement-choice.js';
import { allRequirementSets, chosenSet } from '../requirement-choice.js';
import { tolerancesSheet } from '../sheets/tolerances.js';
import type { Surroundings } from '../surroundings.js';
import { tolerancesJson } from '../tolerances-json.js';

export interface TolerancesWishes extends PageWishes, RequirementWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
  /** half-width of every probability, 0 to 1 */
  readonly precision: number;
  readonly seed: number;
  readonly mostTrials: number;
}

/** Exit code: 0 when everything wanted is known well enough, 3 when the trials did not suffice. What
 * the probabilities are is for the reader to judge, and changes no exit code. */
export async function tolerances(
  file: string,
  wishes: TolerancesWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const [cart, sets] = await Promise.all([loadCart(file), allRequirementSets(wishes)]);
  if (cart.kind === 'bad input' || sets.kind === 'bad input') return allBad(cart, sets);
  const set = chosenSet(sets.value, cart.value, file, wishes);
  if (set.kind === 'bad input') return set;
  const progress = startProgress(around);
  const { precision, seed, mostTrials } = wishes;
  const result = assessTolerances(cart.value, set.value, {
    ...{ precision, seed, mostTrials },
    onProgress: progress.report,
  });
  progress.clear();
  if (result.kind === 'nothing stated') return nothingStated(file, cart.value);
  const { report } = result;
  if (wishes.json) {
    around.out(tolerancesJson(report, around.version));
  } else {
    const page = makePage(wishes, around);
    around.out(page.print(tolerancesSheet(page, { report, file, units: wishes.units })));
  }
  const code = report.convergence.kind === 'converged' ? EXIT.holds : EXIT.notDecided;
  return fine(code, [...cart.warnings, ...sets.warnings]);
}

/** No tolerance is made up for a cart that states none. */
function nothingStated(file: string, cart: Cart): Outcome<never> {
  const part = cart.parts[0]?.name ?? 'a part';
  const tread = cart.floor.friction[0]?.tread ?? 'a tread';
  return bad(
    `${file}: no tolerance is stated, so nothing varies; allowed: one or more of`,
    `  mass tolerance or at tolerance of a part, such as parts > ${part} > mass tolerance: 0.2 kg`,
    `  tolerance above 0 of a friction, such as floor > friction > ${tread} > tolerance: 0.1`,
    '  an entry in the section uncertainty, such as uncertainty > trail: {tolerance: 1 mm}',
  );
}
