/** Names as arguments in a command that a message proposes. */

/** As one argument in a shell: nothing in a name may run there. */
export function quoted(name: string): string {
  if (/^[\w./:@-]+$/.test(name)) return name;
  return /["$`\\!]/.test(name) ? `'${name.replaceAll("'", `'\\''`)}'` : `"${name}"`;
}
