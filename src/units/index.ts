/** Units: exact factors, reading and writing of quantities. Imports nothing of ours. */

export type { DecimalSign, NumberResult } from './number-text.js';
export { parseNumber } from './number-text.js';
export type {
  QuantityError,
  QuantityErrorCode,
  QuantityResult,
  UnitResult,
} from './quantity.js';
export { fromSi, parseQuantity, parseUnit, parseUnitInAnyCase, toSi } from './quantity.js';
export type { FormatOptions, UnitSystem } from './quantity-format.js';
export { formatQuantity } from './quantity-format.js';
export { quantityPattern } from './quantity-pattern.js';
export type { Dimension, Unit } from './unit-table.js';
export {
  dimensionAllowed,
  dimensionNoun,
  listUnits,
  STANDARD_GRAVITY,
} from './unit-table.js';
