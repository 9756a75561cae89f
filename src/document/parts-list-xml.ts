/**
 * XML as a stream of tags and texts, as far as spreadsheets use it: elements, attributes, text, CDATA,
 * comments, processing instructions. A document type is refused, so that no entity can expand.
 * Namespace prefixes are dropped. (XML 1.0 fifth edition, from memory.)
 */

export type Attributes = Readonly<Record<string, string>>;

export interface XmlHandlers {
  readonly open?: (tag: string, attributes: Attributes) => void;
  readonly close?: (tag: string) => void;
  /** texts can come in several pieces */
  readonly text?: (text: string) => void;
}

// At most 200 attributes: a bound on what one match can cost; spreadsheets have a dozen.
const OPEN_TAG =
  /<([^\s<>/!?="']+)((?:\s+[^\s<>/="']+\s*=\s*(?:"[^"<]*"|'[^'<]*')){0,200})\s*(\/?)>/y;
const ATTRIBUTE = /([^\s="']+)\s*=\s*(?:"([^"]*)"|'([^']*)')/g;
const CLOSE_TAG = /<\/([^\s<>/]+)\s*>/y;

/** Spreadsheets nest a dozen elements. */
const DEEPEST = 200;

/** Calls the handlers in order; returns false where the XML is malformed. */
export function scanXml(xml: string, handlers: XmlHandlers): boolean {
  const open: string[] = [];
  let at = 0;
  while (at < xml.length) {
    const tagStart = xml.indexOf('<', at);
    const textEnd = tagStart === -1 ? xml.length : tagStart;
    if (textEnd > at && open.length > 0) handlers.text?.(decodeEntities(xml.slice(at, textEnd)));
    if (tagStart === -1) break;
    const next = scanMarkup(xml, tagStart, open, handlers);
    if (next === null) return false;
    at = next;
  }
  return open.length === 0;
}

/** @returns the offset after the markup; null: malformed */
function scanMarkup(xml: string, at: number, open: string[], handlers: XmlHandlers): number | null {
  if (xml.startsWith('<?', at)) return after(xml, '?>', at);
  if (xml.startsWith('<!--', at)) return after(xml, '-->', at + 4);
  if (xml.startsWith('<![CDATA[', at)) {
    const end = after(xml, ']]>', at);
    if (end !== null) handlers.text?.(xml.slice(at + 9, end - 3));
    return end;
  }
  if (xml.startsWith('</', at)) {
    CLOSE_TAG.lastIndex = at;
    const name = CLOSE_TAG.exec(xml)?.[1];
    if (name === undefined || open.pop() !== name) return null;
    handlers.close?.(localName(name));
    return CLOSE_TAG.lastIndex;
  }
  OPEN_TAG.lastIndex = at;
  const match = OPEN_TAG.exec(xml);
  if (match === null) return null;
  const [whole, name = '', attributes = '', slash] = match;
  handlers.open?.(localName(name), readAttributes(attributes));
  if (slash === '/') handlers.close?.(localName(name));
  else if (open.push(name) > DEEPEST) return null;
  return at + whole.length;
}

function after(xml: string, mark: string, from: number): number | null {
  const at = xml.indexOf(mark, from);
  return at === -1 ? null : at + mark.length;
}

function localName(name: string): string {
  return name.slice(name.indexOf(':') + 1);
}

function readAttributes(text: string): Attributes {
  const attributes: Record<string, string> = Object.create(null);
  for (const [, name = '', double, single] of text.matchAll(ATTRIBUTE)) {
    attributes[name] = decodeEntities(double ?? single ?? '');
  }
  return attributes;
}

const ENTITIES: ReadonlyMap<string, string> = new Map([
  ['amp', '&'],
  ['lt', '<'],
  ['gt', '>'],
  ['quot', '"'],
  ['apos', "'"],
]);

const LAST_CODE_POINT = 0x10ffff;

function decodeEntities(text: string): string {
  if (!text.includes('&')) return text;
  return text.replace(/&(?:#x([0-9a-f]{1,6})|#(\d{1,7})|(\w+));/gi, (whole, hex, decimal, name) => {
    if (name !== undefined) return ENTITIES.get(name) ?? whole;
    const code = hex === undefined ? Number(decimal) : Number.parseInt(hex, 16);
    return code <= LAST_CODE_POINT ? String.fromCodePoint(code) : whole;
  });
}
