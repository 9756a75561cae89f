/** The page a sheet is set on: its width, whether it has colour, which characters it can show. */

import colours from 'picocolors';
import type { Surroundings } from './surroundings.js';
import { asciiOnly, visible } from './visible-text.js';

export type Tone = 'plain' | 'quiet' | 'strong' | 'good' | 'bad' | 'unsure';

/** A run of text in one tone. The text is already safe to print. */
export interface Span {
  readonly text: string;
  readonly tone: Tone;
}
export type Line = readonly Span[];

export interface Page {
  readonly width: number;
  /** true: the page shows any Unicode text; false: ASCII only */
  readonly unicode: boolean;
  /** any text made safe and showable on this page */
  readonly show: (text: string) => string;
  /** lines as bytes for the terminal, each ended */
  readonly print: (lines: readonly Line[]) => string;
}

export interface PageWishes {
  /** false: --no-color */
  readonly color: boolean;
  /** --width; undefined: as wide as the terminal */
  readonly width?: number;
}

/** Columns where output is no terminal: the width every terminal has. */
const DEFAULT_WIDTH = 80;
/** The table of findings needs this in both unit systems; a narrower terminal breaks the lines. */
export const LEAST_WIDTH = 80;
/** Lines longer than this are hard to follow; --width may ask for more. */
const WIDEST_UNASKED = 120;
export const GREATEST_WIDTH = 400;

function pageWidth(wished: number | undefined, columns: number | null): number {
  if (wished !== undefined) return wished;
  if (columns === null) return DEFAULT_WIDTH;
  return Math.min(WIDEST_UNASKED, Math.max(LEAST_WIDTH, columns));
}

function isSet(value: string | undefined): value is string {
  return value !== undefined && value !== '';
}

/** POSIX order of the variables that name the character set; Windows consoles take UTF-8 from us. */
function showsUnicode(around: Surroundings): boolean {
  if (around.platform === 'win32') return true;
  const { LC_ALL, LC_CTYPE, LANG } = around.environment;
  return /utf-?8/i.test([LC_ALL, LC_CTYPE, LANG].find(isSet) ?? '');
}

function showsColour(wished: boolean, around: Surroundings): boolean {
  const { NO_COLOR, FORCE_COLOR, TERM } = around.environment;
  if (!wished || isSet(NO_COLOR)) return false;
  if (isSet(FORCE_COLOR) && FORCE_COLOR !== '0') return true;
  return around.outIsTerminal && TERM !== 'dumb';
}

function painter(enabled: boolean): Readonly<Record<Tone, (text: string) => string>> {
  const { bold, dim, green, red, yellow } = colours.createColors(enabled);
  return {
    plain: (text) => text,
    quiet: dim,
    strong: bold,
    good: (text) => bold(green(text)),
    bad: (text) => bold(red(text)),
    unsure: (text) => bold(yellow(text)),
  };
}

/** Cells are padded to their column; at the end of a line that is only noise in a saved file. */
function withoutTrailingSpace(line: Line): Line {
  const last = line.findLastIndex(({ text }) => text.trimEnd() !== '');
  return line
    .slice(0, last + 1)
    .map((span, i) => (i === last ? { ...span, text: span.text.trimEnd() } : span));
}

export function makePage(wishes: PageWishes, around: Surroundings): Page {
  const unicode = showsUnicode(around);
  const show = unicode ? visible : (text: string) => asciiOnly(visible(text));
  const paint = painter(showsColour(wishes.color, around));
  // Shown again here, which changes nothing on safe text: no sheet can forget it.
  const printLine = (line: Line) =>
    withoutTrailingSpace(line.map(({ text, tone }) => ({ text: show(text), tone })))
      .map(({ text, tone }) => (text === '' ? '' : paint[tone](text)))
      .join('');
  return {
    width: pageWidth(wishes.width, around.columns),
    unicode,
    show,
    print: (lines) => lines.map((line) => `${printLine(line)}\n`).join(''),
  };
}

/** A page for messages beside the sheet (errors, warnings): no colour, same characters. */
export function messagePage(around: Surroundings): Page {
  return makePage({ color: false }, around);
}
