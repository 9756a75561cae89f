/** Remarks on readings, those that say the same of several together. */

const OF_READING = /^Reading (\d+): (.*)$/s;

/** 'Readings 1, 2 and 3: ...' in the place of the first of them. */
export function together(remarks: readonly string[]): readonly string[] {
  const numbers = new Map<string, string[]>();
  for (const remark of remarks) {
    const [, number, words] = OF_READING.exec(remark) ?? [];
    const said = numbers.get(words ?? remark) ?? [];
    numbers.set(words ?? remark, number === undefined ? said : [...said, number]);
  }
  return [...numbers].map(([words, of]) => {
    const last = of.at(-1);
    if (last === undefined) return words;
    const before = of.slice(0, -1);
    return before.length === 0
      ? `Reading ${last}: ${words}`
      : `Readings ${before.join(', ')} and ${last}: ${words}`;
  });
}
