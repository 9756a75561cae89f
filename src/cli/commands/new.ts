import { writeStarterCart } from '../../document/index.js';
import { EXIT } from '../exit-codes.js';
import { writeNew } from '../files.js';
import type { Outcome } from '../outcome.js';
import { fine } from '../outcome.js';
import { messagePage } from '../page.js';
import type { Surroundings } from '../surroundings.js';

export async function startCart(file: string, around: Surroundings): Promise<Outcome<number>> {
  const written = await writeNew(file, writeStarterCart());
  if (written.kind === 'bad input') return written;
  const page = messagePage(around);
  around.out(`${page.show(`${file} written. Check it: standstill check ${file}`)}\n`);
  return fine(EXIT.holds);
}
