/** How a command ends: an exit code, or what was wrong with its input. */

export type Outcome<T> =
  | { readonly kind: 'ok'; readonly value: T; readonly warnings: readonly string[] }
  /** one line each, as they go to the error stream */
  | { readonly kind: 'bad input'; readonly problems: readonly string[] };

export function fine<T>(value: T, warnings: readonly string[] = []): Outcome<T> {
  return { kind: 'ok', value, warnings };
}

export function bad(...problems: readonly string[]): Outcome<never> {
  return { kind: 'bad input', problems };
}

/** What is wrong in any of several inputs, together. */
export function allBad(...outcomes: readonly Outcome<unknown>[]): Outcome<never> {
  return bad(...outcomes.flatMap((each) => (each.kind === 'bad input' ? each.problems : [])));
}
