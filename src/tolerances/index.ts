/** How sure is a verdict, and which input matters most? */

export type { PassProbability } from './tolerance-report.js';
