// Writes schema/cart-1.schema.json from the shapes that the reader uses:
//   node --import tsx scripts/write-schema.ts
import { writeFileSync } from 'node:fs';
import { cartJsonSchema } from '../src/document/index.js';

const file = new URL('../schema/cart-1.schema.json', import.meta.url);
writeFileSync(file, `${JSON.stringify(cartJsonSchema(), null, 2)}\n`);
