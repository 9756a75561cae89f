/** What a figure drew, read back from its markup: no browser needed. */

import type { ReactElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { TEXT_SIZE } from '../../src/figure/figure-style.js';
import type { Box } from '../../src/figure/picture.js';
import { textWidth } from '../../src/figure/text-width.js';

export function draw(figure: ReactElement): string {
  return renderToStaticMarkup(figure);
}

/** The value of an attribute of the first element that has it, in a piece of markup. */
export function attribute(markup: string, name: string): string {
  const found = new RegExp(`\\s${name}="([^"]*)"`).exec(markup)?.[1];
  if (found === undefined) throw new Error(`no attribute ${name} in ${markup.slice(0, 200)}`);
  return found;
}

export function numberOf(markup: string, name: string): number {
  return Number(attribute(markup, name));
}

/** The start tags whose class has the word. */
export function tagsOf(markup: string, className: string): readonly string[] {
  const tags = markup.match(/<[a-z]+ [^>]*>/g) ?? [];
  return tags.filter((tag) =>
    (/ class="([^"]*)"/.exec(tag)?.[1] ?? '').split(' ').includes(className),
  );
}

/** The inside of the first group of the class, up to the end of the markup. */
export function fromGroup(markup: string, className: string): string {
  const at = markup.search(new RegExp(`<g class="${className}[ "]`));
  if (at < 0) throw new Error(`no group ${className}`);
  return markup.slice(at);
}

/** The corners of a path of straight lines. */
export function cornersOf(d: string): readonly (readonly [number, number])[] {
  return [...d.matchAll(/(-?[\d.]+),(-?[\d.]+)/g)].map(
    (m) => [Number(m[1]), Number(m[2])] as const,
  );
}

export function descriptionOf(markup: string): string {
  return unescaped(/<desc>(.*?)<\/desc>/s.exec(markup)?.[1] ?? '');
}

/** All text that is drawn, in order. */
export function textsOf(markup: string): readonly string[] {
  return [...markup.matchAll(/<text [^>]*>(.*?)<\/text>/gs)].map((m) => unescaped(m[1] ?? ''));
}

function unescaped(text: string): string {
  return text
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#x27;', "'")
    .replaceAll('&amp;', '&');
}

export interface DrawnText {
  readonly text: string;
  readonly box: Box;
}

/** The level texts with the boxes they are estimated to take. */
export function levelTexts(markup: string): readonly DrawnText[] {
  return [...markup.matchAll(/(<text [^>]*>)(.*?)<\/text>/gs)].flatMap(
    ([, tag = '', inside = '']) => {
      if (tag.includes('transform=')) return [];
      const text = unescaped(inside);
      const size = numberOf(tag, 'font-size') || TEXT_SIZE.label;
      const width = textWidth(text, size, numberOf(tag, 'font-weight'));
      const [x, y] = [numberOf(tag, 'x'), numberOf(tag, 'y')];
      const anchor = / text-anchor="(\w+)"/.exec(tag)?.[1] ?? 'start';
      const left = anchor === 'middle' ? x - width / 2 : anchor === 'end' ? x - width : x;
      return [
        { text, box: { left, right: left + width, top: y - size * 0.8, bottom: y + size * 0.2 } },
      ];
    },
  );
}

/** The markup a tag a line, coordinates in whole px: what a snapshot keeps. */
export function normalised(markup: string): string {
  return markup
    .replaceAll(/-?\d+\.\d+/g, (number) => String(Math.round(Number(number)) + 0))
    .replaceAll(/></g, '>\n<');
}
