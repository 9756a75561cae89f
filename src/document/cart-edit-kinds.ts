/** Changes to a cart as data: what a remedy proposes and what a study varies. */

import type { LoadState, LockKind, Marking, Vec2, Vec3 } from './cart.js';
import type { CastorKind } from './castor-kind.js';

/** One change. Units as in `Cart`. */
export type CartEdit =
  | { readonly kind: 'rename'; readonly name: string }
  | {
      readonly kind: 'castor lock';
      readonly castor: string;
      readonly lock: LockKind;
      /** N m; null: outlasts the tread, or no brake */
      readonly brakeTorque: number | null;
      readonly lockDirections: readonly number[] | null;
    }
  | { readonly kind: 'castor place'; readonly castor: string; readonly at: Vec2 }
  /** replaces what the castor brings; place, lock and fixed direction stay */
  | { readonly kind: 'castor kind'; readonly castor: string; readonly becomes: CastorKind }
  | {
      readonly kind: 'friction';
      readonly tread: string;
      readonly value: number;
      readonly tolerance: number;
      readonly basis: 'assumed' | 'measured';
    }
  | {
      readonly kind: 'add part';
      readonly name: string;
      readonly mass: number;
      readonly at: Vec3;
      readonly on: string | null;
    }
  | { readonly kind: 'part mass'; readonly part: string; readonly mass: number }
  | { readonly kind: 'part place'; readonly part: string; readonly at: Vec3 }
  /** what a mover can do at all; a position that asks for more is cut to it */
  | {
      readonly kind: 'mover range';
      readonly mover: string;
      readonly from: number;
      readonly to: number;
    }
  | {
      readonly kind: 'position mover';
      readonly position: string;
      readonly mover: string;
      readonly from: number;
      readonly to: number;
    }
  | {
      readonly kind: 'position load';
      readonly position: string;
      readonly load: string;
      readonly state: LoadState;
    }
  | { readonly kind: 'add marking'; readonly marking: Marking }
  /** m: everything above the castors is raised by so much (larger wheels under the same base) */
  | { readonly kind: 'raise'; readonly by: number };
