import { CURRENT_VERSION, cartShape } from './cart-shape.js';
import type { JsonSchema } from './shape.js';

/**
 * The JSON Schema of the cart file (draft 7, which editors' YAML support reads), made from the same
 * shapes as the reader. It says less than the reader: names that refer to something, ranges in
 * order and limits of size are beyond it.
 */
export function cartJsonSchema(): JsonSchema {
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: `Standstill cart file, version ${CURRENT_VERSION}`,
    description:
      'Frame: origin on the floor, x forward, y to the left, z up; every coordinate with every mover at zero. Quantities are text with a unit; coefficients are bare numbers.',
    ...cartShape.schema,
  };
}
