/**
 * Lock layouts: which castors lock, and how. A layout is tried by the number of castors that change;
 * the first number with which some layout passes is the answer.
 *
 * A change never takes holding away, and never the last lock: a cart without locks is not asked to
 * stand still, which is no remedy.
 */

import type { Cart, CartEdit, Castor, LockKind } from '../../document/index.js';
import type { Lever } from '../lever.js';
import { ratio } from '../lever.js';
import type { Phrase } from '../remedy.js';
import type { Outlook, Screener } from '../screener.js';
import { passes } from '../screener.js';
import { reached } from '../solve-lever.js';

export interface LayoutAnswer {
  /** layouts that pass, all with the same number of castors changed, the most reserve first */
  readonly passing: readonly TriedLayout[];
  /** layouts that do not, the nearest first */
  readonly others: readonly TriedLayout[];
  readonly notes: readonly string[];
}

export const NO_LAYOUTS: LayoutAnswer = { passing: [], others: [], notes: [] };

export interface TriedLayout {
  readonly lever: Lever;
  readonly outlook: Outlook;
}

interface LockChange {
  readonly castor: Castor;
  readonly lock: LockKind;
}
type Layout = readonly LockChange[];

/** Layouts tried of one number of changes, with every kind of lock; above, only the strongest kinds. */
const LAYOUTS_TRIED = 400;
/** Castors that may change: above, only those whose change helps most by itself. */
const CASTORS_TRIED = 8;
const SHOWN = 3;
const NEAR_MISSES = 4;

/** Kinds that hold at least as much in each direction; the strongest last. */
function strongerKinds({ lock, fixedDirection }: Castor): readonly LockKind[] {
  if (fixedDirection !== null) return lock === 'wheel' || lock === 'total' ? [] : ['wheel'];
  switch (lock) {
    case 'none':
      return ['directional', 'wheel', 'total'];
    case 'wheel':
    case 'directional':
      return ['total'];
    case 'total':
      return [];
  }
}

export function lockLayouts(screener: Screener, watch: readonly string[]): LayoutAnswer {
  const { cart } = screener;
  const open = cart.castors.filter((castor) => strongerKinds(castor).length > 0);
  if (open.length === 0) return NO_LAYOUTS;
  const score = (layout: Layout): number => reached(screener.quick(editsOf(cart, layout), watch));
  const strongest = open.map((castor) => ({ castor, lock: strongestOf(castor) }));
  const hopeless = score(strongest) < 1;
  const { castors, notes } = worthChanging(open, score);
  const others: Tried[] = [];
  const levels = hopeless ? Math.min(2, castors.length) : castors.length;
  for (let changes = 1; changes <= levels; changes++) {
    const tried = layoutsOf(castors, changes).map(
      (layout): Tried => ({ layout, score: score(layout) }),
    );
    const passing = verified(
      screener,
      simplest(
        tried.filter((each) => each.score >= 1),
        1,
      ),
    );
    if (passing.length > 0) {
      return {
        passing,
        others: nearest(screener, [...others, ...tried.filter((each) => each.score < 1)]),
        notes,
      };
    }
    others.push(...tried);
  }
  return { ...NO_LAYOUTS, others: nearest(screener, others), notes };
}

interface Tried {
  readonly layout: Layout;
  readonly score: number;
}

function strongestOf(castor: Castor): LockKind {
  const kinds = strongerKinds(castor);
  return kinds[kinds.length - 1] ?? castor.lock;
}

function worthChanging(
  open: readonly Castor[],
  score: (layout: Layout) => number,
): { readonly castors: readonly Castor[]; readonly notes: readonly string[] } {
  if (open.length <= CASTORS_TRIED) return { castors: open, notes: [] };
  const gains = open.map((castor) => ({
    castor,
    gain: score([{ castor, lock: strongestOf(castor) }]),
  }));
  const castors = gains.toSorted((p, q) => q.gain - p.gain).slice(0, CASTORS_TRIED);
  return {
    castors: castors.map(({ castor }) => castor),
    notes: [
      `Lock layouts change the ${CASTORS_TRIED} castors whose change helps most by itself, of ${open.length} that could.`,
    ],
  };
}

