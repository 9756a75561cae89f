/** Which cart is open in which tab of the browser: the tabs keep unsaved work in the same place. */

export interface Claims {
  /** Ends it. null: another tab has it. */
  readonly take: (name: string) => Promise<(() => void) | null>;
}

const PREFIX = 'standstill cart ';

/** A tab that was just left or loaded again lets go a moment later. */
const TRIES = 8;
const TRY_AGAIN = 60;

/** By the locks of the browser: those of a tab that has gone, however it went, are gone with it. */
export function tabClaims(locks: LockManager): Claims {
  return {
    async take(name) {
      for (let left = TRIES; left > 0; left -= 1) {
        const release = await lockOf(locks, PREFIX + name);
        if (release !== null) return release;
        await new Promise((resolve) => setTimeout(resolve, TRY_AGAIN));
      }
      return null;
    },
  };
}

function lockOf(locks: LockManager, name: string): Promise<(() => void) | null> {
  return new Promise((resolve) => {
    locks
      .request(name, { ifAvailable: true }, (lock) => {
        if (lock === null) return resolve(null);
        return new Promise<void>((release) => resolve(release));
      })
      // where the browser has no locks to give, nobody can be told
      .catch(() => resolve(() => {}));
  });
}

/** A cart that no other tab keeps unsaved work of. */
export interface Hold {
  readonly key: string;
  readonly release: () => void;
}

export interface Holds {
  /** null: another tab has the cart */
  readonly of: (key: string) => Promise<Hold | null>;
  /** Of a cart that is not opened after all. */
  readonly letGo: (hold: Hold | null) => void;
  /** The open cart is another, or none. */
  readonly change: (next: Hold | null) => void;
}

export function createHolds(claims: Claims): Holds {
  /** of the open cart; null: another tab has it, or none is open */
  let held: Hold | null = null;
  const letGo = (hold: Hold | null): void => {
    if (hold !== null && hold !== held) hold.release();
  };
  return {
    async of(key) {
      if (held?.key === key) return held;
      const release = await claims.take(key);
      return release && { key, release };
    },
    letGo,
    change(next) {
      const before = held;
      held = next;
      letGo(before);
    },
  };
}
