// Writes the schemas of the cart file, of the study file and of the entries of a record from the shapes
// that the readers use:
//   node --import tsx scripts/write-schema.ts
import { writeFileSync } from 'node:fs';
import { cartJsonSchema, studyJsonSchema } from '../src/document/index.js';
import { entryJsonSchema } from '../src/test-record/index.js';

const SCHEMAS = {
  'cart-1.schema.json': cartJsonSchema(),
  'study-file-1.schema.json': studyJsonSchema(),
  'record-entry-1.schema.json': entryJsonSchema(),
};

for (const [name, schema] of Object.entries(SCHEMAS)) {
  const file = new URL(`../schema/${name}`, import.meta.url);
  writeFileSync(file, `${JSON.stringify(schema, null, 2)}\n`);
}
