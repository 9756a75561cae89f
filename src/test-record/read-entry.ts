/** From JSON to an entry: shape and values, all that is wrong at once. */

import { z } from 'zod';
import { bodyShape } from './body-shapes.js';
import type { EntryProblem, EntryProblemCode, NewEntry } from './entry.js';
import { fields, name, notes, refuse, time, uuid } from './entry-fields.js';
import { TEXT_LIMITS } from './entry-limits.js';
import { pathSteps, plainProblem, problemOf, valueAt } from './entry-problem.js';

export type ReadEntry =
  | { readonly kind: 'ok'; readonly entry: NewEntry }
  | { readonly kind: 'refused'; readonly problems: readonly EntryProblem[] };

const entryShape = fields('an entry', {
  id: uuid,
  project: uuid,
  subject: uuid,
  base: z.nullable(uuid),
  who: name('who writes it'),
  at: time,
  why: notes('why', TEXT_LIMITS.why),
  body: bodyShape,
}).superRefine(({ at, body }, context) => {
  if (!('taken' in body) || body.taken <= at) return;
  const allowed = `a time before the entry was written (${at}), in UTC`;
  refuse(context, ['body', 'taken'], 'has not come yet', allowed);
}) satisfies z.ZodType<NewEntry>;

/** Past this many a reader has stopped reading. */
const MOST_PROBLEMS = 100;

/** Never throws. Unknown fields are refused. Quantities are read (dimension, sign), times and dates too.
 * What several fields have to do with each other is told when each is right by itself. */
export function readEntry(json: unknown): ReadEntry {
  const notPlain = plainProblem(json);
  if (notPlain !== null) return { kind: 'refused', problems: [notPlain] };
  const read = entryShape.safeParse(json);
  if (read.success) return { kind: 'ok', entry: read.data };
  const problems = read.error.issues.flatMap((issue) => problemsOf(issue, json));
  return { kind: 'refused', problems: firstOfEach(problems).slice(0, MOST_PROBLEMS) };
}

/** One field breaks several rules at times (too long, and of the wrong form): one problem is enough. */
function firstOfEach(problems: readonly EntryProblem[]): readonly EntryProblem[] {
  const seen = new Set<string>();
  return problems.filter(({ path }) => {
    const key = JSON.stringify(path);
    return !seen.has(key) && seen.add(key);
  });
}

function problemsOf(issue: z.core.$ZodIssue, json: unknown): readonly EntryProblem[] {
  const path = pathSteps(issue.path);
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.slice(0, MOST_PROBLEMS).map((key) => {
      const at = [...path, key];
      return problemOf('shape', at, valueAt(json, at), 'is not a field here', issue.message);
    });
  }
  const there = valueAt(json, path);
  if (there === undefined) return [problemOf('shape', path, there, 'is missing', issue.message)];
  const [code, remark] = judged(issue);
  return [problemOf(code, path, there, remark, issue.message)];
}

function judged(issue: z.core.$ZodIssue): readonly [EntryProblemCode, string] {
  if (issue.code === 'custom') {
    const remark: unknown = issue.params?.remark;
    return ['value', typeof remark === 'string' ? remark : 'is not allowed'];
  }
  if (issue.code === 'invalid_type' || issue.code === 'invalid_union') {
    return ['shape', 'is not what is due here'];
  }
  return ['value', 'is not allowed'];
}

/** JSON Schema (draft 2020-12) of a new entry, for `schema/`. It says less than the reader: what fields
 * have to do with each other, ranges of quantities and sums are beyond it. */
export function entryJsonSchema(): Readonly<Record<string, unknown>> {
  const { $schema, ...rest } = z.toJSONSchema(entryShape, {
    io: 'input',
    target: 'draft-2020-12',
    reused: 'ref',
  });
  const title = 'Standstill record entry, version 1';
  const description =
    'One entry of a test record, as its writer makes it. Quantities are text with a unit, as typed; the plan is in SI units and radians.';
  return { $schema, title, description, ...rest };
}
