/** Random draws, distributions and Monte Carlo: nothing here knows carts. */

export type { Digits, Estimate, Meter, Steadiness, WatchedInterval } from './adaptive.js';
export { adaptiveMonteCarlo, createMeter, numericalTolerance, USUAL_BLOCK } from './adaptive.js';
export type { Interval } from './coverage.js';
export { COVERAGE, shortestInterval, symmetricInterval } from './coverage.js';
export type { Drawer, Limits } from './draw.js';
export { drawerOf, NO_LIMITS } from './draw.js';
export type { Probability } from './proportion.js';
export { halfWidthOf, probabilityOf } from './proportion.js';
export type { IndexEstimate, SobolIndex, SobolRuns } from './sobol.js';
export { BOOTSTRAPS, sobolIndices } from './sobol.js';
export type { Spread } from './spread.js';
export { quantileOf, standardOf, tCoverageFactor } from './spread.js';
export type { Stream } from './streams.js';
export { streamOf } from './streams.js';
