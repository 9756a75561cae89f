/** All cards of a test plan as one document: what is to be done, what is needed, then a page a run. */

import type { CSSProperties, ReactElement } from 'react';
import { amountText, clauseTitle } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type { Equipment, TestPlan } from '../test-plan/index.js';
import { changesBetween } from '../test-plan/index.js';
import type { UnitSystem } from '../units/index.js';
import type { Paper } from './set-up-card.js';
import { SetUpCard } from './set-up-card.js';
import { SET_UP_CARD_STYLE } from './set-up-card-style.js';
import { VerdictMark } from './verdict-mark.js';

export interface CardSetProps {
  readonly cart: Cart;
  readonly plan: TestPlan;
  readonly units: UnitSystem;
  readonly paper: Paper;
  /** the decision rule in a sentence */
  readonly rule: string;
  /** who made it: 'standstill 0.1.0' */
  readonly madeBy: string;
}

/** The whole HTML document: no script, nothing fetched. */
export function CardSet(props: CardSetProps): ReactElement {
  const { cart, plan, units, paper } = props;
  const { runs } = plan;
  return (
    <html lang="en">
      <head>
        <meta charSet="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>{`Test plan: ${cart.name}`}</title>
        <style>{`@page { size: ${paper} portrait; margin: 12mm; }\nbody { margin: 0; background: #ffffff; }\n${SET_UP_CARD_STYLE}`}</style>
      </head>
      <body>
        <PlanPage {...props} />
        {runs.map((run, i) => (
          <SetUpCard
            key={run.id}
            {...{ cart, plan, run, units, paper }}
            number={i + 1}
            of={runs.length}
          />
        ))}
      </body>
    </html>
  );
}

/** Letters of the tables of the plan. */
const SMALL = { '--card-size': '11px' } as CSSProperties;

/** The first pages: order and changes, equipment, what is not tested, cautions. */
export function PlanPage(props: Omit<CardSetProps, 'paper'>): ReactElement {
  const { cart, plan, rule, madeBy } = props;
  return (
    <section className="card card-page" style={SMALL} aria-label="The plan">
      <header className="card-head">
        <div>
          <h2>Test plan: {cart.name}</h2>
          <p className="card-quiet">{plan.requirementSet.title}</p>
        </div>
        <p className="card-number">
          {plan.runs.length} {plan.runs.length === 1 ? 'run' : 'runs'}
        </p>
      </header>
      <p className="card-asks">{rule}</p>
      <Cautions plan={plan} />
      <h3>Runs, in order</h3>
      <Runs {...props} />
      <p className="card-foot">
        Effort of the set-up changes: {plan.changes.planned} in this order, {plan.changes.byClause}{' '}
        clause by clause.
      </p>
      <h3>Equipment</h3>
      <EquipmentTable {...props} />
      <NotTested plan={plan} />
      <p className="card-foot">Made by {madeBy}.</p>
    </section>
  );
}

function Cautions({ plan }: { readonly plan: TestPlan }): ReactElement {
  return (
    <div className="card-cautions">
      <strong>Caution</strong>
      <ul>
        {plan.cautions.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </div>
  );
}

type Told = Omit<CardSetProps, 'paper'>;

function Runs({ plan, units }: Told): ReactElement {
  return (
    <table>
      <thead>
        <tr>
          {['', 'run', 'predicted', 'what changes'].map((text) => (
            <th key={text} scope="col">
              {text}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {plan.runs.map((run, i) => (
          <tr key={run.id}>
            <td>{i + 1}</td>
            <td className="card-names">
              {clauseTitle(run.clause, run.title)}, {run.purpose}
            </td>
            <td>
              <VerdictMark verdict={run.prediction.verdict} size={11} /> {run.prediction.verdict}
              {run.prediction.capacity === null
                ? ''
                : `, ${unparted(amountText(run.prediction.capacity, units))}`}
            </td>
            <td className="card-names">
              {i === 0
                ? 'set up as on its card'
                : changesBetween(plan.runs[i - 1] ?? null, run, units).join('; ') || 'nothing'}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function EquipmentTable({ plan, units }: Told): ReactElement {
  return (
    <table>
      <thead>
        <tr>
          {['', 'range', 'resolution', 'uncertainty (k = 2)', 'for'].map((text) => (
            <th key={text} scope="col">
              {text}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {plan.equipment.map((item) => (
          <tr key={item.id}>
            <td>{item.name}</td>
            <td>{unparted(rangeText(item, units))}</td>
            <td>{item.resolution === null ? '' : unparted(amountText(item.resolution, units))}</td>
            <td>
              {item.uncertainty === null ? '' : unparted(amountText(item.uncertainty, units))}
            </td>
            <td className="card-names">{item.why}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** In a narrow column a number stays with its unit. */
function unparted(text: string): string {
  return text.replace(/(\d) (?=[^\s(])/g, '$1\u00a0').replace(/(\d)\u00a0to /g, '$1 to ');
}

/** '0 N to 250 N', 'up to 4 kg', 'at least 1200 N' */
export function rangeText({ from, to }: Pick<Equipment, 'from' | 'to'>, units: UnitSystem): string {
  if (from !== null && to !== null) {
    return from.value === to.value
      ? amountText(to, units)
      : `${amountText(from, units)} to ${amountText(to, units)}`;
  }
  if (from !== null) return `at least ${amountText(from, units)}`;
  return to === null ? '' : `up to ${amountText(to, units)}`;
}

function NotTested({ plan: { notTested } }: { readonly plan: TestPlan }): ReactElement | null {
  if (notTested.length === 0) return null;
  return (
    <>
      <h3>Not tested</h3>
      <ul>
        {notTested.map(({ finding, clause, title, reason }) => (
          <li key={finding}>
            {clauseTitle(clause, title)}: {reason}
          </li>
        ))}
      </ul>
    </>
  );
}