/** Every choice of so many castors, with every kind each can become, or the strongest alone where
 * that would be too many. */
function layoutsOf(castors: readonly Castor[], changes: number): readonly Layout[] {
  const chosen = subsets(castors, changes);
  const all = chosen.flatMap((some) => kindsOf(some, strongerKinds));
  return all.length <= LAYOUTS_TRIED
    ? all
    : chosen.flatMap((some) => kindsOf(some, (castor) => [strongestOf(castor)]));
}

function subsets<T>(items: readonly T[], size: number): readonly (readonly T[])[] {
  if (size === 0) return [[]];
  return items.flatMap((item, i) =>
    subsets(items.slice(i + 1), size - 1).map((rest) => [item, ...rest]),
  );
}

function kindsOf(
  castors: readonly Castor[],
  kinds: (castor: Castor) => readonly LockKind[],
): readonly Layout[] {
  return castors.reduce<readonly Layout[]>(
    (layouts, castor) =>
      layouts.flatMap((layout) => kinds(castor).map((lock) => [...layout, { castor, lock }])),
    [[]],
  );
}

/** Without the layouts that give some castor a stronger lock than another one, for no more reserve. */
function simplest(tried: readonly Tried[], worthMore: number): readonly Tried[] {
  const isSimpler = (p: Tried, q: Tried): boolean =>
    p !== q &&
    p.score >= q.score * (1 - worthMore) &&
    p.layout.length === q.layout.length &&
    p.layout.every(({ castor, lock }) => {
      const other = q.layout.find((each) => each.castor === castor)?.lock;
      return other === lock || other === 'total';
    });
  return tried.filter((each) => !tried.some((other) => isSimpler(other, each)));
}

/** Of layouts that pass, those that differ, judged in full. */
function verified(screener: Screener, tried: readonly Tried[]): readonly TriedLayout[] {
  const judged: (TriedLayout & { readonly layout: Layout })[] = [];
  for (const { layout } of tried.toSorted((p, q) => q.score - p.score)) {
    if (judged.length >= SHOWN) break;
    const outlook = screener.full(editsOf(screener.cart, layout));
    if (!passes(outlook)) continue;
    if (judged.some((each) => isAlike(screener.cart, each, { layout, outlook }))) continue;
    judged.push({ layout, outlook, lever: layoutLever(screener.cart, layout) });
  }
  return judged;
}

function nearest(screener: Screener, tried: readonly Tried[]): readonly TriedLayout[] {
  const kept: (TriedLayout & { readonly layout: Layout })[] = [];
  const ranked = simplest(tried, SAME_SCORE).toSorted(
    (p, q) => q.score - p.score || p.layout.length - q.layout.length,
  );
  for (const { layout } of ranked) {
    if (kept.length >= NEAR_MISSES) break;
    const outlook = screener.full(editsOf(screener.cart, layout));
    if (kept.some((each) => isAlike(screener.cart, each, { layout, outlook }))) continue;
    kept.push({ layout, outlook, lever: layoutLever(screener.cart, layout) });
  }
  return kept;
}

/** Share of the score within which two searches of mirror images end. */
const SAME_SCORE = 0.005;
/** m: stems this near to each other's mirror image are mirrored. */
const SAME_PLACE = 0.001;

/** One is the mirror image of the other in the layout of the castors, and comes to the same. */
function isAlike(
  cart: Cart,
  p: { readonly layout: Layout; readonly outlook: Outlook },
  q: { readonly layout: Layout; readonly outlook: Outlook },
): boolean {
  if (Math.abs(p.outlook.score - q.outlook.score) > SAME_SCORE * p.outlook.score) return false;
  const locks = (layout: Layout) =>
    cart.castors.map(
      (castor) => layout.find((each) => each.castor === castor)?.lock ?? castor.lock,
    );
  const [mine, theirs] = [locks(p.layout), locks(q.layout)];
  return MIRRORS.some((mirror) =>
    cart.castors.every(({ at: [x, y] }, i) => {
      const [u, v] = mirror(x, y);
      const image = cart.castors.findIndex(
        ({ at }) => Math.hypot(at[0] - u, at[1] - v) < SAME_PLACE,
      );
      return image >= 0 && theirs[image] === mine[i];
    }),
  );
}

