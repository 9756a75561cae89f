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
  StatedUncertainty,
  Surface,
  ToleranceDistribution,
  UncertainQuantity,
  Uncertainty,
  Vec2,
  Vec3,
} from './cart.js';
export { UNCERTAIN_QUANTITIES } from './cart.js';
export type { CartEdit, CastorKind } from './cart-edit.js';
export { editCart } from './cart-edit.js';
export { editProblem, editsProblem } from './cart-edit-problem.js';
export { editsWords, editWords } from './cart-edit-words.js';
export type { FieldChange, FieldsResult } from './cart-fields.js';
export { changeFields } from './cart-fields.js';
export { type EditResult, editCartFile } from './cart-file-edit.js';
export { cartJsonSchema } from './cart-schema.js';
export type { CastorCatalogue, CatalogueCastor } from './castor-catalogue.js';
export { readCastorCatalogue } from './castor-catalogue.js';
export { combineEdits } from './combine-edits.js';
export type { FieldGuide } from './field-guide.js';
export { fieldGuide } from './field-guide.js';
export type { FieldInput } from './field-input.js';
export type { NamedKind } from './field-names.js';
export { type FieldPath, pathWords } from './field-path.js';
export type { FieldEntry, FieldNode } from './field-tree.js';
export { nodeAt, readFields } from './field-tree.js';
export type { Issue, ReadResult } from './issue.js';
export { fieldOfIssue } from './issue-field.js';
export { LONGEST_NAME, MOST_VARIANTS } from './limits.js';
export { listOfNewItem, type NewItemKind, newCartItem } from './new-cart-item.js';
export { MAX_INPUT_BYTES, type PartsList, type PartsListRow } from './parts-list.js';
export { readPartsListCsv } from './parts-list-csv.js';
export { readPartsList } from './parts-list-read.js';
export { readPartsListXlsx } from './parts-list-xlsx.js';
export type { PastedCells } from './pasted-cells.js';
export { readPastedCells } from './pasted-cells.js';
export { CART_FILE_LIMITS, partsListFileOf, readCart } from './read-cart.js';
export type { StudyContext, StudyFile } from './read-study.js';
export { planStudy, readStudyFile } from './read-study.js';
export { sentence } from './sentence.js';
export { writeStarterCart } from './starter-cart.js';
export type { PlannedAim, PlannedFactor, PlannedOption, StudyPlan } from './study-plan.js';
export { studyJsonSchema } from './study-schema.js';
