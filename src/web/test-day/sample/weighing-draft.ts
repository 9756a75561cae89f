/** A weighing as it is being recorded: what the form holds, and the body that it makes. */

import type { Pose } from '../../../analysis/index.js';
import { poseCart, startPose } from '../../../analysis/index.js';
import type { Cart } from '../../../document/index.js';
import type {
  InstrumentBody,
  RecordState,
  ShownByScale,
  Subject,
  Typed,
  Used,
  WeighingBody,
} from '../../../test-record/index.js';
import type { Dimension, UnitSystem } from '../../../units/index.js';
import { parseQuantity } from '../../../units/index.js';
import { typedQuantity } from '../../describe/typed-amount.js';
import type { MassUnit } from '../form/typed-number.js';
import { MASS_UNITS, unitOf, withoutUnit, withUnit } from '../form/typed-number.js';
import type { ConditionsDraft } from './conditions-draft.js';
import { conditionsDraftOf, conditionsOf, newConditions } from './conditions-draft.js';

/** Texts by name. */
export type Texts = Readonly<Record<string, string>>;

export interface TiltRow {
  readonly angle: string;
  readonly way: 'up' | 'down';
  /** what each castor's scale shows; of those that are lifted it is not read */
  readonly shown: Texts;
}

/** Texts as typed; '' is nothing. */
export interface WeighingDraft extends ConditionsDraft {
  readonly position: string;
  readonly movers: Texts;
  readonly loads: Texts;
  readonly swivels: Texts;
  /** scale by castor; '': not chosen */
  readonly scaleOf: Readonly<Record<string, Subject | ''>>;
  /** why an instrument is used past its calibration */
  readonly despite: Readonly<Record<Subject, string>>;
  /** of bare numbers in the tables */
  readonly unit: MassUnit;
  readonly contactUncertainty: string;
  readonly repeats: readonly Texts[];
  readonly isTilted: boolean;
  readonly inclinometer: Subject | '';
  readonly lifted: readonly string[];
  readonly axisHeight: string;
  readonly axisHeightUncertainty: string;
  readonly tilts: readonly TiltRow[];
}

/** Angles are typed in it. */
const ANGLE_UNIT = 'deg';
/** Three up, the same three down: what ISO 10392 asks for, at least. */
const FIRST_TILTS = ['up', 'up', 'up', 'down', 'down', 'down'] as const;
/** So many show how well it repeats. */
const FIRST_REPEATS = 3;

export interface WeighingStart {
  readonly cart: Cart;
  readonly units: UnitSystem;
  readonly operator: string;
  /** ISO 8601 */
  readonly now: string;
  /** that count, in the order of the record */
  readonly instruments: readonly RecordState<InstrumentBody>[];
}

export function newWeighing(start: WeighingStart): WeighingDraft {
  const { cart, units } = start;
  const position = cart.positions.find(({ kind }) => kind === 'transport') ?? cart.positions[0];
  const name = position?.name ?? '';
  return {
    ...newConditions(start.operator, start.now),
    ...stateOf(cart, name, units),
    swivels: textsOf(startPose(cart, name).swivels, () => 'angle', units),
    scaleOf: suggestedScales(start),
    despite: {},
    unit: units === 'US' ? 'lb' : 'kg',
    contactUncertainty: '',
    repeats: Array.from({ length: FIRST_REPEATS }, () => ({})),
    isTilted: false,
    inclinometer: suggestedInclinometer(start),
    lifted: [],
    axisHeight: axisHeightOf(cart, units),
    axisHeightUncertainty: '',
    tilts: FIRST_TILTS.map((way) => ({ angle: '', way, shown: {} })),
  };
}

/** Movers and loads as a position is first shown. */
export function stateOf(
  cart: Cart,
  position: string,
  units: UnitSystem,
): Pick<WeighingDraft, 'position' | 'movers' | 'loads'> {
  const { movers, loads } = startPose(cart, position);
  return {
    position,
    movers: textsOf(movers, (name) => moverDimension(cart, name), units),
    loads: textsOf(loads, () => 'mass', units),
  };
}

export function moverDimension(cart: Cart, name: string): 'angle' | 'length' {
  return cart.movers.find((mover) => mover.name === name)?.kind === 'turn' ? 'angle' : 'length';
}

function textsOf(
  values: Readonly<Record<string, number>>,
  dimensionOf: (name: string) => Dimension,
  units: UnitSystem,
): Texts {
  return Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, typedIn(value, dimensionOf(name), units)]),
  );
}

const US_UNITS: Readonly<Partial<Record<Dimension, string>>> = { length: 'in', mass: 'lb' };

function typedIn(value: number, dimension: Dimension, units: UnitSystem): string {
  return typedQuantity(value, dimension, units === 'US' ? (US_UNITS[dimension] ?? null) : null);
}

/** The radius of the wheels, through whose axles their forces pass; '' where they differ. */
function axisHeightOf({ castors }: Cart, units: UnitSystem): string {
  const [radius, ...others] = new Set(castors.map(({ wheelDiameter }) => wheelDiameter / 2));
  return radius === undefined || others.length > 0 ? '' : typedIn(radius, 'length', units);
}

