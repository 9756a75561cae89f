import type { UnitSystem } from '../../units/index.js';
import { exitCodeOf } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage } from '../page.js';
import type { RequirementWishes } from '../requirement-choice.js';
import { findingSheet } from '../sheets/finding.js';
import type { Surroundings } from '../surroundings.js';
import { checkFile } from './check.js';

export interface FindingWishes extends PageWishes, RequirementWishes {
  readonly units: UnitSystem;
}

/** The exit code tells the verdict of this finding alone; one that does not apply has none against it. */
export async function finding(
  file: string,
  id: string,
  wishes: FindingWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const checked = await checkFile(file, wishes, around, id);
  if (checked.kind === 'bad input') return checked;
  const { cart, report } = checked.value;
  const found = report.findings.find((each) => each.id === id);
  if (found === undefined) throw new Error(`finding: a check of ${id} alone without it`);
  const page = makePage(wishes, around);
  const sheet = { finding: found, cart, cautions: report.cautions, units: wishes.units };
  around.out(page.print(findingSheet(page, sheet)));
  return fine(exitCodeOf(found.verdict), checked.warnings);
}
