/** What a form says beside a field: all of it from the shape that the reader uses too. */

import type { Dimension } from '../units/index.js';
import { cartShape, slideRange, turnRange } from './cart-shape.js';
import type { NamedKind } from './field-names.js';
import { isAtPattern, NAME_PLACES, namedItem } from './field-names.js';
import type { FieldPath } from './field-path.js';
import type { FieldNode } from './field-tree.js';
import { entryIndex } from './field-tree.js';
import type { AnyShape, Form } from './shape.js';

export interface FieldGuide {
  /** `entries`: a map under names that the file made up; `version`: nothing to fill in */
  readonly kind: Exclude<Form['kind'], 'either'> | 'version';
  /** one line of help */
  readonly about: string;
  /** what is due, as in "a length with its unit, from 0 mm to 500 mm, such as 32 mm" */
  readonly due: string;
  /** it must be there whatever else is there */
  readonly required: boolean;
  /** exactly one of these fields of its map must be there, this one among them; none: no such rule */
  readonly oneOf: readonly string[];
  /** the words of a choice, or those that may stand in place of a quantity */
  readonly choices: readonly string[];
  /** of a quantity */
  readonly dimension: Dimension | null;
  /** one value as people write it */
  readonly example: string | null;
  /** a percentage may stand in place of the quantity */
  readonly orShare: boolean;
  /** a text that may have several lines */
  readonly wraps: boolean;
  /** it holds the name of one of these, or its keys are such names */
  readonly refersTo: NamedKind | null;
  /** of a list: how many it may have; of a point: how many it has */
  readonly counts: { readonly least: number; readonly most: number } | null;
  /** of a map: its fields in their order; of a point: its letters */
  readonly fields: readonly string[];
  /** what may stand here instead, such as the map {from, to} of a quantity */
  readonly other: 'point' | 'map' | null;
}

/** How a shape stands in its map. */
interface Standing {
  readonly shape: AnyShape;
  readonly about: string;
  readonly required: boolean;
  readonly oneOf: readonly string[];
}

/**
 * @param root the cart, which tells what a position can say of a mover: a length or an angle
 * @returns null for a path that no cart file has
 */
export function fieldGuide(path: FieldPath, root: FieldNode | null = null): FieldGuide | null {
  let at: Standing | null = { shape: cartShape, about: 'A cart.', required: true, oneOf: [] };
  for (const [index, step] of path.entries()) {
    at = at && below(at, step, path.slice(0, index), root);
  }
  return at && guideOf(at, path);
}

/** The names of the fields of the map at a path, in their order; none: names that the file made up. */
export function fieldOrder(path: FieldPath): readonly string[] {
  const guide = fieldGuide(path);
  return guide?.kind === 'map' || guide?.other === 'map' ? guide.fields : [];
}

function below(
  { shape, about }: Standing,
  step: string | number,
  path: FieldPath,
  root: FieldNode | null,
): Standing | null {
  const { form } = shape;
  switch (form?.kind) {
    case 'either':
      return below({ shape: form.other, about, required: true, oneOf: [] }, step, path, root);
    case 'list':
    case 'point':
      return itemBelow(form, about, step);
    case 'entries':
      return typeof step === 'number' ? null : entryBelow(form.values, about, step, path, root);
    case 'map':
      return typeof step === 'number' ? null : fieldBelow(form, step);
    default:
      return null;
  }
}

function itemBelow(
  form: Extract<Form, { kind: 'list' | 'point' }>,
  about: string,
  step: string | number,
): Standing | null {
  if (typeof step === 'string') return null;
  if (form.kind === 'point' && step >= form.letters.length) return null;
  return { shape: form.item, about, required: true, oneOf: [] };
}

function fieldBelow(form: Extract<Form, { kind: 'map' }>, step: string): Standing | null {
  if (!Object.hasOwn(form.fields, step)) return null;
  const field = form.fields[step];
  if (field === undefined) return null;
  const { shape, about, required } = field;
  return { shape, about, required, oneOf: form.oneOf.includes(step) ? form.oneOf : [] };
}

function entryBelow(
  values: readonly AnyShape[],
  about: string,
  name: string,
  path: FieldPath,
  root: FieldNode | null,
): Standing | null {
  const mover = path[2] !== 'loads' && root ? namedItem(root, 'mover', name) : null;
  const [first] = values;
  if (first === undefined) return null;
  const shape = mover === null ? first : entryIndex(mover, 'turn') === -1 ? slideRange : turnRange;
  return { shape, about, required: false, oneOf: [] };
}

function guideOf({ shape, about, required, oneOf }: Standing, path: FieldPath): FieldGuide {
  const { form, due } = shape;
  const isEither = form?.kind === 'either';
  const main = isEither ? form.scalar.form : form;
  const rest = isEither ? form.other.form : form;
  return {
    kind: main === undefined || main.kind === 'either' ? 'version' : main.kind,
    about,
    due,
    required,
    oneOf,
    refersTo: referenceAt(path),
    ...scalarGuide(main),
    ...compositeGuide(rest),
    other: isEither && (rest?.kind === 'map' || rest?.kind === 'point') ? rest.kind : null,
  };
}

function scalarGuide(form: Form | undefined) {
  const quantity = form?.kind === 'quantity' ? form : null;
  const word = quantity?.word ?? null;
  return {
    choices: form?.kind === 'choice' ? form.words : word === null ? [] : [word],
    dimension: quantity?.dimension ?? null,
    example: quantity?.example ?? null,
    orShare: quantity?.orShare ?? false,
    wraps: form?.kind === 'text' && form.wraps,
  };
}

function compositeGuide(form: Form | undefined): Pick<FieldGuide, 'counts' | 'fields'> {
  switch (form?.kind) {
    case 'list':
      return { counts: { least: form.least, most: form.most }, fields: [] };
    case 'point': {
      const { length } = form.letters;
      return { counts: { least: length, most: length }, fields: form.letters };
    }
    case 'map':
      return { counts: null, fields: Object.keys(form.fields) };
    default:
      return { counts: null, fields: [] };
  }
}

function referenceAt(path: FieldPath): NamedKind | null {
  const kinds = Object.keys(NAME_PLACES) as NamedKind[];
  const found = kinds.find((kind) =>
    [...NAME_PLACES[kind].values, ...NAME_PLACES[kind].keys].some((each) =>
      isAtPattern(path, each),
    ),
  );
  return found ?? null;
}