function ofKind(start: WeighingStart, kind: InstrumentBody['instrument']): readonly Subject[] {
  const today = start.now.slice(0, 10);
  const isInDate = ({ content: { due } }: RecordState<InstrumentBody>) =>
    due === null || due >= today;
  return start.instruments
    .filter(({ content, withdrawn }) => !withdrawn && content.instrument === kind)
    .sort((a, b) => Number(isInDate(b)) - Number(isInDate(a)))
    .map(({ subject }) => subject);
}

/** One a castor where there are as many, the only one under all; else it has to be said. */
function suggestedScales(start: WeighingStart): WeighingDraft['scaleOf'] {
  const { castors } = start.cart;
  const scales = ofKind(start, 'scale');
  const scaleAt = (i: number): Subject | '' => {
    if (scales.length === 1) return scales[0] ?? '';
    return scales.length >= castors.length ? (scales[i] ?? '') : '';
  };
  return Object.fromEntries(castors.map(({ name }, i) => [name, scaleAt(i)]));
}

function suggestedInclinometer(start: WeighingStart): Subject | '' {
  return ofKind(start, 'inclinometer')[0] ?? '';
}

/** An earlier record, to be changed. */
export function weighingDraftOf(
  { content, newest }: RecordState<WeighingBody>,
  cart: Cart,
  units: UnitSystem,
): WeighingDraft {
  const { tilt } = content;
  const readings = [...content.repeats, ...(tilt?.tilts ?? []).map(({ lower }) => lower)].flat();
  const unit = unitOf(
    readings.map(({ shown }) => shown),
    MASS_UNITS,
    'mass',
  );
  const uses = [...content.scales, ...(tilt === null ? [] : [tilt.inclinometer])];
  return {
    ...conditionsDraftOf(content, newest),
    position: content.position,
    movers: textsFor(cart.movers, content.movers),
    loads: textsFor(cart.loads, content.loads),
    swivels: textsFor(swivelling(cart), content.swivels),
    scaleOf: Object.fromEntries(
      content.scales.flatMap(({ instrument, castors }) =>
        castors.map((castor) => [castor, instrument]),
      ),
    ),
    despite: Object.fromEntries(
      uses.flatMap(({ instrument, despite }) => (despite === null ? [] : [[instrument, despite]])),
    ),
    unit,
    contactUncertainty: content.contactUncertainty,
    repeats: content.repeats.map((shown) => shownTexts(shown, unit)),
    isTilted: tilt !== null,
    inclinometer: tilt?.inclinometer.instrument ?? '',
    lifted: tilt?.lifted ?? [],
    axisHeight: tilt?.axisHeight ?? axisHeightOf(cart, units),
    axisHeightUncertainty: tilt?.axisHeightUncertainty ?? '',
    tilts:
      tilt?.tilts.map(({ angle, way, lower }) => ({
        angle: withoutUnit(angle, ANGLE_UNIT),
        way,
        shown: shownTexts(lower, unit),
      })) ?? FIRST_TILTS.map((way) => ({ angle: '', way, shown: {} })),
  };
}

function swivelling({ castors }: Cart): Cart['castors'] {
  return castors.filter(({ fixedDirection }) => fixedDirection === null);
}

/** Of what the cart has, in its order: a sample may have been put to another revision since. */
function textsFor(
  things: readonly { readonly name: string }[],
  typed: Readonly<Record<string, Typed>>,
): Texts {
  return Object.fromEntries(
    things.map(({ name }) => [name, Object.hasOwn(typed, name) ? (typed[name] ?? '') : '']),
  );
}

function shownTexts(readings: readonly ShownByScale[], unit: MassUnit): Texts {
  return Object.fromEntries(
    readings.map(({ castor, shown }) => [castor, withoutUnit(shown, unit)]),
  );
}

/**
 * What the record keeps. Rows of the tables in which nothing was typed are no readings and left out.
 *
 * @param castors of the cart, in its order
 */
export function weighingBodyOf(
  draft: WeighingDraft,
  sample: Subject,
  castors: readonly string[],
): WeighingBody {
  return {
    kind: 'weighing',
    sample,
    position: draft.position,
    movers: trimmed(draft.movers),
    loads: trimmed(draft.loads),
    swivels: trimmed(draft.swivels),
    scales: scalesOf(draft, castors),
    contactUncertainty: draft.contactUncertainty.trim(),
    repeats: keptRepeats(draft).map((i) => readingsOf(draft.repeats[i] ?? {}, castors, draft.unit)),
    tilt: draft.isTilted ? tiltOf(draft, castors) : null,
    ...conditionsOf(draft),
  };
}

function trimmed(texts: Texts): Readonly<Record<string, Typed>> {
  return Object.fromEntries(Object.entries(texts).map(([name, text]) => [name, text.trim()]));
}

