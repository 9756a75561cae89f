/** What the command sees of the machine it runs on, as values, so that a test can stand in for it.
 * Only main.ts knows the real process. */

export interface Surroundings {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly outIsTerminal: boolean;
  readonly errIsTerminal: boolean;
  /** columns of the terminal; null where output is not one */
  readonly columns: number | null;
  readonly environment: Readonly<Record<string, string | undefined>>;
  readonly platform: string;
  /** ISO 8601 date of today */
  readonly today: () => string;
  /** ISO 8601 in UTC, to the millisecond */
  readonly now: () => string;
  /** ms, rising */
  readonly clock: () => number;
  /** calls `stop` when the user asks the program to stop (Ctrl-C); once, so that a second time ends it
   * as usual. @returns what ends this */
  readonly onStop: (stop: () => void) => () => void;
  /** version of this package */
  readonly version: string;
}
