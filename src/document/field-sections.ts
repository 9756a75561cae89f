/**
 * A cart file read piece by piece, so that a change costs the reading of one item and not of the file (a
 * cart of 500 parts takes 20 to 30 ms to read as a whole).
 *
 * A piece is a field at the top with all below it, or, of a list whose items each start on a line of
 * their own, one item. Pieces that each read without an error say together what the whole says: a
 * quote or bracket left open across a border would be an error in its piece, text that goes on by
 * indentation ends where less indented text starts, and what reaches further (anchors, a second
 * document, directives, keys in quotes) is left to the reading of the whole, as is all else that is not
 * plainly of this form.
 */

import type { FieldPath } from './field-path.js';
import { issueLog } from './issue-log.js';
import type { YamlNode } from './yaml-tree.js';
import { readYamlTree } from './yaml-tree.js';

export interface Stretch {
  readonly from: number;
  readonly to: number;
}

export interface Section extends Stretch {
  readonly key: string;
  /** each from the start of the line of its dash; none: the section is read as one */
  readonly items: readonly Stretch[];
}

/** Characters. Up to here no limit on words or nodes can be passed, since each has a character. */
const LONGEST_IN_PIECES = 150_000;

const KEY_LINE = /^([a-z][a-z ]*):(?=[ \r]|$)/;
const BARE_KEY_LINE = /^[a-z][a-z ]*:[ ]*(?:#.*)?\r?$/;
const EMPTY_LINE = /^[ ]*(?:#.*)?\r?$/;
const DASH_LINE = /^( +)-(?:[ ]|\r?$)/;
const PERHAPS_ANCHOR = /(?:^|[\s[{,:-])[&*]/m;

/** @returns null: not plainly of this form */
export function sectionsOf(text: string): readonly Section[] | null {
  if (text.length > LONGEST_IN_PIECES || PERHAPS_ANCHOR.test(text)) return null;
  const sections: { key: string; from: number; lines: Line[] }[] = [];
  for (const line of linesOf(text)) {
    const key = KEY_LINE.exec(line.text)?.[1];
    const current = sections.at(-1);
    if (key !== undefined) {
      if (sections.some((each) => each.key === key)) return null;
      sections.push({ key, from: line.from, lines: [line] });
    } else if (current !== undefined && (line.text.startsWith(' ') || EMPTY_LINE.test(line.text))) {
      current.lines.push(line);
    } else if (!EMPTY_LINE.test(line.text)) {
      return null;
    }
  }
  if (sections.length === 0) return null;
  return sections.map(({ key, from, lines }, index) => {
    const to = sections[index + 1]?.from ?? text.length;
    return { key, from, to, items: itemsIn(lines, to) };
  });
}

interface Line {
  readonly from: number;
  readonly text: string;
}

function* linesOf(text: string): Generator<Line> {
  for (let from = 0; from < text.length; ) {
    const feed = text.indexOf('\n', from);
    const to = feed === -1 ? text.length : feed;
    yield { from, text: text.slice(from, to) };
    from = to + 1;
  }
}

/** The items of a list below its key; none where it is no list of this form. */
function itemsIn([head, ...lines]: readonly Line[], end: number): readonly Stretch[] {
  if (head === undefined || !BARE_KEY_LINE.test(head.text)) return [];
  const first = lines.find((line) => !EMPTY_LINE.test(line.text));
  const indent = DASH_LINE.exec(first?.text ?? '')?.[1];
  if (indent === undefined) return [];
  const starts: number[] = [];
  for (const { from, text } of lines) {
    const isEmpty = EMPTY_LINE.test(text);
    if (!isEmpty && DASH_LINE.exec(text)?.[1] === indent) starts.push(from);
    else if (!isEmpty && !text.startsWith(`${indent} `)) return [];
  }
  return starts.map((from, index) => ({ from, to: starts[index + 1] ?? end }));
}

/** What pieces were read as. */
const KNOWN = new Map<string, YamlNode>();
const MOST_KNOWN = 20_000;

/** The value of the only field of a text; null: it has errors or more fields. */
function onlyValue(text: string): YamlNode | null {
  const known = KNOWN.get(text);
  if (known !== undefined) return known;
  const log = issueLog('', [0]);
  const root = readYamlTree(text, log);
  const [only, second] = root?.kind === 'map' ? root.entries : [];
  if (only === undefined || second !== undefined || log.errorCount() > 0) return null;
  if (KNOWN.size >= MOST_KNOWN) KNOWN.clear();
  KNOWN.set(text, only.node);
  return only.node;
}

/** What a section says; null: it cannot be read by itself. Offsets are those of its pieces. */
export function sectionValue(text: string, section: Section): YamlNode | null {
  const { items } = section;
  const [first] = items;
  if (first === undefined) return onlyValue(text.slice(section.from, section.to));
  const nodes: YamlNode[] = [];
  for (const { from, to } of items) {
    const list = onlyValue(`${HEAD}${text.slice(from, to)}`);
    const [node, second] = list?.kind === 'list' ? list.items : [];
    if (node === undefined || second !== undefined) return null;
    nodes.push(node);
  }
  return { kind: 'list', offset: first.from, items: nodes };
}

/** Stands above items that are read by themselves. */
const HEAD = 'x:\n';

/** A part of a text that can be changed by itself. */
export interface Excerpt {
  readonly text: string;
  /** of the whole text, what the excerpt stands for */
  readonly stretch: Stretch;
  /** what the excerpt has above that, of its own */
  readonly head: string;
  /** the items of the list at the top that it starts after */
  readonly skipped: number;
}

/**
 * The part of a text that holds the fields of the paths with what stands around them.
 *
 * @param paths all of them of fields that are there, or that go into what is there
 * @returns null: only the whole will do
 */
export function excerptFor(
  text: string,
  sections: readonly Section[],
  paths: readonly FieldPath[],
): Excerpt | null {
  const key = paths[0]?.[0];
  const section = sections.find((each) => each.key === key);
  if (section === undefined || !paths.every((path) => path[0] === key)) return null;
  if (section.items.length === 0) return wholeSection(text, section);
  const indices = paths.map((path) => path[1]);
  const numbers = indices.filter((index) => typeof index === 'number');
  if (section.items.length < 3 || numbers.length < indices.length) return null;
  return window(text, section, Math.min(...numbers), Math.max(...numbers));
}

function wholeSection(text: string, { from, to }: Section): Excerpt {
  return { text: text.slice(from, to), stretch: { from, to }, head: '', skipped: 0 };
}

/** The items from the first to the last, with one more on both sides. */
function window(text: string, section: Section, first: number, last: number): Excerpt | null {
  const { key, items } = section;
  const low = Math.max(0, first - 1);
  const high = Math.min(items.length - 1, last + 1);
  const [start, end] = [items[low], items[high]];
  if (start === undefined || end === undefined || high === low) return null;
  // what stands between the key and the first item belongs to that
  const from = low === 0 ? section.from : start.from;
  const lineEnd = text.slice(0, from).endsWith('\r\n') ? '\r\n' : '\n';
  const head = low === 0 ? '' : `${key}:${lineEnd}`;
  return {
    text: head + text.slice(from, end.to),
    stretch: { from, to: end.to },
    head,
    skipped: low,
  };
}
