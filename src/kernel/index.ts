export type { BoxSearch, BoxSearchResult } from './branch-and-bound.js';
export { branchAndBound } from './branch-and-bound.js';
export {
  arcTrig,
  chordOffset,
  chordSlope,
  productLower,
  productUpper,
  sinusoidLower,
  sinusoidRange,
} from './interval.js';
export type { Vec2, Vec3 } from './vectors.js';
