/** Random draws, distributions and Monte Carlo: nothing here knows carts. */

export type { Spread } from './spread.js';
