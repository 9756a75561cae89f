import { describeCart } from '../../analysis/index.js';
import type { UnitSystem } from '../../units/index.js';
import { loadCart } from '../cart-file.js';
import { EXIT } from '../exit-codes.js';
import type { Outcome } from '../outcome.js';
import { fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage } from '../page.js';
import { descriptionSheet } from '../sheets/description.js';
import type { Surroundings } from '../surroundings.js';

export interface DescribeWishes extends PageWishes {
  readonly units: UnitSystem;
}

export async function describe(
  file: string,
  wishes: DescribeWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const cart = await loadCart(file);
  if (cart.kind === 'bad input') return cart;
  const page = makePage(wishes, around);
  const description = describeCart(cart.value);
  around.out(page.print(descriptionSheet(page, { description, units: wishes.units })));
  return fine(EXIT.holds, cart.warnings);
}
