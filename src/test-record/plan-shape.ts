/** A test plan as it is kept, field by field: all that `TestPlan` says, so that what is read back can be
 * judged without the program that made it. */

import { z } from 'zod';
import type { FailureMode, Pose } from '../analysis/index.js';
import type { DecisionRule } from '../metrology/index.js';
import type { Loading, TestPlan, TestRun } from '../test-plan/index.js';
import { INSTRUMENT_KINDS } from '../test-plan/index.js';
import {
  anyNumber,
  byName,
  choice,
  fields,
  flag,
  line,
  list,
  name,
  notes,
  number,
  oneOfKinds,
  positiveOrZero,
  refuse,
  whole,
  word,
} from './entry-fields.js';
import { LIST_LIMITS, TEXT_LIMITS } from './entry-limits.js';
import { requirementSetShape } from './requirement-set-shape.js';

const amount = fields('an amount', {
  value: anyNumber,
  dimension: choice(['angle', 'force', 'speed', 'energy', 'mass', 'length', 'moment', 'ratio']),
});
const maybeAmount = z.nullable(amount);
const maybeNumber = z.nullable(anyNumber);

const point = z.tuple([anyNumber, anyNumber, anyNumber], { error: 'three numbers, m' });
const planPoint = z.tuple([anyNumber, anyNumber], { error: 'two numbers, m' });

const sentence = notes('a sentence', TEXT_LIMITS.why);
const sentences = list(sentence, 'sentences', 0, LIST_LIMITS.lines);

const movers = byName(anyNumber, 'm or rad of movers', LIST_LIMITS.movers);
const loads = byName(positiveOrZero, 'kg of loads', LIST_LIMITS.loads);

const loading = oneOfKinds('what is done to the cart', [
  fields('an incline', {
    kind: word('incline'),
    angle: anyNumber,
    downhill: anyNumber,
    locksOn: flag,
    stop: flag,
  }),
  fields('a push', {
    kind: word('push'),
    point,
    direction: anyNumber,
    force: positiveOrZero,
    slant: positiveOrZero,
    locksOn: flag,
    down: positiveOrZero,
    stop: flag,
  }),
  fields('a press', {
    kind: word('press'),
    point,
    force: positiveOrZero,
    patch: z.tuple([positiveOrZero, positiveOrZero], { error: 'two numbers, m' }),
  }),
  fields('a propulsion', {
    kind: word('propulsion'),
    height: anyNumber,
    direction: anyNumber,
    force: positiveOrZero,
    speed: maybeNumber,
    speedTolerance: maybeNumber,
  }),
  fields('a threshold', {
    kind: word('threshold'),
    height: positiveOrZero,
    width: maybeNumber,
    direction: anyNumber,
    speed: anyNumber,
    speedTolerance: anyNumber,
    passes: whole(1, 1000),
  }),
  fields('a weighing', { kind: word('weighing'), castor: name('a castor'), removed: flag }),
  fields('a lifting', {
    kind: word('lifting'),
    handle: name('a handle'),
    force: positiveOrZero,
    duration: maybeNumber,
  }),
]) satisfies z.ZodType<Loading>;

const pose = fields('a pose', {
  position: name('a position'),
  movers,
  loads,
  swivels: byName(anyNumber, 'rad of castors', LIST_LIMITS.castors),
  incline: z.nullable(fields('an incline', { angle: number(0, Math.PI / 2), downhill: anyNumber })),
  push: z.nullable(fields('a push', { point, direction: anyNumber, force: positiveOrZero })),
  press: z.nullable(fields('a press', { point, force: positiveOrZero })),
  without: z.nullable(name('a castor')),
}) satisfies z.ZodType<Pose>;

const mode = oneOfKinds('how it gives way', [
  fields('a mode', {
    kind: word('tips'),
    castors: list(name('a castor'), 'castors', 0, LIST_LIMITS.castors),
    line: z.tuple([planPoint, planPoint], { error: 'two points' }),
  }),
  fields('a mode', { kind: word('slides'), direction: anyNumber }),
  fields('a mode', {
    kind: word('pivots'),
    about: planPoint,
    sense: z.union([z.literal(1), z.literal(-1)], { error: '1 or -1' }),
  }),
  fields('a mode', { kind: word('rolls'), direction: anyNumber }),
  fields('a mode', { kind: word('stops'), what: line('what stops', 500) }),
  fields('a mode', { kind: word('overloads'), what: line('what is overloaded', 500) }),
]) satisfies z.ZodType<FailureMode>;

