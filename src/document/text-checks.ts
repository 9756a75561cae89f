import type { IssueLog } from './issue-log.js';

/** What no text file holds: control characters but tab and line ends, a return without its line
 * feed, the mark of a byte order inside the text, and the sign that stands for bytes which were not
 * UTF-8. */
const NOT_TEXT =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\ufeff\ufffd\ufffe\uffff]|\r(?!\n)|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/;

const BYTE_ORDER_MARK = '\ufeff';

/** The text without the byte order mark that some editors put at its start. */
export function withoutByteOrderMark(text: string): string {
  return text.startsWith(BYTE_ORDER_MARK) ? text.slice(1) : text;
}

/** Offsets at which the lines start, the first 0. */
export function lineStartsOf(text: string): readonly number[] {
  const starts = [0];
  for (let end = text.indexOf('\n'); end !== -1; end = text.indexOf('\n', end + 1)) {
    starts.push(end + 1);
  }
  return starts;
}

/** Reports the first character that shows the text to be no text in UTF-8. */
export function checkText(text: string, log: IssueLog): void {
  const found = NOT_TEXT.exec(text);
  if (found === null) return;
  // a zero comes from UTF-16, all that lies from the surrogates on from wrong or broken encodings
  const isEncoding = found[0] === '\u0000' || found[0] >= '\ud800';
  log.report({
    code: isEncoding ? 'not-text' : 'control-character',
    offset: found.index,
    path: 'the file',
    actual: found[0],
    allowed: 'plain text saved as UTF-8',
  });
}
