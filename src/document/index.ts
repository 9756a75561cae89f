/** Documents: the cart file and the parts list, from text to checked values in SI. */

export type {
  Body,
  Cart,
  Castor,
  Floor,
  Friction,
  Handle,
  Load,
  LoadState,
  LockKind,
  Marking,
  Mover,
  Part,
  Position,
  Surface,
  Vec2,
  Vec3,
} from './cart.js';
export type { CartEdit, CastorKind } from './cart-edit.js';
export { editCart } from './cart-edit.js';
export { cartJsonSchema } from './cart-schema.js';
export type { Issue, ReadResult } from './issue.js';
export { MAX_INPUT_BYTES, type PartsList, type PartsListRow } from './parts-list.js';
export { readPartsListCsv } from './parts-list-csv.js';
export { readPartsList } from './parts-list-read.js';
export { readPartsListXlsx } from './parts-list-xlsx.js';
export { CART_FILE_LIMITS, partsListFileOf, readCart } from './read-cart.js';
export { sentence } from './sentence.js';
export { writeStarterCart } from './starter-cart.js';
