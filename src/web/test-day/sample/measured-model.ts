/** What was measured of a sample and counts, and the cart that it makes of the model. */

import type { Cart } from '../../../document/index.js';
import type { Reconciliation } from '../../../judgement/index.js';
import {
  frictionOf,
  instrumentsAt,
  measuredCart,
  reconcile,
  weighingOf,
} from '../../../judgement/index.js';
import type { Budget, FrictionOutcome, WeighingOutcome } from '../../../metrology/index.js';
import type {
  FrictionBody,
  ProjectState,
  RecordState,
  Subject,
  WeighingBody,
} from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';

/** Of one sample, newest first; those withdrawn too. */
export function weighingsOf(
  state: ProjectState,
  sample: Subject,
): readonly RecordState<WeighingBody>[] {
  return newestFirst(
    recordsOf(state, 'weighing').filter(({ content }) => content.sample === sample),
  );
}

export function frictionTestsOf(
  state: ProjectState,
  sample: Subject,
): readonly RecordState<FrictionBody>[] {
  return newestFirst(
    recordsOf(state, 'friction').filter(({ content }) => content.sample === sample),
  );
}

/** By when they were done; of one moment what was written later. */
function newestFirst<R extends RecordState<WeighingBody> | RecordState<FrictionBody>>(
  records: readonly R[],
): readonly R[] {
  return [...records].reverse().sort((a, b) => {
    const [x, y] = [a.content.taken, b.content.taken];
    return x < y ? 1 : x > y ? -1 : 0;
  });
}

export function weighingOutcome(
  state: ProjectState,
  cart: Cart,
  body: WeighingBody,
): WeighingOutcome {
  return weighingOf(cart, body, instrumentsAt(state, body.taken));
}

export function frictionOutcome(state: ProjectState, body: FrictionBody): FrictionOutcome {
  return frictionOf(body, instrumentsAt(state, body.taken));
}

export interface CountingFriction {
  readonly record: RecordState<FrictionBody>;
  readonly outcome: FrictionOutcome;
}

export interface MeasuredSample {
  /** the newest weighing that was not withdrawn; null: none */
  readonly weighing: RecordState<WeighingBody> | null;
  /** null: no weighing, or it comes to nothing */
  readonly reconciliation: Reconciliation | null;
  /** of each tread the newest test that was not withdrawn */
  readonly friction: readonly CountingFriction[];
  /** why something of it cannot be used, in words */
  readonly problems: readonly string[];
}

export function measuredSample(state: ProjectState, cart: Cart, sample: Subject): MeasuredSample {
  const weighing = weighingsOf(state, sample).find(({ withdrawn }) => !withdrawn) ?? null;
  const weighed = weighing === null ? null : weighingOutcome(state, cart, weighing.content);
  const friction = countingFriction(state, sample);
  const problems = [
    ...(weighed?.kind === 'refused' ? weighed.problems.map((each) => `Weighing: ${each}`) : []),
    ...friction.flatMap(({ record, outcome }) =>
      outcome.kind === 'refused'
        ? outcome.problems.map((each) => `Friction of ${record.content.tread}: ${each}`)
        : [],
    ),
  ];
  const reconciliation =
    weighing !== null && weighed?.kind === 'ok'
      ? reconcile(cart, weighing.content, weighed.result)
      : null;
  return { weighing, reconciliation, friction, problems };
}

function countingFriction(state: ProjectState, sample: Subject): readonly CountingFriction[] {
  return newestByTread(frictionTestsOf(state, sample)).map((record) => ({
    record,
    outcome: frictionOutcome(state, record.content),
  }));
}

/** Those that count. @param records newest first */
export function newestByTread(
  records: readonly RecordState<FrictionBody>[],
): readonly RecordState<FrictionBody>[] {
  const byTread = new Map<string, RecordState<FrictionBody>>();
  for (const record of records) {
    const { tread } = record.content;
    if (!record.withdrawn && !byTread.has(tread)) byTread.set(tread, record);
  }
  return [...byTread.values()];
}

export type MeasuredCart =
  | { readonly kind: 'ok'; readonly cart: Cart }
  | { readonly kind: 'nothing measured' }
  | { readonly kind: 'refused'; readonly reason: string };

/** The cart with measured masses and friction, as far as they were measured. */
export function cartAsMeasured(cart: Cart, measured: MeasuredSample): MeasuredCart {
  const friction = new Map(
    measured.friction.flatMap(({ record, outcome }): [string, Budget][] =>
      outcome.kind === 'ok' ? [[record.content.tread, outcome.result.coefficient]] : [],
    ),
  );
  if (measured.reconciliation === null && friction.size === 0) return { kind: 'nothing measured' };
  try {
    return { kind: 'ok', cart: measuredCart(cart, measured.reconciliation, friction) };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return { kind: 'refused', reason: error.message.replace(/^measuredCart: /, '') };
  }
}

/** Changes while anything that counts changes: what was reckoned with it is of before. */
export function measuredKey({ weighing, friction }: MeasuredSample): string {
  return [weighing, ...friction.map(({ record }) => record)]
    .map((record) => record?.newest ?? '')
    .join(' ');
}
