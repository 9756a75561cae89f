import type { JsonSchema } from './shape.js';
import { STUDY_VERSION, studyShape } from './study-shape.js';

/** The JSON Schema of the study file (draft 7), made from the shapes of the reader, as that of the
 * cart file is. */
export function studyJsonSchema(): JsonSchema {
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: `Standstill study file, version ${STUDY_VERSION}`,
    description:
      'What varies about a cart, and what is wanted of it. Quantities are text with a unit; costs, coefficients and counts are bare numbers.',
    ...studyShape.schema,
  };
}
