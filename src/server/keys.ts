/** Who is let in: keys in the opening address, and the cookie that a browser gets for one. */

import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';

export interface Keys {
  /** may be used any number of times while the server runs */
  readonly key: string;
  /** a key for one use: the arguments of a started program can be read by every user of a machine */
  readonly onceKey: () => string;
  /** uses it up when it is one for a single use */
  readonly isKey: (given: string) => boolean;
  readonly cookieName: string;
  readonly cookieValue: string;
  readonly isCookie: (given: string) => boolean;
}

const BYTES = 32;

function randomKey(): string {
  return randomBytes(BYTES).toString('base64url');
}

/** In the same time wherever they differ; of the hashes, since these are alike in length. */
function isSame(a: string, b: string): boolean {
  const [hashA, hashB] = [a, b].map((text) => createHash('sha256').update(text).digest());
  return hashA !== undefined && hashB !== undefined && timingSafeEqual(hashA, hashB);
}

/** Browsers keep cookies by host, not by port, so that the name has the port in it. */
export function makeKeys(port: number): Keys {
  const [key, cookieValue] = [randomKey(), randomKey()];
  const once = new Set<string>();
  return {
    key,
    onceKey: () => {
      const made = randomKey();
      once.add(made);
      return made;
    },
    isKey: (given) => {
      const used = [...once].filter((each) => isSame(each, given));
      for (const each of used) once.delete(each);
      return isSame(key, given) || used.length > 0;
    },
    cookieName: `standstill-${port}`,
    cookieValue,
    isCookie: (given) => isSame(cookieValue, given),
  };
}
