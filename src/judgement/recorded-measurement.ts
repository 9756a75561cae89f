/**
 * Weighings and friction tests of the record as metrology takes them: contacts from the cart in the state
 * that was weighed, uncertainties from the instruments.
 *
 * A scale has a reading and a zero, each to one step of its display (EURAMET Calibration Guide No. 18, 7.1.1;
 * from memory): u^2 = (U / k)^2 + 2 d^2 / 12. What one scale is off by it is off by under every castor.
 */

import type { Dimension, Pose, PosedCart } from '../analysis/index.js';
import { poseCart, quantityText } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type {
  FrictionOutcome,
  ScaleReading,
  SlipReading,
  Tilt,
  TiltWeighing,
  WeighingOutcome,
} from '../metrology/index.js';
import { frictionShown, weighed } from '../metrology/index.js';
import type { InstrumentKind } from '../test-plan/index.js';
import type {
  FrictionBody,
  InstrumentBody,
  ShownByScale,
  Typed,
  Used,
  WeighingBody,
} from '../test-record/index.js';
import { siOf } from '../test-record/index.js';
import { calibrationRemarks } from './calibration.js';
import type { ReadingUncertainty } from './instrument-uncertainty.js';
import { instrumentsOf, nameOf, uncertaintyOfReading } from './instrument-uncertainty.js';

type Instruments = ReadonlyMap<string, InstrumentBody>;

/** Problems and remarks as they are met. */
interface Found {
  readonly problems: string[];
  readonly remarks: Set<string>;
}

const nothingFound = (): Found => ({ problems: [], remarks: new Set() });

/**
 * The weighing of the record as the model sees it: contacts from the cart in the state that was weighed,
 * instruments' uncertainties. Never throws for a record that `readEntry` took: what does not fit the cart
 * or lacks an uncertainty is refused, each with field and value.
 */
export function weighingOf(
  cart: Cart,
  body: WeighingBody,
  instruments: Instruments,
): WeighingOutcome {
  const found = nothingFound();
  const posed = posedAsWeighed(cart, body, found);
  const contactU = siOf(body.contactUncertainty, 'length');
  const repeats = body.repeats.map((shown, i) =>
    scaleReadings(`repeats ${i + 1}`, shown, body, instruments, found),
  );
  const tilt = tiltOf(body, instruments, found);
  if (posed === null || found.problems.length > 0) {
    return { kind: 'refused', problems: found.problems };
  }
  const contacts = posed.castors.map(({ name, contact: [x, y], rolls }) => ({
    castor: name,
    at: [x, y] as const,
    u: contactU,
    rolls,
  }));
  const outcome = weighed({ contacts, level: { repeats }, tilt });
  const used = [...body.scales, ...(body.tilt === null ? [] : [body.tilt.inclinometer])];
  const remarks = [
    ...found.remarks,
    ...calibrationRemarks(used, body.taken, instruments),
    ...levelRemark(outcome),
  ];
  return outcome.kind === 'ok' ? withRemarks(outcome, remarks) : outcome;
}

/** rad: how far scales that were set by a spirit level may be off (common practice, no source) */
const OFF_LEVEL = (0.2 * Math.PI) / 180;

/** A record does not say how level the scales stood, so that no budget has it in. Off level by an angle, the
 * line of the weight meets the floor by height x angle off. */
function levelRemark(outcome: WeighingOutcome): readonly string[] {
  if (outcome.kind !== 'ok' || outcome.result.height === null) return [];
  const shift = quantityText(outcome.result.height.value * OFF_LEVEL, 'length', 'SI');
  return [
    `How level the scales stood is not in the budget: ${quantityText(OFF_LEVEL, 'angle', 'SI')} off level moves x or y by ${shift}.`,
  ];
}

function withRemarks(
  { result }: Extract<WeighingOutcome, { kind: 'ok' }>,
  remarks: readonly string[],
): WeighingOutcome {
  return { kind: 'ok', result: { ...result, remarks: [...result.remarks, ...remarks] } };
}

/**
 * The pose that a cart was weighed in.
 *
 * @throws RangeError naming field, value and what is allowed, where the record does not fit the cart
 */
