/** What each kind of entry says, field by field. */

import { z } from 'zod';
import { CART_FILE_LIMITS } from '../document/index.js';
import { INSTRUMENT_KINDS } from '../test-plan/index.js';
import { refineCart, refineInstrument, refineReading, refineWeighing } from './body-rules.js';
import { editsShape } from './edit-shape.js';
import type { ContentBody, RunReading } from './entry-body.js';
import {
  attachment,
  byName,
  choice,
  day,
  fields,
  fileText,
  flag,
  line,
  list,
  name,
  notes,
  number,
  oneOfKinds,
  temperature,
  time,
  typed,
  uuid,
  word,
  writtenNotes,
} from './entry-fields.js';
import {
  ATTACHMENT_MEDIA,
  COVERAGE_LIMITS,
  LIST_LIMITS,
  PHOTO_MEDIA,
  TABLE_MEDIA,
  TEXT_LIMITS,
  TRACE_LIMITS,
  TYPED_LIMITS as TYPED,
} from './entry-limits.js';
import { planShape } from './plan-shape.js';
import { LONGEST_TYPED } from './typed-value.js';

const remarks = notes('notes');
const photos = list(attachment(PHOTO_MEDIA), 'photos', 0, LIST_LIMITS.photos);

const project = fields('a project', {
  kind: word('project'),
  name: name('the name of the project'),
  customer: line('the customer'),
  notes: remarks,
});

const cart = fields('a revision of the cart', {
  kind: word('cart'),
  revision: name('the revision', 40),
  file: name('the name of the cart file'),
  text: fileText('the text of the cart file', CART_FILE_LIMITS.bytes),
  partsLists: list(attachment(TABLE_MEDIA), 'parts lists', 0, LIST_LIMITS['parts lists']),
  follows: z.nullable(uuid),
  because: list(uuid, 'records', 0, LIST_LIMITS.records),
  change: notes('what is different'),
  edits: editsShape,
}).superRefine(refineCart);

const plan = fields('a plan', {
  kind: word('plan'),
  name: name('the name of the plan'),
  cart: uuid,
  plan: planShape,
  program: line('the version of the program'),
});

// its dimension goes with the kind of the instrument: see `refineInstrument`
const stated = name('a quantity with its unit', LONGEST_TYPED);

const instrument = fields('an instrument', {
  kind: word('instrument'),
  instrument: choice(INSTRUMENT_KINDS),
  name: name('the name of the instrument'),
  serial: line('the serial number'),
  certificate: line('the number of the certificate'),
  calibrated: z.nullable(day),
  due: z.nullable(day),
  uncertainty: z.nullable(stated),
  coverage: number(COVERAGE_LIMITS.least, COVERAGE_LIMITS.most),
  resolution: z.nullable(stated),
  from: z.nullable(stated),
  to: z.nullable(stated),
  notes: remarks,
}).superRefine(refineInstrument);

const sample = fields('a sample', {
  kind: word('sample'),
  name: name('the name of the sample'),
  serial: line('the serial number'),
  cart: uuid,
  condition: notes('the condition'),
  received: z.nullable(day),
  photos,
  notes: remarks,
});

const conditions = {
  taken: time,
  operator: name('the operator'),
  temperature: z.nullable(temperature),
  photos,
  notes: remarks,
};

const useOfInstrument = {
  instrument: uuid,
  despite: z.nullable(writtenNotes('why it was used all the same', TEXT_LIMITS.why)),
};
const used = fields('the use of an instrument', useOfInstrument);
const instruments = list(used, 'instruments', 0, LIST_LIMITS.instruments);

const castorNames = (least: number) =>
  list(name('a castor'), 'castors', least, LIST_LIMITS.castors);

const shownByScale = fields('what a scale shows', {
  castor: name('a castor'),
  shown: typed(TYPED.shown),
});
const shown = list(shownByScale, 'castors', 1, LIST_LIMITS.castors);

const tilt = fields('a tilt', {
  angle: typed(TYPED.tilt),
  way: choice(['up', 'down']),
  lower: shown,
});

const tilting = fields('a weighing with tilts', {
  inclinometer: used,
  lifted: castorNames(1),
  axisHeight: typed(TYPED.axisHeight),
  axisHeightUncertainty: typed(TYPED.placeUncertainty),
  tilts: list(tilt, 'tilts', 1, LIST_LIMITS.tilts),
});

