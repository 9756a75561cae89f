/** The description of the cart, section by section. */

import './describe-pane.css';
import { Tabs } from '@base-ui/react/tabs';
import type { FocusEvent, ReactNode } from 'react';
import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { FieldPath, NewItemKind } from '../../document/index.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { CartSection } from './cart-section.js';
import { CastorSection } from './castor-section.js';
import type { Describe, Goal, Help } from './describe-context.js';
import { DescribeContext } from './describe-context.js';
import { Field } from './field.js';
import { fieldId } from './field-address.js';
import { Count, ItemList } from './item-list.js';
import { cellOfPath } from './parts-grid.js';
import { PartsSection } from './parts-section.js';
import { PositionSection, UncertaintySection } from './position-section.js';
import { ProblemList } from './problem-list.js';
import { knownSection, problemsOf, SECTIONS, sectionOf } from './sections.js';
import type { TextDraft } from './text-section.js';
import { TextSection } from './text-section.js';

export function DescribePane() {
  const reading = useWorkbench((s) => s.reading);
  const units = useWorkbench((s) => s.units);
  const asked = useWorkbench((s) => s.section);
  const store = useWorkbenchStore();
  const [goal, setGoal] = useState<Goal | null>(null);
  const [help, setHelp] = useState<Help | null>(null);
  const [draft, setDraft] = useState<TextDraft | null>(null);
  const pane = useRef<HTMLDivElement>(null);
  const { fields } = reading;
  // a text that is no map has no fields: only the text itself can be mended
  const section = fields === null ? 'text' : knownSection(asked);
  const goTo = useCallback(
    (path: FieldPath) => {
      store.getState().openSection(sectionOf(path));
      setGoal((now) => ({ path, count: (now?.count ?? 0) + 1 }));
    },
    [store],
  );
  const reached = useCallback((done: Goal) => setGoal((now) => (now === done ? null : now)), []);
  useGoal(goal, reached);
  useKeptFocus(pane);
  const describe = useMemo((): Describe => {
    return {
      fields: fields ?? EMPTY,
      problems: problemsOf(reading),
      units,
      goal,
      goTo,
      reached,
      change: (words, changes) => store.getState().change(words, changes),
      help: setHelp,
    };
  }, [fields, reading, units, goal, goTo, reached, store]);
  return (
    <DescribeContext value={describe}>
      <div className="describe-pane" ref={pane}>
        <h2 className="kit-hidden">Description of the cart</h2>
        <ProblemList isReadable={reading.cart !== null} />
        <Tabs.Root
          className="describe-tabs"
          value={section}
          onValueChange={(value: string) => store.getState().openSection(value)}
        >
          <Tabs.List className="describe-sections" aria-label="Sections of the description">
            {SECTIONS.map(({ id, words }) => (
              <Tabs.Tab
                key={id}
                value={id}
                className="describe-section"
                disabled={fields === null && id !== 'text'}
              >
                {words}
                <SectionCount section={id} isPending={id === 'text' && draft !== null} />
              </Tabs.Tab>
            ))}
          </Tabs.List>
          <Tabs.Panel value={section} className="describe-panel" tabIndex={-1}>
            <SectionBody section={section} draft={draft} onDraft={setDraft} />
          </Tabs.Panel>
        </Tabs.Root>
        {section !== 'text' && (
          <div className="describe-help" aria-live="off">
            {help === null ? (
              <p className="kit-soft">Enter takes what is typed, Escape restores it.</p>
            ) : (
              <>
                <p>{help.about}</p>
                <p className="kit-soft">Due: {help.due}</p>
              </>
            )}
          </div>
        )}
      </div>
    </DescribeContext>
  );
}

const EMPTY: Describe['fields'] = { kind: 'map', entries: [] };

function SectionCount({
  section,
  isPending,
}: {
  readonly section: string;
  readonly isPending: boolean;
}) {
  const errors = useWorkbench((s) => problemsOf(s.reading).counts.get(section) ?? 0);
  if (errors > 0) return <Count errors={errors} />;
  return isPending ? <span className="kit-hidden"> (not applied)</span> : null;
}

function SectionBody({
  section,
  draft,
  onDraft,
}: {
  readonly section: string;
  readonly draft: TextDraft | null;
  readonly onDraft: (draft: TextDraft | null) => void;
}): ReactNode {
  switch (section) {
    case 'cart':
      return <CartSection />;
    case 'parts':
      return <PartsSection />;
    case 'castors':
      return <CastorSection />;
    case 'floor':
      return (
        <>
          <Field path={['floor', 'name']} label="Floor" />
          <ItemList
            path={FRICTION}
            heading="Friction of each tread"
            adds={[{ kind: 'friction', words: 'Add friction' }]}
            none="None yet: one entry for each tread."
          />
        </>
      );
    case 'positions':
      return <PositionSection />;
    case 'uncertainty':
      return <UncertaintySection />;
    case 'text':
      return <TextSection draft={draft} onDraft={onDraft} />;
    default:
      return <PlainList section={section} />;
  }
}