export function poseWeighed(cart: Cart, body: WeighingBody): Pose {
  const { problems, remarks } = nothingFound();
  const pose = poseOf(cart, body, { problems, remarks });
  if (pose === null) throw new RangeError(`poseWeighed: ${problems.join('; ')}`);
  return pose;
}

function posedAsWeighed(cart: Cart, body: WeighingBody, found: Found): PosedCart | null {
  const pose = poseOf(cart, body, found);
  return pose === null ? null : poseCart(cart, pose);
}

function poseOf(cart: Cart, body: WeighingBody, found: Found): Pose | null {
  const before = found.problems.length;
  const position = cart.positions.find(({ name }) => name === body.position);
  if (position === undefined) {
    const allowed = cart.positions.map(({ name }) => name).join(', ');
    found.problems.push(`position '${body.position}': not one of the cart; allowed: ${allowed}`);
  }
  const swivelling = cart.castors.filter(({ fixedDirection }) => fixedDirection === null);
  const kinds = new Map(cart.movers.map(({ name, kind }) => [name, kind]));
  const movers = valuesOf('movers', body.movers, cart.movers, found, (name) =>
    kinds.get(name) === 'turn' ? 'angle' : 'length',
  );
  const loads = valuesOf('loads', body.loads, cart.loads, found, () => 'mass');
  const swivels = valuesOf('swivels', body.swivels, swivelling, found, () => 'angle');
  if (found.problems.length > before) return null;
  const nothingActs = { incline: null, push: null, press: null, without: null };
  return { position: body.position, movers, loads, swivels, ...nothingActs };
}

/** Each thing of the cart once, nothing else; what is not said is not guessed. */
function valuesOf(
  field: string,
  given: Readonly<Record<string, Typed>>,
  things: readonly { readonly name: string }[],
  { problems }: Found,
  dimensionOf: (name: string) => 'length' | 'angle' | 'mass',
): Readonly<Record<string, number>> {
  const names = things.map(({ name }) => name);
  const allowed = names.length === 0 ? 'none' : names.join(', ');
  for (const name of Object.keys(given)) {
    if (!names.includes(name)) {
      problems.push(`${field} '${name}': the cart has none of the name; allowed: ${allowed}`);
    }
  }
  return Object.fromEntries(
    names.flatMap((name): [string, number][] => {
      const typed = Object.hasOwn(given, name) ? given[name] : undefined;
      const value = typed === undefined ? null : readAs(typed, dimensionOf(name));
      if (value !== null) return [[name, value]];
      const wrong = typed === undefined ? 'nothing is said of it' : `'${typed}'`;
      problems.push(`${field} '${name}': ${wrong}; allowed: ${ALLOWED[dimensionOf(name)]}`);
      return [];
    }),
  );
}

const ALLOWED = {
  length: 'a length with its unit, such as 320 mm',
  angle: 'an angle with its unit, such as 90 deg',
  mass: 'a mass with its unit, such as 4 kg; 0 kg where it is absent',
} as const;

