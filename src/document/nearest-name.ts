/** Names longer than this are not compared: the distance costs the product of the lengths. */
const LONGEST_COMPARED = 60;

/**
 * The known name that was most likely meant: the one with the least number of single-character
 * edits, if these are at most two or a third of its length.
 */
export function nearestName(name: string, known: Iterable<string>): string | null {
  const wanted = folded(name);
  if (wanted.length > LONGEST_COMPARED) return null;
  let best: string | null = null;
  let bestEdits = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    if (candidate.length > LONGEST_COMPARED) continue;
    const edits = editDistance(wanted, folded(candidate));
    const tolerable = Math.max(2, Math.floor(candidate.length / 3));
    if (edits < bestEdits && edits <= tolerable && edits < wanted.length) {
      best = candidate;
      bestEdits = edits;
    }
  }
  return best;
}

/** A name as it is kept: no white space around it, composed characters. */
export function trimmedName(text: string): string {
  return text.trim().normalize('NFC');
}

/** How names are compared: white space trimmed, letter case and compatible forms ignored. */
export function folded(name: string): string {
  return name.trim().normalize('NFKC').toLowerCase();
}

/** Levenshtein's distance by the usual dynamic programme over two rows. */
function editDistance(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const replaced = (previous[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      row.push(Math.min(replaced, (previous[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1));
    }
    previous = row;
  }
  return previous[b.length] ?? 0;
}