const FRICTION = ['floor', 'friction'];

interface PlainSection {
  readonly path: FieldPath;
  readonly heading: string;
  readonly adds: readonly { readonly kind: NewItemKind; readonly words: string }[];
  readonly none: string;
}

const PLAIN: Readonly<Record<string, PlainSection>> = {
  movers: {
    path: ['movers'],
    heading: 'Movers',
    adds: [
      { kind: 'slide', words: 'Add slide' },
      { kind: 'turn', words: 'Add turn' },
    ],
    none: 'None: nothing of the cart slides or turns.',
  },
  loads: {
    path: ['loads'],
    heading: 'Loads',
    adds: [
      { kind: 'removable', words: 'Add removable load' },
      { kind: 'fluid', words: 'Add fluid' },
    ],
    none: 'None: nothing comes and goes.',
  },
  outline: {
    path: ['outline'],
    heading: 'Outline',
    adds: [
      { kind: 'box', words: 'Add box' },
      { kind: 'cylinder', words: 'Add cylinder' },
    ],
    none: 'None yet: it says how high the cart is and where it can be pushed.',
  },
  surfaces: {
    path: ['surfaces'],
    heading: 'Surfaces',
    adds: [
      { kind: 'work surface', words: 'Add work surface' },
      { kind: 'foothold', words: 'Add foothold' },
      { kind: 'seat', words: 'Add seat' },
    ],
    none: 'None that a person may step, sit or lean on.',
  },
  handles: {
    path: ['handles'],
    heading: 'Handles',
    adds: [
      { kind: 'pushing', words: 'Add push handle' },
      { kind: 'lifting', words: 'Add lifting handle' },
    ],
    none: 'None.',
  },
};

function PlainList({ section }: { readonly section: string }) {
  const plain = PLAIN[section];
  return plain === undefined ? null : <ItemList key={section} {...plain} />;
}

/** Frames that a section may take to open. */
const MOST_FRAMES = 12;

/** Puts the focus on the field that is asked for, or on the nearest that holds it. */
function useGoal(goal: Goal | null, reached: (goal: Goal) => void): void {
  useEffect(() => {
    if (goal === null) return;
    // the table of parts sees to its own cells
    if (goal.path.length > 1 && cellOfPath(goal.path) !== null) return;
    let frame = 0;
    let waited = 0;
    const look = (): void => {
      waited += 1;
      const isLast = waited > MOST_FRAMES;
      const element = isLast ? nearest(goal.path) : document.getElementById(fieldId(goal.path));
      if (element === null && !isLast) frame = requestAnimationFrame(look);
      else {
        focusOn(element);
        reached(goal);
      }
    };
    frame = requestAnimationFrame(look);
    return () => cancelAnimationFrame(frame);
  }, [goal, reached]);
}

function nearest(path: FieldPath): HTMLElement | null {
  for (let length = path.length; length > 0; length -= 1) {
    const element = document.getElementById(fieldId(path.slice(0, length)));
    if (element !== null) return element;
  }
  return document.querySelector<HTMLElement>('.describe-panel');
}

function focusOn(element: HTMLElement | null): void {
  if (element === null) return;
  for (let up = element.parentElement; up !== null; up = up.parentElement) {
    if (up instanceof HTMLDetailsElement) up.open = true;
  }
  element.focus();
  element.scrollIntoView({ block: 'nearest' });
  if (element instanceof HTMLInputElement && element.type === 'text') element.select();
}

/** The focus stays in the pane when what had it goes, as after an undo. */
function useKeptFocus(pane: { readonly current: HTMLElement | null }): void {
  const text = useWorkbench((s) => s.text);
  const last = useRef<string | null>(null);
  useEffect(() => {
    const element = pane.current;
    if (element === null) return;
    const note = (event: unknown): void => {
      const { target } = event as FocusEvent<HTMLElement>;
      last.current = target.id;
    };
    const leave = (event: unknown): void => {
      const { relatedTarget } = event as FocusEvent<HTMLElement>;
      // nothing takes it over when the element goes; a click elsewhere does
      if (relatedTarget !== null) last.current = null;
    };
    const forget = (event: globalThis.PointerEvent): void => {
      if (!element.contains(event.target as Node)) last.current = null;
    };
    element.addEventListener('focusin', note);
    element.addEventListener('focusout', leave);
    addEventListener('pointerdown', forget, { capture: true });
    return () => {
      element.removeEventListener('focusin', note);
      element.removeEventListener('focusout', leave);
      removeEventListener('pointerdown', forget, { capture: true });
    };
  }, [pane]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: to be looked at after every change of the text
  useLayoutEffect(() => {
    if (last.current === null || document.activeElement !== document.body) return;
    const same = last.current === '' ? null : document.getElementById(last.current);
    (same ?? pane.current?.querySelector<HTMLElement>('.describe-panel'))?.focus();
  }, [text]);
}
