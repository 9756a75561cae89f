/** The requirement set that a plan was made from, field by field. */

import { z } from 'zod';
import type { RequirementSet } from '../requirements/index.js';
import {
  anyNumber,
  choice,
  day,
  fields,
  line,
  list,
  name,
  notes,
  oneOfKinds,
  positiveOrZero,
  word,
} from './entry-fields.js';
import { LIST_LIMITS } from './entry-limits.js';

const SURFACES = choice(['foothold', 'seat', 'work surface']);
const positions = choice(['transport', 'use', 'all']);

const confirmation = fields('a confirmation', {
  who: name('who compared it'),
  when: day,
  copy: name('which copy', 500),
});

const value = fields('a value', {
  id: name('the id of the value'),
  title: line('what it is', 500),
  value: anyNumber,
  dimension: choice(['angle', 'force', 'length', 'speed', 'mass', 'time', 'ratio', 'count']),
  text: line('the value as written'),
  basis: choice(['seen', 'secondary', 'common practice', 'memory']),
  note: notes('a remark on the basis'),
  confirmation: z.nullable(confirmation),
});

const question = oneOfKinds('a question', [
  fields('a question', { kind: word('overbalance'), positions }),
  fields('a question', { kind: word('horizontal force') }),
  fields('a question', { kind: word('downward force') }),
  fields('a question', { kind: word('combined force') }),
  fields('a question', { kind: word('propulsion') }),
  fields('a question', { kind: word('threshold') }),
  fields('a question', { kind: word('holding on incline'), positions }),
  fields('a question', { kind: word('holding against push') }),
  fields('a question', { kind: word('castor load') }),
  fields('a question', { kind: word('castor missing'), test: choice(['ratings', 'balance']) }),
  fields('a question', { kind: word('handles') }),
]);

const condition = oneOfKinds('a condition', [
  fields('a condition', { kind: word('mobile') }),
  fields('a condition', { kind: word('has castors') }),
  fields('a condition', { kind: word('mass at least'), mass: positiveOrZero }),
  fields('a condition', { kind: word('mass above'), mass: positiveOrZero }),
  fields('a condition', { kind: word('height at least'), height: positiveOrZero }),
  fields('a condition', {
    kind: word('has surface'),
    surfaces: list(SURFACES, 'kinds of surface', 1, 3),
    greatestHeight: positiveOrZero,
  }),
  fields('a condition', { kind: word('may be pushed') }),
  fields('a condition', { kind: word('has locks') }),
  fields('a condition', { kind: word('has lifting handles') }),
]);

const clause = fields('a clause', {
  id: name('the id of the clause'),
  clause: line('the number of the clause', 500),
  title: line('a title', 500),
  asks: notes('what is asked'),
  note: notes('a remark'),
  alternative: z.nullable(name('the id of another clause')),
  question,
  conditions: list(condition, 'conditions', 0, 20),
  values: list(value, 'values', 0, 40),
});

export const requirementSetShape = fields('a requirement set', {
  id: name('the id of the set'),
  title: name('a title', 500),
  standard: line('the standard', 500),
  edition: line('the edition', 500),
  clauses: list(clause, 'clauses', 0, LIST_LIMITS.clauses),
}) satisfies z.ZodType<RequirementSet>;
