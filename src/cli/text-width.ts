/** How many terminal columns a text takes, and how it wraps. Works on graphemes, so that a letter
 * with its accents or a compound emoji is never split. */

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Scripts and blocks that Unicode's East Asian Width property calls wide or fullwidth
 * (Unicode Standard Annex 11), by script property where one exists. */
const WIDE =
  /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Bopomofo}\p{Script=Hangul}\p{Script=Yi}\p{Emoji_Presentation}\u3000-\u303e\u30fb\u30fc\uff01-\uff60\uffe0-\uffe6]/u;
/** Wide by script, narrow by its halfwidth block. */
const HALFWIDTH = /[\uff61-\uffdc]/u;
/** Variation selector that asks for the emoji form, two columns wide. */
const EMOJI_FORM = '\ufe0f';
const PRINTABLE_ASCII = /^[\x20-\x7e]*$/;

function graphemeWidth(grapheme: string): number {
  if (HALFWIDTH.test(grapheme)) return 1;
  if (WIDE.test(grapheme) || grapheme.includes(EMOJI_FORM)) return 2;
  return /^[\p{M}\p{Cf}]+$/u.test(grapheme) ? 0 : 1;
}

/** Terminal columns of a text without control characters. */
export function textWidth(text: string): number {
  if (PRINTABLE_ASCII.test(text)) return text.length;
  let width = 0;
  for (const { segment } of graphemes.segment(text)) width += graphemeWidth(segment);
  return width;
}

/** The graphemes of a word put together again into pieces of at most `width` columns. */
function cutGraphemes(word: string, width: number): string[] {
  const pieces: string[] = [];
  let piece = '';
  let used = 0;
  for (const { segment } of graphemes.segment(word)) {
    const next = graphemeWidth(segment);
    if (used + next > width && piece !== '') {
      pieces.push(piece);
      piece = '';
      used = 0;
    }
    piece += segment;
    used += next;
  }
  if (piece !== '') pieces.push(piece);
  return pieces;
}

/** A word cut into pieces that each fit the width: after its hyphens where that is enough, else
 * anywhere (a grapheme wider than the width stands alone). */
function cutWord(word: string, width: number): string[] {
  if (textWidth(word) <= width) return [word];
  const parts = word.split(/(?<=-)(?=.)/u);
  const pieces: string[] = [];
  for (const part of parts.flatMap((each) => cutGraphemes(each, width))) {
    const last = pieces[pieces.length - 1];
    if (last !== undefined && textWidth(last) + textWidth(part) <= width) {
      pieces[pieces.length - 1] = last + part;
    } else {
      pieces.push(part);
    }
  }
  return pieces;
}

/** A space a line may break at: not the one between a number and its unit. */
const BREAK =
  /(?<!\d) +| +(?!(?:%|mm|cm|m|in|ft|kg|g|t|lb|oz|N|kN|lbf|kgf|deg|rad|J|s|m\/s|ft\/s|N\/mm|lbf\/in)(?![\p{L}\p{N}/]))/u;

/** The text broken at spaces into lines of at most `width` columns; longer words are cut. A
 * text that fits is left as it is, its leading spaces with it. */
export function wrapText(text: string, width: number): string[] {
  if (textWidth(text) <= width) return [text];
  const lines: string[] = [];
  let line = '';
  let used = 0;
  for (const word of text.split(BREAK).filter((part) => part !== '')) {
    cutWord(word, width).forEach((piece, i) => {
      const needed = textWidth(piece);
      if (line !== '' && (i > 0 || used + 1 + needed > width)) {
        lines.push(line);
        line = '';
        used = 0;
      }
      used += needed + (line === '' ? 0 : 1);
      line = line === '' ? piece : `${line} ${piece}`;
    });
  }
  if (line !== '' || lines.length === 0) lines.push(line);
  return lines;
}

/** The text filled with spaces to `width` columns. */
export function pad(text: string, width: number, align: 'left' | 'right'): string {
  const fill = ' '.repeat(Math.max(0, width - textWidth(text)));
  return align === 'left' ? text + fill : fill + text;
}
