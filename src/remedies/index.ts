/** The smallest changes that make every finding of a cart pass with a margin. */

export type { Remedy } from './remedy.js';
