/** Edits in words, for remedies and studies: what a thing becomes, instead of what it is. */

import type { Dimension } from '../units/index.js';
import { formatQuantity } from '../units/index.js';
import type { Cart, Castor, Friction, LoadState, Vec2 } from './cart.js';
import { editCart } from './cart-edit.js';
import type { CartEdit } from './cart-edit-kinds.js';
import { rangeWords } from './cart-edit-target.js';
import { OUTLASTS_THE_TREAD } from './cart-shape.js';
import { isAbsent } from './cart-tree.js';
import { BRAKES } from './castors.js';

/** Figures shown, and the most where fewer would show a change as none. */
const DIGITS = 4;
const MOST_DIGITS = 12;

/**
 * One phrase for a change, in mm, kg, deg and N m: `lock "front left": total instead of none`.
 *
 * @param cart the cart before the change
 * @throws RangeError when the edit cannot be made, as `editCart`
 */
export function editWords(cart: Cart, edit: CartEdit): string {
  return editsWords(cart, [edit]).join(', ');
}

/**
 * The phrases of edits that are made one after the other. What is done alike to several castors, one
 * directly after the other, is said once: `all castors: trail 20 mm instead of 32 mm`.
 */
export function editsWords(cart: Cart, edits: readonly CartEdit[]): readonly string[] {
  const phrases: Phrase[] = [];
  let before = cart;
  for (const edit of edits) {
    const after = editCart(before, [edit]);
    const phrase = phraseOf(before, after, edit);
    const last = phrases.at(-1);
    if (last !== undefined && isAlike(last, phrase))
      phrases[phrases.length - 1] = joined(last, phrase);
    else phrases.push(phrase);
    before = after;
  }
  return phrases.map((phrase) => sentenceOf(phrase, cart));
}

interface CastorPhrase {
  readonly kind: 'castor lock' | 'castor place' | 'castor kind';
  readonly castors: readonly string[];
  /** what is said of all of them */
  readonly what: string;
  /** of a place: the new ones and the old, in the order of the castors */
  readonly places: readonly (readonly [now: string, old: string])[];
}

type Phrase = CastorPhrase | { readonly kind: 'other'; readonly words: string };

function isAlike(a: Phrase, b: Phrase): boolean {
  return (
    a.kind !== 'other' &&
    a.kind === b.kind &&
    a.what === b.what &&
    b.castors.every((name) => !a.castors.includes(name))
  );
}

function joined(a: Phrase, b: Phrase): Phrase {
  if (a.kind === 'other' || b.kind === 'other') throw new Error('joined: not castors');
  return { ...a, castors: [...a.castors, ...b.castors], places: [...a.places, ...b.places] };
}

function sentenceOf(phrase: Phrase, cart: Cart): string {
  if (phrase.kind === 'other') return phrase.words;
  const { kind, castors, what, places } = phrase;
  const all = allWords(castors, cart);
  const names = listed(castors.map((name) => `"${name}"`));
  const many = castors.length > 1 ? 's' : '';
  const who = all ?? `castor${many} ${names}`;
  if (kind === 'castor lock') {
    return all === null ? `lock${many} ${names}: ${what}` : `${all}: lock ${what}`;
  }
  if (kind === 'castor kind') return `${who}: ${what}`;
  const now = places.map(([each]) => each).join(', ');
  const old = places.map(([, each]) => each).join(', ');
  return `${who} ${what}: ${now} instead of ${old}`;
}

