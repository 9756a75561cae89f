import type { Cart, Marking } from './cart.js';
import type { CartDraft, MoverDraft } from './cart-shape.js';
import { cartShape, partsListFile } from './cart-shape.js';
import { readCastors, readFloor } from './castors.js';
import type { ReadResult } from './issue.js';
import { fieldAtPath } from './issue-field.js';
import type { IssueLog } from './issue-log.js';
import { issueLog } from './issue-log.js';
import { readMovers } from './movers.js';
import type { Named, Names } from './names.js';
import { itemsOf, namesOf } from './names.js';
import { readBody, readHandle, readSurface } from './outline.js';
import { readLoads, readParts, rowSource } from './parts.js';
import type { PartsList } from './parts-list.js';
import { readPositions } from './positions.js';
import type { DraftList, Located } from './shape.js';
import { sure } from './shape.js';
import { checkText, lineStartsOf, withoutByteOrderMark } from './text-checks.js';
import { readUncertainty } from './uncertainty.js';
import { currentRoot } from './version.js';
import type { YamlMap } from './yaml-tree.js';
import { readYamlTree, YAML_LIMITS } from './yaml-tree.js';

/** What a cart file may be at most; an edge can refuse a larger one before it reads it. */
export const CART_FILE_LIMITS = { bytes: YAML_LIMITS.characters } as const;

export const NO_LISTS: ReadonlyMap<string, PartsList> = new Map();

/**
 * Reads a cart file. Every problem found is reported at once, each with its line; problems of
 * meaning too, as far as the structure lets them be seen.
 *
 * @param text the whole file
 * @param file its name, for the issues only
 * @param partsLists the parts lists at hand, by the name that `partsListFileOf` gives
 */
export function readCart(
  text: string,
  file: string,
  partsLists: ReadonlyMap<string, PartsList> = NO_LISTS,
): ReadResult<Cart> {
  const plain = withoutByteOrderMark(text);
  const isSmall = plain.length <= YAML_LIMITS.characters;
  const log = issueLog(file, isSmall ? lineStartsOf(plain) : [0]);
  if (isSmall) checkText(plain, log);
  const tree = log.errorCount() === 0 ? readYamlTree(plain, log) : null;
  const root = tree && currentRoot(tree, log);
  const cart = root && cartOfTree(root, partsLists, log);
  const issues = log.issues(({ path, offset }) => tree && fieldAtPath(tree, path, offset));
  if (log.errorCount() > 0) return { kind: 'invalid', issues };
  // every reader that gives nothing has reported why
  if (cart === null) throw new Error(`readCart(${file}): no cart and no error`);
  return { kind: 'ok', value: cart, warnings: issues };
}

/**
 * The parts list that a cart file names, as written there (a path relative to the cart file), so that
 * the caller can read it and hand it to `readCart`. null: it names none, or cannot be read far
 * enough to tell; `readCart` then says what is wrong.
 */
export function partsListFileOf(text: string): string | null {
  if (lastAsked?.text !== text) lastAsked = { text, name: partsListNamed(text) };
  return lastAsked.name;
}

/** A page asks about the same text several times over, and to read it is what takes time. */
let lastAsked: { readonly text: string; readonly name: string | null } | null = null;

function partsListNamed(text: string): string | null {
  const plain = withoutByteOrderMark(text);
  const log = issueLog('', [0]);
  const root = plain.length <= YAML_LIMITS.characters ? readYamlTree(plain, log) : null;
  if (root?.kind !== 'map') return null;
  const entry = root.entries.find(({ key }) => key === 'parts list');
  if (entry === undefined) return null;
  return partsListFile.read(entry.node, '', log) ?? null;
}

/** The cart that a tree of the current version says, or null with the reasons in the log. */
export function cartOfTree(
  root: YamlMap,
  partsLists: ReadonlyMap<string, PartsList>,
  log: IssueLog,
): Cart | null {
  const draft = cartShape.read(root, '', log);
  return draft ? assembled(draft, partsLists, log) : null;
}

