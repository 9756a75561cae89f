/**
 * How wide text will be, without a screen to measure it on. Estimates for the sans-serif faces of the
 * usual systems, after the widest of the common ones (DejaVu Sans): a label may then be narrower than
 * its place, not wider.
 */

/** em, by kind of character: the greatest advance of the kind in DejaVu Sans, rounded up. */
const NARROW = 0.42;
const USUAL = 0.64;
const BROAD = 0.84;
const WIDEST = 1;
const FULL = 1.05;

/** its bold face over its book face */
const SEMIBOLD = 1.12;

/** px that one line takes. */
export function textWidth(text: string, size: number, weight = 400): number {
  let em = 0;
  for (const character of text) em += characterWidth(character);
  return em * size * (weight >= 600 ? SEMIBOLD : 1);
}

/** Known already: texts of a drawing are measured again and again while a cart is dragged. */
const known = new Map<string, number>();
const MOST_KNOWN = 5000;

function characterWidth(character: string): number {
  const found = known.get(character);
  if (found !== undefined) return found;
  const width = kindWidth(character);
  if (known.size < MOST_KNOWN) known.set(character, width);
  return width;
}

function kindWidth(character: string): number {
  if (/[\p{M}\u200b-\u200f\u2066-\u2069]/u.test(character)) return 0;
  if (/[ .,:;'|!fijlrtI()[\]-]/.test(character)) return NARROW;
  if (/[MWmw@%×≥]/.test(character)) return WIDEST;
  if (
    /[\u1100-\u11ff\u2e80-\ud7ff\uf900-\ufaff\uff00-\uffef]|\p{Extended_Pictographic}/u.test(
      character,
    )
  ) {
    return FULL;
  }
  if (/\p{Lu}|[…&<>=+]/u.test(character)) return BROAD;
  return USUAL;
}

/** The text, or as much of its beginning as fits with an ellipsis. */
export function fitText(text: string, width: number, size: number, weight = 400): string {
  if (textWidth(text, size, weight) <= width) return text;
  const characters = [...text];
  let most = characters.length - 1;
  while (most > 1 && textWidth(shortened(characters, most), size, weight) > width) most -= 1;
  return shortened(characters, most);
}

function shortened(characters: readonly string[], count: number): string {
  return `${characters.slice(0, count).join('').trimEnd()}…`;
}

/** Broken at spaces into lines that fit; a word that is wider than a line, and what goes beyond the
 * last line, end in an ellipsis. */
export function wrapText(
  text: string,
  width: number,
  size: number,
  most = Number.POSITIVE_INFINITY,
  weight = 400,
): readonly string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    const longer = last === undefined ? word : `${last} ${word}`;
    if (last !== undefined && textWidth(longer, size, weight) <= width)
      lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  const shown = lines.slice(0, most);
  if (lines.length > most) shown[most - 1] = lines.slice(most - 1).join(' ');
  return shown.map((line) => fitText(line, width, size, weight));
}
