/** What differs between two texts, line by line. */

export interface DifferenceLine {
  /** 'one': only in the first text; 'other': only in the second; 'left out': so many equal lines */
  readonly kind: 'same' | 'one' | 'other' | 'left out';
  readonly text: string;
  /** line in the text that it comes from, from 1 */
  readonly line: number;
}

export interface Difference {
  readonly lines: readonly DifferenceLine[];
  /** lines only in the first text, only in the second */
  readonly one: number;
  readonly other: number;
}

/** Equal lines shown around each change. */
const AROUND = 2;
/** Pairs of lines compared at most: beyond, the middle counts as changed whole. */
const MOST_PAIRS = 4_000_000;

export function lineDifference(one: string, other: string): Difference {
  const [a, b] = [linesOf(one), linesOf(other)];
  const all = allLines(a, b);
  const count = (kind: DifferenceLine['kind']): number =>
    all.filter((each) => each.kind === kind).length;
  return { lines: aroundChanges(all), one: count('one'), other: count('other') };
}

function linesOf(text: string): readonly string[] {
  return text.replace(/\r?\n$/, '').split(/\r?\n/);
}

function allLines(a: readonly string[], b: readonly string[]): readonly DifferenceLine[] {
  let head = 0;
  while (head < a.length && head < b.length && a[head] === b[head]) head += 1;
  let tail = 0;
  const least = Math.min(a.length, b.length) - head;
  while (tail < least && a.at(-1 - tail) === b.at(-1 - tail)) tail += 1;
  const same = (text: string, line: number): DifferenceLine => ({ kind: 'same', text, line });
  const [middleA, middleB] = [a.slice(head, a.length - tail), b.slice(head, b.length - tail)];
  return [
    ...a.slice(0, head).map((text, index) => same(text, index + 1)),
    ...middle(middleA, middleB, head),
    ...a.slice(a.length - tail).map((text, index) => same(text, a.length - tail + index + 1)),
  ];
}

/** The longest common subsequence, by the table of lengths filled from the end. */
function middle(
  a: readonly string[],
  b: readonly string[],
  head: number,
): readonly DifferenceLine[] {
  const width = b.length + 1;
  const isSmall = a.length * b.length <= MOST_PAIRS;
  const lengths = new Uint32Array(isSmall ? (a.length + 1) * width : 0);
  const at = (i: number, j: number): number => lengths[i * width + j] ?? 0;
  for (let i = isSmall ? a.length - 1 : -1; i >= 0; i -= 1) {
    for (let j = b.length - 1; j >= 0; j -= 1) {
      const best = a[i] === b[j] ? at(i + 1, j + 1) + 1 : Math.max(at(i + 1, j), at(i, j + 1));
      lengths[i * width + j] = best;
    }
  }
  const lines: DifferenceLine[] = [];
  let [i, j] = [0, 0];
  while (i < a.length || j < b.length) {
    const isSame = isSmall && i < a.length && j < b.length && a[i] === b[j];
    const takesA = i < a.length && (j >= b.length || at(i + 1, j) >= at(i, j + 1));
    const kind = isSame ? 'same' : takesA ? 'one' : 'other';
    const text = (kind === 'other' ? b[j] : a[i]) ?? '';
    lines.push({ kind, text, line: head + (kind === 'other' ? j : i) + 1 });
    if (kind !== 'other') i += 1;
    if (kind !== 'one') j += 1;
  }
  return lines;
}

function aroundChanges(all: readonly DifferenceLine[]): readonly DifferenceLine[] {
  const near = new Uint8Array(all.length);
  for (const [index, { kind }] of all.entries()) {
    if (kind !== 'same') near.fill(1, Math.max(0, index - AROUND), index + AROUND + 1);
  }
  const shown: DifferenceLine[] = [];
  for (let index = 0; index < all.length; ) {
    const line = all[index] as DifferenceLine;
    if (near[index] === 1) {
      shown.push(line);
      index += 1;
      continue;
    }
    const next = near.indexOf(1, index);
    const end = next === -1 ? all.length : next;
    shown.push({ kind: 'left out', text: String(end - index), line: line.line });
    index = end;
  }
  return shown;
}
