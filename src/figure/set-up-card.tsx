/** One run of a test plan on one sheet: set up, drawn to scale, done, and written down by hand. */

import type { CSSProperties, ReactElement } from 'react';
import { clauseTitle, poseCart } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type { RunWords, TestPlan, TestRun } from '../test-plan/index.js';
import { runWords } from '../test-plan/index.js';
import type { UnitSystem } from '../units/index.js';
import type { ElevationFrom } from './elevation-layout.js';
import { ElevationView } from './elevation-view.js';
import { PlanView } from './plan-view.js';
import { textWidth } from './text-width.js';
import { VerdictMark } from './verdict-mark.js';

export type Paper = 'A4' | 'Letter';

export interface SetUpCardProps {
  readonly cart: Cart;
  readonly plan: TestPlan;
  readonly run: TestRun;
  /** place in the plan, from 1 */
  readonly number: number;
  readonly of: number;
  readonly units: UnitSystem;
  readonly paper: Paper;
}

/**
 * A section to be printed on a page of its own (style: SET_UP_CARD_STYLE, or figure.css in the page).
 * Text that is long makes the card denser, and one that fits no page at all goes on to the next: nothing
 * is cut off.
 */
export function SetUpCard(props: SetUpCardProps): ReactElement {
  const { plan, run, number, of, units } = props;
  const words = runWords(run, units);
  const size = { '--card-size': `${sizeFor(props, words)}px` };
  return (
    <section
      className="card card-page"
      style={size as CSSProperties}
      aria-label={`Run ${number} of ${of}: ${run.id}`}
    >
      <Head {...props} />
      <p className="card-asks">
        {run.asks} <span className="card-quiet">({plan.requirementSet.title})</span>
      </p>
      <p className="card-load">
        {capital(words.loading)}. <span className="card-quiet">{capital(run.purpose)}.</span>
      </p>
      <Drawings {...props} />
      <div className="card-columns">
        <SetUpList words={words} />
        <Doing run={run} words={words} />
      </div>
      <Cautions texts={run.cautions} />
      <Readings run={run} words={words} />
      <p className="card-foot">{plan.cautions.slice(0, 1).join(' ')} A qualified person decides.</p>
    </section>
  );
}

/** px: sizes of a card's letters, the largest that fits is taken. */
const SIZES = [13.5, 12.75, 12, 11.25, 10.5, 9.75, 9] as const;

/** px: a page of the paper within margins of 12 mm */
const PAGE: Readonly<Record<Paper, number>> = { A4: 1032, Letter: 965 };

/** px: a drawing as it is made, and the share of it that a page of the paper shows */
const DRAWING = { width: 345, height: 305 } as const;

/** px: the largest letters with which everything should fit on its page, by estimate. */
function sizeFor({ run, paper }: SetUpCardProps, words: RunWords): number {
  const fits = SIZES.find(
    (size) => DRAWING.height + SPACING + LINE * size * linesOf(run, words, size) <= PAGE[paper],
  );
  return fits ?? (SIZES.at(-1) as number);
}

/** em */
const LINE = 1.3;
/** px: rules and gaps that do not grow with the letters */
const SPACING = 42;

/** px: what a line of each part of a page of 186 mm holds */
const WIDTHS = { label: 115, setting: 170, doing: 340, whole: 690 } as const;

/** Lines of text that the page is filled by, with the room that headings, rows and fields take. */
function linesOf(run: TestRun, words: RunWords, size: number): number {
  const lines = (text: string, width: number): number =>
    Math.max(1, Math.ceil(textWidth(text, size * NARROWER) / width));
  const sum = (texts: readonly string[], width: number): number =>
    texts.reduce((total, text) => total + lines(text, width), 0);
  const setUp = words.setUp.reduce(
    (total, { label, text }) =>
      total + Math.max(lines(label, WIDTHS.label), lines(text, WIDTHS.setting)) + 0.08,
    0,
  );
  const doing = sum([...words.steps, words.prediction, ...words.acceptance], WIDTHS.doing) + 4.8;
  return (
    HEAD_LINES +
    1.45 * lines(run.title, WIDTHS.whole / 1.8) +
    sum([run.asks], WIDTHS.whole) +
    1.1 * sum([words.loading], WIDTHS.whole / 1.2) +
    Math.max(setUp, doing) +
    sum(run.cautions, WIDTHS.whole) +
    ROW_LINES * (run.record.length - 1)
  );
}