/** null: it is of another dimension */
function readAs(typed: Typed, dimension: Dimension & ('length' | 'angle' | 'mass')): number | null {
  try {
    return siOf(typed, dimension);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

function scaleReadings(
  field: string,
  shown: readonly ShownByScale[],
  { scales }: WeighingBody,
  instruments: Instruments,
  found: Found,
): readonly ScaleReading[] {
  return shown.flatMap((each): ScaleReading[] => {
    const where = `${field}, castor '${each.castor}', shown '${each.shown}'`;
    const used = scales.filter(({ castors }) => castors.includes(each.castor));
    const [scale] = used;
    if (scale === undefined || used.length > 1) {
      const wrong = scale === undefined ? 'stands on no scale' : 'stands on several scales';
      found.problems.push(`${where}: the castor ${wrong}; allowed: one scale a castor`);
      return [];
    }
    const value = siOf(each.shown, 'mass');
    const read = { what: 'the load of a castor', value, dimension: 'mass' } as const;
    const lines = linesOf(where, { ...read, kind: 'scale' }, [scale], instruments, found);
    const zero = lines.filter(({ source }) => source.startsWith('resolution'));
    const u = Math.hypot(...[...lines, ...zero].map((line) => line.u));
    return [
      { castor: each.castor, shown: value, u, scale: scaleName(scale.instrument, instruments) },
    ];
  });
}

/** As a budget names it; two scales of one name and serial number are still two. */
function scaleName(subject: string, instruments: Instruments): string {
  const instrument = instruments.get(subject);
  if (instrument === undefined) return subject;
  const name = nameOf(instrument);
  const alike = [...instruments].filter(([, each]) => nameOf(each) === name);
  return alike.length === 1 ? name : `${name}, record ${subject}`;
}

interface Asked {
  readonly what: string;
  readonly value: number;
  readonly dimension: 'mass' | 'angle' | 'force';
  readonly kind: InstrumentKind;
}

/** The lines of a reading; a problem where its uncertainty is not known. */
function linesOf(
  where: string,
  { kind, ...read }: Asked,
  used: readonly Used[],
  instruments: Instruments,
  found: Found,
): ReadingUncertainty['lines'] {
  const of = instrumentsOf(used, instruments, [kind]);
  const { lines, missing, remarks } = uncertaintyOfReading(
    { ...read, fromDisplay: true },
    of,
    kind,
  );
  for (const remark of remarks) found.remarks.add(remark);
  if (missing !== null) {
    const which = of.length === 0 ? 'no instrument' : of.map(nameOf).join(', ');
    const allowed = `a ${kind} with a stated uncertainty, within its range`;
    found.problems.push(`${where}: ${missing} Instrument: ${which}; allowed: ${allowed}`);
  }
  return lines;
}

function tiltOf(body: WeighingBody, instruments: Instruments, found: Found): TiltWeighing | null {
  const { tilt } = body;
  if (tilt === null) return null;
  return {
    lifted: tilt.lifted,
    axisHeight: siOf(tilt.axisHeight, 'length'),
    axisHeightU: siOf(tilt.axisHeightUncertainty, 'length'),
    tilts: tilt.tilts.map(({ angle, way, lower }, i): Tilt => {
      const where = `tilt, tilts ${i + 1}, angle '${angle}'`;
      const value = siOf(angle, 'angle');
      const read = { what: 'the tilt', value, dimension: 'angle', kind: 'inclinometer' } as const;
      const lines = linesOf(where, read, [tilt.inclinometer], instruments, found);
      return {
        angle: value,
        u: Math.hypot(...lines.map((line) => line.u)),
        way,
        lower: scaleReadings(`tilt, tilts ${i + 1}`, lower, body, instruments, found),
      };
    }),
  };
}

/** A friction test of the record as metrology takes it. Never throws for a record that `readEntry` took. */
export function frictionOf(body: FrictionBody, instruments: Instruments): FrictionOutcome {
  const found = nothingFound();
  const readings = body.readings.map((reading, i) => slipOf(reading, i, body, instruments, found));
  if (found.problems.length > 0) return { kind: 'refused', problems: found.problems };
  const outcome = frictionShown(readings);
  if (outcome.kind !== 'ok') return outcome;
  const { result } = outcome;
  const calibration = calibrationRemarks(body.instruments, body.taken, instruments);
  const remarks = [...result.remarks, ...found.remarks, ...calibration];
  return { kind: 'ok', result: { ...result, remarks } };
}

function slipOf(
  reading: FrictionBody['readings'][number],
  index: number,
  body: FrictionBody,
  instruments: Instruments,
  found: Found,
): SlipReading {
  const uncertainty = (field: string, typed: Typed, asked: Omit<Asked, 'value'>) => {
    const value = siOf(typed, asked.dimension);
    const where = `readings ${index + 1}, ${field} '${typed}'`;
    const lines = linesOf(where, { ...asked, value }, body.instruments, instruments, found);
    return { value, u: Math.hypot(...lines.map(({ u }) => u)) };
  };
  if (reading.kind === 'slip angle') {
    const asked = { what: 'the slip angle', dimension: 'angle', kind: 'inclinometer' } as const;
    const angle = uncertainty('angle', reading.angle, asked);
    return { kind: 'slip angle', angle: angle.value, u: angle.u };
  }
  const pull = { what: 'the pull', dimension: 'force', kind: 'force gauge' } as const;
  const weight = { what: 'the sliding mass', dimension: 'mass', kind: 'scale' } as const;
  const force = uncertainty('force', reading.force, pull);
  const mass = uncertainty('mass', reading.mass, weight);
  return { kind: 'pull', force: force.value, u: force.u, mass: mass.value, massU: mass.u };
}
