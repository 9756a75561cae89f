/**
 * A small repeatable generator for random tests: mulberry32, a 32 bit state stepped by an odd
 * constant and scrambled by two multiply-and-shift rounds. Not for anything but tests.
 *
 * @param seed any number; its lowest 32 bits are used
 * @returns a function whose every call gives the next number in [0, 1)
 */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
