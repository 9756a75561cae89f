/** The requirement file of version 1, field by field: for the reader, and as a JSON Schema for
 * editors. */

import { z } from 'zod';
import { quantityPattern } from '../units/index.js';
import { allowedValue, readValue } from './value-text.js';
import type { ValueId, ValueKind } from './vocabulary.js';
import {
  BASES,
  CASTOR_TESTS,
  PLAIN_CONDITIONS,
  POSITIONS,
  QUESTION_KINDS,
  SURFACES,
  VALUE_IDS,
  VALUE_KINDS,
} from './vocabulary.js';

export const FILE_VERSION = 1;
export const VERSION_KEY = 'standstill requirements';

const LONGEST_LINE = 300;
const LONGEST_TEXT = 2000;
const MOST_SETS = 50;
const MOST_CLAUSES = 200;
const MOST_CONFIRMATIONS = 5000;

/** The message of every rule is what is allowed; `params.code` of a custom one is our code. */
function text(what: string, longest: number, isLine: boolean) {
  const due = `${what}: text of 1 to ${longest} characters${isLine ? ' on one line' : ''}`;
  return z
    .string({ error: due })
    .min(1, due)
    .max(longest, due)
    .regex(isLine ? /^(?!\s)[^\p{C}\p{Zl}\p{Zp}]*\S$/u : /\S/u, due);
}

const line = (what: string) => text(what, LONGEST_LINE, true);

const DATE_DUE = 'a day as year-month-day, such as 2026-11-25';

const ID = /^[a-z0-9]+(?:[-.][a-z0-9]+)*$/;

function id(what: string) {
  const due = `${what}: lower-case letters and digits with - or . between them, at most 60 characters`;
  return z.string({ error: due }).max(60, due).regex(ID, due).describe(what);
}

function choice<const W extends readonly [string, ...string[]]>(words: W, about: string) {
  return z.enum(words, { error: `one of ${words.join(', ')}` }).describe(about);
}

function list<S extends z.ZodType>(item: S, what: string, least: number, most: number) {
  const due = `a list of ${least} to ${most} ${what}`;
  return z.array(item, { error: due }).min(least, due).max(most, due);
}

/** A map of known fields. */
function fields<S extends z.ZodRawShape>(what: string, shape: S) {
  const known = Object.keys(shape).join(', ');
  return z.strictObject(shape, {
    error: (issue) => (issue.code === 'unrecognized_keys' ? known : `${what} with ${known}`),
  });
}

function value(id: ValueId) {
  const kind: ValueKind = VALUE_KINDS[id];
  const due = allowedValue(id);
  const figure =
    kind.written === 'quantity'
      ? z.string({ error: due }).meta({ pattern: quantityPattern(kind.dimension) })
      : z.number({ error: due });
  return fields('a value', {
    value: figure
      .superRefine((written: string | number, context) => {
        const read = readValue(written, id);
        if (read.kind === 'error') {
          context.addIssue({ code: 'custom', message: read.allowed, params: { code: read.code } });
        }
      })
      .describe(due),
    basis: choice(BASES, 'How far the figure is known.'),
    note: line('a remark on the basis').optional().describe('A remark on the basis.'),
  });
}

const valueShape = Object.fromEntries(
  VALUE_IDS.map((each) => [each, value(each).optional()]),
) as unknown as { readonly [I in ValueId]: z.ZodOptional<ReturnType<typeof value>> };

