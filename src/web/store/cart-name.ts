/** Names of cart files: the rule of the program behind the page, in words before it is asked. */

/** UTF-8 bytes. */
const LONGEST = 200;
const ENDING = /\.cart\.ya?ml$/i;
const UNSAFE = /[\\/:*?"<>|\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;
const DEVICE = /^(?:con|prn|aux|nul|conin\$|conout\$|com[0-9¹²³]|lpt[0-9¹²³])\s*(?:\.|$)/i;

/** What a user typed as a name, with the ending. */
export function cartNameOf(typed: string): string {
  const name = typed.trim();
  return name === '' || ENDING.test(name) ? name : `${name.replace(/\.ya?ml$/i, '')}.cart.yaml`;
}

/** Why a name cannot be taken, in words; null: it can. @param name with its ending */
export function cartNameProblem(name: string, taken: readonly string[]): string | null {
  const stem = name.replace(ENDING, '');
  if (stem === '') return 'A name is needed, such as lamp-stand.';
  const [unsafe] = UNSAFE.exec(stem) ?? [];
  if (unsafe !== undefined) {
    const shown = /[\p{Cc}\p{Cf}\p{Cs}\p{Z}]/u.test(unsafe) ? 'an invisible character' : unsafe;
    return `The name cannot hold ${shown}. Allowed: letters, digits, spaces, - and _.`;
  }
  if (/^[.\s]|[.\s]$/.test(stem)) return 'The name cannot begin or end with a dot or a space.';
  if (DEVICE.test(name)) return `Some systems keep the name ${stem} for a device. Choose another.`;
  const bytes = new TextEncoder().encode(name).length;
  if (bytes > LONGEST) return `The name is too long: ${bytes} bytes; allowed: at most ${LONGEST}.`;
  const same = taken.find((each) => each.toLowerCase() === name.toLowerCase());
  return same === undefined ? null : `${same} exists already in this folder. Choose another name.`;
}

/** A name that may be used, as near to the wanted one as may be, and that is not taken. */
export function freeCartName(wanted: string, taken: readonly string[]): string {
  const plain = wanted.replace(ENDING, '').replace(/\.ya?ml$/i, '');
  const cleaned = [...plain.replace(new RegExp(UNSAFE, 'gu'), '-')].slice(0, 60).join('');
  const bare = cleaned.replace(/^[.\s]+|[.\s]+$/g, '');
  const stem = bare === '' || DEVICE.test(`${bare}.`) ? 'cart' : bare;
  for (let n = 1; ; n += 1) {
    const name = n === 1 ? `${stem}.cart.yaml` : `${stem}-${n}.cart.yaml`;
    if (cartNameProblem(name, taken) === null) return name;
  }
}

/** A file name beside the wanted one that is not taken: parts.csv, parts-2.csv. */
export function besideName(wanted: string, taken: (name: string) => boolean): string {
  const [, stem = wanted, ending = ''] = /^(.*?)(\.[^./]*)?$/s.exec(wanted) ?? [];
  for (let n = 2; ; n += 1) {
    const name = `${stem}-${n}${ending}`;
    if (!taken(name)) return name;
  }
}
