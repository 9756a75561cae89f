import type { LeverKind, RemediesOutcome, RemediesReport } from '../../remedies/index.js';
import { findRemedies, LEVER_KINDS } from '../../remedies/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { CartFile } from '../cart-file.js';
import { loadCartFile } from '../cart-file.js';
import { placeProblem, writeEditedCart } from '../edited-cart-file.js';
import { EXIT } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { allBad, bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage, messagePage } from '../page.js';
import { startProgress } from '../progress.js';
import { remediesJson } from '../remedies-json.js';
import type { RequirementWishes } from '../requirement-choice.js';
import { allRequirementSets, chosenSet } from '../requirement-choice.js';
import { remediesSheet } from '../sheets/remedies.js';
import type { Surroundings } from '../surroundings.js';

export interface RemediesWishes extends PageWishes, RequirementWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
  /** share of what is asked, >= 0 */
  readonly margin: number;
  readonly most: number;
  readonly pairs: boolean;
  /** kinds of levers by name, with commas; undefined: every kind */
  readonly levers?: string;
  /** number of the remedy that is written into `into` */
  readonly apply?: number;
  readonly into?: string;
}

/** 0: something proven passes. 1: nothing tried does. 3: it passes as found, and nothing is proven. */
const CODES: Readonly<Record<RemediesOutcome, number>> = {
  'nothing needed': EXIT.holds,
  remedies: EXIT.holds,
  none: EXIT.fails,
  'not proven': EXIT.notDecided,
};

export async function remedies(
  file: string,
  wishes: RemediesWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const [loaded, sets] = await Promise.all([loadCartFile(file), allRequirementSets(wishes)]);
  if (loaded.kind === 'bad input' || sets.kind === 'bad input') return allBad(loaded, sets);
  const { cart } = loaded.value;
  const kinds = kindsOf(wishes.levers);
  if (kinds.kind === 'bad input') return kinds;
  const set = chosenSet(sets.value, cart, file, wishes);
  if (set.kind === 'bad input') return set;
  // before the search, which may take minutes
  const place = await applyProblem(file, loaded.value, wishes);
  if (place !== null) return bad(place);
  const { margin, most, pairs } = wishes;
  const progress = startProgress(around);
  const options = { margin, most, pairs, kinds: kinds.value, onProgress: progress.report };
  const report = findRemedies(cart, set.value, options);
  progress.clear();
  if (wishes.json) {
    around.out(remediesJson(report, around.version));
  } else {
    const page = makePage(wishes, around);
    around.out(page.print(remediesSheet(page, { report, file, units: wishes.units })));
  }
  const warnings = [...loaded.warnings, ...sets.warnings];
  const written = await applied(file, loaded.value, report, wishes, around);
  if (written.kind === 'bad input') return written;
  return fine(exitCodeOf(report), [...warnings, ...written.warnings]);
}

function kindsOf(levers: string | undefined): Outcome<readonly LeverKind[]> {
  if (levers === undefined) return fine(LEVER_KINDS);
  const names = levers.split(',').map((name) => name.trim());
  const kinds = names.flatMap((name) => LEVER_KINDS.filter((kind) => kind === name));
  const unknown = names.filter((name) => !LEVER_KINDS.some((kind) => kind === name));
  if (unknown.length === 0) return fine(kinds);
  const allowed = LEVER_KINDS.join(', ');
  return bad(...unknown.map((name) => `--levers: "${name}" is not a lever; allowed: ${allowed}`));
}

/** Findings that could not be judged leave it open whether the cart passes. */
function exitCodeOf({ outcome, notJudged }: RemediesReport): number {
  const code = CODES[outcome];
  return code === EXIT.holds && notJudged.length > 0 ? EXIT.notDecided : code;
}

async function applyProblem(
  file: string,
  cartFile: CartFile,
  { into, apply, most }: RemediesWishes,
): Promise<string | null> {
  if (into === undefined || apply === undefined) return null;
  if (apply > most) return `--apply: ${apply} is not shown; allowed: 1 to ${most} (--most)`;
  return placeProblem(file, cartFile, into);
}

/** The cart file with the chosen remedy in it. */
async function applied(
  file: string,
  cartFile: CartFile,
  { remedies: shown }: RemediesReport,
  { apply, into }: RemediesWishes,
  around: Surroundings,
): Promise<Outcome<null>> {
  if (apply === undefined || into === undefined) return fine(null);
  const remedy = shown[apply - 1];
  if (remedy === undefined) {
    const allowed = shown.length === 0 ? 'nothing, since none was found' : `1 to ${shown.length}`;
    return bad(`--apply: there is no remedy ${apply}; allowed: ${allowed}`);
  }
  const changes = { edits: remedy.edits, called: `remedy ${apply}` };
  const written = await writeEditedCart(file, cartFile, changes, into);
  if (written.kind === 'bad input') return written;
  const note = remedy.proof.kind === 'proven' ? 'proven' : 'found, NOT proven';
  around.err(
    `${messagePage(around).show(`${into} written: remedy ${apply} (${note}). Check it: standstill check ${into}`)}\n`,
  );
  return written;
}
