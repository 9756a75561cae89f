/** Two variants side by side: what differs in the description, and what that does to every finding. */

import './compare-page.css';
import { useState } from 'react';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import type { Variant } from '../store/state.js';
import { ComparedFindings } from './compared-findings.js';
import { ComparedPlans } from './compared-plans.js';
import { DescriptionDifferences } from './description-differences.js';
import { KeepVariant } from './keep-variant.js';
import type { Side } from './side.js';
import { SideChoice } from './side-choice.js';
import { useSheetSide, useVariantSide } from './use-side.js';

export function ComparePage() {
  const cart = useWorkbench((s) => s.cart);
  const store = useWorkbenchStore();
  return (
    <div className="compare-page">
      <header className="compare-page-head">
        <h1>Compare two variants</h1>
        <button
          type="button"
          className="kit-button"
          onClick={() => store.getState().goTo(cart === null ? 'start' : 'sheet')}
        >
          Back to the sheet
        </button>
      </header>
      {cart === null ? (
        <p className="kit-soft">There is no cart on the sheet to compare with.</p>
      ) : (
        <Comparison />
      )}
    </div>
  );
}

function Comparison() {
  const variants = useWorkbench((s) => s.variants);
  const [aId, setA] = useState<number | null>(null);
  const [bId, setB] = useState<number | null>(null);
  const [finding, setFinding] = useState<string | null>(null);
  const sheet = useSheetSide();
  const variantA = variants.find(({ id }) => id === aId) ?? null;
  // the one kept last where none is chosen, or the chosen one was dropped
  const variantB = variants.find(({ id }) => id === bId) ?? variants.at(-1) ?? null;
  const kept = useVariantSide(variantA, 'A');
  const a = kept ?? sheet;
  const b = useVariantSide(variantB);
  return (
    <>
      <div className="compare-page-sides">
        <section aria-label="A">
          <SideChoice letter="A" chosen={aId} onChoose={setA} withSheet />
          {variantA === null ? (
            <KeepVariant onKept={setB} />
          ) : (
            <VariantActions variant={variantA} />
          )}
        </section>
        <section aria-label="B">
          <SideChoice letter="B" chosen={variantB?.id ?? null} onChoose={setB} withSheet={false} />
          {variantB !== null && <VariantActions variant={variantB} />}
        </section>
      </div>
      {a === null || b === null ? (
        <p className="kit-soft compare-page-empty">
          Choose what to compare with as B: a variant kept from the sheet, another file of the
          folder, or an example.
        </p>
      ) : (
        <Both a={a} b={b} finding={finding} onFinding={setFinding} />
      )}
    </>
  );
}

function VariantActions({ variant }: { readonly variant: Variant }) {
  const set = useWorkbench((s) => s.set);
  const taken = useWorkbench((s) => s.text === variant.text);
  const store = useWorkbenchStore();
  const { id, name, report, problem } = variant;
  const use = (): void => {
    store.getState().takeVariant(id);
    store.getState().say(`${name} is on the sheet. Undo takes it back.`);
  };
  return (
    <div className="compare-page-actions">
      <div className="kit-row">
        <button type="button" className="kit-button is-main" disabled={taken} onClick={use}>
          Use {name} on the sheet
        </button>
        <button
          type="button"
          className="kit-button"
          onClick={() => store.getState().dropVariant(id)}
        >
          Drop {name}
        </button>
      </div>
      {taken && <p className="kit-soft">The sheet says the same.</p>}
      {report === null && problem === null && (
        <p className="kit-soft" role="status">
          Being checked in full...
        </p>
      )}
      {problem !== null && <p className="kit-problem">It cannot be checked: {problem}</p>}
      {variant.set.id !== set.id && (
        <p className="compare-page-other">
          Checked against {variant.set.title}; the sheet asks for {set.title}.{' '}
          <button
            type="button"
            className="kit-button"
            onClick={() => store.getState().judgeVariant(id)}
          >
            Check against {set.title}
          </button>
        </p>
      )}
    </div>
  );
}

function Both({
  a,
  b,
  finding,
  onFinding,
}: {
  readonly a: Side;
  readonly b: Side;
  readonly finding: string | null;
  readonly onFinding: (finding: string | null) => void;
}) {
  return (
    <>
      <ComparedFindings a={a} b={b} chosen={finding} onChoose={onFinding} />
      <ComparedPlans a={a} b={b} finding={finding} onFinding={onFinding} />
      <DescriptionDifferences a={a.cart} b={b.cart} names={[a.name, b.name]} />
    </>
  );
}
