/** Inputs as they are written into a cart file, in the style of the examples: points and what is short in
 * brackets and braces, named things with one field a line. */

import type { FieldInput, ScalarInput } from './field-input.js';
import {
  fieldsOfInput,
  isListInput,
  isMapInput,
  isPlainTyped,
  isScalarInput,
  typedValue,
} from './field-input.js';
import { plainOrQuoted, quoted } from './source-values.js';

/** Characters that braces may hold on one line. */
const LONGEST_INLINE = 90;

/** Marks that mean nothing to YAML within a text. */
const MARKS = /(?!^)[%;=!&*<>]/g;
/** The same in a text that stands in no brackets. */
const MORE_MARKS = /(?!^)[,?[\]{}]/g;

/**
 * @param isQuoting texts and keys stand in quotes, as in JSON
 * @param isFlow in brackets or braces, where more has to be quoted
 */
export function scalarText(input: ScalarInput, isQuoting: boolean, isFlow: boolean): string {
  if (typeof input === 'number' || typeof input === 'boolean') return String(input);
  const text = typeof input === 'string' ? input : input.typed.trim();
  const bare = text.replaceAll(MARKS, 'x');
  const unmarked = isFlow ? bare : bare.replaceAll(MORE_MARKS, 'x');
  const isText = typeof input === 'string' || typeof typedValue(text) === 'string';
  if (isText && isQuoting) return quoted(text);
  const isPlain =
    typeof input === 'string' ? plainOrQuoted(unmarked) === unmarked : isPlainTyped(unmarked);
  return isPlain ? text : quoted(text);
}

export function keyText(key: string, isQuoting: boolean): string {
  // a field of our own that stands bare in every file: only YAML before 1.2 would take it for true
  if (key === 'on' && !isQuoting) return key;
  return scalarText(key, isQuoting, true);
}

/** On one line, in brackets and braces. */
export function inlineText(input: FieldInput, isQuoting: boolean): string {
  if (isListInput(input)) {
    // nothing between two commas would be no item
    return `[${input.map((each) => inlineText(each, isQuoting) || '""').join(', ')}]`;
  }
  if (!isMapInput(input)) return scalarText(input, isQuoting, true);
  const entries = Object.entries(input.map).map(([key, value]) =>
    `${keyText(key, isQuoting)}: ${inlineText(value, isQuoting)}`.trimEnd(),
  );
  return `{${entries.join(', ')}}`;
}

/** True of what the examples write on one line. */
export function isInline(input: FieldInput): boolean {
  if (isScalarInput(input)) return true;
  if (isListInput(input)) return input.every(isScalarInput);
  const values = Object.values(input.map);
  const isFlat = values.every((value) => !isMapInput(value) && isInline(value));
  return isFlat && inlineText(input, false).length <= LONGEST_INLINE;
}

/** True of an item that the examples write with one field a line. */
export function isNamed(input: FieldInput): boolean {
  return isMapInput(input) && Object.hasOwn(input.map, 'name');
}

/** The value of an entry: what stands on the line of its key, and the lines below, indented from there. */
export interface EntryText {
  readonly inline: string;
  readonly below: readonly string[];
}

/** @param isTop at the top of the file, where maps are never in braces */
export function entryValue(input: FieldInput, isQuoting: boolean, isTop: boolean): EntryText {
  const isEmptyMap = isMapInput(input) && Object.keys(input.map).length === 0;
  const isBlock = !isInline(input) || (isTop && isMapInput(input) && !isEmptyMap);
  if (isScalarInput(input)) return { inline: scalarText(input, isQuoting, false), below: [] };
  if (!isBlock) return { inline: inlineText(input, isQuoting), below: [] };
  return { inline: '', below: blockLines(input, isQuoting).map((line) => `  ${line}`) };
}

export function entryLines(
  key: string,
  input: FieldInput,
  isQuoting: boolean,
  isTop: boolean,
): readonly string[] {
  const { inline, below } = entryValue(input, isQuoting, isTop);
  return [`${keyText(key, isQuoting)}: ${inline}`.trimEnd(), ...below];
}

/** The lines of a map or list. */
export function blockLines(input: FieldInput, isQuoting: boolean): readonly string[] {
  if (isMapInput(input)) {
    return Object.entries(input.map).flatMap(([key, value]) =>
      entryLines(key, value, isQuoting, false),
    );
  }
  if (!isListInput(input)) return [scalarText(input, isQuoting, false)];
  return input.flatMap((item) => itemLines(item, isQuoting, isNamed(item) || !isInline(item)));
}

/** @param isBlock a map with one field a line */
export function itemLines(
  input: FieldInput,
  isQuoting: boolean,
  isBlock: boolean,
): readonly string[] {
  const fields = fieldsOfInput(input);
  if (!isBlock || fields.kind !== 'map' || fields.entries.length === 0) {
    const text = isScalarInput(input)
      ? scalarText(input, isQuoting, false)
      : inlineText(input, isQuoting);
    return [`- ${text}`.trimEnd()];
  }
  return blockLines(input, isQuoting).map((line, index) => `${index === 0 ? '- ' : '  '}${line}`);
}
