import type { YAMLMap } from 'yaml';
import { Document, isMap, isSeq, parseDocument } from 'yaml';
import type { ValueConfirmation } from './draft.js';
import { FILE_VERSION, VERSION_KEY } from './file-schema.js';

const NEW_FILE_COMMENT =
  ' Values of requirement sets, compared with a copy of the standard: who, when, which copy.';

const FIELDS = ['set', 'clause', 'value', 'reads', 'who', 'when', 'copy'] as const;
/** What a confirmation is of. */
const KEY_FIELDS = ['set', 'clause', 'value'] as const;

/**
 * The text of a requirement file with one more confirmation; comments and everything else stay. A
 * confirmation of the same value already in the file is replaced where it stands. What the result
 * says is not checked here: read it with `readRequirementFile` before keeping it.
 *
 * @param fileText a text that `readRequirementFile` takes; null: a new file
 * @throws when the text is not a map in YAML, or its confirmations are no list of maps
 */
export function addConfirmation(fileText: string | null, confirmation: ValueConfirmation): string {
  const document = fileText === null ? newDocument() : parsed(fileText);
  const entry = document.createNode(
    Object.fromEntries(FIELDS.map((key) => [key, confirmation[key]])),
  );
  const list = document.get('confirmations');
  if (isSeq(list)) {
    const same = list.items.find((item) => isMap(item) && isOfSame(item, confirmation));
    if (isMap(same)) for (const key of FIELDS) same.set(key, confirmation[key]);
    else list.add(entry);
  } else if (list === undefined || list === null) {
    document.set('confirmations', document.createNode([entry]));
  } else {
    throw new Error('addConfirmation: "confirmations" of the file is not a list');
  }
  // no folding: a changed line of the file is one that was meant to change
  return document.toString({ lineWidth: 0 });
}

function newDocument(): Document {
  const document = new Document({ [VERSION_KEY]: FILE_VERSION });
  document.commentBefore = NEW_FILE_COMMENT;
  return document;
}

function parsed(text: string): Document {
  const document = parseDocument(text);
  const [error] = document.errors;
  if (error !== undefined)
    throw new Error(`addConfirmation: the file is not YAML: ${error.message}`);
  if (!isMap(document.contents)) throw new Error('addConfirmation: the file is not a map');
  return document;
}

function isOfSame(item: YAMLMap, confirmation: ValueConfirmation): boolean {
  return KEY_FIELDS.every((key) => item.get(key) === confirmation[key]);
}
