/** The rows of a parts list, on their way into the cart file. */

import type {
  FieldChange,
  FieldInput,
  FieldNode,
  PartsList,
  PartsListRow,
} from '../../document/index.js';
import { nodeAt } from '../../document/index.js';
import { countAt, textAt } from './field-address.js';
import { typedQuantity } from './typed-amount.js';

/** A row as it would stand in the file: all its pieces together. */
export interface ListPart {
  readonly name: string;
  readonly quantity: number;
  readonly mass: string;
  readonly tolerance: string | null;
  /** null: the list states none */
  readonly at: readonly string[] | null;
  readonly line: number;
  /** index of the part that has this name already; null: none */
  readonly there: number | null;
}

export function listParts(list: PartsList, root: FieldNode): readonly ListPart[] {
  const known = new Map(partNames(root).map((name, index) => [name, index]));
  return list.rows.map((row) => {
    const there = known.get(row.name.toLowerCase()) ?? null;
    return { ...statedValues(row, list), name: row.name, line: row.line, there };
  });
}

function partNames(root: FieldNode): readonly string[] {
  const count = countAt(root, ['parts']);
  return Array.from({ length: count }, (_, index) =>
    textAt(root, ['parts', index, 'name']).trim().toLowerCase(),
  );
}

/** In the units of the headings, where these name any. */
export function statedValues(
  row: PartsListRow,
  { massUnit, placeUnit }: Pick<PartsList, 'massUnit' | 'placeUnit'>,
): Pick<ListPart, 'quantity' | 'mass' | 'tolerance' | 'at'> {
  const { quantity } = row;
  const tolerance = row.massTolerance === null ? null : row.massTolerance * quantity;
  return {
    quantity,
    mass: typedQuantity(row.mass * quantity, 'mass', massUnit),
    tolerance: tolerance ? typedQuantity(tolerance, 'mass', massUnit) : null,
    at: row.at?.map((each) => typedQuantity(each, 'length', placeUnit)) ?? null,
  };
}

/** Rows put into the file with their values: new parts at the end, and a part that is there takes the mass
 * (and the place, where the list states one) of its row. */
export function takeOverChanges(root: FieldNode, parts: readonly ListPart[]): FieldChange[] {
  return parts.flatMap(({ name, mass, tolerance, at, there }): FieldChange[] => {
    const place = at?.map((typed) => ({ typed })) ?? null;
    if (there !== null) return valueChanges(root, there, { mass, tolerance, at });
    const map: Record<string, FieldInput> = { name, mass: { typed: mass } };
    if (tolerance !== null) map['mass tolerance'] = { typed: tolerance };
    if (place !== null) map.at = place;
    return [{ kind: 'insert', path: ['parts'], index: 'end', value: { map } }];
  });
}

function valueChanges(
  root: FieldNode,
  index: number,
  { mass, tolerance, at }: Pick<ListPart, 'mass' | 'tolerance' | 'at'>,
): FieldChange[] {
  const part = ['parts', index] as const;
  const hasRow = nodeAt(root, [...part, 'from list']) !== null;
  return [
    ...(hasRow ? [{ kind: 'remove', path: [...part, 'from list'] } as const] : []),
    { kind: 'set', path: [...part, 'mass'], value: { typed: mass } },
    ...(tolerance === null
      ? []
      : [{ kind: 'set', path: [...part, 'mass tolerance'], value: { typed: tolerance } } as const]),
    ...(at === null
      ? []
      : [{ kind: 'set', path: [...part, 'at'], value: at.map((typed) => ({ typed })) } as const]),
  ];
}

/** Every part that takes its mass from the list states it itself, and the list is no longer named. What a
 * part states already (a tolerance, a place) stays; a row that is not in the list stays asked for. */
export function valuesInPlaceOfList(root: FieldNode, list: PartsList): FieldChange[] {
  const rows = new Map(list.rows.map((row) => [row.name, row]));
  const count = countAt(root, ['parts']);
  const changes: FieldChange[] = [];
  for (let index = 0; index < count; index += 1) {
    const part = ['parts', index] as const;
    const row = rows.get(rowName(textAt(root, [...part, 'from list'])));
    if (row === undefined) continue;
    const { mass, tolerance, at } = statedValues(row, list);
    const states = (key: string) => nodeAt(root, [...part, key]) !== null;
    changes.push(
      ...valueChanges(root, index, {
        mass,
        tolerance: states('mass tolerance') ? null : tolerance,
        at: states('at') ? null : at,
      }),
    );
  }
  return [...changes, { kind: 'remove', path: ['parts list'] }];
}

/** Rows are found as the reader finds them: one space for any white space. */
function rowName(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

/** Which part takes which row; rows that none takes are left out. */
export function takenRows(root: FieldNode): ReadonlyMap<string, string> {
  const count = countAt(root, ['parts']);
  const taken = new Map<string, string>();
  for (let index = 0; index < count; index += 1) {
    const row = rowName(textAt(root, ['parts', index, 'from list']));
    if (row !== '') taken.set(row, textAt(root, ['parts', index, 'name']));
  }
  return taken;
}

/** A part that takes its mass from a row; its name is the row's, and its place the list's or the user's. */
export function partFromRow(row: PartsListRow, name: string): FieldChange {
  const value = { map: { name, 'from list': row.name } };
  return { kind: 'insert', path: ['parts'], index: 'end', value };
}