const MIRRORS: readonly ((x: number, y: number) => readonly [number, number])[] = [
  (x, y) => [x, -y],
  (x, y) => [-x, y],
  (x, y) => [-x, -y],
];

/** What the brake of a lock holds that the castor gets. */
function brakeOf(
  cart: Cart,
  { castor, lock }: LockChange,
): { readonly torque: number | null; readonly note: string | null } {
  if (lock === 'directional') return { torque: null, note: null };
  const braked = ({ lock: has }: Castor) => has === 'wheel' || has === 'total';
  if (braked(castor)) return { torque: castor.brakeTorque, note: null };
  const stated = cart.castors.filter((each) => braked(each) && each.brakeTorque !== null);
  const like =
    stated.find(({ wheelDiameter }) => wheelDiameter === castor.wheelDiameter) ?? stated[0];
  if (like !== undefined) {
    return {
      torque: like.brakeTorque,
      note: `The brake is taken to hold the same torque as that of castor "${like.name}".`,
    };
  }
  return {
    torque: null,
    note: 'The new brake is taken to outlast the grip of the tread, as a stated assumption.',
  };
}

/** It gets a lock against swivelling that it has not had. */
function getsSwivelLock({ castor, lock }: LockChange): boolean {
  return lock !== 'wheel' && castor.fixedDirection === null && castor.lock !== 'directional';
}

/** Angles at which the lock engages: those of the lock that the castor has; of a new one those of
 * another castor of the cart, else any. */
function directionsOf(cart: Cart, change: LockChange): readonly number[] | null {
  const { castor, lock } = change;
  if (lock === 'wheel' || castor.fixedDirection !== null) return null;
  if (!getsSwivelLock(change)) return castor.lockDirections;
  return likeLock(cart)?.lockDirections ?? null;
}

/** The castor whose lock a new one engages like. */
function likeLock({ castors }: Cart): Castor | undefined {
  return castors.find(({ lockDirections }) => lockDirections !== null);
}

function editsOf(cart: Cart, layout: Layout): readonly CartEdit[] {
  return layout.map((change) => ({
    kind: 'castor lock',
    castor: change.castor.name,
    lock: change.lock,
    brakeTorque: brakeOf(cart, change).torque,
    lockDirections: directionsOf(cart, change),
  }));
}

const LOCK_WORDS: Readonly<Record<LockKind, string>> = {
  none: 'no lock',
  wheel: 'wheel lock',
  directional: 'directional lock',
  total: 'total lock',
};

/** 'total lock on front left and rear right, wheel lock on ...' */
function wordsOf(layout: Layout): Phrase {
  const kinds = [...new Set(layout.map(({ lock }) => lock))];
  const parts = kinds.map((kind) => {
    const names = layout.filter(({ lock }) => lock === kind).map(({ castor }) => castor.name);
    const all =
      names.length < 2
        ? names.join('')
        : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
    return `${LOCK_WORDS[kind]} on ${all}`;
  });
  const had = [...new Set(layout.map(({ castor }) => LOCK_WORDS[castor.lock]))];
  return [`${parts.join(', ')} instead of ${had.join(' or ')}`];
}

function layoutLever(cart: Cart, layout: Layout): Lever {
  const notes = layout.map((change) => brakeOf(cart, change).note).filter((note) => note !== null);
  const like = likeLock(cart);
  const angles =
    like === undefined
      ? 'The new swivel lock is taken to engage at any angle, the worst one counted.'
      : `The new swivel lock is taken to engage at the same angles as that of castor "${like.name}".`;
  return {
    id: `lock layout: ${layout.map(({ castor, lock }) => `${castor.name} ${lock}`).join(', ')}`,
    kind: 'lock layout',
    relies: 'design',
    count: 1,
    amountAt: () => ratio(layout.length),
    shareAt: () => layout.length / cart.castors.length,
    editsAt: () => editsOf(cart, layout),
    wordsAt: () => wordsOf(layout),
    notes: [...new Set(notes), ...(layout.some(getsSwivelLock) ? [angles] : [])],
  };
}
