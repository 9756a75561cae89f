/** Options of a study from a catalogue of castors. */

import type { Castor } from './cart.js';
import type { CartEdit } from './cart-edit-kinds.js';
import { OUTLASTS_THE_TREAD } from './cart-shape.js';
import type { CastorCatalogue, CatalogueCastor } from './castor-catalogue.js';
import type { CastorKind } from './castor-kind.js';
import { allowedNames, checkName } from './names.js';
import type { DraftOption, DraftOptions, OptionContext } from './study-options.js';
import { castorsNamed, frictionEdits, namesIn } from './study-options.js';
import type { CatalogueDraft } from './study-shape.js';

type FrictionEdit = Extract<CartEdit, { kind: 'friction' }>;

/** What all rows of one factor share. */
interface Mounting extends OptionContext {
  readonly draft: CatalogueDraft;
  readonly castors: readonly Castor[];
  readonly friction: readonly FrictionEdit[];
}

/** One option a row: the castors become those of the row, with their mass, brake, tread and height. */
export function catalogueOptions(
  draft: CatalogueDraft,
  catalogues: ReadonlyMap<string, CastorCatalogue>,
  context: OptionContext,
): DraftOptions {
  const { file, friction, rows } = draft.fields;
  if (file === undefined) return [];
  const catalogue = catalogues.get(file.value);
  if (catalogue === undefined) {
    const allowed = 'a catalogue that can be read';
    const { offset, path, source } = file;
    context.log.report({ code: 'catalogue-not-supplied', offset, path, actual: source, allowed });
    return [];
  }
  const mounting: Mounting = {
    ...context,
    draft,
    castors: castorsNamed(draft.fields.castors, context),
    friction: frictionEdits(friction?.value ?? { items: [], complete: true }, context.log),
  };
  if (rows === undefined) return [];
  if (rows === null) {
    const { offset, path } = file;
    return catalogue.castors.map((row) => optionOf(row, mounting, { offset, path }));
  }
  const names = namesIn(catalogue.castors, `castor of ${catalogue.file}`);
  return rows.value.items.flatMap((name) => {
    const row = checkName(name, names, context.log) ? names.known.get(name.value) : undefined;
    return row === undefined ? [] : [optionOf(row, mounting, name)];
  });
}

type Placed = Pick<DraftOption, 'offset' | 'path'>;

function optionOf(row: CatalogueCastor, mounting: Mounting, place: Placed): DraftOption {
  const { castors } = mounting;
  const edits = [
    ...frictionOf(row, mounting, place),
    ...castors.flatMap((castor) => kindEdit(row, castor, mounting, place)),
    ...castors.flatMap((castor) => brakeEdit(row, castor)),
    ...massEdit(row, mounting, place),
    ...raiseEdit(row, mounting, place),
  ];
  const cost = row.cost === null ? null : row.cost * castors.length;
  return { label: row.name, edits, cost, ...withRow(row, place) };
}

function withRow(row: CatalogueCastor, { offset, path }: Placed): Placed {
  return { offset, path: `${path} (row "${row.name}")` };
}

function kindEdit(
  row: CatalogueCastor,
  castor: Castor,
  { log }: Mounting,
  place: Placed,
): readonly CartEdit[] {
  const { kind } = row;
  if (castor.fixedDirection !== null) {
    return [
      { kind: 'castor kind', castor: castor.name, becomes: { ...kind, trail: 0, swivelMoment: 0 } },
    ];
  }
  const { trail, swivelMoment } = kind;
  if (trail === null || swivelMoment === null) {
    const what = trail === null ? 'trail' : 'swivel moment';
    const allowed = `a row that states its ${what}, since castor "${castor.name}" swivels`;
    log.report({ code: 'missing-field', ...withRow(row, place), actual: null, allowed });
    return [];
  }
  const becomes: CastorKind = { ...kind, trail, swivelMoment };
  return [{ kind: 'castor kind', castor: castor.name, becomes }];
}

/** What its brake holds, should a layout lock it. */
function brakeEdit({ brakeTorque }: CatalogueCastor, castor: Castor): readonly CartEdit[] {
  if (brakeTorque === null) return [];
  const { name, lock, lockDirections } = castor;
  const torque = brakeTorque === OUTLASTS_THE_TREAD ? null : brakeTorque;
  return [{ kind: 'castor lock', castor: name, lock, brakeTorque: torque, lockDirections }];
}

function frictionOf(
  { kind: { tread } }: CatalogueCastor,
  { cart, friction, log }: Mounting,
  place: Placed,
): readonly CartEdit[] {
  if (cart.floor.friction.some((each) => each.tread === tread)) return [];
  const edit = friction.find((each) => each.tread === tread);
  if (edit !== undefined) return [edit];
  const known = new Map([...cart.floor.friction, ...friction].map((each) => [each.tread, each]));
  const names = { kind: 'tread', known, complete: true };
  log.report({
    code: 'no-friction-for-tread',
    ...place,
    actual: `"${tread}"`,
    allowed: `${allowedNames(tread, names)} (those that the floor of the cart file lists, or friction beside the catalogue)`,
  });
  return [];
}

function massEdit(
  row: CatalogueCastor,
  { draft, castors, log }: Mounting,
  place: Placed,
): readonly CartEdit[] {
  const part = draft.fields['mass of'];
  if (part === undefined) return [];
  if (part !== null && row.mass !== null) {
    return [{ kind: 'part mass', part: part.value, mass: row.mass * castors.length }];
  }
  if (part === null && row.mass === null) return [];
  const allowed =
    part === null
      ? 'mass of: the part of the cart that these castors are, whose mass the row replaces'
      : `a row that states the mass of a castor, since mass of is ${part.source}`;
  log.report({ code: 'missing-mass', ...withRow(row, place), actual: null, allowed });
  return [];
}

/** A wheel larger by so much stands as much higher: its axle by half, and the fork over it by half. */
function raiseEdit(
  row: CatalogueCastor,
  { cart, castors, log }: Mounting,
  place: Placed,
): readonly CartEdit[] {
  const changes = castors.map(({ wheelDiameter }) => row.kind.wheelDiameter - wheelDiameter);
  const by = changes[0] ?? 0;
  const isLevel = changes.every((each) => Math.abs(each - by) < LEVEL);
  if (isLevel && Math.abs(by) < LEVEL) return [];
  if (isLevel && castors.length === cart.castors.length) return [{ kind: 'raise', by }];
  const diameter = `wheel diameter ${Number((row.kind.wheelDiameter * 1000).toPrecision(6))} mm`;
  const allowed = isLevel
    ? 'the wheel diameter of the castors replaced, or all castors replaced: the cart would not stand level'
    : 'castors that have one wheel diameter: the cart would not stand level';
  log.report({ code: 'range-outside', ...withRow(row, place), actual: diameter, allowed });
  return [];
}

/** m: no wheel is made closer */
const LEVEL = 1e-6;
