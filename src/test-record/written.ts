/** Whether a text says anything. */

// Signs without a mark on paper count as blanks: format and control characters, those that Unicode lets a
// reader leave out (Default_Ignorable_Code_Point), and the braille pattern without dots.
const MARK = /[^\s\p{C}\p{DI}\u2800]/u;

/** Is there at least one sign in it that can be seen? */
export function isWritten(text: string): boolean {
  return MARK.test(text);
}