const clause = fields('a clause', {
  id: id('the id of the clause, unique in its set; it becomes the id of the finding'),
  clause: line('the number of the clause as text, in quotes, such as "8.6"')
    .optional()
    .describe('Number as printed in the standard, in quotes.'),
  title: line('a title').optional().describe('A few words.'),
  asks: text('what is asked', LONGEST_TEXT, false)
    .optional()
    .describe('What is asked, in your own words.'),
  note: line('a remark').optional().describe('A remark on the clause as a whole.'),
  alternative: id('the id of the clause of this set that may be met instead').optional(),
  question: choice(
    QUESTION_KINDS as unknown as readonly [
      (typeof QUESTION_KINDS)[number],
      ...(typeof QUESTION_KINDS)[number][],
    ],
    'The physical question it asks.',
  ).optional(),
  positions: choice(POSITIONS, 'Which positions it asks about.').optional(),
  surfaces: list(choice(SURFACES, 'A kind of surface.'), 'kinds of surface', 1, SURFACES.length)
    .refine(isWithoutRepeats, 'each kind of surface once')
    .optional()
    .describe('Which surfaces it asks about.'),
  test: choice(
    CASTOR_TESTS,
    'ratings: the ratings of all castors but one bear the weight; balance: the cart does not tip without the most loaded one.',
  ).optional(),
  conditions: list(
    choice(PLAIN_CONDITIONS, 'A condition.'),
    'conditions',
    0,
    PLAIN_CONDITIONS.length,
  )
    .refine(isWithoutRepeats, 'each condition once')
    .optional()
    .describe('All must hold for the clause to be asked; thresholds stand among the values.'),
  values: fields('values', valueShape).optional().describe('Its figures, by id.'),
});

export const setSchema = fields('a set', {
  id: id('the id of the set, which no other set has'),
  title: line('a title').describe('A few words.'),
  standard: line('the standard').optional().describe('Left out: that of the set it is based on.'),
  edition: line('the edition, in quotes if it is a number')
    .optional()
    .describe('Left out: that of the set it is based on.'),
  'based on': id('the id of a built-in set, or of one further up in this file').optional(),
  clauses: list(clause, 'clauses', 1, MOST_CLAUSES).describe(
    'Of a set based on another: only the clauses and values that change or are added.',
  ),
});

export const confirmationSchema = fields('a confirmation', {
  set: id('the id of the set'),
  clause: id('the id of the clause'),
  value: id('the id of the value'),
  reads: z
    .union([z.string(), z.number()], {
      error: 'the figure as your copy has it, with its unit, such as 10 deg',
    })
    .describe('The figure as your copy has it, with its unit.'),
  who: line('who compared it').describe('Who compared it.'),
  when: z
    .string({ error: DATE_DUE })
    .superRefine((written, context) => {
      if (isDate(written)) return;
      context.addIssue({ code: 'custom', message: DATE_DUE, params: { code: 'bad-date' } });
    })
    .meta({ pattern: '^\\d{4}-\\d{2}-\\d{2}$' })
    .describe('The day of the comparison.'),
  copy: line('which copy: edition, language, licence or shelf number').describe(
    'Which copy: edition, language, licence or shelf number.',
  ),
});

export const fileSchema = fields('a requirement file', {
  [VERSION_KEY]: z
    .literal(FILE_VERSION, { error: String(FILE_VERSION) })
    .describe('Version of the requirement file.'),
  sets: list(setSchema, 'sets', 0, MOST_SETS).optional().describe('Sets of your own.'),
  confirmations: list(confirmationSchema, 'confirmations', 0, MOST_CONFIRMATIONS)
    .optional()
    .describe('Values compared with a copy of the standard.'),
});

function isWithoutRepeats(words: readonly string[]): boolean {
  return new Set(words).size === words.length;
}

const MONTH_DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;

/** A day of the Gregorian calendar, ISO 8601. */
function isDate(written: string): boolean {
  const match = /^((?:19|20|21)\d\d)-(\d\d)-(\d\d)$/.exec(written);
  if (match === null) return false;
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const days = (MONTH_DAYS[month - 1] ?? 0) + (month === 2 && isLeap ? 1 : 0);
  return day >= 1 && day <= days;
}

/** JSON Schema (draft 2020-12) of the file, as published in `schema`. */
export function requirementFileSchema(): Readonly<Record<string, unknown>> {
  const { $schema, ...rest } = z.toJSONSchema(fileSchema, { io: 'input', target: 'draft-2020-12' });
  const title = 'Standstill requirement file, version 1';
  return { $schema, title, ...rest };
}
