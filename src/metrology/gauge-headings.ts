/** Which line of a gauge's file holds the headings, and which column is time, force or displacement. */

import type { Problem, Problems, Separator } from './gauge-table.js';
import { cellsOf, shown } from './gauge-table.js';

export type Role = 'time' | 'force' | 'displacement';

export interface HeadedColumn {
  readonly role: Role;
  /** from 0 */
  readonly index: number;
  /** as it stands in the file */
  readonly heading: string;
  /** what it says of a unit; '': nothing */
  readonly unit: string;
}

export interface Headings {
  /** from 1 */
  readonly line: number;
  readonly separator: Separator;
  readonly count: number;
  readonly roles: {
    readonly time: HeadedColumn;
    readonly force: HeadedColumn;
    readonly displacement: HeadedColumn | null;
  };
  readonly preamble: readonly string[];
  readonly warnings: readonly string[];
}

export type HeadingsOutcome = { readonly kind: 'ok'; readonly headings: Headings } | Problems;

/** English, German, French, Spanish, and the usual symbols; without accents, in lower case. */
const WORDS: Readonly<Record<Role, readonly string[]>> = {
  time: [
    ...['time', 'elapsed time', 'test time', 'time stamp', 'timestamp', 'clock', 't'],
    ...['zeit', 'messzeit', 'prufzeit', 'zeitstempel', 'uhrzeit'],
    ...['temps', 'duree', 'heure', 'horodatage'],
    ...['tiempo', 'hora', 'marca de tiempo'],
  ],
  force: [
    ...[
      'force',
      'load',
      'pull',
      'push',
      'pull force',
      'push force',
      'force reading',
      'reading',
      'f',
    ],
    ...['kraft', 'zugkraft', 'druckkraft', 'messkraft', 'last', 'standardkraft'],
    ...['effort', 'charge', 'force de traction', 'force mesuree'],
    ...['fuerza', 'carga', 'fuerza de traccion'],
  ],
  displacement: [
    ...['displacement', 'travel', 'position', 'extension', 'distance', 'stroke', 'd', 's', 'x'],
    ...['weg', 'verschiebung', 'traverse', 'traversenweg', 'hub', 'verformung', 'standardweg'],
    ...['deplacement', 'course', 'allongement'],
    ...['desplazamiento', 'recorrido', 'carrera', 'posicion'],
  ],
};

const ROLE_OF: ReadonlyMap<string, Role> = new Map(
  (Object.keys(WORDS) as Role[]).flatMap((role) =>
    WORDS[role].map((word) => [word, role] as const),
  ),
);

/** How a heading may say its unit: in brackets, after a stroke, comma, underline or 'in'; or as its last
 * word. */
const UNIT_FORMS: readonly RegExp[] = [
  /^(.*?)\s*\(([^()]*)\)$/,
  /^(.*?)\s*\[([^[\]]*)\]$/,
  /^(.*?)\s*\{([^{}]*)\}$/,
  /^(.*?)\s*<([^<>]*)>$/,
  /^(.*?)\s*\/\s*([^/]+)$/,
  /^(.*?)\s*[,:;]\s*(\S+)$/,
  /^(.*?)\s+(?:in|en)\s+(\S+)$/i,
  /^(.*?)_([^_]+)$/,
  /^(.*?)\s+-?\s*(\S+)$/,
];

function plain(text: string): string {
  return text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .replace(/[_\s]+/g, ' ')
    .trim()
    .toLowerCase();
}

function read(heading: string): { readonly role: Role; readonly unit: string } | null {
  const whole = ROLE_OF.get(plain(heading));
  if (whole !== undefined) return { role: whole, unit: '' };
  for (const form of UNIT_FORMS) {
    const [, label = '', unit = ''] = form.exec(heading) ?? [];
    const role = label === '' ? undefined : ROLE_OF.get(plain(label));
    if (role !== undefined) return { role, unit: unit.trim() };
  }
  return null;
}

/** Headings are looked for in so many lines from the top. */
const HEADING_LINES = 200;
/** A heading longer than this is a sentence. */
const LONGEST_LINE = 2000;
const SEPARATORS: readonly Separator[] = [';', '\t', ',', ' '];