function assembled(
  { fields }: CartDraft,
  partsLists: ReadonlyMap<string, PartsList>,
  log: IssueLog,
): Cart | null {
  for (const [list, kind] of otherNamed(fields)) namesOf(list, kind, log);
  const moverNames = namesOf(itemsOf(fields.movers), 'mover', log);
  const moving = readMoving(fields, moverNames, log);
  const standing = readStanding(fields, log);
  const carried = readCarried(fields, moverNames, partsLists, log);
  const markings = readMarkings(fields.markings, log);
  const uncertainty = readUncertainty(fields.uncertainty, standing.castors, log);
  if (log.errorCount() > 0) return null;
  return {
    name: sure(fields.name).value,
    description: fields.description?.value ?? '',
    mobility: sure(fields.mobility).value,
    requirements: fields.requirements?.value ?? null,
    parts: carried.parts.map(sure),
    movers: moving.movers.map(sure),
    loads: moving.loads.map(sure),
    castors: standing.castors.map(sure),
    floor: sure(standing.floor),
    outline: carried.outline.map(sure),
    surfaces: carried.surfaces.map(sure),
    handles: carried.handles.map(sure),
    markings,
    positions: moving.positions.map(sure),
    uncertainty,
  };
}

type CartFields = CartDraft['fields'];

/** What moves and comes and goes, and the positions that speak of it. */
function readMoving(fields: CartFields, moverNames: Names<MoverDraft>, log: IssueLog) {
  const loadDrafts = itemsOf(fields.loads);
  const loadNames = namesOf(loadDrafts, 'load', log);
  const movers = readMovers(itemsOf(fields.movers).items, moverNames, log);
  const loads = readLoads(loadDrafts.items, moverNames, log);
  const movable = { movers: byName(moverNames, movers), loads: byName(loadNames, loads) };
  const positions = readPositions(itemsOf(fields.positions), fields.positions, movable, log);
  return { movers, loads, positions };
}

/** What the cart stands on. */
function readStanding(fields: CartFields, log: IssueLog) {
  const typeNames = namesOf(itemsOf(fields['castor types']), 'castor type', log);
  const castors = readCastors(itemsOf(fields.castors), typeNames, fields.castors, log);
  return { castors, floor: readFloor(fields.floor?.value, typeNames, log) };
}

/** What rides on the base or on a mover. */
function readCarried(
  fields: CartFields,
  moverNames: Names<MoverDraft>,
  partsLists: ReadonlyMap<string, PartsList>,
  log: IssueLog,
) {
  const source = rowSource(fields['parts list'], partsLists, log);
  return {
    parts: readParts(itemsOf(fields.parts).items, moverNames, source, log),
    outline: itemsOf(fields.outline).items.map((each) => readBody(each, moverNames, log)),
    surfaces: itemsOf(fields.surfaces).items.map((each) => readSurface(each, moverNames, log)),
    handles: itemsOf(fields.handles).items.map((each) => readHandle(each, moverNames, log)),
  };
}

/** The kinds whose names nothing refers to: they only have to differ. */
function otherNamed(fields: CartDraft['fields']): readonly (readonly [DraftList<Named>, string])[] {
  return [
    [itemsOf(fields.parts), 'part'],
    [itemsOf(fields.castors), 'castor'],
    [itemsOf(fields.outline), 'body'],
    [itemsOf(fields.surfaces), 'surface'],
    [itemsOf(fields.handles), 'handle'],
    [itemsOf(fields.positions), 'position'],
  ];
}

/** The things that were made, under the names of their drafts. */
function byName<T extends { readonly name: string }>(
  names: Names<unknown>,
  made: readonly (T | undefined)[],
): Names<T | undefined> {
  const known = new Map<string, T | undefined>();
  for (const name of names.known.keys())
    known.set(
      name,
      made.find((each) => each?.name === name),
    );
  return { ...names, known };
}

function readMarkings(
  markings: Located<DraftList<Located<Marking>>> | null | undefined,
  log: IssueLog,
): readonly Marking[] {
  const { items } = itemsOf(markings);
  const seen = new Set<Marking>();
  for (const { value, offset, path, source } of items) {
    if (seen.has(value)) {
      const allowed = 'each sign once';
      log.report({ code: 'duplicate-name', offset, path, actual: source, allowed });
    }
    seen.add(value);
  }
  return [...seen];
}
