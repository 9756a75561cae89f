/** A study from its file, with the cart, the requirement set and the catalogues that it names. */

import { dirname, join } from 'node:path';
import type { CastorCatalogue } from '../document/index.js';
import {
  CART_FILE_LIMITS,
  planStudy,
  readCastorCatalogue,
  readStudyFile,
} from '../document/index.js';
import type { Study } from '../studies/index.js';
import { loadCart, sentences } from './cart-file.js';
import { readBytes, readText } from './files.js';
import type { Outcome } from './outcome.js';
import { allBad, bad, fine } from './outcome.js';
import type { RequirementWishes } from './requirement-choice.js';
import { allRequirementSets, chosenSet } from './requirement-choice.js';

/** Every problem of the study file and of the files it names. */
export async function loadStudy(file: string, wishes: RequirementWishes): Promise<Outcome<Study>> {
  const text = await readText(file, CART_FILE_LIMITS.bytes);
  if (text.kind === 'bad input') return text;
  const read = readStudyFile(text.value, file);
  if (read.kind === 'invalid') return bad(...sentences(read.issues));
  const beside = (name: string): string => join(dirname(file), name);
  const [cart, sets, catalogues] = await Promise.all([
    loadCart(beside(read.value.cart)),
    allRequirementSets(wishes),
    loadCatalogues(read.value.catalogues, beside),
  ]);
  if (cart.kind === 'bad input' || sets.kind === 'bad input' || catalogues.kind === 'bad input') {
    return allBad(cart, sets, catalogues);
  }
  const { requirements } = read.value;
  const asked = requirements === null ? wishes : { requirements, ...wishes };
  const set = chosenSet(sets.value, cart.value, beside(read.value.cart), asked);
  if (set.kind === 'bad input') return set;
  const planned = planStudy(read.value, {
    cart: cart.value,
    catalogues: catalogues.value,
    findings: set.value.clauses.map(({ id }) => id),
  });
  if (planned.kind === 'invalid') return bad(...sentences(planned.issues));
  const study = { ...planned.value, cart: cart.value, requirementSet: set.value };
  const warnings = [...read.warnings, ...planned.warnings];
  return fine(study, [
    ...sentences(warnings),
    ...cart.warnings,
    ...catalogues.warnings,
    ...sets.warnings,
  ]);
}

async function loadCatalogues(
  names: readonly string[],
  beside: (name: string) => string,
): Promise<Outcome<ReadonlyMap<string, CastorCatalogue>>> {
  const all = await Promise.all(names.map((name) => loadCatalogue(beside(name))));
  const catalogues = new Map<string, CastorCatalogue>();
  for (const [i, loaded] of all.entries()) {
    if (loaded.kind === 'ok') catalogues.set(names[i] ?? '', loaded.value);
  }
  if (catalogues.size < all.length) return allBad(...all);
  return fine(
    catalogues,
    all.flatMap((each) => (each.kind === 'ok' ? each.warnings : [])),
  );
}

async function loadCatalogue(file: string): Promise<Outcome<CastorCatalogue>> {
  const bytes = await readBytes(file);
  if (bytes.kind === 'bad input') return bytes;
  const read = readCastorCatalogue(bytes.value, file);
  if (read.kind === 'invalid') return bad(...sentences(read.issues));
  return fine(read.value, sentences(read.warnings));
}