/** 'all castors' where it is said of all of them. */
function allWords(names: readonly string[], cart: Cart): string | null {
  const isSaid = (castor: Castor) => names.includes(castor.name);
  const swivelling = cart.castors.filter((each) => each.fixedDirection === null);
  if (names.length < 2) return null;
  if (cart.castors.every(isSaid)) return 'all castors';
  const isAll = swivelling.every(isSaid) && swivelling.length === names.length;
  return isAll ? 'all swivelling castors' : null;
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

function phraseOf(before: Cart, after: Cart, edit: CartEdit): Phrase {
  switch (edit.kind) {
    case 'castor lock':
    case 'castor place':
    case 'castor kind':
      return castorPhrase(before, after, edit.kind, edit.castor);
    default:
      return { kind: 'other', words: otherWords(before, after, edit) };
  }
}

function castorPhrase(
  before: Cart,
  after: Cart,
  kind: CastorPhrase['kind'],
  name: string,
): CastorPhrase {
  const [old, now] = [of(before.castors, name), of(after.castors, name)];
  const castors = [name];
  if (kind === 'castor lock') return { kind, castors, what: lockChange(old, now), places: [] };
  if (kind === 'castor kind') return { kind, castors, what: kindChange(old, now), places: [] };
  const [nowText, oldText] = twoTexts(now.at, old.at);
  const what = moveWords(old.at, now.at, middleOf(before));
  return { kind, castors, what, places: [[nowText, oldText]] };
}

/** The thing of a name; `editCart` has seen to it that it is there. */
function of<T extends { readonly name: string }>(list: readonly T[], name: string): T {
  const found = list.find((each) => each.name === name);
  if (found === undefined) throw new RangeError(`editWords: nothing is called ${name}`);
  return found;
}

function quantity(value: number, dimension: Dimension, digits = DIGITS): string {
  return formatQuantity(value, dimension, 'SI', { digits });
}

/** `a instead of b`, with as many figures as tell them apart. */
function instead(now: number, old: number, dimension: Dimension): string {
  const at = (digits: number) => [
    quantity(now, dimension, digits),
    quantity(old, dimension, digits),
  ];
  let digits = DIGITS;
  while (now !== old && digits < MOST_DIGITS && at(digits)[0] === at(digits)[1]) digits += 1;
  return at(digits).join(' instead of ');
}

function pointText(point: readonly number[], digits: number): string {
  return `[${point.map((each) => quantity(each, 'length', digits)).join(', ')}]`;
}

/** Two points, with as many figures as tell them apart. */
function twoTexts(now: readonly number[], old: readonly number[]): readonly [string, string] {
  const isMoved = now.some((each, index) => each !== old[index]);
  let digits = DIGITS;
  while (isMoved && digits < MOST_DIGITS && pointText(now, digits) === pointText(old, digits)) {
    digits += 1;
  }
  return [pointText(now, digits), pointText(old, digits)];
}

function lockChange(old: Castor, now: Castor): string {
  const isSameKind = old.lock === now.lock;
  return `${lockWords(now, old, isSameKind)} instead of ${lockWords(old, now, isSameKind)}`;
}

/** What sets the lock apart is said: its brake where it is stated, or where nothing else differs. */
function lockWords(castor: Castor, other: Castor, isSameKind: boolean): string {
  const { lock, brakeTorque, lockDirections } = castor;
  const details: string[] = [];
  if (brakeTorque !== null) details.push(`brake ${quantity(brakeTorque, 'moment')}`);
  else if (BRAKES.has(lock) && isSameKind && other.brakeTorque !== null) {
    details.push(`brake ${OUTLASTS_THE_TREAD}`);
  }
  if (lockDirections !== null) {
    const angles = lockDirections.map((each) => quantity(each, 'angle'));
    details.push(`engages at ${listed(angles)}`);
  } else if (isSameKind && other.lockDirections !== null) details.push('engages at any angle');
  return details.length === 0 ? lock : `${lock} (${details.join(', ')})`;
}

const KIND_QUANTITIES: readonly (readonly [
  words: string,
  field: 'wheelDiameter' | 'trail' | 'swivelMoment' | 'rollingLength' | 'stiffness',
  dimension: Dimension,
])[] = [
  ['wheel', 'wheelDiameter', 'length'],
  ['trail', 'trail', 'length'],
  ['swivel moment', 'swivelMoment', 'moment'],
  ['rolling length', 'rollingLength', 'length'],
  ['stiffness', 'stiffness', 'stiffness'],
];

function kindChange(old: Castor, now: Castor): string {
  const changes = KIND_QUANTITIES.flatMap(([words, field, dimension]) =>
    old[field] === now[field] ? [] : [`${words} ${instead(now[field], old[field], dimension)}`],
  );
  if (old.rating !== now.rating) {
    const [a, b] = [now.rating, old.rating];
    const both = a !== null && b !== null;
    const words = both ? instead(a, b, 'mass') : `${ratingText(a)} instead of ${ratingText(b)}`;
    changes.push(`rating ${words}`);
  }
  if (old.tread !== now.tread) changes.push(`tread "${now.tread}" instead of "${old.tread}"`);
  return changes.length === 0 ? 'as it is' : changes.join(', ');
}

function ratingText(rating: number | null): string {
  return rating === null ? 'not stated' : quantity(rating, 'mass');
}

function middleOf({ castors }: Cart): Vec2 {
  const sum = (axis: 0 | 1) => castors.reduce((total, { at }) => total + at[axis], 0);
  return [sum(0) / castors.length, sum(1) / castors.length];
}

/** m: a step smaller than this along an axis is none. */
const NO_STEP = 1e-9;

/** '25 mm further out', '20 mm further in along, 10 mm across', '5 mm away': as seen from the middle
 * of the castors. */
function moveWords(old: Vec2, now: Vec2, middle: Vec2): string {
  const steps = ([0, 1] as const).map((axis) => {
    const step = now[axis] - old[axis];
    const side = Math.sign(old[axis] - middle[axis]);
    return {
      size: Math.abs(step),
      outward: Math.abs(step) <= NO_STEP ? 0 : Math.sign(step) * side,
    };
  });
  const moving = steps.filter(({ size }) => size > NO_STEP);
  const [along, across] = steps;
  if (moving.length === 0 || along === undefined || across === undefined) return 'where it is';
  if (moving.every(({ outward }) => outward > 0)) return stepWords(along.size, across.size, 'out');
  if (moving.every(({ outward }) => outward < 0)) return stepWords(along.size, across.size, 'in');
  return `${quantity(Math.hypot(along.size, across.size), 'length')} away`;
}

function stepWords(along: number, across: number, way: 'out' | 'in'): string {
  const [x, y] = [quantity(along, 'length'), quantity(across, 'length')];
  if (along <= NO_STEP) return `${y} further ${way}`;
  if (across <= NO_STEP) return `${x} further ${way}`;
  return x === y ? `${x} further ${way} both ways` : `${x} further ${way} along, ${y} across`;
}

type OtherEdit = Exclude<
  CartEdit,
  { readonly kind: 'castor lock' | 'castor place' | 'castor kind' }
>;

function otherWords(before: Cart, after: Cart, edit: OtherEdit): string {
  switch (edit.kind) {
    case 'rename':
      return `name "${after.name}" instead of "${before.name}"`;
    case 'friction':
      return frictionWords(before, after, edit.tread);
    case 'add part': {
      const place = pointText(edit.at, DIGITS);
      const on = edit.on === null ? '' : ` on "${edit.on}"`;
      return `${edit.name} of ${quantity(edit.mass, 'mass')} at ${place}${on}`;
    }
    case 'part mass':
      return `part "${edit.part}": ${instead(edit.mass, of(before.parts, edit.part).mass, 'mass')}`;
    case 'part place': {
      const [now, old] = twoTexts(edit.at, of(before.parts, edit.part).at);
      return `part "${edit.part}" at ${now} instead of ${old}`;
    }
    case 'mover range': {
      const [now, old] = [of(after.movers, edit.mover), of(before.movers, edit.mover)];
      const words = `${rangeWords(now, now.from, now.to)} instead of ${rangeWords(old, old.from, old.to)}`;
      return `mover "${edit.mover}": ${words}`;
    }
    case 'position mover': {
      const mover = of(before.movers, edit.mover);
      const old = of(before.positions, edit.position).movers[edit.mover] ?? mover;
      const words = `${rangeWords(mover, edit.from, edit.to)} instead of ${rangeWords(mover, old.from, old.to)}`;
      return `position "${edit.position}": ${edit.mover} at ${words}`;
    }
    case 'position load': {
      const old = of(before.positions, edit.position).loads[edit.load];
      const was = old === undefined ? '' : ` instead of ${stateWords(old)}`;
      return `position "${edit.position}": ${edit.load} ${stateWords(edit.state)}${was}`;
    }
    case 'add marking':
      return before.markings.includes(edit.marking)
        ? `sign "${edit.marking}" as it is`
        : `sign "${edit.marking}" added`;
    case 'raise': {
      const way = edit.by < 0 ? 'lowered' : 'raised';
      return `everything above the castors ${way} by ${quantity(Math.abs(edit.by), 'length')}`;
    }
  }
}

function frictionWords(before: Cart, after: Cart, tread: string): string {
  const find = ({ floor }: Cart) => floor.friction.find((each) => each.tread === tread);
  const [now, old] = [find(after), find(before)];
  const was = old === undefined ? '' : ` instead of ${frictionText(old)}`;
  return `friction of "${tread}": ${now === undefined ? '' : frictionText(now)}${was}`;
}

/** A coefficient has no unit; the tolerance goes with it. */
function frictionText({ value, tolerance, basis }: Friction): string {
  const number = (each: number) => String(Number(each.toPrecision(DIGITS)));
  return `${number(value)} ± ${number(tolerance)} (${basis})`;
}

function stateWords(state: LoadState): string {
  if (isAbsent(state)) return 'absent';
  const { least, most, mayBeAbsent } = state;
  const range =
    least === most
      ? quantity(most, 'mass')
      : `${quantity(least, 'mass')} to ${quantity(most, 'mass')}`;
  return mayBeAbsent ? `absent or ${range}` : range;
}
