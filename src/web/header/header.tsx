/** Title block: the cart, its verdict, its file, and what holds for the whole page. */

import './header.css';
import { useEffect, useId, useMemo, useState } from 'react';
import { useShallow } from 'zustand/react/shallow';
import type { UnitSystem } from '../../units/index.js';
import { overallOf } from '../findings/finding-rows.js';
import { useFindingRows } from '../findings/use-finding-rows.js';
import { useSteps, useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { VerdictShapeOf } from '../kit/verdict.js';
import type { Theme } from '../store/state.js';
import { isUnsaved } from '../store/unsaved.js';
import { overallWords } from './overall-verdict.js';
import { saveOrAsk } from './save-or-ask.js';

export function Header() {
  // a test day has its own bar, and every line counts on a tablet at the ramp
  const isOpen = useWorkbench((s) => s.file !== null && s.screen !== 'test day');
  return (
    <header className="header">
      <a className="header-skip" href="#content">
        Skip to the content
      </a>
      <div className="header-block">
        {isOpen ? (
          <>
            <CartCell />
            <VerdictCell />
            <SetCell />
          </>
        ) : (
          <p className="header-cell header-product">Standstill</p>
        )}
        {!isOpen && <PageTools />}
      </div>
      {isOpen && (
        <div className="header-tools">
          <FileTools />
          <PageTools />
        </div>
      )}
    </header>
  );
}

function CartCell() {
  const { name, file } = useWorkbench(
    useShallow((s) => ({ name: s.cart?.name ?? null, file: s.file?.name ?? '' })),
  );
  const state = useWorkbench((s) => {
    if (s.saving) return 'saving';
    if (s.atRisk) return 'unsaved, and kept nowhere';
    if (s.file?.savedText === null) return 'not saved yet';
    return isUnsaved(s) ? 'unsaved changes' : 'saved';
  });
  useEffect(() => {
    document.title = `${state === 'saved' ? '' : '* '}${name ?? file} - Standstill`;
    return () => {
      document.title = 'Standstill';
    };
  }, [name, file, state]);
  return (
    <div className="header-cell header-cart">
      <h1 title={name ?? file}>{name ?? 'Cart that cannot be read yet'}</h1>
      <p className="header-file">
        <span className="header-file-name" title={file}>
          {file}
        </span>
        <span className="header-file-state" data-state={state}>
          {state}
        </span>
      </p>
    </div>
  );
}

/** ms that a verdict has to stand before it is read out. */
const READ_OUT_AFTER = 700;

function VerdictCell() {
  const { rows } = useFindingRows();
  const overall = useMemo(() => overallOf(rows), [rows]);
  const words = useWorkbench(useShallow((s) => overallWords(overall, s)));
  const { verdict, head, detail, isSettled } = words;
  const [readOut, setReadOut] = useState('');
  useEffect(() => {
    if (!isSettled) return;
    const timer = setTimeout(() => setReadOut(`Verdict: ${head}, ${detail}`), READ_OUT_AFTER);
    return () => clearTimeout(timer);
  }, [isSettled, head, detail]);
  return (
    <div className="header-cell header-verdict">
      <p className="header-verdict-head">
        <span className="header-caption">Verdict, predicted</span>
        {head !== 'not judged' && <VerdictShapeOf verdict={verdict} />}
        <strong>{head}</strong>
      </p>
      <p className="kit-soft header-verdict-detail" title={detail}>
        {detail}
      </p>
      <span className="kit-hidden" role="status">
        {readOut}
      </span>
    </div>
  );
}

function SetCell() {
  const store = useWorkbenchStore();
  const sets = useWorkbench((s) => s.sets);
  const asked = useWorkbench((s) => s.set.id);
  const title = useWorkbench((s) => s.set.title);
  const problem = useWorkbench((s) => s.setProblem);
  const canChange = useWorkbench((s) => s.reading.fields !== null);
  const id = useId();
  const choose = (value: string): void => {
    const change = { kind: 'set', path: ['requirements'], value } as const;
    store.getState().change(`requirement set ${value}`, [change]);
  };
  return (
    <div className="header-cell header-set">
      <label className="header-caption" htmlFor={id}>
        Requirement set
      </label>
      <select
        id={id}
        className="kit-select"
        value={problem === null ? asked : ''}
        title={problem === null ? title : undefined}
        disabled={!canChange}
        aria-invalid={problem !== null}
        aria-describedby={problem === null ? undefined : `${id}-problem`}
        onChange={(event) => choose(event.target.value)}
      >
        {problem !== null && (
          <option value="" disabled>
            Choose a requirement set
          </option>
        )}
        {sets.map((each) => (
          <option key={each.id} value={each.id}>
            {each.title}
          </option>
        ))}
      </select>
      {problem !== null && (
        <p id={`${id}-problem`} className="kit-problem header-set-problem" title={problem}>
          {problem}
        </p>
      )}
    </div>
  );
}

function FileTools() {
  const store = useWorkbenchStore();
  const saving = useWorkbench((s) => s.saving);
  const screen = useWorkbench((s) => s.screen);
  const kept = useWorkbench((s) => s.variants.length);
  const canKeep = useWorkbench((s) => s.reading.cart !== null && s.setProblem === null);
  const state = store.getState;
  const close = (): void => (state().atRisk ? state().ask('close') : state().close());
  return (
    <>
      <StepButtons />
      <fieldset className="header-group" aria-label="File">
        <Tool words="Save" title="Save (Ctrl+S)" off={saving} onPress={() => saveOrAsk(store)} />
        <Tool words="Save as" off={saving} onPress={() => state().ask('save as')} />
        <Tool words="Close" title="Close this cart: back to the start" onPress={close} />
      </fieldset>
      <fieldset className="header-group" aria-label="Variants">
        <Tool words="Keep as variant" off={!canKeep} onPress={() => state().ask('keep variant')} />
        <button
          type="button"
          className="kit-button"
          aria-pressed={screen === 'compare'}
          onClick={() => state().goTo(screen === 'compare' ? 'sheet' : 'compare')}
        >
          {kept === 0 ? 'Compare' : `Compare (${kept} kept)`}
        </button>
      </fieldset>
      <fieldset className="header-group" aria-label="Test">
        <button type="button" className="kit-button" onClick={() => state().goTo('test day')}>
          Test day
        </button>
      </fieldset>
    </>
  );
}

interface ToolProps {
  readonly words: string;
  readonly title?: string;
  readonly off?: boolean;
  readonly onPress: () => void;
}

function Tool({ words, title, off = false, onPress }: ToolProps) {
  return (
    <button type="button" className="kit-button" title={title} disabled={off} onClick={onPress}>
      {words}
    </button>
  );
}

/** Each says what it would take back, or bring again. */
function StepButtons() {
  const store = useWorkbenchStore();
  const made = useWorkbench((s) => s.made);
  const { past, future } = useSteps();
  const next = future.at(-1)?.made ?? '';
  return (
    <fieldset className="header-group" aria-label="Steps">
      <button
        type="button"
        className="kit-button header-step"
        disabled={past.length === 0}
        title={past.length === 0 ? 'Nothing to undo' : `Undo ${made} (Ctrl+Z)`}
        onClick={() => store.getState().undo()}
      >
        Undo <span className="header-step-what">{past.length === 0 ? '' : made}</span>
      </button>
      <button
        type="button"
        className="kit-button header-step"
        disabled={future.length === 0}
        title={future.length === 0 ? 'Nothing to redo' : `Redo ${next} (Ctrl+Shift+Z)`}
        onClick={() => store.getState().redo()}
      >
        Redo <span className="header-step-what">{next}</span>
      </button>
    </fieldset>
  );
}

const UNITS: readonly { readonly value: UnitSystem; readonly words: string }[] = [
  { value: 'SI', words: 'SI' },
  { value: 'US', words: 'US' },
  { value: 'both', words: 'SI and US' },
];

const THEMES: readonly { readonly value: Theme; readonly words: string }[] = [
  { value: 'as the system', words: 'as the system' },
  { value: 'light', words: 'light' },
  { value: 'dark', words: 'dark' },
];

function PageTools() {
  const store = useWorkbenchStore();
  const units = useWorkbench((s) => s.units);
  const theme = useWorkbench((s) => s.theme);
  return (
    <div className="header-group header-page">
      <Choice
        label="Units"
        value={units}
        among={UNITS}
        onChoose={(value) => store.getState().setUnits(value)}
      />
      <Choice
        label="Theme"
        value={theme}
        among={THEMES}
        onChoose={(value) => store.getState().setTheme(value)}
      />
      <Tool words="Help" title="Help (?)" onPress={() => store.getState().ask('help')} />
    </div>
  );
}

interface ChoiceProps<T extends string> {
  readonly label: string;
  readonly value: T;
  readonly among: readonly { readonly value: T; readonly words: string }[];
  readonly onChoose: (value: T) => void;
}

function Choice<T extends string>({ label, value, among, onChoose }: ChoiceProps<T>) {
  const id = useId();
  return (
    <span className="header-choice">
      <label htmlFor={id}>{label}</label>
      <select
        id={id}
        className="kit-select"
        value={value}
        onChange={(event) => {
          const chosen = among.find((each) => each.value === event.target.value);
          if (chosen !== undefined) onChoose(chosen.value);
        }}
      >
        {among.map((each) => (
          <option key={each.value} value={each.value}>
            {each.words}
          </option>
        ))}
      </select>
    </span>
  );
}
