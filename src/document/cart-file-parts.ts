/** Parts, loads, handles, surfaces and the outline in the text of a cart file. */

import type { Cart, Handle, Part, Surface, Vec3 } from './cart.js';
import { isSame } from './short-number.js';
import type { Writing } from './source-values.js';
import {
  newKey,
  newList,
  newQuantity,
  newText,
  renameEntry,
  setList,
  setQuantity,
} from './source-values.js';
import { addItem, entryText } from './yaml-changes.js';
import type { SourceMap, YamlSource } from './yaml-source.js';
import { entryOf, itemIn, listIn, mapIn, rootOf } from './yaml-source.js';

function isSamePoint(a: readonly number[], b: readonly number[]): boolean {
  return a.every((each, index) => isSame(each, b[index] ?? Number.NaN));
}

export function writePoint(
  writing: Writing,
  key: string,
  before: readonly number[],
  after: readonly number[],
  entriesBefore: readonly string[] = [],
): void {
  if (isSamePoint(before, after)) return;
  setList(writing, key, after, before, 'length', entriesBefore);
}

export function writeParts(source: YamlSource, before: Cart, after: Cart): void {
  const list = listIn(source, rootOf(source), 'parts');
  for (const [index, part] of after.parts.entries()) {
    const old = before.parts[index];
    if (old === part) continue;
    if (old !== undefined) writePart({ source, map: itemIn(source, list, index) }, old, part);
    else if (list !== undefined) {
      const last = itemIn(source, list, before.parts.length - 1);
      addItem(source, list, newPart(part, { source, map: last }));
    }
  }
}

const BEFORE_PLACE = [
  'mass tolerance distribution',
  'mass tolerance',
  'mass',
  'from list',
  'name',
] as const;

function writePart(writing: Writing, before: Part, after: Part): void {
  const { source, map } = writing;
  const isConverted = before.massFrom !== after.massFrom;
  const stated = entryOf(map, 'at') !== undefined;
  if (isConverted) convertMass(writing, after);
  else if (!isSame(before.mass, after.mass)) setQuantity(writing, 'mass', after.mass, 'mass');
  // a part from a list may have its place there too, which goes with the row
  if (stated) writePoint({ source, map }, 'at', before.at, after.at);
  else if (isConverted || !isSamePoint(before.at, after.at)) {
    setList(writing, 'at', after.at, null, 'length', BEFORE_PLACE);
  }
}

/** A part takes its mass from a row or states it, never both: what else the row gave is stated too. */
function convertMass(writing: Writing, part: Part): void {
  const { source, map } = writing;
  const row = entryOf(map, 'from list')?.value;
  if (!row) throw new Error(`convertMass: ${part.name} is from no list`);
  renameEntry(writing, 'from list', 'mass');
  const [from, to] = row.range;
  source.patches.push({ from, to, text: newQuantity(part.mass, 'mass', 'mass', writing) });
  if (part.massTolerance > 0 && entryOf(map, 'mass tolerance') === undefined) {
    setQuantity(writing, 'mass tolerance', part.massTolerance, 'mass', ['from list']);
  }
}

function newPart(part: Part, writing: Writing) {
  const fields = [
    ['name', newText(part.name, writing)],
    ['mass', newQuantity(part.mass, 'mass', 'mass', writing)],
    ['at', newList(part.at, 'length', 'at', writing)],
    ...(part.on === null ? [] : [['on', newText(part.on, writing)]]),
  ];
  const entries = fields.map(([key = '', value = '']) =>
    entryText({ key: newKey(key, writing), value }),
  );
  return { inline: `{${entries.join(', ')}}`, entries };
}

/** The items of a list that differ, each with its map. */
function changed<T>(
  source: YamlSource,
  key: string,
  before: readonly T[],
  after: readonly T[],
): readonly { readonly map: SourceMap; readonly old: T; readonly now: T }[] {
  if (before === after) return [];
  const list = listIn(source, rootOf(source), key);
  return after.flatMap((now, index) => {
    const old = before[index];
    return old === undefined || old === now ? [] : [{ map: itemIn(source, list, index), old, now }];
  });
}

export function writeLoads(source: YamlSource, before: Cart, after: Cart): void {
  for (const { map, old, now } of changed(source, 'loads', before.loads, after.loads)) {
    writePoint({ source, map }, 'at', old.at, now.at);
  }
}

export function writeHandles(source: YamlSource, before: Cart, after: Cart): void {
  for (const { map, old, now } of changed(source, 'handles', before.handles, after.handles)) {
    writePoint({ source, map: gripOf(source, map, now) }, 'at', old.at, now.at);
  }
  for (const { map, old, now } of changed(source, 'surfaces', before.surfaces, after.surfaces)) {
    const rectangle = rectangleOf(source, map, now);
    if (!isSame(old.height, now.height)) {
      setQuantity({ source, map: rectangle }, 'height', now.height, 'length');
    }
  }
}

function gripOf(source: YamlSource, map: SourceMap, { kind }: Handle): SourceMap {
  return mapIn(source, map, kind);
}

function rectangleOf(source: YamlSource, map: SourceMap, { kind }: Surface): SourceMap {
  return mapIn(source, map, kind);
}

export function writeOutline(source: YamlSource, before: Cart, after: Cart): void {
  for (const { map, old, now } of changed(source, 'outline', before.outline, after.outline)) {
    const points = pointsOf(old.shape);
    for (const [key, at] of Object.entries(pointsOf(now.shape))) {
      const writing = { source, map: mapIn(source, map, now.shape.kind) };
      writePoint(writing, key, points[key] ?? [], at);
    }
  }
}

function pointsOf(shape: Cart['outline'][number]['shape']): Readonly<Record<string, Vec3>> {
  return shape.kind === 'box' ? { from: shape.from, to: shape.to } : { base: shape.base };
}