function scalesOf(draft: WeighingDraft, castors: readonly string[]): WeighingBody['scales'] {
  const byScale = new Map<Subject, string[]>();
  for (const castor of castors) {
    const scale = draft.scaleOf[castor] ?? '';
    byScale.set(scale, [...(byScale.get(scale) ?? []), castor]);
  }
  return [...byScale].map(([instrument, under]) => ({
    ...usedOf(draft, instrument),
    castors: under,
  }));
}

function usedOf({ despite }: WeighingDraft, instrument: Subject): Used {
  const reason = despite[instrument]?.trim() ?? '';
  return { instrument, despite: reason === '' ? null : reason };
}

function readingsOf(
  shown: Texts,
  castors: readonly string[],
  unit: MassUnit,
): readonly ShownByScale[] {
  return castors.map((castor) => ({ castor, shown: withUnit(shown[castor] ?? '', unit) }));
}

function tiltOf(draft: WeighingDraft, castors: readonly string[]): WeighingBody['tilt'] {
  return {
    inclinometer: usedOf(draft, draft.inclinometer),
    lifted: draft.lifted,
    axisHeight: draft.axisHeight.trim(),
    axisHeightUncertainty: draft.axisHeightUncertainty.trim(),
    tilts: keptTilts(draft, castors).flatMap((i) => {
      const row = draft.tilts[i];
      if (row === undefined) return [];
      const lower = readingsOf(row.shown, lowerOf(draft, castors), draft.unit);
      return [{ angle: withUnit(row.angle, ANGLE_UNIT), way: row.way, lower }];
    }),
  };
}

export function lowerOf(
  { lifted }: Pick<WeighingDraft, 'lifted'>,
  castors: readonly string[],
): readonly string[] {
  return castors.filter((castor) => !lifted.includes(castor));
}

/** Rows of the level weighing in which something was typed: what a problem's `repeats 2` is of. */
export function keptRepeats({ repeats }: WeighingDraft): readonly number[] {
  return indices(repeats, (shown) => Object.values(shown).some(isTyped));
}

export function keptTilts(draft: WeighingDraft, castors: readonly string[]): readonly number[] {
  const lower = lowerOf(draft, castors);
  return indices(
    draft.tilts,
    ({ angle, shown }) => isTyped(angle) || lower.some((castor) => isTyped(shown[castor])),
  );
}

function indices<T>(all: readonly T[], counts: (each: T) => boolean): readonly number[] {
  return all.flatMap((each, i) => (counts(each) ? [i] : []));
}

function isTyped(text: string | undefined): boolean {
  return text !== undefined && text.trim() !== '';
}

/** The rows that are filled in to their end, to show what they come to while the next is typed. */
export function filledIn(draft: WeighingDraft, castors: readonly string[]): WeighingDraft {
  const lower = lowerOf(draft, castors);
  const has = (shown: Texts, names: readonly string[]) =>
    names.every((name) => isTyped(shown[name]));
  const tilts = draft.tilts.filter(({ angle, shown }) => isTyped(angle) && has(shown, lower));
  return {
    ...draft,
    repeats: draft.repeats.filter((shown) => has(shown, castors)),
    tilts,
    isTilted: draft.isTilted && tilts.length > 0,
  };
}

/** For the drawing: what can be read of the state, the rest as the position is first shown. */
export function poseOfDraft(cart: Cart, draft: WeighingDraft): Pose {
  const start = startPose(cart, draft.position);
  return {
    ...start,
    movers: readOr(draft.movers, start.movers, (name) => moverDimension(cart, name)),
    loads: readOr(draft.loads, start.loads, () => 'mass', 0),
    swivels: readOr(draft.swivels, start.swivels, () => 'angle'),
  };
}

function readOr(
  texts: Texts,
  start: Readonly<Record<string, number>>,
  dimensionOf: (name: string) => Dimension,
  least = Number.NEGATIVE_INFINITY,
): Readonly<Record<string, number>> {
  return Object.fromEntries(
    Object.entries(start).map(([name, value]) => {
      const read = parseQuantity(texts[name] ?? '', dimensionOf(name));
      return [name, read.kind === 'ok' && read.value >= least ? read.value : value];
    }),
  );
}

/**
 * rad: the tilt at which the cart falls over its lower castors, by the model; null: no end is lifted, or
 * it stands on none.
 */
export function tippingTilt(cart: Cart, pose: Pose, lifted: readonly string[]): number | null {
  const { castors } = poseCart(cart, pose);
  const up = castors.filter(({ name }) => lifted.includes(name));
  const low = castors.filter(({ name }) => !lifted.includes(name));
  if (up.length === 0 || low.length === 0) return null;
  const mean = (of: typeof castors, axis: 0 | 1) =>
    of.reduce((sum, { contact }) => sum + contact[axis], 0) / of.length;
  const downhill = Math.atan2(mean(low, 1) - mean(up, 1), mean(low, 0) - mean(up, 0));
  return poseCart(cart, { ...pose, incline: { angle: SLIGHT, downhill } }).tipAngle;
}

/** rad: any that is not level tells which way is downhill. */
const SLIGHT = 0.01;