export function findHeadings(lines: readonly string[]): HeadingsOutcome {
  let seen: Problem | null = null;
  for (const [i, line] of lines.slice(0, HEADING_LINES).entries()) {
    if (line.length > LONGEST_LINE) continue;
    for (const separator of SEPARATORS) {
      const cells = headingCells(line, separator);
      const columns = cells.flatMap((heading, index): HeadedColumn[] => {
        const found = read(heading);
        return found === null ? [] : [{ ...found, index, heading }];
      });
      const roles = new Set(columns.map(({ role }) => role));
      if (roles.has('time') && roles.has('force')) {
        return chosen({ line: i + 1, separator, cells, columns, preamble: lines.slice(0, i) });
      }
      if (roles.size > 0 && cells.length > 1) seen ??= halfFound(i + 1, cells, roles);
    }
  }
  return { kind: 'problems', problems: [seen ?? NOT_FOUND] };
}

const NOT_FOUND: Problem = {
  line: null,
  column: null,
  actual: `no headings of time and force in the first ${HEADING_LINES} lines`,
  allowed: 'a line of headings such as "Time (s)" and "Force (N)"',
};

function halfFound(line: number, cells: readonly string[], roles: ReadonlySet<Role>): Problem {
  const missing = roles.has('time') ? 'force' : 'time';
  const allowed =
    missing === 'force'
      ? 'a column of force, such as "Force (N)", "Load [lbf]" or "Kraft / kN"'
      : 'a column of time, such as "Time (s)", "Zeit [ms]" or "Temps (s)"';
  return { line, column: null, actual: `headings ${cells.map(shown).join(', ')}`, allowed };
}

/** Blanks separate words too: units in brackets, or two blanks, then tell where a heading ends. */
function headingCells(line: string, separator: Separator): readonly string[] {
  if (separator !== ' ') return trimmed(cellsOf(line, separator) ?? []);
  const text = line.trim();
  if (text.includes('"')) return trimmed(cellsOf(text, ' ') ?? []);
  const wide = text.split(/\s{2,}/);
  if (wide.length > 1 && wide.every((each) => read(each) !== null)) return wide;
  const bracketed = text.match(/[^()[\]]+[([][^()[\]]*[)\]]/g) ?? [];
  if (bracketed.length > 1 && bracketed.join('') === text)
    return bracketed.map((each) => each.trim());
  return text.replace(/\s*\/\s*/g, '/').split(/\s+/);
}

/** Without blank cells at the end: a separator may close the line. */
function trimmed(cells: readonly string[]): readonly string[] {
  return cells.slice(0, cells.findLastIndex((cell) => cell !== '') + 1);
}

interface FoundLine {
  readonly line: number;
  readonly separator: Separator;
  readonly cells: readonly string[];
  readonly columns: readonly HeadedColumn[];
  readonly preamble: readonly string[];
}

function chosen({ line, separator, cells, columns, preamble }: FoundLine): HeadingsOutcome {
  const of = (role: Role) => columns.filter((column) => column.role === role);
  const twice = (['time', 'force', 'displacement'] as const).filter((role) => of(role).length > 1);
  const problems = twice.map((role): Problem => {
    const actual = `${of(role)
      .map(({ heading }) => shown(heading))
      .join(' and ')}`;
    return { line, column: null, actual, allowed: `one column of ${role}: take the others out` };
  });
  const [time, force] = [of('time')[0], of('force')[0]];
  if (problems.length > 0 || time === undefined || force === undefined) {
    return { kind: 'problems', problems };
  }
  const unread = cells.filter((_, i) => !columns.some(({ index }) => index === i));
  const warnings =
    unread.length === 0
      ? []
      : [
          `line ${line}: not read: ${unread.length === 1 ? 'column' : 'columns'} ${unread.map(shown).join(', ')}`,
        ];
  const roles = { time, force, displacement: of('displacement')[0] ?? null };
  const headings = { line, separator, count: cells.length, roles, preamble, warnings };
  return { kind: 'ok', headings };
}
