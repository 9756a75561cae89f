/**
 * Text from files made safe to print. Names may hold anything; what would move the cursor, colour the
 * screen, turn the reading direction or hide is shown by its code point instead: <U+001B>.
 */

/** Control, separator, surrogate and format characters. The joiners U+200C and U+200D are needed by
 * some scripts and by compound emoji, so they stay where they stand between two non-ASCII letters. */
const UNSAFE =
  /(?<![^\p{ASCII}])[\u200c\u200d]|[\u200c\u200d](?![^\p{ASCII}])|[\p{Cc}\p{Zl}\p{Zp}\p{Cs}]|(?![\u200c\u200d])\p{Cf}/gu;

/** Marks stacked deeper than this on one letter spill over neighbouring lines; no script needs more
 * than four (common practice, no source). */
const STACKED_MARKS = /(?<=\p{M}{4})\p{M}/gu;

function codePoint(character: string): string {
  const hex = (character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0');
  return `<U+${hex}>`;
}

/** The text with every unsafe character written out. Applying it twice changes nothing more. */
export function visible(text: string): string {
  return text.replace(UNSAFE, codePoint).replace(STACKED_MARKS, codePoint);
}

/** How the symbols of our own sentences read on a terminal that only knows ASCII. */
const PLAIN: Readonly<Record<string, string>> = {
  '°': ' deg',
  '·': ' ',
  '×': 'x',
  '÷': '/',
  '±': '+/-',
  '−': '-',
  '–': '-',
  '—': '-',
  '…': '...',
  '≤': '<=',
  '≥': '>=',
  '≈': '~',
  '√': 'sqrt',
  '∑': 'sum',
  Σ: 'sum',
  '∞': 'infinity',
  '′': "'",
  '″': '"',
  '‘': "'",
  '’': "'",
  '“': '"',
  '”': '"',
  '²': '^2',
  '³': '^3',
  '₀': '0',
  '₁': '1',
  '₂': '2',
  θ: 'theta',
  φ: 'phi',
  ψ: 'psi',
  α: 'alpha',
  β: 'beta',
  ω: 'omega',
  δ: 'delta',
  Δ: 'delta ',
  π: 'pi',
  µ: 'mu',
  μ: 'mu',
  '\u00a0': ' ',
  '\u202f': ' ',
  '\u2009': ' ',
};

/** The text in ASCII alone: known symbols spelt, every other character by its code point. On an
 * 8-bit terminal even the bytes of a harmless letter can read as a control sequence. */
export function asciiOnly(text: string): string {
  return text.replace(/\P{ASCII}/gu, (character) => PLAIN[character] ?? codePoint(character));
}
