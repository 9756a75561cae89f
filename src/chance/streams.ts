/**
 * Streams of uniform random numbers, one for each name, from one seed. A stream depends on the seed
 * and its own name alone, so that an input more or less changes no other input's numbers.
 */

import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';

/** Each call gives the next number, 0 < u < 1. */
export type Stream = () => number;

/**
 * @param seed a whole number from 0 to 2^53 - 1
 * @param name what the numbers are for
 */
export function streamOf(seed: number, name: string): Stream {
  const generator = xoroshiro128plusFromState(stateOf(seed, name));
  // its first outputs still show how the state was filled
  for (let i = 0; i < 16; i++) generator.next();
  return () => {
    let u = 0;
    // zero has no quantile; it comes once in 2^53
    while (u === 0) u = uniformFloat64(generator);
    return u;
  };
}

/** Four words of 32 bits, each a hash of all characters with its own start (FNV-1a: the prime and the
 * avalanche rounds of MurmurHash3's finaliser, both public constants). */
function stateOf(seed: number, name: string): readonly number[] {
  const text = `${seed}\n${name}`;
  return [1, 2, 3, 4].map((word) => {
    let hash = (0x811c9dc5 ^ Math.imul(word, 0x9e3779b1)) | 0;
    for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
    return scrambled(hash + word);
  });
}

function scrambled(word: number): number {
  let h = word | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}
