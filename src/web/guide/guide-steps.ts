/** The first five minutes: what to do, where, and how to see that it is done. Knows no page. */

import type { SheetPane, Workbench } from '../store/state.js';
import { isUnsaved } from '../store/unsaved.js';

/** What the guide looks at. */
export type GuideView = Pick<
  Workbench,
  | 'file'
  | 'text'
  | 'partsLists'
  | 'reading'
  | 'finding'
  | 'pose'
  | 'preview'
  | 'live'
  | 'proven'
  | 'provenUpTo'
  | 'variants'
> & {
  /** steps that redo would bring again */
  readonly undone: number;
};

export interface GuidePlace {
  readonly pane: SheetPane | null;
  readonly section: string | null;
  /** the first of these that is there, by selector or by the words of a button */
  readonly find: readonly ({ readonly selector: string } | { readonly button: string })[];
}

export interface GuideTask {
  readonly id: string;
  readonly words: string;
  /** null: the guide has a button for it */
  readonly place: GuidePlace | null;
  readonly act: { readonly words: string; readonly what: 'open example' | 'new cart' } | null;
  /** @param began the view when the step was begun @param done ids done so far */
  readonly isDone: (now: GuideView, began: GuideView, done: ReadonlySet<string>) => boolean;
}

export interface GuideStep {
  readonly title: string;
  readonly lead: string;
  readonly tasks: readonly GuideTask[];
  /** what is still as the starter has it is told */
  readonly tellsLeft?: true;
}

/** A cart that falls short in one thing, for a reason that can be seen. */
export const GUIDE_EXAMPLE = 'telehealth-two-locks-one-side.cart.yaml';

/** How many findings fall short of what is asked, as found; null: not known yet. */
export function shortfalls({ live }: Pick<GuideView, 'live'>): number | null {
  if (live === null) return null;
  const isShort = (reserve: number | null): boolean => reserve !== null && reserve < 1;
  return live.findings.filter(({ applies, reserve }) => applies && isShort(reserve)).length;
}

function isShortChosen({ finding, live, proven }: GuideView): boolean {
  if (finding === null) return false;
  const known = proven.get(finding)?.finding;
  if (known?.verdict === 'fails') return true;
  const found = live?.findings.find(({ id }) => id === finding);
  return found !== undefined && found.reserve !== null && found.reserve < 1;
}

function isActedOn({ pose }: GuideView): boolean {
  if (pose === null) return false;
  const { incline, push, press, without } = pose;
  return [incline, push, press, without].some((each) => each !== null);
}

function isMoved(now: GuideView, began: GuideView): boolean {
  if (now.preview.length > 0 || now.text !== began.text) return true;
  const { pose: before } = began;
  const movers = Object.entries(now.pose?.movers ?? {});
  return before !== null && movers.some(([name, value]) => before.movers[name] !== value);
}

/** Every finding has its verdict, or the closest proof could not give it one. */
function isDecided({ provenUpTo, proven, reading }: GuideView): boolean {
  if (provenUpTo === null || reading.cart === null) return false;
  const isOpen = [...proven.values()].some(({ finding }) => finding.verdict === 'not decided');
  return provenUpTo === 'full' || !isOpen;
}

