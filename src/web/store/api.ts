/** What the page asks of the server that brought it. Answers are checked no further than their status:
 * both sides come in one package. */

export interface CartEntry {
  readonly name: string;
  /** ISO 8601 */
  readonly modified: string;
  readonly bytes: number;
}

export interface DraftEntry {
  readonly name: string;
  /** ISO 8601 */
  readonly saved: string;
}

export interface Folder {
  /** last segments of its path, for people */
  readonly folder: string;
  /** tells it from every other folder of the machine */
  readonly id: string;
  readonly carts: readonly CartEntry[];
  readonly requirementFiles: readonly string[];
  readonly partsLists: readonly string[];
  readonly examples: readonly { readonly name: string; readonly title: string | null }[];
  readonly drafts: readonly DraftEntry[];
  /** cart files and drafts that are there and cannot be opened, and why */
  readonly unusable: readonly { readonly name: string; readonly problem: string }[];
  /** the file that the command named */
  readonly opened: string | null;
  readonly version: string;
}

export interface Draft {
  readonly text: string;
  /** version of the file that it was made from; null: a cart never saved */
  readonly base: string | null;
  /** ISO 8601 */
  readonly saved: string;
  /** the parts list that the text names, where the browser keeps that too */
  readonly partsList?: StoredPartsList;
}

export interface StoredPartsList {
  readonly name: string;
  /** null: no such file */
  readonly base64: string | null;
  /** why it cannot be had */
  readonly problem?: string | null;
}

export interface StoredCart {
  readonly name: string;
  /** null: only a draft is there, and no version */
  readonly text: string | null;
  /** SHA-256 of the bytes */
  readonly version: string | null;
  readonly partsList: StoredPartsList | null;
  readonly draft: Draft | null;
  /** why a draft that is there cannot be read */
  readonly draftProblem?: string | null;
}

export interface ExampleCart {
  readonly name: string;
  readonly text: string;
  readonly partsList: StoredPartsList | null;
}

export type SaveResult =
  | { readonly kind: 'saved'; readonly version: string }
  /** the file on disk is another than the one it was made from; text null: it is gone */
  | {
      readonly kind: 'changed on disk';
      readonly text: string | null;
      readonly version: string | null;
    };

export interface Versions {
  readonly version: string | null;
  readonly partsList: string | null;
}

export interface Api {
  readonly folder: () => Promise<Folder>;
  readonly cart: (name: string) => Promise<StoredCart>;
  readonly example: (name: string) => Promise<ExampleCart>;
  readonly partsList: (
    name: string,
  ) => Promise<StoredPartsList & { readonly version: string | null }>;
  readonly requirementFile: (name: string) => Promise<string>;
  /** of the cart file, and of the parts list asked about; null: no such file */
  readonly versionsOf: (name: string, list: string | null) => Promise<Versions>;
  readonly saveCart: (name: string, text: string, base: string | null) => Promise<SaveResult>;
  readonly savePartsList: (
    name: string,
    base64: string,
    base: string | null,
  ) => Promise<SaveResult>;
  readonly saveDraft: (name: string, draft: Pick<Draft, 'text' | 'base'>) => Promise<void>;
  readonly dropDraft: (name: string) => Promise<void>;
}

/** The server said no, or nothing. `status` 0: it could not be reached. */
export class ApiError extends Error {
  override readonly name = 'ApiError';
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }
}
