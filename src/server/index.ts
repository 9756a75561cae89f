/** The workbench's server: the page and the cart files of one folder, for this machine only. */

export type {
  CartAnswer,
  CartChangedAnswer,
  CartEntry,
  Draft,
  DraftDeletedAnswer,
  DraftEntry,
  DraftSavedAnswer,
  EntriesAnswer,
  ExampleAnswer,
  ExampleEntry,
  FileKeptAnswer,
  FolderAnswer,
  NamedPartsList,
  PartsListAnswer,
  PartsListChangedAnswer,
  ProblemAnswer,
  ProblemCode,
  RecordsAnswer,
  SaveCart,
  SaveDraft,
  SavedAnswer,
  SavePartsList,
  SubmitEntries,
  SubmittedAnswer,
  TextAnswer,
  VersionsAnswer,
} from './api.js';
export { CART_NAME_RULE, isCartName } from './file-names.js';
export { USUAL_RECORDS } from './records.js';
export type { ServerOptions, WorkbenchServer } from './start-server.js';
export { startServer, WorkbenchError } from './start-server.js';
