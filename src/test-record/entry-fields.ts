/** Kinds of fields that entries are made of. The message of every rule says what is allowed; a rule of our
 * own says in `params.remark` what is wrong. */

import { z } from 'zod';
import type { Dimension } from '../units/index.js';
import { dimensionNoun, parseQuantity, quantityPattern } from '../units/index.js';
import type { TypedLimit } from './entry-limits.js';
import {
  isWithinTyped,
  MOST_ATTACHMENT_BYTES,
  TEMPERATURE_LIMIT,
  TEXT_LIMITS,
} from './entry-limits.js';
import { celsiusIn, LONGEST_TYPED, TEMPERATURE_UNITS } from './typed-value.js';

// No control characters (a new line and a tab in notes), nothing that is not Unicode: databases do not
// keep those, and a terminal obeys them. Every other text is taken as it is. What must not be blank has a
// mark that is seen (written.ts).
const LINE = /^(?![\s\S]*\p{Cs})[^\p{Cc}\p{Zl}\p{Zp}]*$/u;
const NAME = /^(?![\s\S]*\p{Cs})(?=[\s\S]*[^\s\p{C}\p{DI}\u2800])[^\p{Cc}\p{Zl}\p{Zp}]*$/u;
const NOTES = /^(?![\s\S]*\p{Cs})[\n\t\P{Cc}]*$/u;
const FILE_TEXT = /^(?![\s\S]*\p{Cs})[\r\n\t\P{Cc}]*$/u;
const WRITTEN_NOTES = /^(?![\s\S]*\p{Cs})(?=[\s\S]*[^\s\p{C}\p{DI}\u2800])[\n\t\P{Cc}]*$/u;

function textLike(pattern: RegExp, longest: number, due: string) {
  return z.string({ error: due }).max(longest, due).regex(pattern, due);
}

/** One line, not blank. */
export function name(what: string, longest: number = TEXT_LIMITS.line) {
  return textLike(NAME, longest, `${what}: 1 to ${longest} characters on one line`);
}

/** One line, or nothing. */
export function line(what: string, longest: number = TEXT_LIMITS.line) {
  return textLike(LINE, longest, `${what}: at most ${longest} characters on one line, or ""`);
}

/** Lines, or nothing. */
export function notes(what: string, longest: number = TEXT_LIMITS.notes) {
  const due = `${what}: text of at most ${longest} characters without control characters, or ""`;
  return textLike(NOTES, longest, due);
}

/** Lines, not blank. */
export function writtenNotes(what: string, longest: number = TEXT_LIMITS.notes) {
  const due = `${what}: text of 1 to ${longest} characters without control characters`;
  return textLike(WRITTEN_NOTES, longest, due);
}

/** What a file holds. */
export function fileText(what: string, longest: number) {
  const due = `${what}: text of 1 to ${longest} characters without control characters`;
  return textLike(FILE_TEXT, longest, due).min(1, due);
}

const UUID_DUE = 'a UUID in lower case, such as 0b9fdd1e-5f4c-4b4e-9a55-6a2f0f8f1c3d';

export const uuid = z
  .string({ error: UUID_DUE })
  .regex(/^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/, UUID_DUE);

const HASH_DUE = 'a SHA-256 in hex: 64 of 0 to 9 and a to f';

export const hash = z.string({ error: HASH_DUE }).regex(/^[0-9a-f]{64}$/, HASH_DUE);

const TIME_DUE = 'a time in UTC to the millisecond, such as 2026-11-25T09:30:00.000Z';

export const time = z.iso
  .datetime({ precision: 3, error: TIME_DUE })
  .regex(/^20/, TIME_DUE)
  .describe('ISO 8601 in UTC, to the millisecond');

const DAY_DUE = 'a day of the calendar as year-month-day, such as 2026-11-25';

export const day = z.iso
  .date({ error: DAY_DUE })
  .regex(/^20/, DAY_DUE)
  .describe('ISO 8601: year-month-day');

export function choice<const W extends readonly [string, ...string[]]>(words: W) {
  return z.enum(words, { error: `one of ${words.join(', ')}` });
}

export function word<const W extends string>(only: W) {
  return z.literal(only, { error: only });
}

export const flag = z.boolean({ error: 'true or false' });

/** A number that needs no unit: SI, as computed. */
export function number(least: number, most: number, words = `from ${least} to ${most}`) {
  const due = `a number ${words}`;
  return z.number({ error: due }).min(least, due).max(most, due);
}