/** Lines of all headings, the frame of the cautions, the fields and the last lines. */
const HEAD_LINES = 15;
const ROW_LINES = 1.55;

/** Texts are estimated by the widest faces; a card's usual one is narrower. */
const NARROWER = 0.88;

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function Head({ cart, run, number, of }: SetUpCardProps): ReactElement {
  return (
    <header className="card-head">
      <div>
        <h2>{clauseTitle(run.clause, run.title)}</h2>
        <p className="card-quiet">{cart.name}</p>
      </div>
      <p className="card-number">
        run {number} of {of}
        <br />
        <span className="card-quiet">{run.id}</span>
      </p>
    </header>
  );
}

function Drawings({ cart, run, units }: SetUpCardProps): ReactElement {
  const { pose } = run;
  const drawing = { cart, pose, posed: poseCart(cart, pose), units, ...DRAWING };
  return (
    <div className="card-drawings">
      <PlanView {...drawing} title="From above" />
      <ElevationView {...drawing} from={sideSeen(run)} title={`From the ${sideSeen(run)}`} />
    </div>
  );
}

/** The side from which what acts is seen across. */
function sideSeen({ pose: { incline, push } }: TestRun): ElevationFrom {
  const direction = incline?.downhill ?? push?.direction ?? 0;
  return Math.abs(Math.sin(direction)) > Math.abs(Math.cos(direction)) + 1e-9 ? 'front' : 'side';
}

function SetUpList({ words }: { readonly words: RunWords }): ReactElement {
  return (
    <div>
      <h3>Set up</h3>
      <dl className="card-list">
        {words.setUp.flatMap(({ label, text }) => [
          <dt key={`${label}\nlabel`}>{label}</dt>,
          <dd key={label}>{text}</dd>,
        ])}
      </dl>
    </div>
  );
}

interface DoingProps {
  readonly run: TestRun;
  readonly words: RunWords;
}

function Doing({ run, words }: DoingProps): ReactElement {
  return (
    <div>
      <h3>Do</h3>
      <ol>
        {words.steps.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ol>
      <h3>Predicted</h3>
      <p className="card-verdict">
        <VerdictMark verdict={run.prediction.verdict} size={14} />
        {run.prediction.verdict}
      </p>
      <p>{words.prediction}</p>
      <h3>Passes when it</h3>
      <ul>
        {words.acceptance.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </div>
  );
}

function Cautions({ texts }: { readonly texts: readonly string[] }): ReactElement | null {
  if (texts.length === 0) return null;
  return (
    <div className="card-cautions">
      <strong>Caution</strong>
      {texts.map((text) => (
        <p key={text}>{text}</p>
      ))}
    </div>
  );
}

/** Columns of readings that a hand can write in. */
const MOST_COLUMNS = 5;

function Readings({ run }: DoingProps): ReactElement {
  const columns = Math.min(MOST_COLUMNS, run.repeats);
  const numbers = Array.from({ length: columns }, (_, i) => i + 1);
  const more = run.repeats > columns ? ` (${run.repeats} in all: more on a second sheet)` : '';
  return (
    <>
      <h3>Written down{more}</h3>
      <table className="card-write">
        <thead>
          <tr>
            <th scope="col">reading</th>
            {numbers.map((each) => (
              <th key={each} scope="col">
                {each}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {run.record.slice(0, -2).map((text) => (
            <tr key={text}>
              <th scope="row">{text}</th>
              {numbers.map((each) => (
                <td key={each} />
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <div className="card-fields">
        {['sample, serial number', 'operator, date and time', 'temperature', 'instruments'].map(
          (text) => (
            <span key={text}>{text}</span>
          ),
        )}
        <span>done otherwise than planned</span>
        <span>signed</span>
      </div>
      <p className="card-asks">
        Decision, by the rule of the plan:
        {['pass', 'fail', 'not decided'].map((text) => (
          <span key={text}>
            <i className="card-box" />
            {text}
          </span>
        ))}
      </p>
    </>
  );
}
