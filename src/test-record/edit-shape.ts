/** A change to a cart, as `CartEdit` has it, field by field. Whether the cart has what it names is not
 * asked here: the text of the new revision is what counts. */

import { z } from 'zod';
import type { CartEdit } from '../document/index.js';
import {
  anyNumber,
  choice,
  fields,
  flag,
  list,
  name,
  oneOfKinds,
  positiveOrZero,
  word,
} from './entry-fields.js';
import { LIST_LIMITS } from './entry-limits.js';

const castor = name('a castor');
const place = z.tuple([anyNumber, anyNumber], { error: 'two numbers, m' });
const point = z.tuple([anyNumber, anyNumber, anyNumber], { error: 'three numbers, m' });

const castorKind = fields('a kind of castor', {
  wheelDiameter: positiveOrZero,
  trail: positiveOrZero,
  swivelMoment: positiveOrZero,
  rollingLength: positiveOrZero,
  rating: z.nullable(positiveOrZero),
  stiffness: positiveOrZero,
  tread: name('a tread'),
});

const loadState = fields('the state of a load', {
  least: positiveOrZero,
  most: positiveOrZero,
  mayBeAbsent: flag,
});

const edit = oneOfKinds('a change', [
  fields('a change', { kind: word('rename'), name: name('a name') }),
  fields('a change', {
    kind: word('castor lock'),
    castor,
    lock: choice(['none', 'wheel', 'directional', 'total']),
    brakeTorque: z.nullable(positiveOrZero),
    lockDirections: z.nullable(list(anyNumber, 'directions', 0, 64)),
  }),
  fields('a change', { kind: word('castor place'), castor, at: place }),
  fields('a change', { kind: word('castor kind'), castor, becomes: castorKind }),
  fields('a change', {
    kind: word('friction'),
    tread: name('a tread'),
    value: positiveOrZero,
    tolerance: positiveOrZero,
    basis: choice(['assumed', 'measured']),
  }),
  fields('a change', {
    kind: word('add part'),
    name: name('a name'),
    mass: positiveOrZero,
    at: point,
    on: z.nullable(name('a mover')),
  }),
  fields('a change', { kind: word('part mass'), part: name('a part'), mass: positiveOrZero }),
  fields('a change', { kind: word('part place'), part: name('a part'), at: point }),
  fields('a change', {
    kind: word('mover range'),
    mover: name('a mover'),
    from: anyNumber,
    to: anyNumber,
  }),
  fields('a change', {
    kind: word('position mover'),
    position: name('a position'),
    mover: name('a mover'),
    from: anyNumber,
    to: anyNumber,
  }),
  fields('a change', {
    kind: word('position load'),
    position: name('a position'),
    load: name('a load'),
    state: loadState,
  }),
  fields('a change', {
    kind: word('add marking'),
    marking: choice(['no pushing', 'no sitting', 'no stepping']),
  }),
  fields('a change', { kind: word('raise'), by: anyNumber }),
]) satisfies z.ZodType<CartEdit>;

export const editsShape = list(edit, 'changes', 0, LIST_LIMITS.edits);