export const anyNumber = z.number({ error: 'a number' });
export const positiveOrZero = number(0, Number.MAX_VALUE, 'of at least 0');

export function whole(least: number, most: number) {
  const due = `a whole number from ${least} to ${most}`;
  return z.int({ error: due }).min(least, due).max(most, due);
}

export function list<S extends z.ZodType>(item: S, what: string, least: number, most: number) {
  const due = `a list of ${least} to ${most} ${what}`;
  return z.array(item, { error: due }).min(least, due).max(most, due);
}

/** Values by the names of a cart. */
export function byName<S extends z.ZodType>(value: S, what: string, most: number) {
  const due = `${what} by name, at most ${most}`;
  return z
    .record(name('a name'), value, { error: due })
    .refine((map) => Object.keys(map).length <= most, due);
}

/** A map of known fields, all of them. */
export function fields<S extends z.ZodRawShape>(what: string, shape: S) {
  const known = Object.keys(shape).join(', ');
  return z.strictObject(shape, {
    error: (issue) => (issue.code === 'unrecognized_keys' ? known : `${what} with ${known}`),
  });
}

/** One of several maps, told apart by `kind`. */
export function oneOfKinds<const S extends readonly [KindShape, ...KindShape[]]>(
  what: string,
  shapes: S,
) {
  const kinds = shapes.flatMap((shape) => [...shape.shape.kind.values]);
  const error = `${what}, whose kind is one of ${kinds.join(', ')}`;
  return z.discriminatedUnion('kind', shapes, { error });
}

type KindShape = z.ZodObject<{ kind: z.ZodLiteral<string> }>;

/** A rule of our own is broken. */
export function refuse(
  context: z.RefinementCtx,
  path: readonly (string | number)[],
  remark: string,
  allowed: string,
): void {
  context.addIssue({ code: 'custom', path: [...path], message: allowed, params: { remark } });
}

/** A quantity as typed, of one of some dimensions. */
export function typed(...limits: readonly [TypedLimit, ...TypedLimit[]]) {
  const due = limits.map(dueOf).join('; or ');
  return z
    .string({ error: due })
    .regex(LINE, due)
    .superRefine((text, context) => {
      const remark = typedRemark(text, limits);
      if (remark !== null) refuse(context, [], remark, due);
    })
    .meta(patternOf(limits.map(({ dimension }) => dimension)));
}

function dueOf({ dimension, words, example }: TypedLimit): string {
  return `${dimensionNoun(dimension)} with its unit, ${words}, such as ${example}`;
}

function patternOf(dimensions: readonly Dimension[]) {
  const patterns = dimensions.map((each) => ({ pattern: quantityPattern(each) }));
  return patterns.length === 1 ? { ...patterns[0] } : { anyOf: patterns };
}

/** What is wrong with a quantity; null: nothing. */
function typedRemark(text: string, limits: readonly [TypedLimit, ...TypedLimit[]]): string | null {
  if (text.length > LONGEST_TYPED) return 'is too long for a quantity';
  for (const limit of limits) {
    const read = parseQuantity(text, limit.dimension);
    if (read.kind === 'ok') return isWithinTyped(read.value, limit) ? null : 'is out of range';
  }
  const read = parseQuantity(text, limits[0].dimension);
  return read.kind === 'error' && limits.length === 1
    ? `cannot be read (${read.message})`
    : 'is no such quantity';
}

const TEMPERATURE_DUE = `a temperature in ${TEMPERATURE_UNITS.join(', ')}, ${TEMPERATURE_LIMIT.words}, such as 21 degC`;

export const temperature = z
  .string({ error: TEMPERATURE_DUE })
  .regex(LINE, TEMPERATURE_DUE)
  .superRefine((text, context) => {
    const celsius = celsiusIn(text);
    const { least, most } = TEMPERATURE_LIMIT;
    if (celsius === null) refuse(context, [], 'is no temperature', TEMPERATURE_DUE);
    else if (celsius < least || celsius > most) {
      refuse(context, [], 'is out of range', TEMPERATURE_DUE);
    }
  });

/** A file of some kinds, by its content. */
export function attachment<const M extends readonly [string, ...string[]]>(media: M) {
  return fields('a file', {
    hash,
    name: name('the name of the file'),
    media: choice(media),
    bytes: whole(1, MOST_ATTACHMENT_BYTES),
  });
}