const castor = fields('a castor', {
  name: name('a castor'),
  lock: choice(['none', 'wheel', 'directional', 'total']),
  locked: flag,
  swivel: maybeNumber,
});

const setUp = fields('a set-up', {
  position: name('a position'),
  movers,
  turning: list(name('a mover that turns'), 'movers that turn', 0, LIST_LIMITS.movers),
  loads,
  castors: list(castor, 'castors', 0, LIST_LIMITS.castors),
  floor: line('the floor', 500),
  covering: z.nullable(line('what is laid on the floor', 500)),
});

const prediction = fields('a prediction', {
  capacity: maybeAmount,
  demand: maybeAmount,
  margin: maybeAmount,
  reserve: maybeNumber,
  mode: z.nullable(mode),
  proven: maybeAmount,
  verdict: choice(['holds', 'fails', 'depends on friction', 'not decided', 'not applicable']),
  words: sentence,
  frictionNeeded: maybeNumber,
});

const criterion = fields('a criterion', {
  id: name('the id of the criterion'),
  measure: choice(['load held', 'further movement', 'force to move', 'castor load', 'outcome']),
  sense: choice(['at least', 'at most']),
  limit: maybeAmount,
  words: sentence,
  confirmed: flag,
});

const run = fields('a run', {
  id: name('the id of the run'),
  finding: name('the id of the finding'),
  clause: line('the number of the clause', 500),
  title: line('a title', 500),
  asks: sentence,
  purpose: line('what it is for', 500),
  governs: flag,
  setUp,
  loading,
  pose,
  prediction,
  criteria: list(criterion, 'criteria', 1, 20),
  record: sentences,
  cautions: sentences,
  repeats: whole(1, 1000),
}) satisfies z.ZodType<TestRun>;

const equipment = fields('an item of the equipment', {
  id: name('the id of the item'),
  name: name('the name of the item', 500),
  instrument: z.nullable(choice(INSTRUMENT_KINDS)),
  from: maybeAmount,
  to: maybeAmount,
  resolution: maybeAmount,
  uncertainty: maybeAmount,
  why: sentence,
  runs: list(name('the id of a run'), 'runs', 0, LIST_LIMITS.runs),
});

const notTested = fields('a clause that is not tested', {
  finding: name('the id of the finding'),
  clause: line('the number of the clause', 500),
  title: line('a title', 500),
  reason: sentence,
});

const rule = oneOfKinds('a decision rule', [
  fields('a decision rule', { kind: word('simple acceptance') }),
  fields('a decision rule', { kind: word('guard band'), multiple: number(0, 10) }),
  fields('a decision rule', {
    kind: word('shared risk'),
    greatestRisk: number(0, 0.5, 'more than 0, at most 0.5').gt(
      0,
      'a number more than 0, at most 0.5',
    ),
  }),
]) satisfies z.ZodType<DecisionRule>;

const planFields = fields('a test plan', {
  cart: name('the name of the cart'),
  requirementSet: requirementSetShape,
  rule,
  runs: list(run, 'runs', 0, LIST_LIMITS.runs),
  notTested: list(notTested, 'clauses', 0, LIST_LIMITS.clauses),
  equipment: list(equipment, 'items', 0, LIST_LIMITS.lines),
  changes: fields('counts of changes', {
    planned: whole(0, 1_000_000),
    byClause: whole(0, 1_000_000),
  }),
  cautions: sentences,
}) satisfies z.ZodType<TestPlan>;

export const planShape = planFields.superRefine((plan, context) => {
  const clauses = new Set(plan.requirementSet.clauses.map(({ id }) => id));
  const runs = new Set<string>();
  plan.runs.forEach(({ id, finding }, i) => {
    if (runs.has(id))
      refuse(context, ['runs', i, 'id'], 'is the id of a run before it', 'an id of its own');
    if (!clauses.has(finding)) {
      refuse(
        context,
        ['runs', i, 'finding'],
        'is no clause of the set',
        'the id of a clause of the set',
      );
    }
    runs.add(id);
  });
  plan.equipment.forEach((item, i) => {
    const at = item.runs.findIndex((id) => !runs.has(id));
    if (at >= 0)
      refuse(context, ['equipment', i, 'runs', at], 'is no run of the plan', 'the id of a run');
  });
});
