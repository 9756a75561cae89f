/** Where a field stands, from the root: keys, and indices counted from 0: ['castors', 1, 'at', 0]. */
export type FieldPath = readonly (string | number)[];

/** For a sentence, items counted from 1: `castors[2] > at[1]`. */
export function pathWords(path: FieldPath): string {
  return path.reduce<string>((words, step) => {
    if (typeof step === 'number') return `${words}[${step + 1}]`;
    return words === '' ? step : `${words} > ${step}`;
  }, '');
}