/** The lines of a key at the root of a cart file, without comments. */
export function sectionText(text: string, key: string): string {
  const lines = text.split(/\r?\n/);
  const start = lines.findIndex((line) => line.startsWith(`${key}:`));
  if (start < 0) return '';
  const after = lines.slice(start + 1);
  const end = after.findIndex((line) => /^[^\s#-]/.test(line));
  const body = end < 0 ? after : after.slice(0, end);
  return [lines[start], ...body]
    .map((line) => (line ?? '').replace(/(?:^|\s)#.*$/, '').trimEnd())
    .filter((line) => line !== '')
    .join('\n');
}

function isOwn(...keys: readonly string[]) {
  return ({ file, text }: GuideView): boolean => {
    if (file === null) return false;
    return keys.some((key) => sectionText(text, key) !== sectionText(file.openedAs, key));
  };
}

function inSection(section: string): GuidePlace {
  return {
    pane: 'Describe',
    section,
    find: [{ selector: '.describe-panel' }, { selector: '.sheet-page-describe' }],
  };
}

const FAILING: GuidePlace = {
  pane: 'Findings',
  section: null,
  find: [
    { selector: '.margin-row-button:has(.is-fails)' },
    { selector: '.margin-row-button' },
    { selector: '.sheet-page-findings' },
  ],
};

const SEE_STEP: GuideStep = {
  title: 'See it fall short',
  lead: 'This cart has both of its locks on one side. See what that does.',
  tasks: [
    {
      id: 'open',
      words: 'Open the example.',
      place: null,
      act: { words: 'Open the example', what: 'open example' },
      isDone: (now) => now.file !== null && (shortfalls(now) ?? 0) > 0,
    },
    {
      id: 'choose',
      words: 'Among the findings, choose the one that fails.',
      place: FAILING,
      act: null,
      isDone: isShortChosen,
    },
    {
      id: 'worst',
      words: 'Press "Show in the drawing": it stands as it gives way first.',
      place: { ...FAILING, find: [{ button: 'Show in the drawing' }, ...FAILING.find] },
      act: null,
      isDone: (now) => isShortChosen(now) && isActedOn(now),
    },
  ],
};

const DRAWING: GuidePlace = {
  pane: 'See',
  section: null,
  find: [
    { selector: '.sheet-page-see [role="application"]' },
    { selector: '.sheet-page-see input' },
    { selector: '.sheet-page-see' },
  ],
};

const MOVE_STEP: GuideStep = {
  title: 'Move something',
  lead: 'Every margin follows while you drag. An open diamond marks the pose that is shown.',
  tasks: [
    {
      id: 'drag',
      words: 'Drag the arm or the lift in the drawing, or its slider below, and watch the margins.',
      place: DRAWING,
      act: null,
      isDone: isMoved,
    },
  ],
};

const MEND_STEP: GuideStep = {
  title: 'Mend it, and take it back',
  lead: 'A change shows at once, and one press takes it back.',
  tasks: [
    {
      id: 'mend',
      words:
        'Lock front right too: choose "wheel" beside its name, then what the brake holds. Or apply a remedy.',
      place: inSection('castors'),
      act: null,
      isDone: (now, began) => (shortfalls(now) ?? 99) < (shortfalls(began) ?? 0),
    },
    {
      id: 'undo',
      words: 'Press Undo (Ctrl+Z): it falls short again.',
      place: { pane: null, section: null, find: [{ selector: '.header-step' }] },
      act: null,
      isDone: (now, _, done) => done.has('mend') && now.undone > 0,
    },
  ],
};

/** What a verdict rests on beside what the tour asks for. */
const ASKED_OF_ALL = [
  'parts',
  'movers',
  'loads',
  'castor types',
  'castors',
  'floor',
  'outline',
  'surfaces',
  'handles',
  'positions',
] as const;

/** The sections of a new cart that nobody has put numbers of his own into. */
export function leftAsBegun({ file, text }: Pick<GuideView, 'file' | 'text'>): readonly string[] {
  if (file === null || file.savedText !== null) return [];
  return ASKED_OF_ALL.filter((key) => {
    const now = sectionText(text, key);
    return now !== '' && now === sectionText(file.openedAs, key);
  });
}

const OWN_STEP: GuideStep = {
  title: 'Your own numbers',
  tellsLeft: true,
  lead: 'Begin with the starter, or go on with the example.',
  tasks: [
    {
      id: 'new',
      words: 'Begin a new cart.',
      place: null,
      act: { words: 'New cart', what: 'new cart' },
      isDone: (now, began) => now.file !== null && now.file.name !== began.file?.name,
    },
    {
      id: 'name',
      words: 'Give it its name.',
      place: inSection('cart'),
      act: null,
      isDone: isOwn('name'),
    },
    {
      id: 'parts',
      words: 'Put in your parts: type, paste from a spreadsheet, import.',
      place: inSection('parts'),
      act: null,
      isDone: isOwn('parts', 'parts list'),
    },
    {
      id: 'castors',
      words: 'Set where castors stand and which lock.',
      place: inSection('castors'),
      act: null,
      isDone: isOwn('castors', 'castor types'),
    },
    {
      id: 'movers',
      words: 'Set how far the lift goes; remove other movers.',
      place: inSection('movers'),
      act: null,
      isDone: isOwn('movers'),
    },
    {
      id: 'positions',
      words: 'Say what transport and use allow.',
      place: inSection('positions'),
      act: null,
      isDone: isOwn('positions'),
    },
  ],
};

const VERDICT_STEP: GuideStep = {
  title: 'Read the verdict, and save',
  tellsLeft: true,
  lead: 'A verdict rests on what you stated. It does not replace the test.',
  tasks: [
    {
      id: 'proof',
      words: 'Wait until the proof is done. The verdict stands at the top.',
      place: { pane: null, section: null, find: [{ selector: '.header-verdict' }] },
      act: null,
      isDone: isDecided,
    },
    {
      id: 'rests',
      words: 'Press "Thinnest first", choose the first; read what it rests on.',
      place: {
        ...FAILING,
        find: [{ selector: '.finding-full' }, { selector: '.margins-panel-orders' }],
      },
      act: null,
      isDone: (now, began) => now.finding !== null && now.finding !== began.finding,
    },
    {
      id: 'save',
      words: 'Save it: it becomes a file of your folder.',
      place: { pane: null, section: null, find: [{ button: 'Save' }] },
      act: null,
      isDone: (now) => now.file !== null && now.file.savedText !== null && !isUnsaved(now),
    },
  ],
};

export const GUIDE_STEPS: readonly GuideStep[] = [
  SEE_STEP,
  MOVE_STEP,
  MEND_STEP,
  OWN_STEP,
  VERDICT_STEP,
];

/** Ids of the tasks of a step that are done; what is done once stays done. The same set where nothing is
 * new. */
export function doneTasks(
  step: GuideStep,
  now: GuideView,
  began: GuideView,
  done: ReadonlySet<string>,
): ReadonlySet<string> {
  const known = new Set(done);
  for (const { id, isDone } of step.tasks) {
    if (!known.has(id) && isDone(now, began, known)) known.add(id);
  }
  return known.size === done.size ? done : known;
}

/** What begins the tour, in words. @param left the step at which it was left; null: never begun */
export function tourWords(left: number | null): string {
  if (left === null) return 'First time here: guided tour';
  if (left === 0) return 'Guided tour';
  return left >= GUIDE_STEPS.length ? 'Guided tour again' : 'Resume the guided tour';
}

/** The step at which a tour that was left goes on. */
export function tourStart(left: number | null): number {
  return left === null || left >= GUIDE_STEPS.length ? 0 : left;
}
