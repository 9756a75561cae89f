/** Where two carts differ by more than rounding: the path, or null. */
export function cartDifference(a: unknown, b: unknown, path = 'cart'): string | null {
  if (typeof a === 'number' && typeof b === 'number') {
    // 1e-9 relative is what an edited file promises; what is left of a zero is written as zero
    const isClose = Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b)) + 1e-12;
    return isClose ? null : `${path}: ${a} is not ${b}`;
  }
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) {
    return a === b ? null : `${path}: ${String(a)} is not ${String(b)}`;
  }
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  for (const key of keys) {
    const of = (from: object) => (from as Record<string, unknown>)[key];
    const found = cartDifference(of(a), of(b), `${path}.${key}`);
    if (found !== null) return found;
  }
  return null;
}
