/** What is put into a field, as the tree that it becomes. */

import { parse } from 'yaml';
import type { FieldNode } from './field-tree.js';
import { YAML_OPTIONS } from './yaml-tree.js';

/** What is put into a field. A string is a name or text, and quoted where YAML would take it for
 * something else; `typed` is what a user typed for a quantity, a number or a choice, kept digit by digit
 * (white space around it is not; nothing typed leaves the field there and empty). */
export type FieldInput =
  | string
  | number
  | boolean
  | { readonly typed: string }
  | readonly FieldInput[]
  | { readonly map: Readonly<Record<string, FieldInput>> };

export type CompositeInput =
  | readonly FieldInput[]
  | { readonly map: Readonly<Record<string, FieldInput>> };
export type ScalarInput = Exclude<FieldInput, CompositeInput>;

export function isListInput(input: FieldInput): input is readonly FieldInput[] {
  return Array.isArray(input);
}

export function isMapInput(
  input: FieldInput,
): input is { readonly map: Readonly<Record<string, FieldInput>> } {
  // a list has a map too, that of its methods
  return typeof input === 'object' && !isListInput(input) && 'map' in input;
}

export function isScalarInput(input: FieldInput): input is ScalarInput {
  return !isListInput(input) && !isMapInput(input);
}

/** The tree that an input becomes. */
export function fieldsOfInput(input: FieldInput): FieldNode {
  if (isListInput(input)) return { kind: 'list', items: input.map(fieldsOfInput) };
  if (isMapInput(input)) {
    const entries = Object.entries(input.map);
    return {
      kind: 'map',
      entries: entries.map(([key, value]) => ({ key, node: fieldsOfInput(value) })),
    };
  }
  if (typeof input === 'string') return { kind: 'scalar', text: input, value: input };
  if (typeof input !== 'object') return { kind: 'scalar', text: String(input), value: input };
  const text = input.typed.trim();
  return { kind: 'scalar', text, value: typedValue(text) };
}

/** Text that YAML may take for a truth value, a number or nothing. */
const PERHAPS_NO_TEXT = /^(?:[-+.\d~].*|true|false|null)?$/i;

/** What a text says where it stands without quotes: as the reader of YAML takes it. */
export function typedValue(text: string): string | number | boolean | null {
  if (!PERHAPS_NO_TEXT.test(text) || !isPlainTyped(text)) return text;
  const value: unknown = parse(`- ${text}\n`, YAML_OPTIONS)?.[0];
  const isPlain = value === null || typeof value === 'number' || typeof value === 'boolean';
  return isPlain ? value : text;
}

/** Characters that mean nothing to YAML, wherever they stand. */
const PLAIN_TYPED =
  /^(?!-(?:\s|$)|\.\.\.$|---$)[\p{L}\p{N}_.+~−-][\p{L}\p{M}\p{N} _.+()/'"°·%²−-]*$/u;

/** True when a typed text can stand without quotes. */
export function isPlainTyped(text: string): boolean {
  return text === '' || PLAIN_TYPED.test(text);
}

/** Half of a character, and what no text file holds. */
const HALF_CHARACTER = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/;

/**
 * What stands against an input, in words; null: nothing.
 *
 * @param mayWrap text with line ends is allowed
 */
export function inputProblem(input: FieldInput, mayWrap: boolean): string | null {
  if (isListInput(input)) return firstProblem(input, mayWrap);
  if (isMapInput(input)) {
    const keys = Object.keys(input.map);
    if (keys.includes('')) return 'a field needs a name';
    const wrong = firstProblem(keys, false);
    return wrong ?? firstProblem(Object.values(input.map), mayWrap);
  }
  if (typeof input === 'boolean') return null;
  if (typeof input === 'number') {
    return Number.isFinite(input) ? null : `${input} is not a finite number`;
  }
  const text = typeof input === 'string' ? input : input.typed.trim();
  if (HALF_CHARACTER.test(text)) return 'half of a character is no text';
  const isWrapped = /[\r\n\u0085\u2028\u2029]/.test(text);
  return isWrapped && !(mayWrap && typeof input === 'string')
    ? 'it has to stand on one line'
    : null;
}

function firstProblem(inputs: readonly FieldInput[], mayWrap: boolean): string | null {
  for (const input of inputs) {
    const problem = inputProblem(input, mayWrap);
    if (problem !== null) return problem;
  }
  return null;
}