const weighing = fields('a weighing', {
  kind: word('weighing'),
  sample: uuid,
  position: name('a position'),
  movers: byName(typed(TYPED.slide, TYPED.turn), 'movers', LIST_LIMITS.movers),
  loads: byName(typed(TYPED.shown), 'masses of loads', LIST_LIMITS.loads),
  swivels: byName(typed(TYPED.turn), 'angles of castors', LIST_LIMITS.castors),
  scales: list(
    fields('the use of a scale', { ...useOfInstrument, castors: castorNames(1) }),
    'scales',
    1,
    LIST_LIMITS.instruments,
  ),
  contactUncertainty: typed(TYPED.placeUncertainty),
  repeats: list(shown, 'repeats', 1, LIST_LIMITS.repeats),
  tilt: z.nullable(tilting),
  ...conditions,
}).superRefine(refineWeighing);

const friction = fields('a friction test', {
  kind: word('friction'),
  sample: uuid,
  tread: name('a tread'),
  floor: name('the floor'),
  instruments,
  readings: list(
    oneOfKinds('a reading', [
      fields('a slip angle', { kind: word('slip angle'), angle: typed(TYPED.slipAngle) }),
      fields('a pull', {
        kind: word('pull'),
        force: typed(TYPED.pull),
        mass: typed(TYPED.slidingMass),
      }),
    ]),
    'readings',
    1,
    LIST_LIMITS.readings,
  ),
  ...conditions,
});

const maybeMovement = z.nullable(typed(TYPED.movement));
const movement = fields('a movement', {
  elastic: maybeMovement,
  creepage: maybeMovement,
  pivoting: maybeMovement,
  further: maybeMovement,
});

const traceTime = number(0, TRACE_LIMITS.time);
const traceForce = number(0, TRACE_LIMITS.force);
const trace = fields('a trace', {
  file: attachment(TABLE_MEDIA),
  peak: fields('a peak', { time: traceTime, force: traceForce }),
  hold: z.nullable(traceForce),
  onset: z.nullable(
    fields('an onset', { time: traceTime, force: traceForce, u: traceForce, timeU: traceTime }),
  ),
  overruled: z.nullable(
    fields('an onset that counts instead', {
      time: traceTime,
      force: traceForce,
      u: traceForce,
      reason: writtenNotes('the reason', TEXT_LIMITS.why),
    }),
  ),
});

const reading = fields('a reading', {
  direction: z.nullable(typed(TYPED.turn)),
  load: z.nullable(typed(TYPED.incline, TYPED.force)),
  result: z.nullable(choice(['held', 'gave way'])),
  mode: z.nullable(choice(['tips', 'slides', 'pivots', 'rolls', 'other'])),
  movement: z.nullable(movement),
  forceToMove: z.nullable(typed(TYPED.force)),
  castorLoad: z.nullable(typed(TYPED.shown)),
  done: z.nullable(flag),
  trace: z.nullable(trace),
  note: remarks,
}).superRefine(refineReading) satisfies z.ZodType<RunReading>;

const run = fields('a run', {
  kind: word('run'),
  plan: uuid,
  run: name('the id of a run of the plan'),
  sample: uuid,
  instruments,
  readings: list(reading, 'readings', 1, LIST_LIMITS.readings),
  deviations: notes('what was done otherwise'),
  retestOf: z.nullable(uuid),
  ...conditions,
});

const diagnosis = fields('a diagnosis', {
  kind: word('diagnosis'),
  run: uuid,
  mechanism: writtenNotes('the mechanism'),
  proposed: list(writtenNotes('a remedy', TEXT_LIMITS.why), 'remedies', 0, LIST_LIMITS.remedies),
  chosen: notes('what was chosen'),
  edits: editsShape,
});

const note = fields('a note', {
  kind: word('note'),
  about: z.nullable(uuid),
  text: writtenNotes('the note'),
  // any file: the certificate of an instrument is pinned to it by a note
  photos: list(attachment(ATTACHMENT_MEDIA), 'files', 0, LIST_LIMITS.photos),
});

const review = fields('a review', { kind: word('review'), statement: writtenNotes('a statement') });
const withdrawal = fields('a withdrawal', { kind: word('withdrawal') });

/** One shape a kind of content: a kind without a shape does not compile. */
const CONTENT = {
  project,
  cart,
  plan,
  instrument,
  sample,
  weighing,
  friction,
  run,
  diagnosis,
  note,
} as const satisfies {
  readonly [K in ContentBody['kind']]: z.ZodType<Extract<ContentBody, { readonly kind: K }>>;
};

export const bodyShape = oneOfKinds('what the entry says', [
  CONTENT.project,
  CONTENT.cart,
  CONTENT.plan,
  CONTENT.instrument,
  CONTENT.sample,
  CONTENT.weighing,
  CONTENT.friction,
  CONTENT.run,
  CONTENT.diagnosis,
  CONTENT.note,
  review,
  withdrawal,
]);
